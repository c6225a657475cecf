package calibrate

import (
	"cmp"
	"math"
	"slices"
	"testing"

	diff "github.com/google/go-cmp/cmp"

	"underfoot/profile"
)

func TestWhoDecided(t *testing.T) {
	for _, c := range []struct {
		decided float64
		want    string
	}{{0, "still the prior"}, {0.34, "still the prior"}, {0.35, "half and half"}, {0.74, "half and half"}, {0.75, "the rounds decided"}, {1, "the rounds decided"}} {
		if got := (Learnt{Decided: c.decided}).Word(); got != c.want {
			t.Errorf("%g: %q, wanted %q", c.decided, got, c.want)
		}
	}
}

// A long record decides the first surface value and what is made; nothing decides the nitrogen that never changed.
func TestWhatALongRecordDecides(t *testing.T) {
	list := simulate(t, plan{greens: 9, years: 6, seed: 4}).fit(t).Learnt()
	got := map[profile.Unknown]string{}
	for _, l := range list {
		got[l.Unknown] = l.Word()
	}
	want := map[profile.Unknown]string{profile.Growth: "the rounds decided", profile.Surface: "the rounds decided", profile.Nitrogen: "still the prior"}
	for u, w := range want {
		if got[u] != w {
			t.Errorf("%s: %q, wanted %q", profile.Table[u].Name, got[u], w)
		}
	}
	n := list[profile.Nitrogen]
	if n.Decided != 0 || !near(n.Prior.Q05, n.After.Q05, 1e-6) || !near(n.Prior.Q95, n.After.Q95, 1e-6) {
		t.Errorf("nitrogen, of which no round says anything: %+v", n)
	}
	if e := profile.Table[profile.Growth]; list[0].Entry().Name != e.Name {
		t.Errorf("entry %q, wanted %q", list[0].Entry().Name, e.Name)
	}
}

func TestMisfitSentence(t *testing.T) {
	for _, c := range []struct {
		m    Misfit
		want string
	}{
		{Misfit{"2022", 0, Layer{0, 20}, 5, 0.055, 0.033, 4.56}, "2022, 0–20 mm: measured 5.5 %, 2.2 points above what the model makes of the other rounds and the log (4.6 times what scatter explains)"},
		{Misfit{"spring", 0, Layer{20, 40}, 3, 0.012, 0.033, -3}, "spring, 20–40 mm: measured 1.2 %, 2.1 points below what the model makes of the other rounds and the log (3.0 times what scatter explains)"},
	} {
		if d := diff.Diff(c.want, c.m.Sentence()); d != "" {
			t.Error(d)
		}
	}
}

// A round of one layer that reads 40 % too high or too low is named, whichever it is, and none lies farther off: the others are
// held against rounds among which it is, so one of them may be named too.
func TestARoundThatDoesNotFitIsNamed(t *testing.T) {
	for _, factor := range []float64{1.4, 1 / 1.4} {
		for _, round := range []string{"2020", "2022", "2024"} {
			s := simulate(t, plan{greens: 9, years: 5, seed: 31})
			for i := range s.course.Measured {
				if m := &s.course.Measured[i]; m.Round == round && m.Top == 0 {
					m.OM *= factor
				}
			}
			list, err := s.fit(t).Misfits()
			if err != nil {
				t.Fatal(err)
			}
			farthest := slices.MaxFunc(list, func(a, b Misfit) int { return cmp.Compare(math.Abs(a.Z), math.Abs(b.Z)) })
			others := 0
			for _, m := range list {
				if m.Odd() {
					others++
				}
			}
			if !farthest.Odd() || farthest.Round != round || farthest.Layer.Top != 0 || (farthest.Z > 0) != (factor > 1) || others > 2 {
				t.Errorf("%s times %.2f: %d rounds do not fit, farthest off %s", round, factor, others, farthest.Sentence())
			}
		}
	}
}

// Of rounds simulated from the model about 1 in 100 is called odd.
func TestRoundsThatFitAreSeldomCalledOdd(t *testing.T) {
	odd, all := 0, 0
	for seed := range uint64(12) {
		list, err := simulate(t, plan{greens: 4, years: 4, seed: 300 + seed, truth: drawPrior}).fit(t).Misfits()
		if err != nil {
			t.Fatal(err)
		}
		all += len(list)
		for _, m := range list {
			if m.Odd() {
				odd++
			}
		}
	}
	t.Logf("%d of %d called odd", odd, all)
	if odd > 6 { // above the 99.9 % point of a binomial of 144 at 1 in 100
		t.Errorf("%d of %d rounds and layers called odd", odd, all)
	}
}

func TestLayersThatTouch(t *testing.T) {
	for _, c := range []struct{ in, want []Layer }{
		{[]Layer{{0, 20}, {20, 40}, {40, 60}}, []Layer{{0, 20}, {20, 40}, {40, 60}}},
		{[]Layer{{0, 10}, {0, 20}, {20, 40}}, []Layer{{0, 20}, {20, 40}}},
		{[]Layer{{0, 20}, {0, 60}, {40, 60}}, []Layer{{0, 60}}},
		{[]Layer{{0, 20}, {40, 60}}, []Layer{{0, 20}}},
		{[]Layer{{20, 40}}, nil},
	} {
		if got := touching(c.in); !slices.Equal(got, c.want) {
			t.Errorf("of %v %v touch, wanted %v", c.in, got, c.want)
		}
	}
}
