package app

import (
	"reflect"

	"underfoot"
	"underfoot/balance"
	"underfoot/calibrate"
)

// fitted is a model that was worked out before: what it rests on, and what came of it.
type fitted struct {
	course   *calibrate.Course
	prior    calibrate.Prior
	fit      *calibrate.Fit
	ensemble *calibrate.Ensemble
	byRounds *balance.Sheet
	sheet    *balance.Sheet // of the model, nil when it was not asked for
}

// fitted gives what was worked out for a standing so far; nil when nothing was. It never works anything out.
func (s *Standing) fitted() *fitted {
	m := s.known.Load()
	if m == nil {
		return s.was
	}
	f := &fitted{course: m.Fit.Course, prior: m.Fit.Prior, fit: m.Fit, ensemble: m.Ensemble}
	if s.said.known.Load() && s.said.why == "" {
		f.byRounds, f.sheet = s.ByRounds, s.said.balance
	} else if s.was != nil && s.was.ensemble == m.Ensemble {
		f.byRounds, f.sheet = s.was.byRounds, s.was.sheet
	}
	return f
}

// sheetOf is the balance by the model: the one worked out before when it rests on the same, for what is planned does not
// enter it.
func (s *Standing) sheetOf() (*balance.Sheet, string) {
	if s.was != nil && s.was.sheet != nil && reflect.DeepEqual(s.was.byRounds, s.ByRounds) {
		if m, err := s.Model(); err == nil && m.Ensemble == s.was.ensemble {
			return s.was.sheet, ""
		}
	}
	return s.byModel()
}

// reuse fills in a model from one that was worked out before; false when that rests on anything else.
func (m *Model) reuse(was *fitted, course *calibrate.Course, prior *calibrate.Prior) bool {
	if was == nil || !samePrior(was.prior, *prior) || !reflect.DeepEqual(was.course, course) {
		return false
	}
	m.Fit, m.Ensemble = was.fit, was.ensemble
	return true
}

// samePrior compares priors; the scatter of composites by its values, for it is a function.
func samePrior(a, b calibrate.Prior) bool {
	x, err := priorDigest(a)
	if err != nil {
		return false
	}
	y, err := priorDigest(b)
	return err == nil && x == y
}

// For gives the plan as one of another standing's model, when it would be found there just the same; false when not. What
// is planned in the log may differ, for the plan takes its place.
func (p *SeasonPlan) For(m *Model) (*SeasonPlan, bool) {
	a, b := p.m, m
	from, until := p.Search.Calendar.From, p.Search.Calendar.Until
	ask := SeasonAsk{From: underfoot.Date(from), Until: underfoot.Date(until)}
	same := a.Ensemble == b.Ensemble && a.Today == b.Today && a.s.Direction.Verdict == b.s.Direction.Verdict && a.s.AreaM2 == b.s.AreaM2 &&
		reflect.DeepEqual(a.s.Sand, b.s.Sand) && reflect.DeepEqual(a.s.Records.Sands, b.s.Records.Sands) &&
		reflect.DeepEqual(a.s.Records.Operations, b.s.Records.Operations) && reflect.DeepEqual(a.s.Records.Closings, b.s.Records.Closings) && reflect.DeepEqual(a.s.Layers, b.s.Layers) &&
		reflect.DeepEqual(a.records.gifts, b.records.gifts) && reflect.DeepEqual(a.plannedGifts(ask), b.plannedGifts(ask))
	if !same || len(a.records.planned) != len(b.records.planned) {
		return nil, false
	}
	for green := range a.records.planned {
		if !reflect.DeepEqual(a.fixed(green, from), b.fixed(green, from)) {
			return nil, false
		}
	}
	q := *p
	q.m, q.fed = m, newFeedings()
	return &q, true
}
