package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// narrow is a prior so tight that the model is linear within it, with spreads that are known.
func narrow() Prior {
	p := Usual()
	p.Cov.ScaleSym(1e-6, p.Cov)
	const known = 1e12
	p.GreenGrowth, p.GreenSurface = Spread{0.002, known}, Spread{0.003, known}
	p.Discrepancy, p.Mass, p.Corer = Spread{0.0006, known}, Spread{0.002, known}, 0.001
	p.Composite = func(top float64) Spread { return Spread{0.001 + top*2e-5, known} }
	return p
}

// seenAt gives ln OM, or ln mass, of every row for a place of the course's unknowns and of the greens' factors, run anew.
func seenAt(t *testing.T, s *simulated, p *problem, x []float64) []float64 {
	t.Helper()
	y := make([]float64, len(p.rows))
	for i := range p.rows {
		r := &p.rows[i]
		m := s.course.Measured[r.of]
		var at [profile.Unknowns]float64
		copy(at[:], x)
		at[profile.Growth] += x[int(profile.Unknowns)+r.green]
		at[profile.Surface] += x[int(profile.Unknowns)+len(s.course.Greens)+r.green]
		seen := runOf(t, s.course.Settings, s.course.Daily, s.course.Greens[m.Green].Work, profile.At(at), []int{m.Day}, []Layer{{m.Top, m.Bottom}})[0]
		y[i] = math.Log(seen.OM())
		if r.mass {
			y[i] = math.Log(seen.Mass())
		}
	}
	return y
}

// In a linear normal model the posterior is known in closed form from the data's own covariance,
//
//	m = m₀ + C·Hᵀ·(H·C·Hᵀ + V)⁻¹·(y − h(m₀)),  C' = C − C·Hᵀ·(H·C·Hᵀ + V)⁻¹·H·C
//
// with H by central differences of runs of their own, and V of scatter, with what a round and layer, or all masses, share.
// The fit goes another way: joint unknowns, normal equations and derivatives carried along.
func TestPosteriorOfALinearCourseIsTheClosedForm(t *testing.T) {
	s := simulate(t, plan{greens: 3, years: 2, seed: 71})
	prior := narrow()
	rng := rand.New(rand.NewPCG(71, 2))
	for i := range s.course.Measured { // near what the middle of the prior sees, or the model would bend on the way
		m := &s.course.Measured[i]
		seen := runOf(t, s.course.Settings, s.course.Daily, s.course.Greens[m.Green].Work, profile.At(prior.Mean), []int{m.Day}, []Layer{{m.Top, m.Bottom}})[0]
		m.OM, m.Mass = seen.OM()*math.Exp(0.0015*rng.NormFloat64()), seen.Mass()*math.Exp(0.0015*rng.NormFloat64())
	}
	f, err := NewFit(&s.course, prior)
	if err != nil {
		t.Fatal(err)
	}
	p := f.problem
	u, g := int(profile.Unknowns), len(s.course.Greens)
	n, rows := u+2*g, len(p.rows)
	x0, c := make([]float64, n), mat.NewSymDense(n, nil)
	copy(x0, prior.Mean[:])
	for i := range n {
		switch {
		case i < u:
			c.SetSym(i, i, prior.Cov.At(i, i))
		case i < u+g:
			c.SetSym(i, i, prior.GreenGrowth.SD*prior.GreenGrowth.SD)
		default:
			c.SetSym(i, i, prior.GreenSurface.SD*prior.GreenSurface.SD)
		}
	}
	h := mat.NewDense(rows, n, nil)
	for j := range n {
		const step = 1e-4
		up, down := append([]float64(nil), x0...), append([]float64(nil), x0...)
		up[j] += step
		down[j] -= step
		a, b := seenAt(t, s, p, up), seenAt(t, s, p, down)
		for i := range rows {
			h.Set(i, j, (a[i]-b[i])/(2*step))
		}
	}
	base := seenAt(t, s, p, x0)
	v, y := mat.NewSymDense(rows, nil), mat.NewVecDense(rows, nil)
	for i := range rows {
		r := &p.rows[i]
		m := s.course.Measured[r.of]
		scatter := prior.Composite(m.Top).SD * prior.Composite(m.Top).SD
		off := scatter / 2 // cores are averaged on the natural scale
		if r.mass {
			scatter, off = prior.Mass.SD*prior.Mass.SD, 0
		}
		y.SetVec(i, r.value+off-base[i])
		for j := i; j < rows; j++ {
			q := &p.rows[j]
			var shared float64
			switch {
			case r.mass && q.mass:
				shared = prior.Corer * prior.Corer
			case !r.mass && !q.mass && m.Round == s.course.Measured[q.of].Round && m.Top == s.course.Measured[q.of].Top:
				shared = prior.Discrepancy.SD * prior.Discrepancy.SD
			}
			if i == j {
				shared += scatter
			}
			v.SetSym(i, j, shared)
		}
	}
	var hc, data, gain, mean, cov mat.Dense
	hc.Mul(h, c)
	data.Mul(&hc, h.T())
	data.Add(&data, v)
	if err := gain.Solve(&data, &hc); err != nil {
		t.Fatal(err)
	}
	mean.Mul(gain.T(), y)
	cov.Mul(hc.T(), &gain)
	cov.Sub(c, &cov)
	at := func(i int) int { // in the fit's order
		if i < u {
			return i
		}
		return i - u + p.at.growth
	}
	for i := range n {
		sd := math.Sqrt(cov.At(i, i))
		if got, want := f.Mode[at(i)], x0[i]+mean.At(i, 0); math.Abs(got-want) > 0.01*sd { // the last step of a fit is below 0.01 sd
			t.Errorf("%s: mode %.8f, closed form %.8f, sd %.8f", f.Name(at(i)), got, want, sd)
		}
		for j := i; j < n; j++ {
			scale := sd * math.Sqrt(cov.At(j, j))
			if got, want := f.Cov.At(at(i), at(j)), cov.At(i, j); math.Abs(got-want) > 2e-3*scale { // the model bends by so much over its prior
				t.Errorf("covariance of %s and %s: %.4g, closed form %.4g", f.Name(at(i)), f.Name(at(j)), got, want)
			}
		}
	}
	moved := 0.0
	for i := range n {
		moved = math.Max(moved, math.Abs(mean.At(i, 0))/math.Sqrt(c.At(i, i)))
	}
	if moved < 0.5 {
		t.Errorf("the rounds move the unknowns by %.2f standard deviations of the prior at most: the test shows little", moved)
	}
}

// The normal equations are JᵀWJ + prior, with J by central differences.
func TestNormalEquationsAreThoseOfDifferences(t *testing.T) {
	f := simulate(t, plan{greens: 3, years: 3, seed: 72}).fit(t)
	l := linearAt(t, f, f.Mode)
	l.assemble(f.Mode)
	n := f.problem.at.n
	j := mat.NewDense(len(f.problem.rows), n, nil)
	for k := range n {
		const step = 1e-5
		for _, sign := range []float64{1, -1} {
			theta := append([]float64(nil), f.Mode...)
			theta[k] += sign * step
			if err := f.problem.run(theta); err != nil {
				t.Fatal(err)
			}
			for i := range f.problem.rows {
				j.Set(i, k, j.At(i, k)-sign*f.problem.residual(theta, &f.problem.rows[i])/(2*step))
			}
		}
	}
	for a := range n {
		for b := a; b < n; b++ {
			var want float64
			for i := range f.problem.rows {
				want += j.At(i, a) * j.At(i, b) / l.variance(&f.problem.rows[i])
			}
			switch u := int(profile.Unknowns); {
			case b < u:
				want += l.precision.At(a, b)
			case a == b:
				want += 1 / l.priorVariance(a)
			}
			scale := math.Sqrt(l.normal.At(a, a) * l.normal.At(b, b))
			if math.Abs(l.normal.At(a, b)-want) > 1e-5*scale {
				t.Errorf("%s and %s: %.6g, by differences %.6g", f.Name(a), f.Name(b), l.normal.At(a, b), want)
			}
		}
	}
}

// A round left out by algebra is as a round that was never there: the same linear problem put together from the other rows.
func TestARoundLeftOutIsAsNeverMeasured(t *testing.T) {
	f := simulate(t, plan{greens: 3, years: 3, seed: 73}).fit(t)
	list, err := f.Misfits()
	if err != nil {
		t.Fatal(err)
	}
	l, p := linearAt(t, f, f.Mode), f.problem
	for b, m := range list {
		var mine, others []row
		for i := range p.rows {
			if p.rows[i].block == b {
				mine = append(mine, p.rows[i])
			} else {
				others = append(others, p.rows[i])
			}
		}
		// without the rows, and their discrepancy at what it is before any
		rest := *p
		rest.rows = others
		r, err := newLinear(&rest, f.Prior)
		if err != nil {
			t.Fatal(err)
		}
		r.spreads = f.Spreads
		r.take(f.Mode)
		next, _, err := r.solve(f.Mode, 0, false)
		if err != nil {
			t.Fatal(err)
		}
		var inverse mat.SymDense
		if err := r.chol.InverseTo(&inverse); err != nil {
			t.Log(err)
		}
		var weight, off float64
		mean := make([]float64, p.at.n)
		for i := range p.rows {
			if p.rows[i].block != b {
				continue
			}
			w := 1 / l.variance(&p.rows[i])
			left := l.residuals[i] - l.skew(&p.rows[i])
			d, at := l.row(i)
			for j, dj := range d {
				left -= dj * (next[at[j]] - f.Mode[at[j]])
				mean[at[j]] += w * dj
			}
			weight += w
			off += w * left
		}
		var variance float64
		for i := range mean {
			for j := range mean {
				variance += mean[i] * inverse.At(i, j) * mean[j] / (weight * weight)
			}
		}
		if want := off / weight / math.Sqrt(1/weight+variance); math.Abs(m.Z-want) > 1e-6*(1+math.Abs(want)) || m.N != len(mine) {
			t.Errorf("%s %v: z %.8f of %d composites, put together from the others %.8f of %d", m.Round, m.Layer, m.Z, m.N, want, len(mine))
		}
	}
	if len(list) != 9 {
		t.Errorf("%d rounds and layers, wanted 9: %s", len(list), fmt.Sprint(list))
	}
}
