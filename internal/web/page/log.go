package page

// Log is the page of the work done and planned.
type Log struct {
	Frame     Frame
	Statement string
	Because   string
	Form      WorkForm
	Season    string // "2026"
	Seasons   []SeasonLink
	Entries   []Entry
	Total     *Entry // the season's sand
	Note      string // "1 mm over all greens is 15.0 t, dry, at 1,600 kg/m³."
	Planned   []Entry
	Figure    *Figure
	BySeason  Table
	Sure      string
}

// SeasonLink chooses a season.
type SeasonLink struct {
	Name    string
	Current bool
}

// Entry is one line of the ledger.
type Entry struct {
	ID      string // empty for a line that is not an entry of the log
	Day     string
	Kind    string // of the work, for its glyph
	Work    string
	Where   string // "all 18 greens, Dune medium"
	MM      string // sand on the greens named
	KgM2    string
	Tonnes  string
	SoFarMM string // the season's sand up to here, over the whole course
	Remark  string // instead of sand
	Warning string
	Planned bool // still to be ticked off
}

// WorkForm is the form of an entry.
type WorkForm struct {
	Course  string
	Entry   string // empty for a new one
	Title   string
	Kinds   []KindChip
	Kind    string
	Fields  []Field
	Amount  *Amount
	Errors  []FieldError
	Worked  string // the amount in the other units, when it was asked for
	Back    string
	Revised []Revision // the history of the entry
	Summary string     // of the entry as stored
}

// KindChip chooses a kind of work.
type KindChip struct {
	Kind, Name, Href string
	Current          bool
}

// Field is one field of a form.
type Field struct {
	Name, Label, Unit, Value string
	Type                     string // "text", "number", "date", "select", "area"
	Options                  []Choice
	Error, Hint              string
	Wide                     int // twelfths of the form; 0 for 2
	Half                     bool
	Need                     bool
	Several                  bool // the text holds several numbers of the unit
}

// Choice is one option of a select field. Data carries numbers for working amounts out on the page.
type Choice struct {
	Value, Text string
	Density     string // kg/m³, of a sand
	Moisture    string // % of dry mass, of a sand
	Area        string // m², of greens
	Taken       bool   // the density is the usual one, none is written down
}

// Amount is the field for how much sand, in a unit of choice.
type Amount struct {
	Value, Unit string // unit "mm", "kg_m2" or "t"
	Error, Hint string
	Label       string
}

// FieldError is something wrong with a field.
type FieldError struct {
	Field, Text string
}

// Revision is one step in the history of a record.
type Revision struct {
	When, Who, What string
	Cells           []CellChange
}

// CellChange is a column before and after.
type CellChange struct {
	Name, Before, After string
}

// Figure is a figure with what it says, how sure that is, and its numbers.
type Figure struct {
	Picture Drawing
	Says    string
	Sure    string
	YAxis   string
	Note    string
	Table   *Table // what is folded away under it; the picture's own values if nil
	Method  string // how it was worked out, folded away
}
