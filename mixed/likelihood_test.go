package mixed

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// direct is −2 log of the (restricted) likelihood from the covariance of the rows written out, without log|X'X|: with V over σ²,
//
//	(n − p)·log 2πσ² + log|V| + log|X'V⁻¹X| + r'V⁻¹r/σ²
//
// at the best σ, or with known standard deviations at the σ given (V then whole). Factors are k × k, row-major, in the columns of the terms.
func direct(d *Design, factors [][]float64, sigma float64, ml bool) float64 {
	n, p := len(d.Y), len(d.Columns)
	var chol mat.Cholesky
	if !chol.Factorize(spreadOfRows(d, factors, sigma)) {
		return math.Inf(1)
	}
	value := chol.LogDet()
	y := mat.NewVecDense(n, append([]float64(nil), d.Y...))
	var vy mat.VecDense
	if err := chol.SolveVecTo(&vy, y); err != nil {
		return math.Inf(1)
	}
	rest := mat.Dot(y, &vy)
	nu := float64(n)
	if p > 0 {
		x := mat.NewDense(n, p, nil)
		for j, c := range d.Columns {
			x.SetCol(j, c)
		}
		var vx, xvx mat.Dense
		if err := chol.SolveTo(&vx, x); err != nil {
			return math.Inf(1)
		}
		xvx.Mul(x.T(), &vx)
		var xvy, beta mat.VecDense
		xvy.MulVec(x.T(), &vy)
		if err := beta.SolveVec(&xvx, &xvy); err != nil {
			return math.Inf(1)
		}
		rest -= mat.Dot(&beta, &xvy)
		if !ml {
			log, _ := mat.LogDet(&xvx)
			value += log
			nu -= float64(p)
		}
	}
	if d.KnownSD != nil {
		return value + rest + nu*math.Log(2*math.Pi)
	}
	return value + nu*(1+math.Log(2*math.Pi*rest/nu))
}

// spreadOfRows is W⁻¹ + ZΛΛ'Z', or with known standard deviations σ²W⁻¹ + diag s² + ZΛΛ'Z'.
func spreadOfRows(d *Design, factors [][]float64, sigma float64) *mat.SymDense {
	n := len(d.Y)
	v := mat.NewSymDense(n, nil)
	for i := range n {
		own := 1.0
		if d.Weights != nil {
			own /= d.Weights[i]
		}
		if d.KnownSD != nil {
			own = own*sigma*sigma + d.KnownSD[i]*d.KnownSD[i]
		}
		v.SetSym(i, i, own)
	}
	for t, term := range d.Terms {
		k := len(term.Names)
		z := func(i, c int) float64 { // row i of ZΛ
			sum := 0.0
			for a := range k {
				x := 1.0
				if term.Z[a] != nil {
					x = term.Z[a][i]
				}
				sum += x * factors[t][a*k+c]
			}
			return sum
		}
		for i := range n {
			for j := range i + 1 {
				if term.Level[i] != term.Level[j] {
					continue
				}
				for c := range k {
					v.SetSym(i, j, v.At(i, j)+z(i, c)*z(j, c))
				}
			}
		}
	}
	return v
}

// own is the factors of the parameters in the columns of the terms, and σ, in the unit of the response.
func (e *equations) own(at []float64) ([][]float64, float64) {
	factors := e.lambda(at)
	for t := range factors {
		factors[t] = e.bases[t].lower(factors[t])
		if e.known != nil {
			for i := range factors[t] {
				factors[t][i] *= e.unit
			}
		}
	}
	if e.known == nil {
		return factors, 0
	}
	return factors, at[len(at)-1] * e.unit
}

func TestCriterionIsThatOfTheCovarianceWrittenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSketch(t)
		d, ml := p.design(), rapid.Bool().Draw(t, "ml")
		e := equationsOf(t, d, ml)
		at := e.place(p.seed)
		got := e.criterion(e.evaluate(at))
		factors, sigma := e.own(at)
		want := direct(d, factors, sigma, ml)
		if !(math.Abs(got-want) <= 1e-9*(1+math.Abs(want))) {
			t.Fatalf("criterion %.14g, written out %.14g", got, want)
		}
	})
}

// crossed is a panel: every level of the first term meets every level of the second in one row.
func crossed(a, b int) *Design {
	d := sketch{rows: a * b, columns: 2, levels: []int{a, b}, sizes: []int{1, 1}, seed: 7}.design()
	for i := range d.Y {
		d.Terms[0].Level[i], d.Terms[1].Level[i] = int32(i/b), int32(i%b)
	}
	return d
}

// A factor crossed with everything has neighbours by the hundred and is eliminated on a way of its own, as is what is left when the rest
// of a block is nearly complete.
func TestCriterionOfCrowdedLevelsIsThatOfTheCovarianceWrittenOut(t *testing.T) {
	nested := crossed(90, 3)
	nested.Terms = append(nested.Terms, Term{Group: "h", Names: []string{"z0", "z1"}, Z: [][]float64{nil, nested.Columns[1]}})
	h := &nested.Terms[2]
	for l := range 18 {
		h.Levels = append(h.Levels, fmt.Sprint(l))
	}
	for i := range nested.Y {
		h.Level = append(h.Level, nested.Terms[0].Level[i]/5)
	}
	apart := crossed(160, 3) // 80 by 3, twice: the second half has levels of its own
	apart.Terms[1].Levels = []string{"a", "b", "c", "d", "e", "f"}
	for i := range apart.Y[240:] {
		apart.Terms[1].Level[240+i] += 3
	}
	apart.Terms[1].Names, apart.Terms[1].Z = append(apart.Terms[1].Names, "z1"), append(apart.Terms[1].Z, apart.Columns[1])
	scattered := sketch{rows: 400, columns: 2, levels: []int{150, 40, 6}, sizes: []int{1, 2, 1}, seed: 11}.design()
	for _, c := range []struct {
		name string
		d    *Design
	}{
		{"90 by 3", crossed(90, 3)},
		{"3 by 90", crossed(3, 90)},
		{"70 by 5", crossed(70, 5)},
		{"20 by 20", crossed(20, 20)},
		{"90 by 3 in 18 groups with slopes", nested},
		{"80 by 3 twice, slopes by the 3", apart},
		{"three terms at random", scattered},
	} {
		for _, ml := range []bool{false, true} {
			t.Run(fmt.Sprint(c.name, ", ml ", ml), func(t *testing.T) {
				e := equationsOf(t, c.d, ml)
				at := e.place(3)
				got := e.criterion(e.evaluate(at))
				factors, sigma := e.own(at)
				if want := direct(c.d, factors, sigma, ml); !(math.Abs(got-want) <= 1e-10*(1+math.Abs(want))) {
					t.Errorf("criterion %.14g, written out %.14g", got, want)
				}
				slopesAreDifferences(t, e, at)
				inverseIsThatOfTheWhole(t, e)
			})
		}
	}
}

// What the search finds is held against the covariance written out, on all sides.
func TestFitIsTheLowestNearby(t *testing.T) {
	for _, p := range []sketch{
		{rows: 20, columns: 0, levels: []int{5}, sizes: []int{1}},
		{rows: 24, columns: 2, levels: []int{4}, sizes: []int{2}, weights: true},
		{rows: 40, columns: 2, levels: []int{6}, sizes: []int{3}},
		{rows: 40, columns: 3, levels: []int{6, 5}, sizes: []int{2, 1}, weights: true},
		{rows: 40, columns: 2, levels: []int{6, 5}, sizes: []int{1, 1}, known: true},
	} {
		for seed := range uint64(8) {
			p.seed = seed
			d := p.design()
			for _, ml := range []bool{false, true} {
				t.Run(fmt.Sprintf("%v effects of %v levels, seed %d, ml %t", p.sizes, p.levels, seed, ml), func(t *testing.T) {
					f, err := Fit(d, Options{ML: ml})
					if err != nil {
						t.Fatal(err)
					}
					least := direct(d, f.factors(), f.Sigma, ml)
					if !(math.Abs(least-f.Criterion) <= 1e-9*(1+math.Abs(least))) {
						t.Fatalf("criterion %.14g, written out %.14g", f.Criterion, least)
					}
					higher(t, d, f, least)
				})
			}
		}
	}
}

// higher moves each entry of the factors, and σ where it is a parameter, to both sides.
func higher(t *testing.T, d *Design, f *Fitted, least float64) {
	t.Helper()
	for _, by := range []float64{-0.1, -1e-3, 1e-3, 0.1} {
		for term, l := range f.factors() {
			for i := range l {
				factors := f.factors()
				factors[term][i] += by
				if v := direct(d, factors, f.Sigma, f.ML); v < least-1e-8*(1+math.Abs(least)) {
					t.Errorf("factor of %s, entry %d moved by %g: %.12g is below %.12g", d.Terms[term].Group, i, by, v, least)
				}
			}
		}
		if v := direct(d, f.factors(), f.Sigma+by, f.ML); v < least-1e-8*(1+math.Abs(least)) {
			t.Errorf("σ moved by %g: %.12g is below %.12g", by, v, least)
		}
	}
}
