package mixed

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// whole is M at the last factor written out: random effects in the order of vectors over them, then the fixed part.
func (e *equations) whole() *mat.SymDense {
	q, p := e.s.effects, e.s.p
	m := mat.NewSymDense(q+p, nil)
	for i := range q {
		m.SetSym(i, i, 1)
	}
	rows := e.rows()
	for i := range e.cross.y {
		rows.at(i)
		d := 1.0
		if e.known != nil {
			d = e.scale[i]
		}
		x := make([]float64, q+p)
		for t, z := range rows.z {
			copy(x[e.s.effect[rows.node[t]]:], z)
		}
		copy(x[q:], rows.x)
		m.SymRankOne(m, d, mat.NewVecDense(q+p, x))
	}
	return m
}

// inverseIsThatOfTheWhole holds every entry of the selected inverse against M written out and inverted.
func inverseIsThatOfTheWhole(t failer, e *equations) {
	t.Helper()
	q, p := e.s.effects, e.s.p
	m := e.whole()
	for _, fixed := range []bool{true, false} {
		size := q
		if fixed {
			size = q + p
		}
		if size == 0 {
			continue
		}
		var chol mat.Cholesky
		var want mat.SymDense
		if !chol.Factorize(m.SliceSym(0, size)) {
			t.Errorf("M cannot be factored")
			return
		}
		if err := chol.InverseTo(&want); err != nil {
			t.Errorf("inverting M: %v", err)
			return
		}
		e.inverse.invert(e.work, fixed)
		checked := 0
		check := func(got float64, i, j int) {
			checked++
			if off := math.Abs(got - want.At(i, j)); !(off <= 1e-10*math.Sqrt(want.At(i, i)*want.At(j, j))) {
				t.Errorf("entry %d, %d of the inverse (fixed %t): %.12g, want %.12g", i, j, fixed, got, want.At(i, j))
			}
		}
		for at := range e.s.fronts {
			f := &e.s.fronts[at]
			for i := range int(f.k) {
				row := e.inverse.entry[f.at+i*int(f.width):]
				for c, column := range f.index {
					check(row[c], int(f.index[i]), int(column))
				}
				for c := range p {
					if fixed {
						check(row[int(f.k+f.m)+c], int(f.index[i]), q+c)
					}
				}
			}
		}
		for i := range p {
			for j := range p {
				if fixed {
					check(e.inverse.xx[i*p+j], q+i, q+j)
				}
			}
		}
		if checked < q {
			t.Errorf("%d entries checked for %d effects", checked, q)
		}
	}
}

func TestInverseIsThatOfTheWholeMatrix(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSketch(t)
		e := equationsOf(t, p.design(), rapid.Bool().Draw(t, "ml"))
		if _, ok := e.look(e.place(p.seed)); !ok {
			t.Fatal("the criterion cannot be evaluated")
		}
		inverseIsThatOfTheWhole(t, e)
	})
}
