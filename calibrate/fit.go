package calibrate

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// Spreads are the standard deviations estimated with the unknowns, ln.
type Spreads struct {
	GreenGrowth, GreenSurface float64
	Composite                 []float64 // by layer, of a composite of 5 cores
	Discrepancy               float64
	Mass                      float64
}

// Fit is a calibrated course.
type Fit struct {
	Course  *Course
	Prior   Prior
	Layers  []Layer
	Mode    []float64     // places of all unknowns, in the order of [Fit.Name]
	Cov     *mat.SymDense // of them, by the curvature at the mode
	Spreads Spreads

	Objective  float64 // minus the logarithm of the posterior density at the mode, up to a constant
	Iterations int
	Evidence   Evidence // what the rounds alone say of the course's unknowns, for other courses to learn from

	problem *problem
	lower   *mat.TriDense // Cov = lower·lowerᵀ
}

// Evidence is what a course's rounds say of its unknowns with the greens and discrepancies averaged out, as a normal
// likelihood: exp(−½xᵀ·Information·x + Linearᵀ·x).
type Evidence struct {
	Information *mat.SymDense
	Linear      []float64
}

const (
	maxIterations = 40
	settled       = 1e-3 // largest last step, in standard deviations
)

// NewFit calibrates a course. Errors say what is missing; more of a record than nothing always gives an answer, if a wide one.
func NewFit(c *Course, prior Prior) (*Fit, error) {
	p, err := newProblem(c, true)
	if err != nil {
		return nil, err
	}
	l, err := newLinear(p, prior)
	if err != nil {
		return nil, err
	}
	theta := make([]float64, p.at.n)
	copy(theta, prior.Mean[:])
	f := &Fit{Course: c, Prior: prior, Layers: p.layers, problem: p}
	damping := 0.0
	if err := p.run(theta); err != nil {
		return nil, err
	}
	for f.Iterations = 1; f.Iterations <= maxIterations; f.Iterations++ {
		l.take(theta)
		next, step, err := l.solve(theta, damping, f.Iterations > 2)
		if err != nil {
			return nil, err
		}
		before := l.objective(theta)
		share := 1.0
		for {
			trial := mix(theta, next, share)
			if err := p.run(trial); err == nil && l.objective(trial) <= before+1e-9*math.Abs(before)+1e-9 {
				theta = trial
				break
			}
			if share /= 2; share < 1e-3 {
				break
			}
		}
		if share < 1e-3 {
			damping = max(4*damping, 0.1)
			if damping > 1e4 {
				return nil, errors.New("calibrating a course: no step improves the fit: check the record for an impossible value")
			}
			if err := p.run(theta); err != nil {
				return nil, err
			}
			continue
		}
		damping /= 4
		if step*share < settled && share == 1 && f.Iterations > 4 {
			break
		}
	}
	l.take(theta)
	if f.Cov, f.lower, err = l.covariance(); err != nil {
		return nil, err
	}
	f.Mode, f.Spreads, f.Objective = theta, l.spreads, l.objective(theta)
	f.Evidence, err = l.evidence(theta)
	return f, err
}

// mix goes a share of the way from a to b.
func mix(a, b []float64, share float64) []float64 {
	m := make([]float64, len(a))
	for i := range a {
		m[i] = a[i] + share*(b[i]-a[i])
	}
	return m
}

// Name gives the words for an unknown by its place in Mode.
func (f *Fit) Name(i int) string {
	at := f.problem.at
	switch {
	case i < int(profile.Unknowns):
		return profile.Table[i].Name
	case i == at.corer:
		return "mass of every composite"
	case i < at.surface:
		return "growth of green " + f.Course.Greens[i-at.growth].Name
	case i < at.block:
		return "first surface value of green " + f.Course.Greens[i-at.surface].Name
	}
	b := f.problem.blocks[i-at.block]
	return fmt.Sprintf("discrepancy of %s, %g–%g mm", b.round, f.Layers[b.layer].Top, f.Layers[b.layer].Bottom)
}

// Params gives the values of a green at the mode; green −1 gives the course's.
func (f *Fit) Params(green int) profile.Params {
	if green < 0 {
		var x [profile.Unknowns]float64
		copy(x[:], f.Mode)
		return profile.At(x)
	}
	return f.problem.params(f.Mode, green)
}
