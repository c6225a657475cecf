package app

import (
	"slices"

	"underfoot"
	"underfoot/season"
	"underfoot/unit"
)

// PlanRecord is the work to come as it is on record, without a search.
type PlanRecord struct {
	Name string // of the kept plan it was taken from; empty when it is the planned work of the log
	Work []Done // by date
}

// PlanOnRecord gives the work to come: the planned work of the log, which is where an accepted plan goes and is moved about;
// without any, the accepted plan as it was kept, or the one plan that was kept. Without any of these there is no work.
func (s *Standing) PlanOnRecord() PlanRecord {
	if len(s.Planned) > 0 {
		return PlanRecord{Work: s.Planned}
	}
	names := s.KeptNames()
	if len(names) == 0 || (names[0] != underfoot.AcceptedPlan && len(names) > 1) {
		return PlanRecord{}
	}
	return PlanRecord{Name: names[0], Work: s.keptWork(names[0])}
}

// keptWork is the work of a kept plan in sand and openings, nitrogen too, by date.
func (s *Standing) keptWork(name string) []Done {
	var work []underfoot.Work
	for i := range s.Records.Scenarios {
		x := &s.Records.Scenarios[i]
		if x.Scenario != name {
			continue
		}
		work = append(work, underfoot.Work{
			ID: x.Entry, Course: x.Course, Date: x.Date, Status: "planned", Kind: x.Kind, Sand: x.Sand, SandMM: x.SandMM, TineDiameterMM: x.TineDiameterMM, SpacingAlongMM: x.SpacingAlongMM,
			SpacingAcrossMM: x.SpacingAcrossMM, Pattern: x.Pattern, Passes: x.Passes, BladeWidthMM: x.BladeWidthMM, BladeSpacingMM: x.BladeSpacingMM, DepthMM: x.DepthMM,
			Backfill: x.Backfill, NitrogenKgHa: x.NitrogenKgHa, Cost: x.Cost, LabourH: x.LabourH, Note: x.Note,
		})
	}
	list, _ := reckon(&underfoot.Records{Work: work, Sands: s.Records.Sands}, s.Greens, true)
	slices.SortStableFunc(list, func(a, b Done) int { return int(a.Work.Date - b.Work.Date) })
	return list
}

// Setup says how the machine of an entry is set up: tines, blades or depth; empty where there is nothing to set or nothing
// is on record.
func (d *Done) Setup() string {
	w := &d.Work
	o := season.Operation{Kind: season.Kind(w.Kind), Depth: w.DepthMM.Or(0)}
	switch w.Kind {
	case "hollow_core", "solid_tine":
		if !w.TineDiameterMM.Known || !w.SpacingAlongMM.Known {
			return ""
		}
		o.Tines.Diameter, o.Tines.Along, o.Tines.Across = millimetres(w.TineDiameterMM), millimetres(w.SpacingAlongMM), millimetres(w.SpacingAcrossMM)
		o.Tines.Passes = w.Passes.Or(1)
	case "scarify":
		if !w.BladeWidthMM.Known || !w.BladeSpacingMM.Known {
			return ""
		}
		o.Blades.Width, o.Blades.Spacing, o.Blades.Passes = millimetres(w.BladeWidthMM), millimetres(w.BladeSpacingMM), w.Passes.Or(1)
	case "inject_sand":
		if !w.DepthMM.Known {
			return ""
		}
	}
	return setup(&o)
}

func millimetres(v underfoot.Opt[float64]) unit.Millimetres { return unit.Millimetres(v.Or(0)) }
