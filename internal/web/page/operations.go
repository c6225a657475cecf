package page

import (
	"fmt"
	"net/url"
)

// Operations is the page of a course's own catalogue of operations and its calendar.
type Operations struct {
	Frame
	Course             string
	Statement, Because string
	Currency           string
	List               []OperationRow
	Kinds              []Choice
	FileErrors         []string // what is wrong with a catalogue that was sent
	Closings           []ClosingRow
	Closing            SmallForm
	Days               SmallForm // several days at once
	Crews              []CrewRow
	Crew               SmallForm
}

// OperationRow is one operation of the catalogue.
type OperationRow struct {
	ID, Name, Kind                   string
	Sand, Money, Hours, Disturbed    string
	Growth, Spacing, Season          string
	Used, BuiltIn, Changed, Replaced bool
	State                            State
	Says                             string   // where its numbers come from
	Faults                           []string // what is wrong with it
}

// ClosingRow is one closed time, tournament or holiday.
type ClosingRow struct {
	Key        string // "2027-06-12 tournament"
	When, What string
	Asks       string
	Past       bool
	Href       string // to change it
}

// CrewRow is the crew from a day on.
type CrewRow struct {
	Key, From, Hours, Price, Note string
}

// SmallForm is a form of a few fields within a page.
type SmallForm struct {
	ID, Action, Button string
	Hidden             []Hidden
	Fields             []Field
	Errors             []FieldError
	Back               string // to leave it, where something is being changed
}

// withUnit is a heading with its unit, where there is one.
func withUnit(text, unit string) string {
	if unit == "" {
		return text
	}
	return text + ", " + unit
}

// draft names what the browser keeps of the form: of a new row, or of the one that is changed.
func (f SmallForm) draft() string {
	key := f.Action + "#" + f.ID
	for _, h := range f.Hidden {
		key += " " + h.Value
	}
	return key
}

// OperationForm is one operation, every value of it to be changed.
type OperationForm struct {
	Frame
	Course, ID string // ID empty for a new one
	Action     string
	Statement  string
	Says       []string
	Hidden     []Hidden
	Groups     []SeasonGroup
	Errors     []FieldError
	Forget     string // words of the button that takes the changes away; empty for none
	Used       bool
	Cautions   []string
}

func (p Operations) path(rest ...string) string {
	return CoursePath(p.Course, append([]string{"operation"}, rest...)...)
}

func (f OperationForm) path(rest ...string) string {
	return CoursePath(f.Course, append([]string{"operation", f.ID}, rest...)...)
}

func needsLook(n int) string {
	return fmt.Sprintf("Not kept yet: %s another look", CountWords(n, "field needs", "fields need"))
}

func escaped(s string) string { return url.QueryEscape(s) }
