package app_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"underfoot"
	"underfoot/balance"
	"underfoot/calibrate"
	"underfoot/internal/app"
)

// rounds leaves only the first so many days of sampling, and what was done up to the last of them.
func rounds(rs *underfoot.Records, n int) *underfoot.Records {
	var days []underfoot.Date
	for _, s := range rs.Samples {
		if s.TopMM == 0 && !slices.Contains(days, s.Date) {
			days = append(days, s.Date)
		}
	}
	slices.Sort(days)
	last := days[n-1]
	rs.Samples = slices.DeleteFunc(rs.Samples, func(s underfoot.Sample) bool { return s.Date > last })
	rs.Work = slices.DeleteFunc(rs.Work, func(w underfoot.Work) bool { return w.Date > last })
	return rs
}

// The model speaks from three rounds on; lists that do not wait for it go by the rounds, and then say the same.
func TestWhoSpeaksForTheBalance(t *testing.T) {
	s := stand(t, rounds(example(t), 4))
	if s.BalanceKnown() != s.ByRounds {
		t.Error("before it is asked for, a balance is known that is not that of the rounds")
	}
	if !s.Modelled() || s.WhyByRounds() != "" {
		t.Errorf("four rounds: by the rounds alone, because %q", s.WhyByRounds())
	}
	if s.BalanceKnown() != s.Balance() {
		t.Error("after it was asked for, lists say something else")
	}
	top := s.Balance().Layers[0]
	if top.Check == nil || top.Check.Hold != s.ByRounds.Layers[0].Hold || top.Basis != balance.ByModel {
		t.Errorf("the rounds are not kept beside the model: %+v", top.Check)
	}
	if d := s.Advice().Holding.PerArea; d != top.Hold {
		t.Errorf("the advice holds by %v, the balance by %v", d, top.Hold)
	}

	s = stand(t, rounds(example(t), 1))
	if s.Modelled() || s.Balance() != s.ByRounds {
		t.Error("one round: the model speaks")
	}

	rs := example(t)
	rs.Weather = nil
	s = stand(t, rs)
	if s.Modelled() == (s.WhyByRounds() != "") {
		t.Errorf("without weather: modelled %t, and why not: %q", s.Modelled(), s.WhyByRounds())
	}
	if why := s.WhyByRounds(); why != "" && !strings.HasPrefix(why, "the balance rests on the rounds alone: ") {
		t.Errorf("said: %s", why)
	}
}

func exampleModel(t *testing.T) *app.Model {
	t.Helper()
	m, err := stand(t, example(t)).Model()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Seasons follow one another without a gap from the start to the last day, and what each did adds up to the change.
func TestSeasonFlows(t *testing.T) {
	m := exampleModel(t)
	flows, err := m.SeasonFlows()
	if err != nil {
		t.Fatal(err)
	}
	last := map[calibrate.Layer]calibrate.Flows{}
	for _, f := range flows {
		if f.To-f.From < 60 || f.To-f.From > 366+60 {
			t.Errorf("%v: a season of %d days", f.Layer, f.To-f.From)
		}
		if before, ok := last[f.Layer]; ok && (before.To != f.From || math.Abs(before.End.Mean-f.Start.Mean) > 1e-12) {
			t.Errorf("%v: a season ends on day %d with %.6f and the next begins on %d with %.6f", f.Layer, before.To, before.End.Mean, f.From, f.Start.Mean)
		}
		by := f.ByMade.Mean + f.ByDecay.Mean + f.ByTaking.Mean + f.BySand.Mean + f.BySinking.Mean
		if math.Abs(by-(f.End.Mean-f.Start.Mean)) > 1e-9 {
			t.Errorf("%v from day %d: the parts add up to %.6f, the change is %.6f", f.Layer, f.From, by, f.End.Mean-f.Start.Mean)
		}
		if !(f.ByMade.Q05 > 0 && f.ByDecay.Q95 < 0) {
			t.Errorf("%v from day %d: made does %v, decay %v", f.Layer, f.From, f.ByMade, f.ByDecay)
		}
		last[f.Layer] = f
	}
	if len(last) != 3 {
		t.Fatalf("%d layers, want 3", len(last))
	}
	for layer, f := range last {
		if f.To != int(m.LastDay()) {
			t.Errorf("%v ends on day %d, the record on %d", layer, f.To, m.LastDay())
		}
	}
}

// Each lever lowers the layer at the surface, and more in two years than in one.
func TestLevers(t *testing.T) {
	m := exampleModel(t)
	l, err := m.Levers()
	if err != nil {
		t.Fatal(err)
	}
	n := len(l.Layers)
	for name, effects := range map[string][]calibrate.Effect{"sand": l.MoreSand, "coring": l.OneCoring, "nitrogen": l.LessNitrogen} {
		if len(effects) != 2*n {
			t.Fatalf("%s: %d effects, want %d", name, len(effects), 2*n)
		}
		one, two := effects[0].Change, effects[n].Change
		if !(one.Q95 < 0 && two.Q50 < one.Q50) {
			t.Errorf("%s: %.4f in a year and %.4f in two", name, one.Q50, two.Q50)
		}
	}
	if h := l.Holding[0]; !app.Reached(h) || !(h.Sand.Q05 > 0 && h.Sand.Q05 < h.Sand.Q50) {
		t.Errorf("the layer at the surface is held by %+v", h)
	}
	if !strings.Contains(l.CoringName, "9.5 mm tines") || !strings.HasPrefix(l.Baseline, "the work planned") {
		t.Errorf("coring %q, baseline %q", l.CoringName, l.Baseline)
	}
}

// With nothing planned the last twelve months are done over again, and a course that never cored is given the common way.
func TestLeversOfABarePlan(t *testing.T) {
	rs := example(t)
	rs.Work = slices.DeleteFunc(rs.Work, func(w underfoot.Work) bool { return w.Planned() || w.Kind == "hollow_core" })
	s := stand(t, rs)
	m, err := s.Model()
	if err != nil {
		t.Fatal(err)
	}
	l, err := m.Levers()
	if err != nil {
		t.Fatal(err)
	}
	if want := "the work of the last twelve months over again, as nothing is planned"; l.Baseline != want {
		t.Errorf("baseline %q, want %q", l.Baseline, want)
	}
	if want := "one pass of 12 mm tines at 50 × 50 mm, 60 mm deep, 85 % filled (none is on record: common practice), on 1 April"; l.CoringName != want {
		t.Errorf("coring %q, want %q", l.CoringName, want)
	}
	if math.Abs(l.AppliedMM-l.PlannedMM) > 0.02*l.AppliedMM {
		t.Errorf("spread %.3f mm in the last twelve months and %.3f mm a year in the plan that repeats them", l.AppliedMM, l.PlannedMM)
	}
}

// A plan of the sand that was found to hold leaves the layer at the surface, two years on, where it is.
func TestSandThatHoldsHolds(t *testing.T) {
	rs := example(t)
	rs.Work = slices.DeleteFunc(rs.Work, func(w underfoot.Work) bool { return w.Planned() })
	s := stand(t, rs)
	m, err := s.Model()
	if err != nil {
		t.Fatal(err)
	}
	found, err := m.Levers()
	if err != nil {
		t.Fatal(err)
	}
	share := found.Holding[0].Sand.Q50 * 1000 / float64(s.SandDensity()) / found.PlannedMM
	again := example(t)
	again.Work = slices.Clone(rs.Work)
	for _, w := range rs.Work {
		if w.NitrogenKgHa.Known || w.Date <= underfoot.DateOf(m.LastDay().Time().AddDate(-1, 0, 0)) || w.Date > m.LastDay() {
			continue
		}
		for n := 1; n <= 2; n++ {
			next := w
			next.ID, next.Status, next.Date = w.ID+strings.Repeat("+", n), "planned", underfoot.DateOf(w.Date.Time().AddDate(n, 0, 0))
			next.SandMM.Value *= share
			next.SandKgM2.Value *= share
			again.Work = append(again.Work, next)
		}
	}
	m, err = stand(t, again).Model()
	if err != nil {
		t.Fatal(err)
	}
	l, err := m.Levers()
	if err != nil {
		t.Fatal(err)
	}
	if l.Baseline != "the work planned" {
		t.Errorf("baseline %q", l.Baseline)
	}
	if is, was := 100*l.Base[1][0].Q50, 100*l.Now[0].Q50; math.Abs(is-was) > 0.15 {
		t.Errorf("with %.2f times the sand %.2f %% becomes %.2f %% in two years: it has to stay within 0.15", share, was, is)
	}
}
