package underfoot

import "fmt"

// Operation is one way of working on the greens that a season plan of the course may use: what it does, takes and costs. One
// with the name and kind of a built-in operation takes what is left empty from that; the others are the course's own.
type Operation struct {
	Course            string       `col:"course" key:"1" refers:"courses" about:"Course it belongs to."`
	ID                string       `col:"operation" key:"1" about:"Short name; that of a built-in operation to change it."`
	Used              string       `col:"used" oneof:"yes,no" default:"yes" about:"Whether a plan may use it."`
	Name              string       `col:"name" about:"Name as people say it."`
	Kind              string       `col:"kind" need:"1" oneof:"topdress,hollow_core,solid_tine,scarify,inject_sand" about:"What is done."`
	TineDiameterMM    Opt[float64] `col:"tine_diameter_mm" unit:"mm" min:"1" max:"100" about:"Inner diameter of a hollow tine, outer of a solid one."`
	SpacingAlongMM    Opt[float64] `col:"spacing_along_mm" unit:"mm" min:"1" max:"1000" about:"Distance of holes along the run; side of the triangle."`
	SpacingAcrossMM   Opt[float64] `col:"spacing_across_mm" unit:"mm" min:"1" max:"1000" about:"Distance of holes across the run." default:"as along"`
	Pattern           string       `col:"pattern" oneof:"square,triangular" about:"How the holes lie." default:"square"`
	BladeWidthMM      Opt[float64] `col:"blade_width_mm" unit:"mm" min:"0.1" max:"50" about:"Thickness of the scarifying blades."`
	BladeSpacingMM    Opt[float64] `col:"blade_spacing_mm" unit:"mm" min:"1" max:"500" about:"Distance between blades."`
	Passes            Opt[int]     `col:"passes" min:"1" max:"20" about:"Number of passes." default:"1"`
	DepthMM           Opt[float64] `col:"depth_mm" unit:"mm" min:"1" max:"400" about:"How deep tines, blades or injection go."`
	Backfill          Opt[float64] `col:"backfill" min:"0" max:"1" about:"Share of the opened volume that is filled with sand the same day, 0 to 1."`
	SandLowMM         Opt[float64] `col:"sand_low_mm" unit:"mm" min:"0" max:"20" about:"Least sand spread or injected in an event, holes not counted."`
	SandHighMM        Opt[float64] `col:"sand_high_mm" unit:"mm" min:"0" max:"20" about:"Most sand spread or injected in an event, holes not counted."`
	Contract          Opt[float64] `col:"contract" min:"0" max:"10000000" about:"Contractor and hire, an event, in the course's currency."`
	Fuel              Opt[float64] `col:"fuel" min:"0" max:"1000000" about:"Fuel, an event, in the course's currency."`
	LabourHPerHa      Opt[float64] `col:"labour_h_per_ha" unit:"h/ha" min:"0" max:"1000" about:"Hours of work, an event and hectare of green."`
	DisturbedDays     Opt[float64] `col:"disturbed_days" unit:"d" min:"0" max:"60" about:"Days the surface is not itself when growth is at its fullest."`
	DisturbedDaysHalf Opt[float64] `col:"disturbed_days_half" unit:"d" min:"0.1" max:"120" about:"Days the surface is not itself at half growth." default:"twice as many as at full growth"`
	LeastGrowth       Opt[float64] `col:"least_growth" min:"0" max:"1" about:"Least growth index of the day it is done on, 0 to 1."`
	SpacingDays       Opt[int]     `col:"spacing_days" unit:"d" min:"1" max:"366" about:"Days from one event of this operation to the next."`
	ApartDays         Opt[int]     `col:"apart_days" unit:"d" min:"0" max:"366" about:"Days from any other work that opens the surface."`
	PerSeason         Opt[int]     `col:"per_season" min:"0" max:"100" about:"Most events in a season; 0 for no limit."`
	Source            string       `col:"source" about:"Where its numbers come from."`
	Extra             Extra
}

// Operations describes the table of a course's operations.
var Operations = newTable[Operation]("operations", "Operations of a course")

// Table returns [Operations].
func (*Operation) Table() *Table { return Operations }

// Check refuses amounts that are upside down, and tines and blades wider than their spacing. What is left empty is not known here,
// so that the rest is checked by who puts an operation together.
func (o *Operation) Check() []Fault {
	w := Work{
		TineDiameterMM: o.TineDiameterMM, SpacingAlongMM: o.SpacingAlongMM, SpacingAcrossMM: o.SpacingAcrossMM,
		BladeWidthMM: o.BladeWidthMM, BladeSpacingMM: o.BladeSpacingMM,
	}
	faults := w.Check()
	if o.SandLowMM.Known && o.SandHighMM.Known && o.SandLowMM.Value > o.SandHighMM.Value {
		faults = append(faults, Fault{"sand_low_mm", fmt.Sprintf("least sand %s mm is more than the most, %s mm", FormatNumber(o.SandLowMM.Value), FormatNumber(o.SandHighMM.Value))})
	}
	if o.DisturbedDays.Known && o.DisturbedDaysHalf.Known && o.DisturbedDaysHalf.Value < o.DisturbedDays.Value {
		faults = append(faults, Fault{"disturbed_days_half", fmt.Sprintf("%s days at half growth are fewer than %s at full growth: the surface recovers no faster when less grows",
			FormatNumber(o.DisturbedDaysHalf.Value), FormatNumber(o.DisturbedDays.Value))})
	}
	return faults
}
