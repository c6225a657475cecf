package underfoot

import (
	"fmt"
	"math"
)

// Weighing is one crucible through the oven and the furnace. Masses include the crucible.
type Weighing struct {
	Course      string       // follows from the sample; for blanks and controls, every course of the package
	Sample      string       `col:"sample" key:"1" about:"Composite in the crucible; for kind control the control material, for kind blank any label."`
	Crucible    string       `col:"crucible" key:"1" about:"Number of the crucible."`
	FurnaceRun  string       `col:"furnace_run" about:"Name of the furnace run."`
	TareG       Opt[float64] `col:"tare_g" unit:"g" min:"0" max:"100000" about:"Empty crucible."`
	MoistG      Opt[float64] `col:"moist_g" unit:"g" min:"0" max:"100000" about:"Crucible with the sample as it came."`
	DryG        Opt[float64] `col:"dry_g" unit:"g" min:"0" max:"100000" about:"Crucible with the oven-dry sample."`
	AshG        Opt[float64] `col:"ash_g" unit:"g" min:"0" max:"100000" about:"Crucible with the ash."`
	DryC        Opt[float64] `col:"dry_c" unit:"°C" above:"0" max:"300" about:"Temperature of the drying oven."`
	AshC        Opt[float64] `col:"ash_c" unit:"°C" above:"0" max:"1500" about:"Temperature of the furnace."`
	AshHours    Opt[float64] `col:"ash_hours" unit:"h" min:"0" max:"1000" about:"Time in the furnace at that temperature."`
	ResolutionG Opt[float64] `col:"balance_resolution_g" unit:"g" above:"0" max:"100" about:"Smallest step the balance shows."`
	Kind        string       `col:"kind" oneof:"sample,blank,control,duplicate" default:"sample" about:"What is in the crucible."`
	Extra       Extra
}

// Weighings describes the table of weighings.
var Weighings = newTable[Weighing]("weighings", "Weighings")

// Table returns [Weighings].
func (*Weighing) Table() *Table { return Weighings }

// OfSample says whether the crucible holds a composite (or a duplicate of one), not a blank or a control material.
func (w *Weighing) OfSample() bool { return w.Kind != "blank" && w.Kind != "control" }

// AshSlackG returns how far ash may weigh more than the dry sample before the row is refused, in g: three standard
// uncertainties of the difference of two readings of the balance, each resolution/√12 (JCGM 100:2008, F.2.2.1).
// An unknown resolution is taken as 0.01 g (common practice, no source).
func (w *Weighing) AshSlackG() float64 { return 3 * w.ResolutionG.Or(0.01) / math.Sqrt(6) }

// Check refuses masses in an impossible order: tare must be below dry and ash, dry not above moist, ash not above dry
// by more than the balance can explain.
func (w *Weighing) Check() []Fault {
	var faults []Fault
	say := func(column, format string, args ...any) {
		faults = append(faults, Fault{column, fmt.Sprintf(format, args...)})
	}
	tare, dry, ash := w.TareG, w.DryG, w.AshG
	if w.OfSample() && tare.Known && dry.Known && dry.Value <= tare.Value {
		say("dry_g", "dry mass %s g is not above the empty crucible's %s g: masses include the crucible", w.mass("dry_g"), w.mass("tare_g"))
	}
	if w.OfSample() && tare.Known && ash.Known && ash.Value < tare.Value {
		say("ash_g", "ash mass %s g is below the empty crucible's %s g: masses include the crucible", w.mass("ash_g"), w.mass("tare_g"))
	}
	if dry.Known && ash.Known && ash.Value-dry.Value > w.AshSlackG() {
		say("ash_g", "dry mass %s g is below ash mass %s g: weigh the crucible again or take the row out", w.mass("dry_g"), w.mass("ash_g"))
	}
	if w.MoistG.Known && dry.Known && dry.Value-w.MoistG.Value > w.AshSlackG() {
		say("moist_g", "moist mass %s g is below dry mass %s g: weigh the crucible again or take the row out", w.mass("moist_g"), w.mass("dry_g"))
	}
	return faults
}

func (w *Weighing) mass(column string) string {
	i, _ := Weighings.Column(column)
	return Weighings.Cell(w, i)
}

// Result is an organic matter figure that came without weighings.
type Result struct {
	Course      string       // follows from the sample
	Sample      string       `col:"sample" key:"1" refers:"samples" about:"Composite it is of."`
	OMPercent   float64      `col:"om_percent" need:"1" unit:"%" min:"0" max:"100" about:"Organic matter, % of oven-dry mass."`
	OMSDPercent Opt[float64] `col:"om_sd_percent" unit:"%" min:"0" max:"100" about:"Its standard uncertainty as a measurement, in percentage points."`
	DryMassG    Opt[float64] `col:"dry_mass_g" unit:"g" above:"0" max:"100000" about:"Oven-dry mass of the composite."`
	Method      string       `col:"method" oneof:"whole,screened,scooped" about:"How the sample was prepared: burnt whole, or screened or scooped first (another quantity, kept out of trends)." default:"not stated, kept out of trends until it is"`
	Lab         string       `col:"lab" about:"Laboratory it came from."`
	Extra       Extra
}

// Results describes the table of results without weighings.
var Results = newTable[Result]("results", "Results")

// Table returns [Results].
func (*Result) Table() *Table { return Results }

// Check finds nothing beyond the limits of the columns.
func (*Result) Check() []Fault { return nil }

// Control is a control material of the bench, burnt along with the samples.
type Control struct {
	Course          string       // every course of the package
	ID              string       `col:"control" key:"1" about:"Name of the control material."`
	AcceptedPercent Opt[float64] `col:"accepted_percent" unit:"%" min:"0" max:"100" about:"Its accepted organic matter."`
	SDPercent       Opt[float64] `col:"sd_percent" unit:"%" above:"0" max:"100" about:"Standard deviation of single burns, in percentage points."`
	Extra           Extra
}

// Controls describes the table of control materials.
var Controls = newTable[Control]("controls", "Control materials")

// Table returns [Controls].
func (*Control) Table() *Table { return Controls }

// Check finds nothing beyond the limits of the columns.
func (*Control) Check() []Fault { return nil }
