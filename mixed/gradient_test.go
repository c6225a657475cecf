package mixed

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

type failer interface {
	Helper()
	Errorf(format string, args ...any)
}

// slopesAreDifferences holds the analytic gradient against differences of the criterion, those of two steps extrapolated (Richardson).
func slopesAreDifferences(t failer, e *equations, at []float64) {
	t.Helper()
	p, ok := e.look(at)
	if !ok {
		t.Errorf("the criterion cannot be evaluated at %v", at)
		return
	}
	p.gradient = slices.Clone(p.gradient)
	for i := range at {
		central := func(h float64) float64 {
			up, down := slices.Clone(at), slices.Clone(at)
			up[i] += h
			down[i] -= h
			return (e.evaluate(up) - e.evaluate(down)) / (2 * h)
		}
		want := (4*central(1e-3) - central(2e-3)) / 3
		if off := math.Abs(p.gradient[i] - want); !(off <= 1e-7*(10+math.Abs(want)+math.Abs(p.value))) {
			t.Errorf("parameter %d %+v: gradient %.12g, differences %.12g", i, e.names[i], p.gradient[i], want)
		}
	}
	e.look(at)
}

func TestGradientIsThatOfDifferences(t *testing.T) {
	for _, c := range []struct {
		name string
		plan sketch
	}{
		{"one term", sketch{rows: 30, columns: 2, levels: []int{5}, sizes: []int{1}, seed: 1}},
		{"correlated vector of three", sketch{rows: 60, columns: 2, levels: []int{6}, sizes: []int{3}, seed: 2}},
		{"crossed", sketch{rows: 60, columns: 3, levels: []int{7, 5}, sizes: []int{1, 1}, seed: 3}},
		{"crossed vectors", sketch{rows: 90, columns: 3, levels: []int{7, 5}, sizes: []int{3, 2}, seed: 4}},
		{"three terms", sketch{rows: 90, columns: 1, levels: []int{20, 5, 3}, sizes: []int{2, 1, 3}, seed: 5}},
		{"no fixed part", sketch{rows: 40, levels: []int{8}, sizes: []int{2}, seed: 6}},
	} {
		for _, ml := range []bool{false, true} {
			for _, weights := range []bool{false, true} {
				for _, known := range []bool{false, true} {
					c.plan.weights, c.plan.known = weights, known
					t.Run(fmt.Sprintf("%s, ml %t, weights %t, known %t", c.name, ml, weights, known), func(t *testing.T) {
						e := equationsOf(t, c.plan.design(), ml)
						slopesAreDifferences(t, e, e.place(c.plan.seed))
					})
				}
			}
		}
	}
}

func TestGradientIsThatOfDifferencesForAnyDesign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSketch(t)
		e := equationsOf(t, p.design(), rapid.Bool().Draw(t, "ml"))
		slopesAreDifferences(t, e, e.place(p.seed))
	})
}

// The formula never divides by Λ: it holds where variances are zero, and is zero there for the entries of a column of zeros.
func TestGradientAtVariancesOfZero(t *testing.T) {
	e := equationsOf(t, sketch{rows: 60, columns: 2, levels: []int{6, 4}, sizes: []int{2, 1}, seed: 9}.design(), false)
	at := make([]float64, len(e.names))
	slopesAreDifferences(t, e, at)
	p, _ := e.look(at)
	for i, g := range p.gradient {
		if g != 0 {
			t.Errorf("parameter %d: gradient %g where every factor is zero", i, g)
		}
	}
}

// Near a minimum the average information is near the second derivatives for many levels.
func TestCurvatureIsNearTheSecondDerivatives(t *testing.T) {
	for _, known := range []bool{false, true} {
		t.Run(fmt.Sprint("known ", known), func(t *testing.T) {
			d := sketch{rows: 4000, columns: 2, levels: []int{400}, sizes: []int{2}, known: known, seed: 12}.design()
			f, err := Fit(d, Options{})
			if err != nil {
				t.Fatal(err)
			}
			e := f.equations
			p, _ := e.look(f.at)
			h := e.hessian(p, all(len(f.at)))
			p, _ = e.look(f.at)
			got := e.curvature(p.gradient, p.penalty)
			for i := range h {
				for j := range h {
					if off := math.Abs(got[i][j] - h[i][j]); off > 0.15*math.Sqrt(h[i][i]*h[j][j]) {
						t.Errorf("entry %d, %d: %g, by differences %g", i, j, got[i][j], h[i][j])
					}
				}
			}
		})
	}
}
