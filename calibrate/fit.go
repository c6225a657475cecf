package calibrate

import (
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

	Objective  float64  // minus the logarithm of the posterior density at the mode, up to a constant
	Iterations int      // steps it took; more than 40 where the mode was not reached, as at the limits of the unknowns
	Evidence   Evidence // what the rounds alone say of the course's unknowns, for other courses to learn from

	problem *problem
	linear  *linear       // at the mode; only read
	lower   *mat.TriDense // Cov = lower·lowerᵀ
}

// Evidence is what a course's rounds say of its unknowns with the greens and discrepancies averaged out, as a normal
// likelihood: exp(−½xᵀ·Information·x + Linearᵀ·x).
type Evidence struct {
	Information *mat.SymDense
	Linear      []float64
}

const (
	maxIterations   = 40
	leastIterations = 5
	settled         = 1e-2 // largest last step, in standard deviations
	worthless       = 1e-4 // least gain of a step, in the logarithm of the posterior density
	mostDamping     = 100
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
	if err := p.run(theta); err != nil {
		return nil, err
	}
	if err := p.sane(); err != nil {
		return nil, err
	}
	damping := 0.0
	for f.Iterations = 1; f.Iterations <= maxIterations; f.Iterations++ {
		l.take(theta)
		// the spreads follow the plain linear problem only: a damped one knows less than the rounds say
		next, step, err := l.solve(theta, damping, f.Iterations > 2 && damping == 0)
		if err != nil {
			return nil, err
		}
		before := l.objective(theta)
		trial, gain, share := f.descend(l, theta, next, before)
		if trial == nil { // no step is better: at a crease of the model, such as holes just filled to the brim
			if damping = max(10*damping, 0.1); damping > mostDamping {
				break
			}
			if err := p.run(theta); err != nil {
				return nil, err
			}
			continue
		}
		theta, damping = trial, damping/10
		if damping < 1e-3 {
			damping = 0
		}
		if f.Iterations > leastIterations && (share == 1 && step < settled || gain < worthless) {
			break
		}
	}
	f.Mode = theta
	return f, f.conclude(l)
}

// conclude fills in what follows from the mode and the spreads of the linear problem.
func (f *Fit) conclude(l *linear) error {
	if err := f.problem.run(f.Mode); err != nil {
		return err
	}
	l.take(f.Mode)
	var err error
	if f.Cov, f.lower, err = l.covariance(); err != nil {
		return err
	}
	f.Spreads, f.Objective = l.spreads, l.objective(f.Mode)
	f.linear = l
	f.Evidence, err = l.evidence(f.Mode)
	return err
}

// descend goes the step, or where that gains less than a quarter of what its first direction promises, a share of it: the one at
// which a parabola through what is known has its least, and so on down to a 64th; nil when none helps. It leaves the problem run at
// what it returns.
func (f *Fit) descend(l *linear, theta, next []float64, before float64) (trial []float64, gain, share float64) {
	var promised float64 // gain for a whole step were the objective as steep all the way
	for j := range theta {
		promised += l.gradient[j] * (next[j] - theta[j])
	}
	least := promised / 4
	for share = 1; share > 1.0/100; {
		trial = mix(theta, next, share)
		gain = math.Inf(-1)
		if err := f.problem.run(trial); err == nil {
			gain = before - l.objective(trial)
		}
		if gain >= math.Min(least*share, promised*share-1e-9*math.Abs(before)) {
			return trial, gain, share
		}
		bend := promised*share - gain // of the parabola, at this share
		share *= math.Min(math.Max(promised*share/(2*bend), 0.25), 0.75)
		least = 0
	}
	return nil, 0, 0
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
