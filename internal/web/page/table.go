package page

import (
	"fmt"

	"github.com/a-h/templ"
)

// RowsPage is a table of a course as it is typed in.
type RowsPage struct {
	Frame     Frame
	Course    string
	Table     string // as in the address
	Title     string
	Statement string
	Because   string
	Others    []Link // the other tables; the current one has no address
	Columns   []RowColumn
	New, Rows []TypedRow
	Errors    []FieldError
	Find      string
	Pages     string // which of how many rows are shown
	More      Link   // the next page, where there is one
	Less      Link
	Who       string
	Lists     []RowList
	Note      string // what goes with the table
}

// RowColumn is a column of it.
type RowColumn struct {
	Name, Label, Unit, About string
	Kind                     string // "text", "number", "date", "select", "list"
	Options                  []Choice
	Need                     bool
	Open                     bool // of a list: may name what is not in it
	Ditto                    bool // seldom changes from row to row
}

// RowList is what a column may name.
type RowList struct {
	ID      string
	Options []Choice
}

// TypedRow is one row as it stands in the form.
type TypedRow struct {
	Index   int
	Was     string // its name before; empty for a new row
	Cells   []TypedCell
	Error   string
	Removed bool
}

// TypedCell is one field of a row.
type TypedCell struct {
	Column RowColumn
	Value  string
	Error  string
}

func (r TypedRow) name(column string) string { return fmt.Sprintf("r%d-%s", r.Index, column) }

func (r TypedRow) attributes(c TypedCell) templ.Attributes {
	label := fmt.Sprintf("Row %d, %s", r.Index+1, c.Column.Label)
	if c.Column.Unit != "" {
		label += ", " + c.Column.Unit
	}
	a := templ.Attributes{"id": "f-" + r.name(c.Column.Name), "name": r.name(c.Column.Name), "data-column": c.Column.Name, "data-kind": c.Column.Kind, "aria-label": label}
	if c.Column.Unit != "" {
		a["data-unit"] = c.Column.Unit
	}
	if c.Column.Open {
		a["data-open"] = "yes"
	}
	switch {
	case c.Error != "":
		a["aria-invalid"], a["aria-describedby"] = "true", "e-"+r.name(c.Column.Name)
	case r.Error != "" && c.Column.Name == r.Cells[0].Column.Name: // what is wrong with the row as a whole is told at its first field
		a["aria-invalid"], a["aria-describedby"] = "true", "e-"+r.name("row")
	}
	if c.Column.Ditto {
		a["data-ditto"] = "yes"
	}
	return a
}

// CourseForm is what is said of a course.
type CourseForm struct {
	Frame  Frame
	Course string // "" for a new one
	Fields []Field
	Errors []FieldError
}

func (f CourseForm) action() string {
	if f.Course == "" {
		return "/new"
	}
	return CoursePath(f.Course, "edit")
}

// rowKey tells a script which row of the records this is, wherever it stands on the page.
func rowKey(key string) templ.Attributes {
	if key == "" {
		return nil
	}
	return templ.Attributes{"data-key": key}
}

func rowsName(fresh bool) string {
	if fresh {
		return ", new rows"
	}
	return ", on record"
}

// cellLabel stands before a field where a row is folded up on a phone.
func cellLabel(c RowColumn) string {
	if c.Unit != "" {
		return c.Label + ", " + c.Unit
	}
	return c.Label
}
