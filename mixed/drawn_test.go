package mixed

import (
	"fmt"
	"math"
	"math/rand/v2"

	"pgregory.net/rapid"
)

// sketch says what a drawn design is made of; the numbers follow from the seed.
type sketch struct {
	rows, columns  int // columns of the fixed part, the first all ones
	levels, sizes  []int
	weights, known bool
	seed           uint64
}

// design is drawn with every level of every term in at least one row: y = X·β + Σ Z·b + ε, all of the order of one.
func (p sketch) design() *Design {
	r := rand.New(rand.NewPCG(p.seed, 1))
	normals := func(by float64) []float64 {
		v := make([]float64, p.rows)
		for i := range v {
			v[i] = by * r.NormFloat64()
		}
		return v
	}
	d := &Design{Response: "y", Y: normals(0.5)}
	for j := range p.columns {
		x, b := normals(1), r.NormFloat64()
		for i := range x {
			if j == 0 {
				x[i] = 1
			}
			d.Y[i] += b * x[i]
		}
		d.Columns, d.Names = append(d.Columns, x), append(d.Names, fmt.Sprint("x", j))
	}
	for t, levels := range p.levels {
		term := Term{Group: fmt.Sprint("g", t)}
		for l := range levels {
			term.Levels = append(term.Levels, fmt.Sprint("l", l))
		}
		for _, l := range r.Perm(p.rows) {
			if l >= levels {
				l = r.IntN(levels)
			}
			term.Level = append(term.Level, int32(l))
		}
		for j := range p.sizes[t] {
			var z []float64
			if j > 0 {
				z = normals(1)
			}
			b := make([]float64, levels)
			for l := range b {
				b[l] = r.NormFloat64() * math.Pow(0.7, float64(j))
			}
			for i, l := range term.Level {
				if z == nil {
					d.Y[i] += b[l]
				} else {
					d.Y[i] += b[l] * z[i]
				}
			}
			term.Z, term.Names = append(term.Z, z), append(term.Names, fmt.Sprint("z", j))
		}
		d.Terms = append(d.Terms, term)
	}
	if p.weights {
		for range p.rows {
			d.Weights = append(d.Weights, math.Exp(0.5*r.NormFloat64()))
		}
	}
	if p.known {
		for range p.rows {
			d.KnownSD = append(d.KnownSD, 0.3*math.Abs(r.NormFloat64()))
		}
	}
	return d
}

// drawSketch is a sketch of up to two terms with fewer effects than rows.
func drawSketch(t *rapid.T) sketch {
	p := sketch{
		rows: rapid.IntRange(12, 40).Draw(t, "rows"), columns: rapid.IntRange(0, 3).Draw(t, "columns"),
		weights: rapid.Bool().Draw(t, "weights"), known: rapid.Bool().Draw(t, "known"),
		seed: rapid.Uint64().Draw(t, "seed"),
	}
	for range rapid.IntRange(1, 2).Draw(t, "terms") {
		k := rapid.IntRange(1, 3).Draw(t, "effects")
		p.sizes = append(p.sizes, k)
		p.levels = append(p.levels, rapid.IntRange(2, (p.rows-1)/k).Draw(t, "levels"))
	}
	return p
}

type fatal interface {
	Helper()
	Fatal(args ...any)
}

// equationsOf is a design ready to be evaluated.
func equationsOf(t fatal, d *Design, ml bool) *equations {
	t.Helper()
	e, err := newEquations(d, ml)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// place is a set of parameters for a design: factors of the order of one, σ of 0.6.
func (e *equations) place(seed uint64) []float64 {
	r := rand.New(rand.NewPCG(seed, 2))
	at := make([]float64, len(e.names))
	for i, q := range e.names {
		at[i] = 0.6 * r.NormFloat64()
		if q.term < 0 {
			at[i] = 0.6
		}
	}
	return at
}
