package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"underfoot"
	"underfoot/coring"
	"underfoot/season"
	"underfoot/unit"
)

const (
	longestName   = 60 // letters in the name of a kept plan
	mostScenarios = 40
)

// KeepPlan keeps a plan under a name, in place of what was kept under it, in one change.
func (a *App) KeepPlan(ctx context.Context, who, name string, p *SeasonPlan, plan season.Plan) (underfoot.Change, error) {
	name = strings.Join(strings.Fields(name), " ")
	switch {
	case name == "":
		return underfoot.Change{}, fieldError("scenario", "empty: give the plan a name to tell it by")
	case utf8.RuneCountInString(name) > longestName:
		return underfoot.Change{}, fieldError("scenario", "longer than %d letters: give a shorter name", longestName)
	case strings.EqualFold(name, underfoot.AcceptedPlan):
		return underfoot.Change{}, fieldError("scenario", "%q is the name of the plan that was accepted into the log: give another", name)
	case len(plan.Entries) == 0:
		return underfoot.Change{}, fieldError("scenario", "there is no work in the plan: add some first")
	}
	names := p.m.s.KeptNames()
	if len(names) >= mostScenarios && !slices.Contains(names, name) {
		return underfoot.Change{}, fieldError("scenario", "%d plans are kept already: remove one first", len(names))
	}
	return a.Store.Change(ctx, who, "kept the plan “"+name+"”", func(tx underfoot.Tx) error { return p.keep(tx, name, plan) })
}

// DropPlan takes a kept plan away; it can be brought back by undoing the change.
func (a *App) DropPlan(ctx context.Context, who string, s *Standing, name string) (underfoot.Change, error) {
	if !slices.Contains(s.KeptNames(), name) {
		return underfoot.Change{}, underfoot.Errorf(underfoot.NotFound, "no plan %q is kept for course %q", name, s.Records.Course.ID)
	}
	return a.Store.Change(ctx, who, "removed the plan “"+name+"”", func(tx underfoot.Tx) error { return drop(tx, s, name) })
}

// keep writes a plan under a name instead of what was there, with the nitrogen it moved.
func (p *SeasonPlan) keep(tx underfoot.Tx, name string, plan season.Plan) error {
	if err := drop(tx, p.m.s, name); err != nil {
		return err
	}
	for i, e := range plan.Entries {
		w := p.entry(e)
		x := underfoot.Scenario{
			Scenario: name, Entry: fmt.Sprintf("%02d", i+1), Course: w.Course, Date: w.Date, Kind: w.Kind, Operation: e.Operation.ID, Sand: w.Sand, SandMM: w.SandMM,
			TineDiameterMM: w.TineDiameterMM, SpacingAlongMM: w.SpacingAlongMM, SpacingAcrossMM: w.SpacingAcrossMM, Pattern: w.Pattern, Passes: w.Passes,
			BladeWidthMM: w.BladeWidthMM, BladeSpacingMM: w.BladeSpacingMM, DepthMM: w.DepthMM, Backfill: w.Backfill, Cost: w.Cost, LabourH: w.LabourH, Note: w.Note,
		}
		if _, err := tx.Put(&x); err != nil {
			return err
		}
	}
	for i, w := range p.movedGifts() {
		x := underfoot.Scenario{Scenario: name, Entry: fmt.Sprintf("n%02d", i+1), Course: w.Course, Date: w.Date, Kind: w.Kind, NitrogenKgHa: w.NitrogenKgHa, Note: w.Note}
		if _, err := tx.Put(&x); err != nil {
			return err
		}
	}
	return nil
}

func drop(tx underfoot.Tx, s *Standing, name string) error {
	for i := range s.Records.Scenarios {
		x := &s.Records.Scenarios[i]
		if x.Scenario != name {
			continue
		}
		key := underfoot.Scenarios.Key(x)
		if has, err := tx.Has(underfoot.Scenarios, key); err != nil || !has {
			if err != nil {
				return err
			}
			continue
		}
		if err := tx.Delete(underfoot.Scenarios, key); err != nil {
			return err
		}
	}
	return nil
}

// KeptNames lists the names of the plans that are kept, that of the accepted one first.
func (s *Standing) KeptNames() []string {
	var names []string
	for _, x := range s.Records.Scenarios {
		if !slices.Contains(names, x.Scenario) {
			names = append(names, x.Scenario)
		}
	}
	slices.SortFunc(names, func(a, b string) int {
		if (a == underfoot.AcceptedPlan) != (b == underfoot.AcceptedPlan) {
			if a == underfoot.AcceptedPlan {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	})
	return names
}

// Kept gives a kept plan in the operations of the catalogue; an operation that is no longer in it is made again from what
// was kept, costs shared out as they were reckoned. The nitrogen it moved is that of [SeasonPlan.KeptNitrogen].
func (p *SeasonPlan) Kept(name string) season.Plan {
	var plan season.Plan
	for i := range p.m.s.Records.Scenarios {
		x := &p.m.s.Records.Scenarios[i]
		if x.Scenario != name || x.Kind == "nitrogen" {
			continue
		}
		o := p.Operation(x.Operation)
		if o == nil || string(o.Kind) != x.Kind {
			o = p.made(x)
		}
		plan.Entries = append(plan.Entries, season.Entry{Day: int(x.Date), Operation: o, SandMM: x.SandMM.Or(0)})
	}
	slices.SortStableFunc(plan.Entries, func(a, b season.Entry) int { return a.Day - b.Day })
	return plan
}

// made makes an operation of what was kept of it: what its sand and hours do not cost is what the contractor takes.
func (p *SeasonPlan) made(x *underfoot.Scenario) *season.Operation {
	name := x.Note
	if name == "" {
		name = KindName(x.Kind)
	}
	o := &season.Operation{
		ID: x.Operation, Name: name, Kind: season.Kind(x.Kind), Depth: x.DepthMM.Or(0), Fill: x.Backfill.Or(0), SandHigh: 20, Spacing: 1,
		Source: "kept plan",
	}
	mm := func(v underfoot.Opt[float64]) unit.Millimetres { return unit.Millimetres(v.Or(0)) }
	switch o.Kind {
	case season.HollowCore, season.SolidTine:
		o.Tines = coring.Tines{Diameter: mm(x.TineDiameterMM), Along: mm(x.SpacingAlongMM), Across: mm(x.SpacingAcrossMM), Passes: x.Passes.Or(1)}
		if x.Pattern == "triangular" {
			o.Tines.Pattern = coring.Triangular
		}
	case season.Scarify:
		o.Blades = coring.Blades{Width: mm(x.BladeWidthMM), Spacing: mm(x.BladeSpacingMM), Passes: x.Passes.Or(1)}
	}
	for _, u := range season.Usual() { // how long it heals is not kept: as usual for the like of it
		if u.Kind == o.Kind && (o.Disturbed == 0 || u.ID == o.ID) {
			o.Disturbed = u.Disturbed
		}
	}
	prices := p.Search.Prices
	o.Labour = x.LabourH.Or(0) / prices.AreaM2 * 1e4
	o.Contract = max(0, x.Cost.Or(0)-x.LabourH.Or(0)*prices.Hour-prices.Tonnes(o.SandMM(x.SandMM.Or(0)))*prices.SandPerTonne)
	return o
}

// InTheWay lists planned sand and openings of the log in the time of a plan that are not of the plan itself, and, where
// the plan moves nitrogen, planned nitrogen: accepting the plan can put it in their place.
func (p *SeasonPlan) InTheWay(plan season.Plan) []underfoot.Work {
	own := map[string]bool{}
	for _, w := range p.Work(plan) {
		own[w.ID] = true
	}
	var list []underfoot.Work
	for _, w := range p.m.s.Records.Work {
		if !w.Planned() || own[w.ID] || w.Date < p.From() || w.Date > p.Until() {
			continue
		}
		switch w.Kind {
		case "topdress", "hollow_core", "solid_tine", "scarify", "inject_sand":
			list = append(list, w)
		case "nitrogen":
			if p.Nitrogen > 0 {
				list = append(list, w)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b underfoot.Work) int { return int(a.Date - b.Date) })
	return list
}

// Accept takes a plan into the log as planned entries, in one change, and keeps it as the accepted plan; replace takes
// away what [SeasonPlan.InTheWay] lists.
func (a *App) Accept(ctx context.Context, who string, p *SeasonPlan, plan season.Plan, replace bool) (underfoot.Change, error) {
	if len(plan.Entries) == 0 {
		return underfoot.Change{}, fieldError("scenario", "there is no work in the plan: nothing to take into the log")
	}
	work := p.Work(plan)
	first, last := plan.Entries[0].Day, plan.Entries[0].Day
	for _, e := range plan.Entries {
		first, last = min(first, e.Day), max(last, e.Day)
	}
	what := fmt.Sprintf("accepted a season plan: %s from %s to %s", counted(len(plan.Entries), "piece of work", "pieces of work"), underfoot.Date(first), underfoot.Date(last))
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		if replace {
			for _, w := range p.InTheWay(plan) {
				if err := tx.Delete(underfoot.WorkLog, underfoot.WorkLog.Key(&w)); err != nil {
					return err
				}
			}
		}
		for i := range work {
			w := &work[i]
			if was, err := tx.Find(underfoot.WorkLog, underfoot.WorkLog.Key(w)); err != nil {
				return err
			} else if was != nil && !was.(*underfoot.Work).Planned() {
				continue // done already
			}
			if err := a.checkWork(tx, w); err != nil {
				return err
			}
			if _, err := tx.Put(w); err != nil {
				return err
			}
		}
		return p.keep(tx, underfoot.AcceptedPlan, plan)
	})
}

// Progress is how far the work of the log is from the accepted plan on a day.
type Progress struct {
	Day           underfoot.Date
	First, Last   underfoot.Date // of the accepted plan
	Planned, Done Tally          // from its first day up to Day
	Rest          Tally          // planned after Day
	Late          []underfoot.Work
}

// Tally adds work up.
type Tally struct {
	Events, Openings int
	SandMM           float64 // over the whole course, holes included
}

// Progress sets the log beside the accepted plan; nil when none was accepted.
func (s *Standing) Progress() *Progress {
	plan := slices.DeleteFunc(s.keptWork(underfoot.AcceptedPlan), func(d Done) bool { return d.Work.Kind == "nitrogen" })
	if len(plan) == 0 {
		return nil
	}
	p := &Progress{Day: s.Today, First: plan[0].Work.Date, Last: plan[len(plan)-1].Work.Date}
	for i := range plan {
		if plan[i].Work.Date <= p.Day {
			p.Planned.take(&plan[i])
		} else {
			p.Rest.take(&plan[i])
		}
	}
	for i := range s.Done {
		if d := &s.Done[i]; d.Work.Date >= p.First && d.Work.Date <= p.Day {
			p.Done.take(d)
		}
	}
	for i := range s.Planned {
		w := s.Planned[i].Work
		if w.Date >= p.First && w.Date <= p.Day && s.Planned[i].SandMM()+s.Planned[i].Opened > 0 {
			p.Late = append(p.Late, w)
		}
	}
	return p
}

func (t *Tally) take(d *Done) {
	if d.SandMM() == 0 && d.Opened == 0 {
		return
	}
	t.Events++
	t.SandMM += d.SandMM()
	if d.Opened > 0 {
		t.Openings++
	}
}
