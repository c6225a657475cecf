package app_test

import (
	"math"
	"testing"

	"underfoot"
	"underfoot/internal/app"
)

func TestMaterialOfTheExample(t *testing.T) {
	s := standing(t, "varrowmere")
	m, err := s.Material("")
	if err != nil || !m.Known {
		t.Fatal(err, m.Why)
	}
	top := m.Bands[0]
	if got := len(top.Rounds); got < 5 {
		t.Errorf("the material of the top layer is seen in %d rounds, want 5 or more", got)
	}
	for i, r := range top.Rounds {
		if i > 0 && r.SandMM < top.Rounds[i-1].SandMM {
			t.Errorf("%s: sand on it falls from %g to %g mm", r.Round, float64(top.Rounds[i-1].SandMM), float64(r.SandMM))
		}
		if r.OMKnown && (r.OM <= 0 || r.OM > 20 || math.IsNaN(float64(r.SE))) {
			t.Errorf("%s: %g ± %g %%", r.Round, float64(r.OM), float64(r.SE))
		}
	}
	// The trend of the layer is the view at fixed depth where both rest on the same rounds.
	if l := s.Layer(0, 20); l.Trend.Rounds == top.Fixed.Rounds && l.Trend.SlopePerYear != top.Fixed.PerYear {
		t.Errorf("fixed depth changes by %g points a year beside a trend of %g", top.Fixed.PerYear, l.Trend.SlopePerYear)
	}
	if _, err := s.Material("no such round"); underfoot.KindOf(err) != underfoot.Invalid {
		t.Errorf("a round that is not there: %v", err)
	}
	greens, err := s.MaterialOfGreens("")
	if err != nil || len(greens) < 2 {
		t.Fatalf("%d greens followed: %v", len(greens), err)
	}
	for _, g := range greens {
		if g.Material.Bands[0].Rounds[0].TopMM != 0 {
			t.Errorf("green %s starts at %g mm", g.Green, float64(g.Material.Bands[0].Rounds[0].TopMM))
		}
	}
}

func TestMaterialSaysWhyNot(t *testing.T) {
	found := standing(t, "second").MaterialFound()
	want := "No round after 2026-autumn reaches down in layers that touch: there is nothing to follow the material through yet."
	if found.Why != want {
		t.Errorf("got %q\nwant %q", found.Why, want)
	}
}

func BenchmarkMaterial(b *testing.B) {
	s := standing(b, "varrowmere")
	for b.Loop() {
		if _, err := s.Material(""); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMaterialOfGreens(b *testing.B) {
	s := standing(b, "varrowmere")
	for b.Loop() {
		if _, err := s.MaterialOfGreens(""); err != nil {
			b.Fatal(err)
		}
	}
}

// standing reads an example course and works out where it stands.
func standing(t testing.TB, folder string) *app.Standing {
	t.Helper()
	list, err := app.ReadPackage(t.Context(), "../../examples/"+folder, now, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := app.Stand(list[0], list[0].Course.Today(now), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}
