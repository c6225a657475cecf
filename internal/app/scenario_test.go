package app_test

import (
	"math"
	"testing"
	"time"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/season"
)

// plannedOn asks for a plan of the example by bands and puts two pieces of work of its own in its place.
func plannedOn(t *testing.T, a *app.App) (*app.SeasonPlan, season.Plan) {
	t.Helper()
	s, err := a.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	m, err := s.Model()
	if err != nil {
		t.Fatal(err)
	}
	from, until := m.SeasonDates()
	if from != underfoot.MakeDate(2026, time.November, 26) || until != underfoot.MakeDate(2028, time.October, 15) {
		t.Errorf("the usual plan runs from %s to %s", from, until)
	}
	p, err := m.Season(t.Context(), app.SeasonAsk{From: from, Until: until, Direction: "lower"})
	if err != nil {
		t.Fatal(err)
	}
	day := func(y int, m time.Month, d int) int { return int(underfoot.MakeDate(y, m, d)) }
	return p, season.Plan{Entries: []season.Entry{
		{Day: day(2027, time.June, 7), Operation: p.Operation("core-8"), SandMM: 1}, {Day: day(2028, time.June, 5), Operation: p.Operation("dressing"), SandMM: 0.8},
	}}
}

func sameCost(t *testing.T, what string, got, want season.Cost) {
	t.Helper()
	// hours are kept to a tenth for each piece of work, money to a hundredth
	for _, x := range [][3]float64{{got.SandMM, want.SandMM, 1e-6}, {got.Money(), want.Money(), 0.02}, {got.Hours, want.Hours, 0.1}, {got.Disturbed, want.Disturbed, 1e-6}} {
		if math.Abs(x[0]-x[1]) > x[2] {
			t.Errorf("%s costs %+v, want %+v", what, got, want)
			return
		}
	}
}

// A kept plan comes back as it was, also when its operations are no longer in the catalogue; keeping it works nothing out again,
// and a plan that was found holds for the new records.
func TestKeepPlan(t *testing.T) {
	a, _ := club(t, noon)
	p, plan := plannedOn(t, a)
	before, _ := a.Standing(t.Context(), "varrowmere")
	old, _ := before.Model()
	if _, err := a.KeepPlan(t.Context(), "A. Tester", " Two   works ", p, plan); err != nil {
		t.Fatal(err)
	}
	s, err := a.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	if s == before {
		t.Fatal("the standing does not hold the kept plan")
	}
	m, err := s.Model()
	if err != nil || m.Ensemble != old.Ensemble {
		t.Errorf("the model was worked out again (%v)", err)
	}
	q, same := p.For(m)
	if !same {
		t.Fatal("the plan that was found does not hold any more")
	}
	kept := q.Kept("Two works")
	if len(kept.Entries) != 2 || kept.Entries[0].Day != plan.Entries[0].Day || kept.Entries[0].SandMM != 1 || kept.Entries[0].Operation.ID != "core-8" {
		t.Errorf("kept %+v", kept)
	}
	sameCost(t, "the kept plan", kept.Cost(q.Search.Prices, q.Search.Calendar), plan.Cost(p.Search.Prices, p.Search.Calendar))
	q.Search.Operations = nil // another catalogue
	made := q.Kept("Two works")
	sameCost(t, "the plan made again", made.Cost(q.Search.Prices, q.Search.Calendar), plan.Cost(p.Search.Prices, p.Search.Calendar))

	w := dressing()
	if _, _, err := a.SaveWork(t.Context(), "A. Tester", w); err != nil {
		t.Fatal(err)
	}
	if s, err = a.Standing(t.Context(), "varrowmere"); err != nil {
		t.Fatal(err)
	}
	if m, err = s.Model(); err != nil || m.Ensemble == old.Ensemble {
		t.Errorf("work was done and the model is the old one (%v)", err)
	}
	if _, same := p.For(m); same {
		t.Error("work was done and the plan found before still holds")
	}
}

// Accepted, the plan is in the log; on a later day the log is set beside it.
func TestAcceptAndProgress(t *testing.T) {
	today := noon()
	a, _ := club(t, func() time.Time { return today })
	p, plan := plannedOn(t, a)
	if n := len(p.InTheWay(plan)); n != 6 {
		t.Errorf("%d entries are in the way, want 6", n)
	}
	change, err := a.Accept(t.Context(), "A. Tester", p, plan, true)
	if err != nil {
		t.Fatal(err)
	}
	if change.Deleted != 6 || change.Added != 4 { // two entries, and the two of the plan that is kept
		t.Errorf("change %+v", change)
	}
	today = time.Date(2027, time.July, 1, 12, 0, 0, 0, time.UTC)
	progress := func() *app.Progress {
		t.Helper()
		s, err := a.Standing(t.Context(), "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		return s.Progress()
	}
	g := progress()
	whole := plan.Entries[0].Operation.SandMM(1)
	if g.Planned.Events != 1 || g.Planned.Openings != 1 || math.Abs(g.Planned.SandMM-whole) > 1e-6 || g.Done.Events != 0 || g.Rest.Events != 1 || len(g.Late) != 1 {
		t.Errorf("before it is ticked off: %+v", g)
	}
	w := g.Late[0]
	w.Status, w.SandMM = "done", underfoot.Some(0.6)
	if _, _, err := a.SaveWork(t.Context(), "A. Tester", w); err != nil {
		t.Fatal(err)
	}
	if g = progress(); g.Done.Events != 1 || math.Abs(g.Done.SandMM-(whole-0.4)) > 1e-6 || len(g.Late) != 0 || math.Abs(g.Planned.SandMM-whole) > 1e-6 {
		t.Errorf("after it was ticked off with less sand: %+v", g)
	}
}

// A plan that moved nitrogen is kept with it, comes back with it and does the same; one that did not leaves it as it is planned.
func TestKeepMovedNitrogen(t *testing.T) {
	a, _ := club(t, noon)
	p, plan := plannedOn(t, a)
	fed, err := p.Feeding(60)
	if err != nil {
		t.Fatal(err)
	}
	want, err := fed.Rehearse(plan)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := p.Rehearse(plan)
	if err != nil {
		t.Fatal(err)
	}
	lies := func(r *app.Rehearsed) float64 { return r.Forecast.Estimate(-1, len(r.Forecast.Days)-1, 0).Q50 }
	if lies(plain) == lies(want) {
		t.Fatal("nitrogen makes no difference, so that the test tells nothing")
	}
	for _, x := range []struct {
		name string
		of   *app.SeasonPlan
	}{{"Less nitrogen", fed}, {"As planned", p}} {
		if _, err := a.KeepPlan(t.Context(), "A. Tester", x.name, x.of, plan); err != nil {
			t.Fatal(err)
		}
	}
	check := func(name string, total float64) {
		t.Helper()
		s, err := a.Standing(t.Context(), "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		if got := p.KeptNitrogen(name); got != 0 {
			t.Errorf("the old records know %g kg/ha of %q", got, name)
		}
		m, err := s.Model()
		if err != nil {
			t.Fatal(err)
		}
		q, err := m.Season(t.Context(), app.SeasonAsk{From: p.From(), Until: p.Until(), Direction: "lower"})
		if err != nil {
			t.Fatal(err)
		}
		if got := q.KeptNitrogen(name); got != total {
			t.Errorf("%q is kept with %g kg/ha, want %g", name, got, total)
		}
		kept := q.Kept(name)
		if len(kept.Entries) != 2 {
			t.Errorf("%q has %d pieces of work, want 2", name, len(kept.Entries))
		}
		if q, err = q.Feeding(total); err != nil {
			t.Fatal(err)
		}
		r, err := q.Rehearse(kept)
		if err != nil {
			t.Fatal(err)
		}
		if total > 0 && (lies(r) != lies(want) || r.Probability != want.Probability) {
			t.Errorf("%q comes to %g with a chance of %g, want %g and %g", name, lies(r), r.Probability, lies(want), want.Probability)
		}
		if total == 0 && lies(r) == lies(want) {
			t.Errorf("%q is rehearsed with nitrogen moved", name)
		}
	}
	check("Less nitrogen", 60)
	check("As planned", 0)
	if _, err := a.Accept(t.Context(), "A. Tester", fed, plan, true); err != nil {
		t.Fatal(err)
	}
	check(underfoot.AcceptedPlan, 60)
	s, err := a.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	if last := s.Progress().Last; last != underfoot.MakeDate(2028, time.June, 5) {
		t.Errorf("the accepted plan ends on %s: its nitrogen is taken for work", last)
	}
	if _, err := p.Feeding(2000); err == nil || err.Error() != "plan: nitrogen is 2000 kg/ha a season: give 0 to 1000" {
		t.Errorf("2000 kg/ha: %v", err)
	}
	if part, before, after := p.Within(season.Plan{Entries: append([]season.Entry{{Day: int(p.From()) - 1}, {Day: int(p.Until()) + 1}}, plan.Entries...)}); len(part.Entries) != 2 || before != 1 || after != 1 {
		t.Errorf("within: %d entries, %d before, %d after", len(part.Entries), before, after)
	}
}
