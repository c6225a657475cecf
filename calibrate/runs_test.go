package calibrate

import (
	"slices"
	"testing"

	"underfoot/profile"
)

// Members of one draw share a run only while no weather tells them apart, and the answer is that of a run each.
func TestMembersOfOneDrawShareARun(t *testing.T) {
	s := simulate(t, plan{greens: 2, years: 4, seed: 73, truth: drawPrior, ahead: 1})
	e, err := s.fit(t).Ensemble(60, s.course.Last(), 5, 1)
	if err != nil {
		t.Fatal(err)
	}
	distinct := 0
	for m := range e.members {
		if m == 0 || &e.members[m].theta[0] != &e.members[m-1].theta[0] {
			distinct++
		}
	}
	if distinct == len(e.members) {
		t.Fatal("no two members share a draw: nothing is tested")
	}
	day := s.course.Last() - 100
	other := func(from int) profile.Daily { // warmer from a day on
		d := s.daily
		d.Temp = slices.Clone(d.Temp)
		for i := from - d.First; i < len(d.Temp); i++ {
			d.Temp[i] += 2
		}
		return d
	}
	forecast := func(a Ask) (*Forecast, int) {
		t.Helper()
		a.Days, a.Seed, a.Workers = []int{day - 200, day}, 3, 2
		f, err := e.Forecast(a)
		if err != nil {
			t.Fatal(err)
		}
		return f, len(e.runs(&Ask{Days: a.Days, Futures: a.Futures, Members: len(e.members)})) - 1
	}
	alike, runs := forecast(Ask{Futures: []profile.Daily{s.daily, other(day)}})
	if runs != distinct {
		t.Errorf("%d runs of %d draws in weathers that differ only afterwards", runs, distinct)
	}
	apart, runs := forecast(Ask{Futures: []profile.Daily{s.daily, other(day - 1)}})
	if runs != len(e.members) {
		t.Errorf("%d runs of %d members in weathers that differ on the last day but one", runs, len(e.members))
	}
	if slices.Equal(alike.draws, apart.draws) {
		t.Error("a warmer day changes nothing")
	}
	for i := range e.members { // each by itself
		one := &Ensemble{Fit: e.Fit, Now: e.Now, members: e.members}
		f := &Forecast{Days: []int{day - 200, day}, Layers: e.Fit.Layers, Greens: 2, member: len(e.members), draws: make([]float64, len(alike.draws))}
		a := Ask{Days: f.Days, Seed: 3, Futures: []profile.Daily{s.daily, other(day)}}
		if err := a.fill(one); err != nil {
			t.Fatal(err)
		}
		l, err := one.lane(&a)
		if err != nil {
			t.Fatal(err)
		}
		if err := l.run(i); err != nil {
			t.Fatal(err)
		}
		l.put(i, i, f)
		for d := range f.Days {
			for k := range f.Layers {
				if got, want := alike.Draws(-1, d, k)[i], f.Draws(-1, d, k)[i]; got != want {
					t.Fatalf("member %d, day %d, layer %d: %v, by itself %v", i, d, k, got, want)
				}
			}
		}
	}
}
