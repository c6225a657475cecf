package underfoot

import (
	"fmt"
	"math"
	"strconv"
)

// Work is an entry of the log: what was done, or is planned, on one green or on all.
type Work struct {
	ID              string       `col:"entry" key:"1" about:"Name of the entry."`
	Course          string       `col:"course" need:"1" refers:"courses" about:"Course it was done on."`
	Green           string       `col:"green" refers:"greens" about:"Green it was done on; empty for all." default:"all greens"`
	Date            Date         `col:"date" need:"1" about:"Day of the work."`
	Status          string       `col:"status" oneof:"done,planned" default:"done" about:"Whether it was done or is planned."`
	Kind            string       `col:"kind" need:"1" oneof:"topdress,hollow_core,solid_tine,scarify,inject_sand,nitrogen,clippings,other" about:"What was done."`
	Sand            string       `col:"sand" refers:"sands" about:"Sand that was used."`
	SandMM          Opt[float64] `col:"sand_mm" unit:"mm" min:"0" max:"100" about:"Sand as a depth over the whole surface."`
	SandKgM2        Opt[float64] `col:"sand_kg_m2" unit:"kg/m²" min:"0" max:"200" about:"Sand as dry mass per area."`
	TineDiameterMM  Opt[float64] `col:"tine_diameter_mm" unit:"mm" above:"0" max:"100" about:"Inner diameter of a hollow tine, outer of a solid one."`
	SpacingAlongMM  Opt[float64] `col:"spacing_along_mm" unit:"mm" above:"0" max:"1000" about:"Distance of holes along the run."`
	SpacingAcrossMM Opt[float64] `col:"spacing_across_mm" unit:"mm" above:"0" max:"1000" about:"Distance of holes across the run."`
	Pattern         string       `col:"pattern" oneof:"square,triangular" about:"How the holes lie." default:"square"`
	Passes          Opt[int]     `col:"passes" min:"1" max:"20" about:"Number of passes." default:"1"`
	BladeWidthMM    Opt[float64] `col:"blade_width_mm" unit:"mm" above:"0" max:"50" about:"Thickness of the scarifying blades."`
	BladeSpacingMM  Opt[float64] `col:"blade_spacing_mm" unit:"mm" above:"0" max:"500" about:"Distance between blades."`
	DepthMM         Opt[float64] `col:"depth_mm" unit:"mm" above:"0" max:"500" about:"How deep tines, blades or injection went."`
	Backfill        Opt[float64] `col:"backfill" min:"0" max:"1" about:"Share of the opened volume that was filled with sand, 0 to 1."`
	CoresRemoved    string       `col:"cores_removed" oneof:"yes,no" about:"Whether cores were taken off." default:"yes for hollow tines"`
	NitrogenKgHa    Opt[float64] `col:"nitrogen_kg_ha" unit:"kg/ha" min:"0" max:"1000" about:"Nitrogen given."`
	ClippingsL100M2 Opt[float64] `col:"clippings_l_100m2" unit:"L/100 m²" min:"0" max:"1000" about:"Clippings taken off."`
	Cost            Opt[float64] `col:"cost" min:"0" about:"What it cost, in the course's currency."`
	LabourH         Opt[float64] `col:"labour_h" unit:"h" min:"0" max:"10000" about:"Hours of work."`
	Note            string       `col:"note" about:"Anything else."`
	Extra           Extra
}

// WorkLog describes the table of work.
var WorkLog = newTable[Work]("work", "Log of work")

// Table returns [WorkLog].
func (*Work) Table() *Table { return WorkLog }

// Planned says whether the work is still to be done.
func (w *Work) Planned() bool { return w.Status == "planned" }

// Check refuses tines wider than their spacing and blades wider than theirs.
func (w *Work) Check() []Fault {
	var faults []Fault
	wider := func(width Opt[float64], what, column string, spacing Opt[float64]) {
		if width.Known && spacing.Known && width.Value > spacing.Value {
			faults = append(faults, Fault{column, fmt.Sprintf("%s mm is less than the %s %s mm: the spacing must be at least as wide",
				FormatNumber(spacing.Value), what, FormatNumber(width.Value))})
		}
	}
	wider(w.TineDiameterMM, "tine diameter", "spacing_along_mm", w.SpacingAlongMM)
	wider(w.TineDiameterMM, "tine diameter", "spacing_across_mm", w.SpacingAcrossMM)
	wider(w.BladeWidthMM, "blade width", "blade_spacing_mm", w.BladeSpacingMM)
	return faults
}

// SandsAgree refuses sand whose depth and mass do not agree within 2 % through its bulk density,
// mm × kg/m³ / 1000 = kg/m²; nil when they agree or cannot be compared.
func (w *Work) SandsAgree(density Opt[float64]) *Fault {
	if !w.SandMM.Known || !w.SandKgM2.Known || !density.Known {
		return nil
	}
	const agreement = 0.02 // as a share of the larger
	from := w.SandMM.Value * density.Value / 1000
	if math.Abs(from-w.SandKgM2.Value) <= agreement*max(from, w.SandKgM2.Value) {
		return nil
	}
	kg, _ := WorkLog.Column("sand_kg_m2")
	mm, _ := WorkLog.Column("sand_mm")
	return &Fault{"sand_kg_m2", fmt.Sprintf(
		"%s kg/m² does not agree with sand_mm %s mm, which is %s kg/m² at the %s kg/m³ of sand %s: they may differ by 2 %%; correct one or leave one empty",
		WorkLog.Cell(w, kg), WorkLog.Cell(w, mm), strconv.FormatFloat(from, 'g', 4, 64), FormatNumber(density.Value), w.Sand)}
}
