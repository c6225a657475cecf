package figure

import (
	"math"
	"path/filepath"
	"testing"

	"underfoot/internal/golden"
)

func sampleGreenPlan() GreenPlan {
	var ring []Point
	for k := range 24 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 24)
		ring = append(ring, Point{14 * c, 9*s + 2*c*c})
	}
	return GreenPlan{
		Name: "Green 4", Rings: [][]Point{ring, {{-2, 0}, {0, 0}, {0, 2}, {-2, 2}}},
		Cores: []Core{{1, Point{-9, -2}, "8.1 m from A and 9.2 m from B"}, {2, Point{1, -5}, ""}, {3, Point{8, 3}, ""}},
		Fixed: []Landmark{{"A", Point{-15, -6}}, {"B", Point{15, 8}}},
	}
}

func TestGreenPlan(t *testing.T) {
	for name, g := range map[string]GreenPlan{
		"greenplan":       sampleGreenPlan(),
		"greenplan-empty": {Name: "Green 5"},
		"greenplan-one":   {Name: "Green 6", Cores: []Core{{1, Point{3, 3}, ""}}},
	} {
		t.Run(name, func(t *testing.T) {
			s := g.Scene()
			if err := sound(s, s.SVG(Standalone())); err != nil {
				t.Error(err)
			}
			if a, b := s.SVG(), g.Scene().SVG(); a != b {
				t.Error("two drawings differ")
			}
			golden.Equal(t, filepath.Join("testdata", name+".svg"), []byte(broken(s.SVG(Standalone()))))
		})
	}
}

// A metre is as long east as north: the drawing keeps angles.
func TestGreenPlanKeepsAngles(t *testing.T) {
	g := GreenPlan{Name: "x", Rings: [][]Point{{{0, 0}, {10, 0}, {10, 30}, {0, 30}}}}
	for _, p := range g.Scene().Parts {
		if path, ok := p.(Path); ok && path.Style == edge {
			wide, tall := path.Segs[1].P[0].X-path.Segs[0].P[0].X, path.Segs[1].P[0].Y-path.Segs[2].P[0].Y
			if math.Abs(tall-3*wide) > 1e-9 {
				t.Errorf("10 by 30 m are drawn %g by %g px", wide, tall)
			}
			return
		}
	}
	t.Error("no outline is drawn")
}
