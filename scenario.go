package underfoot

// Scenario is one piece of work of a named plan that is kept to be compared with others. It is no work of the log:
// nothing is done or planned by it.
type Scenario struct {
	Scenario        string       `col:"scenario" key:"1" about:"Name of the plan."`
	Entry           string       `col:"entry" key:"1" about:"Name of the piece of work within the plan."`
	Course          string       `col:"course" need:"1" refers:"courses" about:"Course it is for."`
	Date            Date         `col:"date" need:"1" about:"Day of the work."`
	Kind            string       `col:"kind" need:"1" oneof:"topdress,hollow_core,solid_tine,scarify,inject_sand,nitrogen" about:"What is done."`
	Operation       string       `col:"operation" about:"Name of the operation in the catalogue it was planned with."`
	Sand            string       `col:"sand" refers:"sands" about:"Sand that is used."`
	SandMM          Opt[float64] `col:"sand_mm" unit:"mm" min:"0" max:"100" about:"Sand on the surface or injected, as a depth over the greens."`
	TineDiameterMM  Opt[float64] `col:"tine_diameter_mm" unit:"mm" above:"0" max:"100" about:"Inner diameter of a hollow tine, outer of a solid one."`
	SpacingAlongMM  Opt[float64] `col:"spacing_along_mm" unit:"mm" above:"0" max:"1000" about:"Distance of holes along the run."`
	SpacingAcrossMM Opt[float64] `col:"spacing_across_mm" unit:"mm" above:"0" max:"1000" about:"Distance of holes across the run."`
	Pattern         string       `col:"pattern" oneof:"square,triangular" about:"How the holes lie." default:"square"`
	Passes          Opt[int]     `col:"passes" min:"1" max:"20" about:"Number of passes." default:"1"`
	BladeWidthMM    Opt[float64] `col:"blade_width_mm" unit:"mm" above:"0" max:"50" about:"Thickness of the scarifying blades."`
	BladeSpacingMM  Opt[float64] `col:"blade_spacing_mm" unit:"mm" above:"0" max:"500" about:"Distance between blades."`
	DepthMM         Opt[float64] `col:"depth_mm" unit:"mm" above:"0" max:"500" about:"How deep tines, blades or injection go."`
	Backfill        Opt[float64] `col:"backfill" min:"0" max:"1" about:"Share of the opened volume that is filled with sand, 0 to 1."`
	NitrogenKgHa    Opt[float64] `col:"nitrogen_kg_ha" unit:"kg/ha" min:"0" max:"1000" about:"Nitrogen given, where the plan moves it."`
	Cost            Opt[float64] `col:"cost" min:"0" about:"What it was reckoned to cost, in the course's currency."`
	LabourH         Opt[float64] `col:"labour_h" unit:"h" min:"0" max:"10000" about:"Hours of work it was reckoned to take."`
	Note            string       `col:"note" about:"Anything else."`
	Extra           Extra
}

// AcceptedPlan is the name under which the plan that was last accepted into the log is kept.
const AcceptedPlan = "accepted"

// Scenarios describes the table of kept plans.
var Scenarios = newTable[Scenario]("scenarios", "Kept plans")

// Table returns [Scenarios].
func (*Scenario) Table() *Table { return Scenarios }

// Check refuses tines wider than their spacing and blades wider than theirs.
func (s *Scenario) Check() []Fault {
	w := Work{
		TineDiameterMM: s.TineDiameterMM, SpacingAlongMM: s.SpacingAlongMM, SpacingAcrossMM: s.SpacingAcrossMM,
		BladeWidthMM: s.BladeWidthMM, BladeSpacingMM: s.BladeSpacingMM,
	}
	return w.Check()
}
