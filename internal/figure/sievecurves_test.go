package figure

import (
	"math"
	"strings"
	"testing"
)

func sieved(kind SieveKind, name string, passing ...float64) SieveCurve {
	sizes := []float64{.053, .15, .25, .5, 1, 2, 4}
	c := SieveCurve{Name: name, Kind: kind}
	for i, p := range passing {
		e := Estimate{Mid: p}
		if kind == SieveAsh {
			e = plusMinus(p, .08*math.Min(p, 100-p)+.1)
		}
		c.Points = append(c.Points, SievePoint{sizes[i], e})
	}
	return c
}

func sampleSieve() SieveCurves {
	return SieveCurves{
		Of: "0–20 mm",
		Curves: []SieveCurve{
			sieved(SieveAsh, "ash, autumn 2026", 1.4, 7.9, 34, 83.9, 98.2, 100, 100),
			sieved(SieveEarlier, "ash, autumn 2022", 1, 4.1, 20.2, 70, 95, 99.8, 100),
			sieved(SieveEarlier, "ash, autumn 2024", 1.1, 5.3, 25.2, 75.7, 96.4, 99.9, 100),
			sieved(SieveRoot, "original root zone", 1.8, 6, 21.6, 61.7, 90.9, 99.2, 100),
			sieved(SieveSand, "dressing sand B", 1.2, 7.6, 35, 84.7, 98.6, 100, 100),
			sieved(SieveExpected, "expected from what was put on", 1.2, 6.9, 31, 81, 97.8, 100, 100),
		},
		Band: []SieveBand{{.05, 0, 8}, {.15, 0, 10}, {.25, 0, 30}, {1, 90, 100}, {2, 97, 100}}, BandName: "limits of the construction recommendation",
	}
}

func sieveSamples() []sample {
	narrow := sampleSieve()
	narrow.Width, narrow.Height = 340, 440
	two := SieveCurves{Curves: []SieveCurve{sieved(SieveRoot, "root zone", 2, 6, 22), sieved(SieveOther, "sand A", 1, 4, 20)}}
	return []sample{
		{"sieve", sampleSieve().Scene()},
		{"sieve-narrow", narrow.Scene()},
		{"sieve-two", two.Scene()},
		{"sieve-none", SieveCurves{Of: "0–20 mm"}.Scene()},
	}
}

// Finer lies to the left, more percent higher, and the newest ash says its values with their intervals.
func TestSieveCurves(t *testing.T) {
	s := sampleSieve().Scene()
	var ash []Circle
	for _, p := range s.Parts {
		if c, ok := p.(Circle); ok && c.Style == dot {
			ash = append(ash, c)
		}
	}
	if len(ash) != 8 { // 7 sieves and the key
		t.Fatalf("%d dots", len(ash))
	}
	for i := 1; i < 7; i++ {
		if ash[i].X <= ash[i-1].X || ash[i].Y > ash[i-1].Y {
			t.Errorf("dot %d at %+v after %+v", i, ash[i], ash[i-1])
		}
	}
	// equal factors of size are equal steps: 0.25 to 0.5, 0.5 to 1 and 1 to 2 mm
	if a, b := ash[3].X-ash[2].X, ash[5].X-ash[4].X; math.Abs(a-b) > 1e-9 {
		t.Errorf("a doubling takes %g and %g px", a, b)
	}
	if len(s.Marks) != 7 || s.Marks[2].Label != "34.0 % (31.2 to 36.8) finer than 0.25 mm" {
		t.Errorf("marks %+v", s.Marks)
	}
	if !strings.Contains(s.Label, "dressing sand B: 1 % finer than 0.053 mm") {
		t.Errorf("label %s", s.Label)
	}
}

func TestSieveCurvesOfNonsense(t *testing.T) {
	for _, bad := range []SieveCurve{
		{Name: "one", Points: []SievePoint{{1, Estimate{Mid: 50}}}},
		{Name: "sizes", Points: []SievePoint{{0, Estimate{Mid: 50}}, {-1, Estimate{Mid: 50}}, {math.NaN(), Estimate{Mid: 50}}, {math.Inf(1), Estimate{Mid: 50}}}},
		{Name: "percent", Points: []SievePoint{{1, Estimate{Mid: 150}}, {2, Estimate{Mid: math.NaN()}}}},
	} {
		s := SieveCurves{Curves: []SieveCurve{bad}, Band: []SieveBand{{0, 1, 2}, {1, math.NaN(), 2}}}.Scene()
		if err := sound(s, s.SVG()); err != nil || len(s.Marks) > 0 {
			t.Errorf("%s: %v, %d marks", bad.Name, err, len(s.Marks))
		}
	}
}
