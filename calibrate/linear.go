package calibrate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// linear is the problem as it looks from one place: residuals, their derivatives and the spreads.
type linear struct {
	p         *problem
	prior     Prior
	precision *mat.SymDense // of the course's unknowns
	slopes    []float64     // row·reach + which
	index     []int         // row·reach + which: the unknowns a row depends on, rising
	residuals []float64
	spreads   Spreads
	normal    *mat.SymDense
	chol      mat.Cholesky
	gradient  []float64
}

// reach is how many unknowns a row depends on: those of the course, two factors of its green, and what it shares with others.
const reach = int(profile.Unknowns) + 3

func newLinear(p *problem, prior Prior) (*linear, error) {
	n := p.at.n
	l := &linear{p: p, prior: prior, slopes: make([]float64, len(p.rows)*reach), residuals: make([]float64, len(p.rows)), normal: mat.NewSymDense(n, nil), gradient: make([]float64, n)}
	var chol mat.Cholesky
	if !chol.Factorize(prior.Cov) {
		return nil, fmt.Errorf("calibrating a course: the prior's covariance is not positive definite")
	}
	l.precision = mat.NewSymDense(int(profile.Unknowns), nil)
	if err := chol.InverseTo(l.precision); err != nil {
		return nil, fmt.Errorf("calibrating a course: the prior: %w", err)
	}
	l.spreads = Spreads{GreenGrowth: prior.GreenGrowth.SD, GreenSurface: prior.GreenSurface.SD, Discrepancy: prior.Discrepancy.SD, Mass: prior.Mass.SD}
	for i := range p.rows {
		l.index = p.index(&p.rows[i], l.index)
	}
	for _, layer := range p.layers {
		l.spreads.Composite = append(l.spreads.Composite, prior.Composite(layer.Top).SD)
	}
	return l, nil
}

// take reads residuals and derivatives after a run at theta.
func (l *linear) take(theta []float64) {
	for i := range l.p.rows {
		r := &l.p.rows[i]
		l.residuals[i] = l.p.residual(theta, r)
		l.p.slope(r, l.slopes[i*reach:(i+1)*reach])
	}
}

// variance of a row.
func (l *linear) variance(r *row) float64 {
	sd := l.spreads.Mass
	if !r.mass {
		sd = l.spreads.Composite[r.group]
	}
	return sd*sd*r.thin + r.extra
}

// skew is by how much the mean of ln OM of a composite lies below the ln of its green's mean: half the variance, for
// lognormal cores.
func (l *linear) skew(r *row) float64 {
	if r.mass {
		return 0
	}
	return -l.variance(r) / 2
}

// priorVariance of unknown i beyond the course's own.
func (l *linear) priorVariance(i int) float64 {
	at := l.p.at
	switch {
	case i == at.corer:
		return l.prior.Corer * l.prior.Corer
	case i < at.surface:
		return l.spreads.GreenGrowth * l.spreads.GreenGrowth
	case i < at.block:
		return l.spreads.GreenSurface * l.spreads.GreenSurface
	}
	return l.spreads.Discrepancy * l.spreads.Discrepancy
}

// assemble builds the normal equations about theta: normal·(θ' − θ) = gradient.
func (l *linear) assemble(theta []float64) {
	n, m := l.p.at.n, int(profile.Unknowns)
	a := l.normal.RawSymmetric()
	clear(a.Data)
	clear(l.gradient)
	for i := range l.p.rows {
		r := &l.p.rows[i]
		w := 1 / l.variance(r)
		d, at := l.row(i)
		res := l.residuals[i] - l.skew(r)
		for j, dj := range d {
			wd := w * dj
			l.gradient[at[j]] += wd * res
			line := a.Data[at[j]*a.Stride : at[j]*a.Stride+n]
			for k := j; k < reach; k++ {
				line[at[k]] += wd * d[k]
			}
		}
	}
	for j := range m {
		for k := j; k < m; k++ {
			a.Data[j*a.Stride+k] += l.precision.At(j, k)
		}
		for k := range m {
			l.gradient[j] -= l.precision.At(j, k) * (theta[k] - l.prior.Mean[k])
		}
	}
	for j := m; j < n; j++ {
		v := l.priorVariance(j)
		a.Data[j*a.Stride+j] += 1 / v
		l.gradient[j] -= theta[j] / v
	}
}

// row gives the derivatives of a row and the unknowns they are by.
func (l *linear) row(i int) (d []float64, at []int) {
	return l.slopes[i*reach : (i+1)*reach], l.index[i*reach : (i+1)*reach]
}

// solve gives the next place and the largest step to it in standard deviations; spread says whether the spreads are
// brought up to date on the way, by expectation and maximisation in the linear problem.
func (l *linear) solve(theta []float64, damping float64, spread bool) ([]float64, float64, error) {
	rounds := 1
	if spread {
		rounds = 6
	}
	n := l.p.at.n
	next := make([]float64, n)
	step := mat.NewVecDense(n, nil)
	var inverse mat.SymDense
	var largest float64
	for k := range rounds {
		l.assemble(theta)
		if damping > 0 {
			for j := range n {
				l.normal.SetSym(j, j, l.normal.At(j, j)*(1+damping))
			}
		}
		if !l.chol.Factorize(l.normal) {
			return nil, 0, fmt.Errorf("calibrating a course: the normal equations are singular")
		}
		if err := l.chol.SolveVecTo(step, mat.NewVecDense(n, l.gradient)); err != nil {
			if _, poor := err.(mat.Condition); !poor {
				return nil, 0, fmt.Errorf("calibrating a course: %w", err)
			}
		}
		for j := range n {
			next[j] = theta[j] + step.AtVec(j)
		}
		if err := l.chol.InverseTo(&inverse); err != nil {
			if _, poor := err.(mat.Condition); !poor {
				return nil, 0, fmt.Errorf("calibrating a course: %w", err)
			}
		}
		largest = 0
		for j := range n {
			largest = math.Max(largest, math.Abs(step.AtVec(j))/math.Sqrt(inverse.At(j, j)))
		}
		if k < rounds-1 {
			l.respread(next, step, &inverse)
		}
	}
	return next, largest, nil
}

// respread takes the spreads from the expected squares at a solution of the linear problem. Of a square that holds the scatter of
// the composite and the bench's, the composite's part is what is expected of it.
func (l *linear) respread(next []float64, step *mat.VecDense, cov *mat.SymDense) {
	at := l.p.at
	sum := func(from, to int) float64 {
		var s float64
		for j := from; j < to; j++ {
			s += next[j]*next[j] + cov.At(j, j)
		}
		return s
	}
	greens, blocks := float64(len(l.p.greens)), float64(len(l.p.blocks))
	s := &l.spreads
	s.GreenGrowth = l.prior.GreenGrowth.update(sum(at.growth, at.surface), greens)
	s.GreenSurface = l.prior.GreenSurface.update(sum(at.surface, at.block), greens)
	s.Discrepancy = l.prior.Discrepancy.update(sum(at.block, at.n), blocks)

	sums, counts := make([]float64, len(l.p.layers)+1), make([]float64, len(l.p.layers)+1)
	for i := range l.p.rows {
		r := &l.p.rows[i]
		d, where := l.row(i)
		left := l.residuals[i] - l.skew(r)
		for j, dj := range d {
			left -= dj * step.AtVec(where[j])
		}
		share := 1 - r.extra/l.variance(r)
		sums[r.group] += share*share*(left*left+quadratic(cov, d, where))/r.thin + share*r.extra/r.thin
		counts[r.group]++
	}
	for g, layer := range l.p.layers {
		s.Composite[g] = l.prior.Composite(layer.Top).update(sums[g], counts[g])
	}
	last := len(l.p.layers)
	s.Mass = l.prior.Mass.update(sums[last], counts[last])
}

// quadratic gives dᵀ·cov·d for a d that is zero but at the places given, which rise.
func quadratic(cov *mat.SymDense, d []float64, at []int) float64 {
	c := cov.RawSymmetric()
	var sum float64
	for j, dj := range d {
		line := c.Data[at[j]*c.Stride:]
		v := line[at[j]] * dj / 2
		for k := j + 1; k < len(d); k++ {
			v += line[at[k]] * d[k]
		}
		sum += 2 * dj * v
	}
	return sum
}

// objective is minus the log posterior density at theta after a run there, with the spreads held.
func (l *linear) objective(theta []float64) float64 {
	var sum float64
	for i := range l.p.rows {
		r := &l.p.rows[i]
		res := l.p.residual(theta, r) - l.skew(r)
		sum += res * res / l.variance(r)
	}
	m := int(profile.Unknowns)
	for j := range m {
		for k := range m {
			sum += (theta[j] - l.prior.Mean[j]) * l.precision.At(j, k) * (theta[k] - l.prior.Mean[k])
		}
	}
	for j := m; j < l.p.at.n; j++ {
		sum += theta[j] * theta[j] / l.priorVariance(j)
	}
	return sum / 2
}

// covariance inverts the curvature at the last place taken.
func (l *linear) covariance() (*mat.SymDense, *mat.TriDense, error) {
	n := l.p.at.n
	l.assemble(make([]float64, n))
	if !l.chol.Factorize(l.normal) {
		return nil, nil, fmt.Errorf("calibrating a course: the curvature at the mode is not positive definite")
	}
	cov := mat.NewSymDense(n, nil)
	if err := l.chol.InverseTo(cov); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			return nil, nil, err
		}
	}
	var c mat.Cholesky
	if !c.Factorize(cov) {
		return nil, nil, fmt.Errorf("calibrating a course: the covariance at the mode is not positive definite")
	}
	var lower mat.TriDense
	c.LTo(&lower)
	return cov, &lower, nil
}

// evidence takes the prior of the course's unknowns out of the normal equations and averages the rest out.
func (l *linear) evidence(theta []float64) (Evidence, error) {
	n, m := l.p.at.n, int(profile.Unknowns)
	l.assemble(theta)
	// about the origin: gradient0 = gradient + normal·θ holds prior and data
	full := make([]float64, n)
	for j := range n {
		full[j] = l.gradient[j]
		for k := range n {
			full[j] += l.normal.At(j, k) * theta[k]
		}
	}
	rest := l.normal.SliceSym(m, n).(*mat.SymDense)
	var chol mat.Cholesky
	if !chol.Factorize(rest) {
		return Evidence{}, fmt.Errorf("calibrating a course: the evidence is not positive definite")
	}
	cross := mat.NewDense(n-m, m, nil)
	for j := range n - m {
		for k := range m {
			cross.Set(j, k, l.normal.At(m+j, k))
		}
	}
	var solved mat.Dense
	if err := chol.SolveTo(&solved, cross); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			return Evidence{}, err
		}
	}
	e := Evidence{Information: mat.NewSymDense(m, nil), Linear: make([]float64, m)}
	for j := range m {
		for k := j; k < m; k++ {
			v := l.normal.At(j, k) - l.precision.At(j, k)
			for i := range n - m {
				v -= cross.At(i, j) * solved.At(i, k)
			}
			e.Information.SetSym(j, k, v)
		}
		e.Linear[j] = full[j]
		for k := range m {
			e.Linear[j] -= l.precision.At(j, k) * l.prior.Mean[k]
		}
		for i := range n - m {
			e.Linear[j] -= solved.At(i, j) * full[m+i]
		}
	}
	return e, nil
}
