package findings

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// A round that missed the richest green must not look poorer: with greens at 4, 5 and 9 and years that add 0, 1 and 2
// the means of the same greens are 6, 7 and 8, whoever was missed.
func TestSameGreensFillWhatWasMissed(t *testing.T) {
	layers, err := Layers([]Observation{
		sampled("1", "2023-10-14", 4), sampled("2", "2023-10-14", 5), sampled("3", "2023-10-14", 9),
		sampled("1", "2024-10-14", 5), sampled("2", "2024-10-14", 6),
		sampled("1", "2025-10-14", 6), sampled("3", "2025-10-14", 11),
	}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{6, 7, 8} {
		if m := layers[0].Rounds[i]; math.Abs(float64(m.Same)-want) > 1e-9 {
			t.Errorf("%s: mean of the same greens %.6f, want %.6f (plain mean %.2f)", m.Round, m.Same, want, m.Mean)
		}
	}
}

// Without holes it is the plain mean, and its variance that of cores alone, √(σ²/cores/G).
func TestSameGreensWithoutHoles(t *testing.T) {
	obs := []Observation{
		sampled("1", "2023-10-14", 4.2), sampled("2", "2023-10-14", 5.1), sampled("3", "2023-10-14", 8.8),
		sampled("1", "2024-10-14", 5), sampled("2", "2024-10-14", 6.3), sampled("3", "2024-10-14", 9.7),
	}
	layers, err := Layers(obs, Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := newPanel(cells(obs))
	p.settle()
	for _, m := range layers[0].Rounds {
		se := math.Sqrt(p.coreVar/5/3) * float64(m.Mean) / meanOM(cells(obs))
		if math.Abs(float64(m.Same-m.Mean)) > 1e-9 || math.Abs(float64(m.SameSE)-se) > 1e-9 {
			t.Errorf("%s: %.6f ± %.6f, want the plain mean %.6f ± %.6f", m.Round, m.Same, m.SameSE, m.Mean, se)
		}
	}
}

// Against least squares on dummy variables, solved densely, for a table with holes and uneven cores.
func TestSameGreensAgainstDenseLeastSquares(t *testing.T) {
	obs := []Observation{
		sampled("1", "2022-10-14", 4), sampled("2", "2022-10-14", 5.5),
		sampled("1", "2023-10-14", 4.9), sampled("3", "2023-10-14", 7), sampled("2", "2023-10-14", 5),
		sampled("2", "2024-10-14", 6.2), sampled("3", "2024-10-14", 8.1),
		sampled("4", "2024-10-14", 3.3), sampled("4", "2025-10-14", 4.4), sampled("1", "2025-10-14", 6.5),
	}
	for i := range obs {
		obs[i].Cores = 3 + i%4
	}
	cs := cells(obs)
	p := newPanel(cs)
	s := p.settle()
	g, r := p.greens, len(p.rounds)
	n := g + r - 1 // the first round's effect is 0
	xtx, xty := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	row := func(i int) []float64 {
		x := make([]float64, n)
		x[p.green[i]] = 1
		if j := p.round[i]; j > 0 {
			x[g+j-1] = 1
		}
		return x
	}
	for i, c := range cs {
		x, w := row(i), p.weight(i, p.coreVar)
		for a := range n {
			xty.SetVec(a, xty.AtVec(a)+w*x[a]*c.om)
			for b := a; b < n; b++ {
				xtx.SetSym(a, b, xtx.At(a, b)+w*x[a]*x[b])
			}
		}
	}
	var inverse mat.Dense
	if err := inverse.Inverse(xtx); err != nil {
		t.Fatal(err)
	}
	var beta mat.VecDense
	beta.MulVec(&inverse, xty)
	for j := range r {
		want := mat.NewVecDense(n, nil)
		for a := range g {
			want.SetVec(a, 1/float64(g))
		}
		if j > 0 {
			want.SetVec(g+j-1, 1)
		}
		level, variance := p.level(s, j)
		if d := mat.Dot(want, &beta); math.Abs(level-d) > 1e-9 {
			t.Errorf("%s: %.9f, dense least squares %.9f", p.rounds[j], level, d)
		}
		var v mat.VecDense
		v.MulVec(&inverse, want)
		if d := mat.Dot(want, &v); math.Abs(variance-d) > 1e-9 {
			t.Errorf("%s: variance %.9f, dense least squares %.9f", p.rounds[j], variance, d)
		}
	}
}
