package mixed

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func inverseOf(t *testing.T, m *mat.SymDense) [][]float64 {
	t.Helper()
	var chol mat.Cholesky
	var inverse mat.SymDense
	if !chol.Factorize(m) {
		t.Fatal("not positive definite")
	}
	if err := chol.InverseTo(&inverse); err != nil {
		t.Fatal(err)
	}
	out := plain(m.SymmetricDim())
	for i := range out {
		for j := range out {
			out[i][j] = inverse.At(i, j)
		}
	}
	return out
}

// The gradient of a profile, in the variables and in the value held, is that of differences.
func TestSlopesOfAProfileAreDifferences(t *testing.T) {
	for _, p := range []sketch{
		{rows: 60, columns: 2, levels: []int{8}, sizes: []int{3}, seed: 1},
		{rows: 80, columns: 2, levels: []int{8, 5}, sizes: []int{2, 2}, weights: true, seed: 2},
		{rows: 60, columns: 2, levels: []int{8}, sizes: []int{2}, known: true, seed: 3},
	} {
		f := fitted(t, p.design(), Options{})
		for i, c := range append(slices.Clone(f.Components), Component{Name: "sigma", SD: f.Sigma}) {
			t.Run(fmt.Sprintf("%+v %s %s %s", p, c.Group, c.Name, c.Other), func(t *testing.T) {
				held, err := f.newProfile(i, c)
				if err != nil {
					t.Fatal(err)
				}
				x := slices.Clone(held.start)
				for k := range x {
					x[k] += 0.03 * float64(k+1)
				}
				at := held.estimate + 0.05
				if held.pair {
					at = 0.3
				}
				value := func(x []float64, c float64) float64 {
					v, _, _, ok := held.value(x, c)
					if !ok {
						t.Fatalf("no value at %v, %g", x, c)
					}
					return v
				}
				_, gradient, slope, _ := held.value(x, at)
				gradient = slices.Clone(gradient)
				const h = 1e-4
				want := (8*(value(x, at+h)-value(x, at-h)) - value(x, at+2*h) + value(x, at-2*h)) / (12 * h)
				near(t, "slope in the value held", slope, want, 10+math.Abs(want), 1e-7)
				free := held.moving()
				for k := range x {
					if !free[k] {
						continue
					}
					of := func(by float64) float64 { y := slices.Clone(x); y[k] += by; return value(y, at) }
					want := (8*(of(h)-of(-h)) - of(2*h) + of(-2*h)) / (12 * h)
					near(t, fmt.Sprint("slope in variable ", k), gradient[k], want, 10+math.Abs(want), 1e-7)
				}
			})
		}
	}
}

// Whatever was asked of a fit before, what it says after stays the same.
func TestIntervalsLeaveTheFitAsItWas(t *testing.T) {
	f := fitted(t, sketches[1].design(), Options{})
	modes, residuals := f.Modes(), f.Residuals()
	if _, err := f.Intervals(0.95); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Satterthwaite(); err != nil {
		t.Fatal(err)
	}
	for i, m := range f.Modes() {
		if m != modes[i] {
			t.Errorf("mode %v, before %v", m, modes[i])
		}
	}
	if !slices.Equal(f.Residuals(), residuals) {
		t.Error("residuals have moved")
	}
}

func TestIntervalsWidenWithTheLevelAndHoldTheEstimate(t *testing.T) {
	f := fitted(t, sketches[2].design(), Options{})
	var last []Interval
	for _, level := range []float64{0.5, 0.8, 0.95, 0.99} {
		got, err := f.Intervals(level)
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(f.Components)+1 {
			t.Fatalf("%d intervals for %d components and σ", len(got), len(f.Components))
		}
		for i, v := range got {
			if !(v.Lower < v.Estimate && v.Estimate < v.Upper) {
				t.Errorf("level %g: %+v does not hold its estimate", level, v)
			}
			if last != nil && !(v.Lower <= last[i].Lower && v.Upper >= last[i].Upper) {
				t.Errorf("level %g: %+v is not wider than %+v", level, v, last[i])
			}
		}
		last = got
	}
}

func TestIntervalsOfNoLevel(t *testing.T) {
	f := fitted(t, sketches[0].design(), Options{})
	for level, want := range map[float64]string{
		0:          "profile intervals: level 0: it must lie between 0 and 1",
		1:          "profile intervals: level 1: it must lie between 0 and 1",
		-3:         "profile intervals: level -3: it must lie between 0 and 1",
		math.NaN(): "profile intervals: level NaN: it must lie between 0 and 1",
	} {
		if _, err := f.Intervals(level); err == nil || err.Error() != want {
			t.Errorf("got  %v\nwant %s", err, want)
		}
	}
}
