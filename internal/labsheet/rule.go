package labsheet

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Rule says how to read sheets of one layout. A person makes it once, by pointing at columns.
type Rule struct {
	Kind       Kind             `json:"kind"`
	Sheet      string           `json:"sheet,omitempty"`       // worksheet; any that has the headings when empty or absent
	Head       int              `json:"head_rows"`             // rows of headings
	HeadAt     int              `json:"head_row"`              // first of them, counted from 1; looked for by the headings first
	Columns    []Column         `json:"columns"`               // what they hold
	Above      []Label          `json:"above,omitempty"`       // cells over the table that hold for every row
	Fixed      map[Field]string `json:"fixed,omitempty"`       // what holds for every row and stands nowhere in the sheet
	Dates      Order            `json:"date_order,omitempty"`  // empty: only dates that can be read in one way
	Measure    Measure          `json:"measure,omitempty"`     // of a sieve sheet
	Down       []Field          `json:"fill_down,omitempty"`   // an empty cell means the same as above
	Sections   Field            `json:"sections,omitempty"`    // a row with one cell says this of the rows below
	NamesAbove bool             `json:"names_above,omitempty"` // every further column is a sample, named by its heading
	Openings   string           `json:"openings,omitempty"`    // unit of sieve sizes in headings that have none
	Depths     string           `json:"depths,omitempty"`      // unit of layers in headings that have none
}

// Column says what one column holds.
type Column struct {
	At      int      `json:"column"`  // counted from 1
	Heading string   `json:"heading"` // all rows of it; found again by it when columns move
	Field   Field    `json:"field"`
	Unit    string   `json:"unit,omitempty"`
	Mark    Mark     `json:"decimal,omitempty"`    // empty: only numbers that can be read in one way
	Group   int      `json:"group,omitempty"`      // samples that share a row are counted from 1; 0 is of all of them
	Layer   *Depth   `json:"layer,omitempty"`      // from the heading
	Opening *float64 `json:"opening_mm,omitempty"` // from the heading
	Name    string   `json:"name,omitempty"`       // of the sample, from the heading
}

// Label is a cell above the table, found again by the words before or in it.
type Label struct {
	Words string `json:"words"`
	Field Field  `json:"field"`
	Unit  string `json:"unit,omitempty"`
	At    string `json:"-"` // where it was found
	Found string `json:"-"` // what it says
}

// ParseRule reads a rule and refuses one that makes no sense.
func ParseRule(data []byte) (Rule, error) {
	var r Rule
	d := json.NewDecoder(strings.NewReader(string(data)))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		return Rule{}, fmt.Errorf("the rule is not readable: %w: make it again by pointing at the columns", err)
	}
	return r, r.Check()
}

// Bytes is the rule as text.
func (r Rule) Bytes() []byte {
	b, err := json.Marshal(r)
	if err != nil {
		panic(err) // every field can be written
	}
	return b
}

// Check says what is wrong with the rule itself.
func (r Rule) Check() error {
	if !slices.Contains(Kinds(), r.Kind) {
		return fmt.Errorf("kind %q is not known: results, weighings or sieve is allowed", r.Kind)
	}
	if r.Head < 0 || r.Head > 10 || r.HeadAt < 0 || r.HeadAt > mostCells {
		return fmt.Errorf("%d rows of headings from row %d on: 0 to 10 rows from row 1 on are allowed", r.Head, r.HeadAt)
	}
	if !slices.Contains([]Order{"", DayFirst, MonthFirst, YearFirst}, r.Dates) {
		return fmt.Errorf("order of dates %q is not known: dmy, mdy or ymd is allowed", r.Dates)
	}
	if r.Measure != "" && !slices.Contains(Measures(), r.Measure) {
		return fmt.Errorf("measure %q is not known: retained_g, retained_percent, cumulative_g, cumulative_percent or passing_percent is allowed", r.Measure)
	}
	if r.Openings != "" && !slices.Contains([]string{InMM, InMicro, InPhi, InMesh, InInch}, r.Openings) {
		return fmt.Errorf("unit %q of sieves: mm, µm, phi, mesh or in is allowed", r.Openings)
	}
	if _, ok := lengths[r.Depths]; r.Depths != "" && !ok {
		return fmt.Errorf("unit %q of depths: mm, cm or in is allowed", r.Depths)
	}
	for _, c := range r.Columns {
		if err := r.checkColumn(c); err != nil {
			return fmt.Errorf("column %s: %w", ColumnName(c.At-1), err)
		}
	}
	for _, l := range r.Above {
		if err := r.checkField(l.Field, l.Unit); err != nil {
			return fmt.Errorf("%q above the table: %w", l.Words, err)
		}
	}
	for f := range r.Fixed {
		if err := r.checkField(f, ""); err != nil {
			return fmt.Errorf("what holds for every row: %w", err)
		}
	}
	return nil
}

func (r Rule) checkColumn(c Column) error {
	if c.At < 1 || c.At > 16384 {
		return fmt.Errorf("%d is no column: 1 to 16384 is allowed", c.At)
	}
	if c.Mark != "" && c.Mark != Point && c.Mark != Comma {
		return fmt.Errorf("decimal sign %q: a point or a comma is allowed", c.Mark)
	}
	if c.Group < 0 || c.Group > 1000 {
		return fmt.Errorf("group %d: 0 to 1000 is allowed", c.Group)
	}
	if c.Layer != nil && (c.Layer.TopMM < 0 || c.Layer.BottomMM <= c.Layer.TopMM || c.Layer.BottomMM > deepest) {
		return fmt.Errorf("layer %g to %g mm: the lower end must be deeper than the upper, and at most %d mm deep", c.Layer.TopMM, c.Layer.BottomMM, deepest)
	}
	if c.Opening != nil && !(*c.Opening >= 0 && *c.Opening <= widest) {
		return fmt.Errorf("opening %g mm: 0 to %d mm is allowed", *c.Opening, widest)
	}
	return r.checkField(c.Field, c.Unit)
}

func (r Rule) checkField(f Field, unit string) error {
	a, ok := aboutOf(f)
	if !ok || !a.in(r.Kind) {
		return fmt.Errorf("%q is nothing a sheet of %s has", f, r.Kind.Word())
	}
	if unit != "" && !slices.Contains(a.Units, unit) {
		if a.Text() {
			return fmt.Errorf("%s has no unit, %q was given", a.Name, unit)
		}
		return fmt.Errorf("unit %q of %s: allowed are %s", unit, a.Name, strings.Join(a.Units, ", "))
	}
	return nil
}

// Has says whether a column or a fixed value gives the field.
func (r Rule) Has(f Field) bool {
	if _, ok := r.Fixed[f]; ok {
		return true
	}
	return slices.ContainsFunc(r.Columns, func(c Column) bool { return c.Field == f }) || slices.ContainsFunc(r.Above, func(l Label) bool { return l.Field == f })
}
