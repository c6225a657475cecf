package app

import (
	"math"
	"slices"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/season"
)

// Rehearsed is what a plan would do, on all members and greens.
type Rehearsed struct {
	Plan        season.Plan
	Cost        season.Cost
	Probability float64             // that every layer lies in its band at the end
	Each        []float64           // the same for each band
	Forecast    *calibrate.Forecast // at the end of the plan
}

// verified is a plan that was rehearsed for a search, with its weather, calendar and prices.
type verified struct {
	search *season.Search
	*Rehearsed
}

// Rehearse runs any plan, its dates anywhere in the time planned for.
func (p *SeasonPlan) Rehearse(plan season.Plan) (*Rehearsed, error) {
	plan.Entries = slices.Clone(plan.Entries)
	slices.SortStableFunc(plan.Entries, func(a, b season.Entry) int { return a.Day - b.Day })
	c := p.Search.Calendar
	for _, e := range plan.Entries {
		if e.Day < c.From || e.Day > c.Until {
			return nil, underfoot.Errorf(underfoot.Invalid, "plan: %s on %s lies outside the time planned for, %s to %s", e.Operation.Name, underfoot.Date(e.Day), underfoot.Date(c.From), underfoot.Date(c.Until))
		}
		if e.SandMM < 0 || e.SandMM > 20 || math.IsNaN(e.SandMM) {
			return nil, underfoot.Errorf(underfoot.Invalid, "plan: %s on %s puts on %g mm: give 0 to 20 mm", e.Operation.Name, underfoot.Date(e.Day), e.SandMM)
		}
	}
	for _, v := range p.verified {
		if v.search == p.Search && slices.Equal(v.Plan.Entries, plan.Entries) {
			return v.Rehearsed, nil
		}
	}
	r := &Rehearsed{Plan: plan, Cost: plan.Cost(p.Search.Prices, c)}
	f, wanted, err := p.foretell(plan)
	if err != nil {
		return nil, err
	}
	r.Forecast = f.On(wanted)
	in := make([]bool, f.Members())
	for i := range in {
		in[i] = true
	}
	for _, w := range p.Search.Aim.Wanted {
		draws := f.Draws(-1, slices.Index(f.Days, w.Day), slices.Index(f.Layers, w.Layer))
		n := 0
		for i, v := range draws {
			ok := v >= w.Low && v <= w.High
			if ok {
				n++
			}
			in[i] = in[i] && ok
		}
		r.Each = append(r.Each, float64(n)/float64(len(draws)))
	}
	for _, w := range p.Search.Aim.OnTheWay {
		for i, v := range f.Draws(-1, slices.Index(f.Days, w.Day), slices.Index(f.Layers, w.Layer)) {
			in[i] = in[i] && v >= w.Low && v <= w.High
		}
	}
	all := 0
	for _, ok := range in {
		if ok {
			all++
		}
	}
	r.Probability = float64(all) / float64(len(in))
	return r, nil
}

// foretell runs a plan on all members and greens up to every day the aim speaks of; wanted are those aimed at and the last.
func (p *SeasonPlan) foretell(plan season.Plan) (f *calibrate.Forecast, wanted []int, err error) {
	aim := &p.Search.Aim
	for _, w := range aim.Wanted {
		if !slices.Contains(wanted, w.Day) {
			wanted = append(wanted, w.Day)
		}
	}
	if until := p.Search.Calendar.Until; !slices.Contains(wanted, until) {
		wanted = append(wanted, until)
	}
	slices.Sort(wanted)
	days := slices.Clone(wanted)
	for _, w := range aim.OnTheWay {
		if !slices.Contains(days, w.Day) {
			days = append(days, w.Day)
		}
	}
	slices.Sort(days)
	f, err = p.Outlook(plan, days)
	return f, wanted, err
}
