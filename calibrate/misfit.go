package calibrate

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Misfit is how a round's layer lies beside the model.
type Misfit struct {
	Round    string
	Day      int
	Layer    Layer
	N        int     // composites
	Measured float64 // their geometric mean, mass fraction
	Expected float64 // what the model makes of the same greens from everything else that was measured
	Z        float64 // the difference over its standard deviation: scatter, discrepancy and what the rest leaves open
}

// odd is from where on a round is said not to fit: 1 in 100 by chance.
const odd = 2.576

// Odd says whether the round does not fit.
func (m Misfit) Odd() bool { return math.Abs(m.Z) > odd }

// Sentence says it in words.
func (m Misfit) Sentence() string {
	side := "above"
	if m.Measured < m.Expected {
		side = "below"
	}
	return fmt.Sprintf("%s, %g–%g mm: measured %.1f %%, %.1f points %s what the model makes of the other rounds and the log (%.1f times what scatter explains)",
		m.Round, m.Layer.Top, m.Layer.Bottom, 100*m.Measured, 100*math.Abs(m.Measured-m.Expected), side, math.Abs(m.Z))
}

// Misfits goes through the rounds and layers in the order they were measured. Each is held against the others: in the linear
// problem at the mode its rows are taken out, N' = N − Σ w·d·dᵀ, g' = −Σ w·d·r, and what is left is solved again. The spreads
// stay those of all rounds, so a round that is far off is judged mildly.
func (f *Fit) Misfits() ([]Misfit, error) {
	l, p := f.linear, f.problem
	list := make([]Misfit, len(p.blocks))
	rows := make([][]int, len(p.blocks))
	for i := range p.rows {
		if r := &p.rows[i]; !r.mass {
			rows[r.block] = append(rows[r.block], i)
		}
	}
	for b, block := range p.blocks {
		m := &list[b]
		*m = Misfit{Round: block.round, Day: block.day, Layer: f.Layers[block.layer], N: len(rows[b])}
		var weight, measured float64
		for _, i := range rows[b] {
			r := &p.rows[i]
			w := 1 / l.variance(r)
			weight += w
			measured += w * (r.value - l.skew(r))
		}
		off, variance, err := l.leaveOut(rows[b], weight)
		if err != nil {
			return nil, fmt.Errorf("holding %s, %g–%g mm against the other rounds: %w", m.Round, m.Layer.Top, m.Layer.Bottom, err)
		}
		m.Measured, m.Expected = math.Exp(measured/weight), math.Exp(measured/weight-off)
		m.Z = off / math.Sqrt(variance)
	}
	return list, nil
}

// leaveOut gives the weighted mean of the residuals of some rows as the rest of the problem sees them, and its variance.
func (l *linear) leaveOut(rows []int, weight float64) (off, variance float64, err error) {
	n := l.p.at.n
	normal := mat.NewSymDense(n, nil)
	normal.CopySym(l.normal)
	rest, mean := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	rest.CopyVec(mat.NewVecDense(n, l.gradient))
	for _, i := range rows {
		r := &l.p.rows[i]
		w, res := 1/l.variance(r), l.residuals[i]-l.skew(r)
		d, at := l.row(i)
		for j, dj := range d {
			rest.SetVec(at[j], rest.AtVec(at[j])-w*dj*res)
			mean.SetVec(at[j], mean.AtVec(at[j])+w*dj/weight)
			for k := j; k < reach; k++ {
				normal.SetSym(at[j], at[k], normal.At(at[j], at[k])-w*dj*d[k])
			}
		}
		off += w * res / weight
	}
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return 0, 0, fmt.Errorf("the normal equations are singular without it")
	}
	var step, spread mat.VecDense
	if err := errors.Join(chol.SolveVecTo(&step, rest), chol.SolveVecTo(&spread, mean)); err != nil {
		if poor := mat.Condition(0); !errors.As(err, &poor) {
			return 0, 0, err
		}
	}
	return off - mat.Dot(mean, &step), 1/weight + mat.Dot(mean, &spread), nil
}
