package sieve_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/sieve"
	"underfoot/unit"
)

func passing(t testing.TB, rows ...[2]float64) *sieve.Curve { return table{Passing: rows}.curve(t) }

// Classes of the sand of PSD-5 by the construction recommendation, worked out by hand from its percent passing: very coarse
// 6, coarse 24, medium 45, fine 19, under 0.15 mm 5.5, over 2 mm 0.5. 1.5 % pass 0.05 mm.
func TestClassesOfAGreenSand(t *testing.T) {
	want := map[string]float64{
		"fine gravel and gravel": .5, "very coarse sand": 6, "coarse sand": 24, "medium sand": 45, "fine sand": 19, "very fine sand": 4, "silt and clay": 1.5,
	}
	got := sieve.Construction().Classes(passing(t, greenSand...))
	if len(got) != len(want) {
		t.Errorf("classes %+v", got)
	}
	for _, c := range got {
		if w, ok := want[c.Name]; !ok || math.Abs(float64(c.Percent)-w) > 1e-9 || c.Between {
			t.Errorf("%s %g %% (between %v), want %g", c.Name, c.Percent, c.Between, w)
		}
	}
}

// The same name is not the same grains: fine sand by the three systems, of a sand sieved at every edge.
func TestFineSandDiffers(t *testing.T) {
	c := passing(t, [2]float64{2, 100}, [2]float64{.63, 80}, [2]float64{.5, 70}, [2]float64{.25, 40}, [2]float64{.2, 30}, [2]float64{.15, 22}, [2]float64{.106, 12}, [2]float64{.063, 5}, [2]float64{.053, 4})
	want := map[string]float64{"construction recommendation for greens": 18, "USDA": 28, "ISO 14688-1": 25}
	for _, s := range []sieve.System{sieve.Construction(), sieve.USDA(), sieve.ISO()} {
		for _, k := range s.Classes(c) {
			if k.Name == "fine sand" && (math.Abs(float64(k.Percent)-want[s.Name]) > 1e-9 || k.Between) {
				t.Errorf("%s: fine sand %g %%, want %g", s.Name, k.Percent, want[s.Name])
			}
		}
	}
}

// PSD-8, reprint of the construction recommendation: fine gravel and very coarse sand of 10.0 % are within, of 10.1 % are not.
// One sieving cannot tell either.
func TestLimitOfTenPercent(t *testing.T) {
	for found, within := range map[float64]bool{10.0: true, 10.1: false} {
		c := passing(t, [2]float64{3.35, 100}, [2]float64{2, 99}, [2]float64{1, 100 - found}, [2]float64{.25, 15}, [2]float64{.15, 5}, [2]float64{.053, 1})
		for _, j := range sieve.Judge(c, sieve.RootZoneLimits()) {
			if j.Percent == 10 && j.To.Size == 3.4 && (j.Within == nil || *j.Within != within || j.Verdict != sieve.TooClose) {
				t.Errorf("%g %%: within %v, %s", found, j.Within, j.Verdict)
			}
		}
	}
}

func TestVerdicts(t *testing.T) {
	verdicts := func(c *sieve.Curve) []sieve.Verdict {
		var out []sieve.Verdict
		for _, j := range sieve.Judge(c, sieve.RootZoneLimits()) {
			out = append(out, j.Verdict)
		}
		return out
	}
	fine := passing(t, [2]float64{2, 100}, [2]float64{1, 99}, [2]float64{.5, 95}, [2]float64{.25, 60}, [2]float64{.15, 25}, [2]float64{.053, 4})
	if d := cmp.Diff([]sieve.Verdict{sieve.Met, sieve.Met, sieve.NotMet, sieve.NotMet, sieve.NotMet, sieve.Met, sieve.NotMeasured, sieve.NotMet}, verdicts(fine)); d != "" {
		t.Errorf("a fine sand (-want +got):\n%s", d)
	}
	coarse := passing(t, [2]float64{1, 95}, [2]float64{.5, 60}, [2]float64{.25, 15})
	if d := cmp.Diff([]sieve.Verdict{
		sieve.NotMeasured, sieve.Met, sieve.Met, sieve.Met, sieve.NotMeasured, sieve.NotMeasured, sieve.NotMeasured, sieve.NotMeasured,
	}, verdicts(coarse)); d != "" {
		t.Errorf("three sieves only (-want +got):\n%s", d)
	}
}

// A gravel that keeps every rule for the sand of PSD-5, and one that is too coarse.
func TestGravel(t *testing.T) {
	root := passing(t, greenSand...)
	good := passing(t, [2]float64{12.5, 100}, [2]float64{9.5, 99}, [2]float64{6.3, 80}, [2]float64{4, 25}, [2]float64{2, 2}, [2]float64{1, 1})
	for _, c := range sieve.Gravel(good, root) {
		if c.Verdict != sieve.Met && c.Verdict != sieve.TooClose || c.Within == nil || !*c.Within {
			t.Errorf("%s, %s: found %v, %s", c.Rule, c.Allowed, *c.Found, c.Verdict)
		}
	}
	bad := passing(t, [2]float64{25, 100}, [2]float64{19, 70}, [2]float64{12.5, 10}, [2]float64{9.5, 2}, [2]float64{2, 0})
	want := []sieve.Verdict{sieve.NotMet, sieve.Met, sieve.Met, sieve.NotMet, sieve.Met, sieve.Met}
	for i, c := range sieve.Gravel(bad, root) {
		if c.Verdict != want[i] {
			t.Errorf("%s, %s: found %v ± %g, %s, want %s", c.Rule, c.Allowed, *c.Found, c.SD, c.Verdict, want[i])
		}
	}
	short := passing(t, [2]float64{1, 80})
	for _, c := range sieve.Gravel(good, short)[:2] {
		if c.Found != nil || c.Verdict != sieve.NotMeasured {
			t.Errorf("%s: %s without the root zone's sizes", c.Rule, c.Verdict)
		}
	}
}

func TestFormulasKnowTheirLimits(t *testing.T) {
	for _, c := range []struct {
		name string
		rows [][2]float64
		want []string
	}{
		{"too fine", [][2]float64{{.05, 5}, {.08, 15}, {.2, 90}}, []string{"D10 0.0632 mm is outside 0.1 to 3 mm"}},
		{"spread", [][2]float64{{.1, 5}, {.2, 15}, {2, 65}}, []string{"D60/D10 11.2 is not below 5"}},
		{"coarse", [][2]float64{{.5, 5}, {.8, 15}, {1.2, 90}}, []string{"D10 0.63 mm is above 0.4 mm, where water no longer goes with its square"}},
		{"unknown spread", [][2]float64{{.1, 5}, {.2, 15}}, []string{"D60/D10 is not known, so it cannot be said to be below 5"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, ok := passing(t, c.rows...).Hazen()
			if d := cmp.Diff(c.want, p.Why); d != "" || !ok || p.Within != (c.name == "coarse") {
				t.Errorf("within %v, known %v (-want +got):\n%s", p.Within, ok, d)
			}
		})
	}
	for want, arg := range map[string][3]float64{
		"Kozeny–Carman: porosity 1.2: give a share above 0 and below 1": {1.2, .1, 10},
		"Kozeny–Carman: grain size 0 mm: give above 0 to 200 mm":        {.4, 0, 10},
		"Kozeny–Carman: water of 90 °C: give 0 to 40 °C":                {.4, .1, 90},
	} {
		if _, err := sieve.KozenyCarman(unit.Fraction(arg[0]), unit.Millimetres(arg[1]), unit.Celsius(arg[2])); err == nil || err.Error() != want {
			t.Errorf("error %v\nwant  %s", err, want)
		}
	}
	if _, ok, err := passing(t, [2]float64{1, 90}, [2]float64{.1, 8}).KozenyCarman(.4, 15); ok || err != nil {
		t.Errorf("a figure though 18 %% lie outside the sieves (%v)", err)
	}
	// one class: the effective size is nearly the mean of its edges in log size, and the figure the plain formula's
	one := passing(t, [2]float64{.4, 0}, [2]float64{.5, 100})
	p, ok, err := one.KozenyCarman(.4, 20)
	d := math.Pow(.5, .404) * math.Pow(.4, .595)
	q, _ := sieve.KozenyCarman(.4, unit.Millimetres(d), 20)
	if !ok || err != nil || math.Abs(p.Value-q.Value) > 1e-12*q.Value || !p.Within || len(p.Why) > 0 {
		t.Errorf("%+v, want %g (%v)", p, q.Value, err)
	}
}

// A curve along the edge of the envelope keeps the limits the envelope is made of; a point further breaks one.
func TestEnvelopeFollowsTheLimits(t *testing.T) {
	for _, size := range []unit.Millimetres{.15, .25, 1, 2} {
		for _, over := range []float64{0, .1} {
			var rows [][2]float64
			for _, p := range []sieve.Point{{3.35, 100}, {2, 99}, {1, 95}, {.25, 15}, {.15, 3}, {.053, 1}} {
				v := float64(p.Passing)
				for _, a := range sieve.RootZoneEnvelope() {
					if a.Size == size && p.Size == size {
						v = float64(a.High) + over
						if a.High == 100 {
							v = float64(a.Low) - over
						}
					}
					if size == 2 && p.Size == 1 {
						v = 92
					}
					if size == .25 && p.Size == .15 {
						v = 10
					}
				}
				rows = append(rows, [2]float64{float64(p.Size), v})
			}
			broken := 0
			for _, j := range sieve.Judge(passing(t, rows...), sieve.RootZoneLimits()) {
				if j.Within != nil && !*j.Within && j.Name != "very fine sand, 0.05–0.15 mm" {
					broken++
				}
			}
			if (broken > 0) != (over > 0) {
				t.Errorf("%g points over the edge at %g mm: %d limits broken", over, size, broken)
			}
		}
	}
}
