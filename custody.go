package underfoot

// Custody is one step of a composite on its way from the green to the report.
type Custody struct {
	Course string // follows from the sample
	Sample string `col:"sample" key:"1" refers:"samples" about:"Composite it is about."`
	Step   string `col:"step" key:"1" oneof:"cut,bagged,sent,received,weighed,burnt,reported" about:"What happened to it."`
	Date   Date   `col:"date" need:"1" about:"Day of the step."`
	By     string `col:"by" need:"1" about:"Who had it in hand."`
	Note   string `col:"note" about:"Anything else, such as the state of the bag."`
	Extra  Extra
}

// Custodies describes the table of custody.
var Custodies = newTable[Custody]("custody", "Custody of samples")

// Table returns [Custodies].
func (*Custody) Table() *Table { return Custodies }

// Check finds nothing beyond the limits of the columns.
func (*Custody) Check() []Fault { return nil }
