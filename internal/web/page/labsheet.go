package page

import "strconv"

// LabSheet is a laboratory's sheet whose columns a person points at, with what it would bring.
type LabSheet struct {
	Frame     Frame
	ID        string
	Statement string
	Because   string
	Error     string   // nothing could be read or stored
	Hidden    []Hidden // the rule as it was shown, carried by the form
	Fields    []Field
	Columns   []LabColumn
	Rows      []LabGridRow
	More      string // about the rows that are not shown
	Asked     []LabAsked
	Greens    []LabGreen
	Fixed     []Field
	Problems  []FaultRow
	MoreBad   string
	Brings    []LabBrought
	MoreRows  string
	Notes     []string
	Reasons   []string
	Name      Field
	Ready     bool
	Partial   string // the offer to take the good rows only; empty for none
	Good      string // what the button brings in
}

// LabColumn is a column of the sheet with what it is pointed at.
type LabColumn struct {
	Number  int // from 1
	Letter  string
	Heading string
	Field   string
	Fields  []Choice
	Unit    string
	Units   []Choice // none for what has no unit
	Mark    string
	Marks   []Choice // none for what is no number
	Group   string
	Groups  []Choice // none while each row is one sample
	Tells   string   // what its heading says besides
	Asked   string   // a question about it
}

func (c LabColumn) id(what string) string { return "c" + strconv.Itoa(c.Number) + "-" + what }

// LabGridRow is a row of the sheet as it is.
type LabGridRow struct {
	Number string
	Kind   string // "head", "data" or "" for what is left out
	Cells  []LabCell
}

// LabCell is a cell; a bad one has what is wrong with it.
type LabCell struct {
	Text, Bad string
}

// LabAsked is a question with the field that answers it.
type LabAsked struct {
	Text, Href string
}

// LabGreen is a green as the sheet calls it.
type LabGreen struct {
	Words, Note string
	Number      int
	Value       string
	Choices     []Choice
	Error       string
}

// LabBrought is what a row would bring.
type LabBrought struct {
	State                                         State
	Place, Sample, Green, Layer, Date, Says, Mark string
}

// LabLink is the way from the page where files are chosen to a sheet that waits.
type LabLink struct {
	Href, Text string
}
