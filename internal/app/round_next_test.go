package app_test

import (
	"math"
	"testing"

	"underfoot/internal/app"
)

// A round is worth taking from the first date on which the model knows some layer less well than the round would measure
// it; a round that measures better is worth taking no later.
func TestRoundTiming(t *testing.T) {
	a, _ := club(t, noon)
	s, err := a.Standing(t.Context(), "varrowmere")
	fatalIf(t, err)
	first := map[int]string{}
	for _, cores := range []int{5, 40} {
		plan, err := s.DesignRound(app.RoundAsked{Cores: cores, Diameter: 12})
		fatalIf(t, err)
		got, err := s.RoundTiming(plan)
		fatalIf(t, err)
		earliest := ""
		for _, l := range got.Layers {
			from := ""
			for i, day := range l.Dates {
				want := 1 - l.Measured/math.Hypot(l.Foretold[i], l.Measured)
				if math.Abs(l.Gain[i]-want) > 1e-12 {
					t.Errorf("%g–%g mm on %s: a round takes %g of the doubt, want %g", l.TopMM, l.BottomMM, day, l.Gain[i], want)
				}
				if from == "" && l.Foretold[i] >= l.Measured {
					from = day
				}
			}
			if l.From != from {
				t.Errorf("%g–%g mm is worth measuring from %q, want %q", l.TopMM, l.BottomMM, l.From, from)
			}
			if from != "" && (earliest == "" || from < earliest) {
				earliest = from
			}
		}
		if len(got.Layers) != 3 || got.From != earliest || got.Says == "" {
			t.Errorf("%d layers, worthwhile from %q, want %q: %s", len(got.Layers), got.From, earliest, got.Says)
		}
		first[cores] = earliest
	}
	if first[40] == "" || first[5] != "" && first[40] > first[5] {
		t.Errorf("40 cores are worth taking from %q, 5 from %q", first[40], first[5])
	}
	// Nothing is foretold of a layer nobody has measured.
	plan, err := s.DesignRound(app.RoundAsked{Layers: "100-120"})
	fatalIf(t, err)
	_, err = s.RoundTiming(plan)
	if want := "none of the planned layers was measured before, so nothing is foretold of them: any date will do"; err == nil || err.Error() != want {
		t.Errorf("%v, want %q", err, want)
	}
}
