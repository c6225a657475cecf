package mixed

import (
	"fmt"
	"math"
)

// Prediction is the response expected in a row, with the levels it belongs to.
type Prediction struct {
	Value float64 // x·β + z·b, b zero for levels the fit has not seen
	SE    float64 // of Value as an estimate of x·β + z·b: coefficients and effects estimated, unseen effects drawn anew
	SENew float64 // of a new observation there with weight one: SE² + σ²
}

// Predict gives the response expected at rows, old levels and new. The variances are taken as known.
func (f *Fitted) Predict(rows []At) ([]Prediction, error) {
	e := f.equations
	e.settle()
	s := e.s
	own := f.factors()
	b := e.spread(e.u)
	by := e.variance() * e.unit * e.unit
	scale := by // of G for unseen levels: factors are in the units of the columns, absolute ones already in those of the response
	if e.known != nil {
		scale = 1
	}
	out := make([]Prediction, len(rows))
	h, x := make([]float64, s.effects), make([]float64, s.p)
	for r, row := range rows {
		if err := f.fits(row); err != nil {
			return nil, fmt.Errorf("predict: row %d: %w", r+1, err)
		}
		clear(h)
		value, unseen := 0.0, 0.0
		for j := range x {
			x[j] = 0
			for i := 0; i <= j; i++ {
				x[j] += row.X[e.fixed.kept[i]] * e.fixed.inverse[i][j]
			}
		}
		for i, j := range e.fixed.kept {
			value += row.X[j] * f.Beta[i]
		}
		for t, k := range s.sizes {
			z := row.Z[t]
			level := row.Level[t]
			if level < 0 || s.front[s.node[t]+level] < 0 {
				unseen += scale * spreadOf(own[t], z, k)
				continue
			}
			at := int(s.effect[s.node[t]+level])
			for j := range k {
				v := 0.0
				for a := j; a < k; a++ {
					v += z[a] * e.bases[t].inverse[a][j]
				}
				value += v * b[at+j] * e.unit
				h[at+j] += v
			}
		}
		g := s.multiply(e.work.lambda, h, true)
		q := append([]float64(nil), x...)
		e.work.forward(g, q)
		se2 := by*(product(g, g)+product(q, q)) + unseen
		out[r] = Prediction{Value: value, SE: math.Sqrt(se2), SENew: math.Sqrt(se2 + f.Sigma*f.Sigma)}
	}
	return out, nil
}

// spreadOf is z'ΛΛ'z.
func spreadOf(l, z []float64, k int) float64 {
	sum := 0.0
	for j := range k {
		v := 0.0
		for i := j; i < k; i++ {
			v += z[i] * l[i*k+j]
		}
		sum += v * v
	}
	return sum
}

func (f *Fitted) fits(row At) error {
	terms := f.Design.Terms
	if len(row.X) != len(f.Design.Names) || len(row.Level) != len(terms) || len(row.Z) != len(terms) {
		return fmt.Errorf("%d columns and %d terms, the fit has %d and %d", len(row.X), len(row.Level), len(f.Design.Names), len(terms))
	}
	for t := range terms {
		if len(row.Z[t]) != len(terms[t].Names) {
			return fmt.Errorf("%d values for the %d effects of %s", len(row.Z[t]), len(terms[t].Names), terms[t].Group)
		}
		if int(row.Level[t]) >= len(terms[t].Levels) {
			return fmt.Errorf("level %d of %s: there are %d", row.Level[t], terms[t].Group, len(terms[t].Levels))
		}
	}
	return nil
}
