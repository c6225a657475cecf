package figure

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"underfoot/internal/golden"
)

func TestPlanStrip(t *testing.T) {
	year := sampleSeasonYear()
	f := PlanStrip{From: year.From, Until: year.Until, Growth: year.Growth, Work: year.Work, Most: 1.5}
	golden.Equal(t, "testdata/planstrip.svg", []byte(broken(f.Scene().SVG(Standalone()))))
	if want := "9 Aug 2027: solid tines, 0.00 mm of sand"; !strings.Contains(f.Scene().Label, want) {
		t.Errorf("the label does not say %q", want)
	}
	// half as much sand stands half as high when the scale is shared
	half := f
	half.Work = []YearWork{{At: on(2027, 5, 20), SandMM: 0.75, Name: "half"}}
	whole := f
	whole.Work = []YearWork{{At: on(2027, 5, 20), SandMM: 1.5, Name: "whole"}}
	if a, b := tallest(half.Scene()), tallest(whole.Scene()); b != 2*a || a == 0 {
		t.Errorf("bars of %g and %g px for half and whole", a, b)
	}
}

func tallest(s *Scene) float64 {
	high := 0.0
	for _, p := range s.Parts {
		if r, ok := p.(Rect); ok && r.Style == sandBar {
			high = max(high, r.H)
		}
	}
	return high
}

// Whatever the days and numbers, every bar is drawn inside the picture.
func TestPlanStripStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := PlanStrip{From: anyTime(t, "from"), Until: anyTime(t, "until"), Growth: anyNumbers(t, "growth"), Most: anyNumber(t, "most"), Width: anyNumber(t, "w"), Height: anyNumber(t, "h")}
		if rapid.Bool().Draw(t, "ordered") {
			f.From, f.Until = on(2026, 11, 26), on(2028, 10, 15)
		}
		f.Work = several(t, "work", func(t *rapid.T) YearWork {
			return YearWork{anyTime(t, "at"), anyNumber(t, "sand"), rapid.Bool().Draw(t, "opens"), rapid.String().Draw(t, "name")}
		})
		s := f.Scene()
		for _, p := range s.Parts {
			if r, ok := p.(Rect); ok && (r.X < -0.01 || r.X+r.W > s.Width+0.01 || r.Y < -0.01 || r.Y+r.H > s.Height+0.01) {
				t.Fatalf("a bar at %g, %g of %g by %g in a picture of %g by %g", r.X, r.Y, r.W, r.H, s.Width, s.Height)
			}
		}
	})
}
