package underfoot

// Repeat is one of several weighings of a crucible at one stage, made until the mass no longer changes. The last of a
// stage is what [Weighing] holds.
type Repeat struct {
	Course   string       // follows from the sample; for blanks and controls, every course of the package
	Sample   string       `col:"sample" key:"1" about:"Composite in the crucible; for kind control the control material, for kind blank any label, as in weighings."`
	Crucible string       `col:"crucible" key:"1" about:"Number of the crucible."`
	Stage    string       `col:"stage" key:"1" oneof:"tare,moist,dry,ash" about:"What was weighed: the empty crucible, or with the sample moist, dry or as ash."`
	N        int          `col:"n" key:"1" min:"1" max:"1000" about:"Which weighing of that stage, from 1."`
	MassG    float64      `col:"mass_g" need:"1" unit:"g" min:"0" max:"100000" about:"Mass with the crucible."`
	Hours    Opt[float64] `col:"hours" unit:"h" min:"0" max:"10000" about:"Time since the first weighing of that stage."`
	Kind     string       `col:"kind" oneof:"sample,blank,control,duplicate" default:"sample" about:"What is in the crucible."`
	Extra    Extra
}

// Repeats describes the table of repeated weighings.
var Repeats = newTable[Repeat]("repeats", "Repeated weighings")

// Table returns [Repeats].
func (*Repeat) Table() *Table { return Repeats }

// OfSample says whether the crucible holds a composite (or a duplicate of one), not a blank or a control material.
func (r *Repeat) OfSample() bool { return r.Kind != "blank" && r.Kind != "control" }

// Check refuses a first weighing that is later than itself.
func (r *Repeat) Check() []Fault {
	if r.N == 1 && r.Hours.Or(0) != 0 {
		return []Fault{{"hours", FormatNumber(r.Hours.Value) + " h is given for weighing 1: hours count from the first weighing of a stage, so it has 0 or none"}}
	}
	return nil
}

// Tare is the mass of an empty crucible on a day: with the others of its number, the history of the crucible.
type Tare struct {
	Course   string  // every course of the package
	Crucible string  `col:"crucible" key:"1" about:"Number of the crucible."`
	Date     Date    `col:"date" key:"1" about:"Day it was weighed."`
	TareG    float64 `col:"tare_g" need:"1" unit:"g" above:"0" max:"100000" about:"Empty crucible."`
	Extra    Extra
}

// Tares describes the table of tares.
var Tares = newTable[Tare]("crucibles", "Tares of crucibles")

// Table returns [Tares].
func (*Tare) Table() *Table { return Tares }

// Check finds nothing beyond the limits of the columns.
func (*Tare) Check() []Fault { return nil }
