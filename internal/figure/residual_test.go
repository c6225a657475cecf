package figure

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"underfoot/internal/golden"
)

// sampleResiduals gives n invented rows: fitted values in steps, residuals at normal quantiles in a mixed order.
func sampleResiduals(n int, scale float64) Residuals {
	r := Residuals{Response: "Reaction"}
	for i := range n {
		k := (i*7919 + 13) % n
		z := math.Sqrt2 * math.Erfinv(2*(float64(k)+.5)/float64(n)-1)
		r.Fitted = append(r.Fitted, (250+float64(i%37)*4)*scale)
		r.Residual = append(r.Residual, (25*z+3*z*z*z)*scale)
	}
	return r
}

func residualSamples() []sample {
	flat := sampleResiduals(12, 1)
	for i := range flat.Fitted {
		flat.Fitted[i] = 100
	}
	narrow := sampleResiduals(40, 1)
	narrow.Width, narrow.Height = 340, 200
	return []sample{
		{"residuals", sampleResiduals(180, 1).Scene()},
		{"residuals-crowd", sampleResiduals(2500, 1e6).Scene()},
		{"residuals-flat", flat.Scene()},
		{"residuals-narrow", narrow.Scene()},
		{"residuals-none", Residuals{Response: "Reaction"}.Scene()},
	}
}

func TestResidualsGolden(t *testing.T) {
	for _, s := range residualSamples() {
		t.Run(s.name, func(t *testing.T) {
			svg := s.scene.SVG(Standalone())
			if err := sound(s.scene, svg); err != nil {
				t.Fatal(err)
			}
			for _, st := range stylesOf(s.scene.Parts) {
				if _, ok := looks[st]; !ok {
					t.Errorf("style %q has no look", st)
				}
			}
			golden.Equal(t, filepath.Join("testdata", s.name+".svg"), []byte(broken(svg)))
		})
	}
}

// Normal residuals lie on the line: middle 0, slope their standard deviation, none outside of the band.
func TestResidualsOfANormalDistribution(t *testing.T) {
	var r Residuals
	const n, sd = 99, 4.0
	for i := range n {
		r.Fitted = append(r.Fitted, float64(i))
		r.Residual = append(r.Residual, sd*math.Sqrt2*math.Erfinv(2*(float64(i)+.5)/n-1))
	}
	q := r.points().normal()
	if math.Abs(q.middle) > 1e-12 || math.Abs(q.slope-sd) > .05 || q.outside != 0 {
		t.Errorf("middle %v, slope %v, %d outside", q.middle, q.slope, q.outside)
	}
	want := "Residuals of y: 99 rows, root mean square 3.97, from −10.3 to 10.3; the largest, −10.3, at a fitted value of 0. 0 of 99 lie outside of the band about the normal line."
	r.Response = "y"
	if got := r.Scene().Label; got != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
}

func TestResidualsAreThinnedInACrowd(t *testing.T) {
	svg := sampleResiduals(100_000, 1).Scene().SVG()
	if n := strings.Count(svg, "<circle"); n > 12_000 || n < 500 {
		t.Errorf("%d dots", n)
	}
}

func TestAnyResidualsGiveASoundPicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Residuals{
			rapid.String().Draw(t, "response"), several(t, "fitted", func(t *rapid.T) float64 { return anyNumber(t, "fitted") }),
			several(t, "residual", func(t *rapid.T) float64 { return anyNumber(t, "residual") }), anyNumber(t, "w") * 40, anyNumber(t, "h") * 40,
		}
		s := r.Scene()
		if err := sound(s, s.SVG()); err != nil {
			t.Fatal(err)
		}
	})
}
