package mixed

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Options of a fit.
type Options struct {
	ML bool // full instead of restricted maximum likelihood
}

// Fitted is a model with its estimates. One goroutine at a time may ask it: its methods work on the same equations.
type Fitted struct {
	Design        *Design
	ML            bool
	N, P          int         // rows; coefficients estimated
	Criterion     float64     // −2 log of the (restricted) likelihood
	LogLikelihood float64     // its logarithm
	Names         []string    // of the coefficients estimated
	Beta          []float64   // coefficients, in the unit of the response over that of their column
	SE            []float64   // their standard errors
	Cov           [][]float64 // P × P covariance of the coefficients
	Aliased       []Aliased   // columns left out because the others say the same
	Theta         []float64   // relative covariance factors, term by term, lower triangle column by column; absolute where standard deviations are known
	Sigma         float64     // residual standard deviation, in the unit of the response
	Components    []Component // standard deviations of each term, then its correlations
	Singular      bool        // a variance is zero or a correlation is ±1
	Warnings      []string
	Evaluations   int // of the criterion

	equations *equations
	free      []bool // parameters not held at zero
	value     float64
	at        []float64
	spread    *uncertainty
	adjust    *adjusted
	untold    []bool // of each term: the criterion does not depend on its variance
}

// Component is one standard deviation of a random term, or with Other the correlation of two of its effects.
type Component struct {
	Group       string
	Name        string
	Other       string
	SD          float64
	Variance    float64
	Correlation float64
}

// Fit estimates a linear mixed model
//
//	y = X·β + Σ Z·b + ε,   b ~ N(0, σ²ΛΛ'),   ε ~ N(0, σ²/w) or N(0, σ²/w + s²)
//
// by restricted (or full) maximum likelihood: the profiled criterion of Bates, Mächler, Bolker & Walker 2015, J Stat Softw 67(1), eq. 42
// is minimised over the factors Λ with an analytic gradient. Without random terms it is least squares. The criterion
// keeps all constants but log|X'X|. A column of X that repeats others is left out and named; a variance that comes out as zero is kept, named and
// flagged as singular. Ignored: correlation of residuals, residual variances that differ otherwise than by the weights.
func Fit(d *Design, o Options) (*Fitted, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	e, err := newEquations(d, o.ML)
	if err != nil {
		return nil, err
	}
	f := &Fitted{Design: d, ML: o.ML, N: len(d.Y), P: e.fixed.p, Aliased: e.fixed.aliased, equations: e}
	for _, j := range e.fixed.kept {
		f.Names = append(f.Names, d.Names[j])
	}
	if f.N <= f.P {
		return nil, fmt.Errorf("fit: %d rows for %d coefficients: there must be more rows than coefficients", f.N, f.P)
	}
	if len(e.names) == 0 {
		f.value = e.evaluate(nil)
		if still(d, e) {
			f.Warnings = append(f.Warnings, "the fixed part fits every row exactly: standard errors are zero and say nothing")
		}
		f.report()
		return f, nil
	}
	if still(d, e) {
		return nil, errors.New("fit: the response does not vary about its fixed part: there is nothing to divide among the random terms")
	}
	if e.spans() {
		return nil, ErrExact
	}
	best, err := e.best()
	if err != nil {
		return nil, err
	}
	f.at, f.free, f.value = best.at, best.free, best.value
	e.stand(f.at)
	if e.known == nil && e.work.penalty < spentRest*e.freedom() {
		return nil, ErrExact
	}
	if g := norm(best.gradient, best.free); !(g < 1e-8) {
		f.Warnings = append(f.Warnings, fmt.Sprintf("the search ended where the criterion still has a slope of %.1g: treat the variances with care", math.Sqrt(g)))
	}
	f.unidentified()
	e.stand(f.at)
	f.report()
	return f, nil
}

// spentRest is the share of the least-squares rest that may be left in the residual before the fit counts as exact.
const spentRest = 1e-13

// stand makes the factor that of a point, if it is not.
func (e *equations) stand(at []float64) {
	if !slices.Equal(e.last, at) {
		e.evaluate(at)
	}
}

// spans reports whether effects and coefficients are enough to fit every row exactly, so that the likelihood has no bound.
func (e *equations) spans() bool {
	columns := e.fixed.p
	for i := range e.s.fronts {
		columns += int(e.s.fronts[i].k)
	}
	if e.known != nil || columns < len(e.cross.y) {
		return false
	}
	at := make([]float64, len(e.names))
	for i, q := range e.names {
		if q.row == q.col {
			at[i] = 1e6
		}
	}
	e.evaluate(at)
	return e.work.penalty < 1e-9*e.freedom()
}

// ErrExact is the error of a fit whose random effects leave nothing to the residual.
var ErrExact = errors.New("fit: the random effects fit every row exactly: there is no residual left to weigh them against; leave a term out")

// unidentified notes the variances the criterion does not depend on: they stand at zero, and any other value fits as well.
func (f *Fitted) unidentified() {
	e := f.equations
	f.untold = make([]bool, len(e.terms))
	for i, q := range e.names {
		if q.term < 0 || e.s.sizes[q.term] > 1 || f.at[i] != 0 {
			continue
		}
		at := slices.Clone(f.at)
		at[i] = 1
		if v := e.evaluate(at); math.Abs(v-f.value) <= 1e-10*(1+math.Abs(f.value)) {
			f.untold[q.term] = true
			t := f.Design.Terms[q.term]
			f.Warnings = append(f.Warnings, fmt.Sprintf("the variance of %s between levels of %s cannot be told from the fixed part: any value fits as well, and zero is taken", t.Names[0], t.Group))
		}
	}
}

// still reports whether what the fixed part leaves is rounding.
func still(d *Design, e *equations) bool {
	size := 0.0
	for i, y := range d.Y {
		w := 1.0
		if d.Weights != nil {
			w = d.Weights[i]
		}
		size += w * y * y
	}
	return e.fixed.sum.float() <= 1e-28*size
}

// report takes the estimates from the last factor.
func (f *Fitted) report() {
	e := f.equations
	e.settle()
	f.Criterion = e.criterion(f.value)
	if len(e.names) == 0 && e.fixed.sum.float() == 0 {
		f.Criterion = math.Inf(-1)
	}
	f.LogLikelihood = -f.Criterion / 2
	f.Sigma = e.sigma() * e.unit
	gamma := make([]float64, len(e.gamma))
	for i, g := range e.gamma {
		gamma[i] = g * e.unit
	}
	f.Beta = e.fixed.coefficients(gamma)
	c := e.coefficientCovariance()
	by := e.variance() * e.unit * e.unit
	for i := range c {
		for j := range c {
			c[i][j] *= by
		}
	}
	f.Cov = e.fixed.covariance(c)
	for i := range f.Cov {
		f.SE = append(f.SE, math.Sqrt(f.Cov[i][i]))
	}
	f.components()
	f.Evaluations = e.count
}

// factors are the k × k factors of each term in the units of its own columns, row-major: relative to σ, or absolute where standard deviations are
// known.
func (f *Fitted) factors() [][]float64 {
	e := f.equations
	var out [][]float64
	for t := range e.terms {
		l := e.bases[t].lower(e.work.lambda[t])
		if e.known != nil {
			for i := range l {
				l[i] *= e.unit
			}
		}
		out = append(out, l)
	}
	return out
}

func (f *Fitted) components() {
	by := f.Sigma
	if f.equations.known != nil {
		by = 1
	}
	for t, l := range f.factors() {
		term := f.Design.Terms[t]
		k := len(term.Names)
		g := make([]float64, k*k)
		for c := range k {
			for r := c; r < k; r++ {
				f.Theta = append(f.Theta, l[r*k+c])
			}
		}
		for i := range k {
			for j := range k {
				g[i*k+j] = by * by * product(l[i*k:][:k], l[j*k:][:k])
			}
			sd := math.Sqrt(g[i*k+i])
			f.Components = append(f.Components, Component{Group: term.Group, Name: term.Names[i], SD: sd, Variance: g[i*k+i]})
		}
		for i := range k {
			for j := range i {
				c := Component{Group: term.Group, Name: term.Names[i], Other: term.Names[j], Correlation: math.NaN()}
				if g[i*k+i] > 0 && g[j*k+j] > 0 {
					c.Correlation = max(-1, min(1, g[i*k+j]/math.Sqrt(g[i*k+i]*g[j*k+j])))
				}
				f.Components = append(f.Components, c)
			}
		}
		f.flag(t, l, k)
	}
	if e := f.equations; e.known != nil && f.Sigma == 0 {
		f.Singular = true
		f.Warnings = append(f.Warnings, "the residual standard deviation comes out as zero: the known standard deviations explain all the scatter")
	}
}

// flag says in words what is singular about a term.
func (f *Fitted) flag(t int, l []float64, k int) {
	term := f.Design.Terms[t]
	for c := range k {
		if l[c*k+c] != 0 {
			continue
		}
		f.Singular = true
		row := 0.0
		for j := range c {
			row += l[c*k+j] * l[c*k+j]
		}
		switch {
		case row == 0 && f.untold[t]: // said already
		case row == 0:
			f.Warnings = append(f.Warnings, fmt.Sprintf("the variance of %s between levels of %s comes out as zero: these data show no such differences beyond the rest of the scatter", term.Names[c], term.Group))
		case c == 1:
			sign := "+1"
			if l[c*k] < 0 {
				sign = "−1"
			}
			f.Warnings = append(f.Warnings, fmt.Sprintf("%s and %s of %s come out with a correlation of %s: these data cannot tell them apart", term.Names[c], term.Names[0], term.Group, sign))
		default:
			f.Warnings = append(f.Warnings, fmt.Sprintf("%s of %s comes out as a combination of the effects before it: these data cannot tell them apart", term.Names[c], term.Group))
		}
	}
}

// FittedValues are X·β + Z·b of every row, in the unit of the response.
func (f *Fitted) FittedValues() []float64 {
	out := f.Residuals()
	for i, y := range f.Design.Y {
		out[i] = y - out[i]
	}
	return out
}

// Residuals are y − X·β − Z·b of every row, in the unit of the response.
func (f *Fitted) Residuals() []float64 {
	rows := f.equations.rows()
	out := make([]float64, f.N)
	for i := range out {
		rows.at(i)
		v := rows.residual() * f.equations.unit
		if root := f.equations.fixed.root; root != nil {
			v /= root[i]
		}
		out[i] = v
	}
	return out
}
