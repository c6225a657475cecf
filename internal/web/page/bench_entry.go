package page

import (
	"fmt"

	"github.com/a-h/templ"
)

// BenchEntry is the sheet on which the masses of a furnace run are written down.
type BenchEntry struct {
	Frame     Frame
	Course    string
	Run       string // blank for a new run
	Title     string
	Because   string
	Fields    []Field
	Columns   []EntryColumn
	Rows      []EntryRow
	Samples   []Choice // composites and control materials that may be named
	Crucibles []Crucible
	Errors    []FieldError
	Kept      string // what the server kept of a sheet that was not stored; blank for nothing
	Gone      bool   // that was let go a moment ago, and can be brought back
	Block     string // text of a pasted block that could not be read
	BlockWhy  string
}

// EntryColumn is one column of the sheet.
type EntryColumn struct {
	Name, Label, Unit string
	Mass              bool
	Heads             string // words that head it in a spreadsheet, apart by |
}

func (c EntryColumn) head() string {
	if c.Unit == "" {
		return c.Label
	}
	return c.Label + ", " + c.Unit
}

// EntryRow is one crucible on the sheet.
type EntryRow struct {
	Index                  int
	WasSample, WasCrucible string // the row it is stored as; blank for a new one
	Key                    string // the row wherever it stands: what it is stored as, or the composite that is offered in it; blank for a free one
	Cells                  []EntryCell
	Taken                  bool // marked to be taken out
	OM                     string
	Remarks                []string
}

// EntryCell is one field of the sheet.
type EntryCell struct {
	Column  EntryColumn
	Value   string
	Offered string // what stood here last time
	Error   string
	Before  string // earlier weighings of the stage
}

// Crucible is a crucible that was used before, with its last tare.
type Crucible struct{ Name, Tare string }

// EntryKinds are what a crucible may hold.
func EntryKinds() []Choice {
	return []Choice{{Value: "sample", Text: "composite"}, {Value: "duplicate", Text: "the same, again"}, {Value: "control", Text: "control"}, {Value: "blank", Text: "nothing: blank"}}
}

func (r EntryRow) name(column string) string { return fmt.Sprintf("r%d-%s", r.Index, column) }

// label names a field for those who hear the page.
func (r EntryRow) label(c EntryColumn) string {
	s := fmt.Sprintf("Row %d, %s", r.Index+1, c.Label)
	if c.Unit != "" {
		s += ", " + c.Unit
	}
	return s
}

// attributes ties a cell to its error.
func (r EntryRow) attributes(c EntryCell) templ.Attributes {
	a := templ.Attributes{"aria-label": r.label(c.Column), "data-column": c.Column.Name, "data-heads": c.Column.Heads}
	switch {
	case c.Column.Mass:
		a["data-kind"] = "mass"
	case c.Column.Name == "place":
		a["data-kind"] = "number"
	}
	if c.Error != "" {
		a["aria-invalid"], a["aria-describedby"] = "true", "e-"+r.name(c.Column.Name)
	}
	if c.Offered != "" {
		a["placeholder"] = c.Offered
	}
	return a
}
