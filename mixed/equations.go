package mixed

import (
	"errors"
	"math"
)

// equations is a model ready to be evaluated at any variances. The parameters are θ, the lower triangles of the relative covariance
// factors Λ̃ column by column, term by term; with known standard deviations the factors are absolute and σ stands last.
// The response is divided by its residual spread, so that every parameter is of the order of one.
type equations struct {
	terms   []Term
	fixed   *fixed
	bases   []basis
	s       *structure
	cross   *crossproducts
	work    *factored
	inverse *inverted
	ml      bool
	unit    float64   // what the response was divided by
	weights []float64 // w, nil for ones
	known   []float64 // s²/unit², nil when σ is profiled out
	names   []parameter
	logW    float64 // Σ log w
	count   int     // evaluations
	scale   []float64
	u       []float64
	gamma   []float64
	py      []float64 // Z̃'Py
	last    []float64 // parameters of the last factor
}

// parameter says which entry of which term's factor a parameter is; term −1 is σ.
type parameter struct{ term, row, col int }

func newEquations(d *Design, ml bool) (*equations, error) {
	e := &equations{terms: d.Terms, ml: ml, weights: d.Weights, fixed: orthogonalise(d)}
	n := len(d.Y)
	if sum := e.fixed.sum.float(); math.IsNaN(sum) || math.IsInf(sum, 0) {
		return nil, errors.New("fit: the squares of the numbers overflow: give the response and the columns in larger units")
	}
	e.unit = math.Sqrt(e.fixed.sum.float() / float64(max(1, n-e.fixed.p)))
	if e.unit == 0 {
		e.unit = 1
	}
	for _, w := range d.Weights {
		e.logW += math.Log(w)
	}
	if d.KnownSD != nil {
		e.known = make([]float64, n)
		for i, v := range d.KnownSD {
			e.known[i] = v * v / e.unit / e.unit
		}
		e.scale = make([]float64, n)
	}
	y := make([]float64, n)
	for i, v := range e.fixed.rest {
		y[i] = v / e.unit
	}
	for t := range d.Terms {
		b, err := newBasis(d.Terms[t], d.Weights, n)
		if err != nil {
			return nil, err
		}
		e.bases = append(e.bases, b)
	}
	p := e.fixed.p
	e.s = newStructure(d.Terms, p)
	size, root := e.s.entries, (p+1)*(p+1)
	e.cross = &crossproducts{s: e.s, terms: d.Terms, bases: e.bases, fixed: e.fixed, y: y, entry: make([]float64, size), xx: make([]float64, root)}
	e.work = &factored{s: e.s, entry: make([]float64, size), root: make([]float64, root)}
	e.inverse = &inverted{s: e.s, entry: make([]float64, size), xx: make([]float64, p*p)}
	if e.known == nil {
		e.cross.gather(nil)
	}
	for t, k := range e.s.sizes {
		for c := range k {
			for r := c; r < k; r++ {
				e.names = append(e.names, parameter{t, r, c})
			}
		}
	}
	if e.known != nil {
		e.names = append(e.names, parameter{term: -1})
	}
	return e, nil
}

// freedom is what the residual sum of squares is divided by: n − p, or n for maximum likelihood.
func (e *equations) freedom() float64 {
	if e.ml {
		return float64(len(e.cross.y))
	}
	return float64(len(e.cross.y) - e.fixed.p)
}

func (e *equations) lambda(at []float64) [][]float64 {
	out := e.s.zero()
	for i, q := range e.names {
		if q.term >= 0 {
			out[q.term][q.row*e.s.sizes[q.term]+q.col] = at[i]
		}
	}
	return out
}

// weigh sets the weights of the rows, D = 1/(σ²/w + s²) over w, and returns Σ log of w·(σ²/w + s²).
func (e *equations) weigh(sigma float64) float64 {
	log := 0.0
	for i, s2 := range e.known {
		w := 1.0
		if e.weights != nil {
			w = e.weights[i]
		}
		v := sigma*sigma + w*s2
		e.scale[i] = 1 / v
		log += math.Log(v)
	}
	e.cross.gather(e.scale)
	return log
}

// evaluate factors the equations and returns the criterion, −2 log of the (restricted) likelihood in working units up to constant terms:
//
//	log|L|² + log|R_X|² + ν·log(pwrss)              σ profiled out
//	Σ log(w·v) + log|L|² + log|R_X|² + pwrss        with known standard deviations, v = σ²/w + s²
//
// It is +Inf where the equations cannot be factored.
func (e *equations) evaluate(at []float64) float64 {
	e.count++
	e.last = append(e.last[:0], at...)
	log := 0.0
	if e.known != nil {
		sigma := at[len(at)-1]
		if sigma == 0 && !e.allKnown() {
			return math.Inf(1)
		}
		log = e.weigh(sigma)
	}
	if err := e.work.factor(e.cross, e.lambda(at)); err != nil {
		return math.Inf(1)
	}
	e.u = nil
	value := log + e.work.logL
	if !e.ml {
		value += e.work.logRX
	}
	if e.known != nil {
		return value + e.work.penalty
	}
	if !(e.work.penalty > 0) {
		return math.Inf(-1)
	}
	return value + e.freedom()*math.Log(e.work.penalty)
}

// allKnown reports whether every row has a measurement variance of its own, so that σ may be zero.
func (e *equations) allKnown() bool {
	for _, v := range e.known {
		if v == 0 {
			return false
		}
	}
	return true
}

// criterion turns a working value into −2 log of the (restricted) likelihood of the data as given.
func (e *equations) criterion(value float64) float64 {
	nu := e.freedom()
	unit := 2 * nu * math.Log(e.unit)
	if !e.ml {
		value += e.fixed.logDeterminant()
	}
	value += unit - e.logW
	if e.known != nil {
		return value + nu*math.Log(2*math.Pi)
	}
	return value + nu*(1+math.Log(2*math.Pi/nu))
}

// sigma is the residual standard deviation at the last factor, in working units.
func (e *equations) sigma() float64 {
	if e.known != nil {
		return math.Abs(e.last[len(e.last)-1])
	}
	return math.Sqrt(e.work.penalty / e.freedom())
}

// variance is σ² where the factors are relative, 1 where they are absolute.
func (e *equations) variance() float64 {
	if e.known != nil {
		return 1
	}
	return e.work.penalty / e.freedom()
}

// settle solves for u, γ and Z̃'Py at the last factor.
func (e *equations) settle() {
	if e.u != nil {
		return
	}
	e.u, e.gamma = e.work.solve()
	s := e.s
	b := e.spread(e.u)
	e.py = make([]float64, s.effects)
	e.cross.times(b, e.py, nil)
	for i := range e.py {
		e.py[i] = -e.py[i]
	}
	for at := range s.fronts {
		f := &s.fronts[at]
		for i := range int(f.k) {
			row := e.cross.entry[f.at+i*int(f.width):][:f.width]
			right := row[f.k+f.m:]
			v := right[s.p]
			for c, g := range e.gamma {
				v -= right[c] * g
			}
			e.py[f.index[i]] += v
		}
	}
}

// spread is Λ·u: spherical effects on the scale of the terms.
func (e *equations) spread(u []float64) []float64 {
	return e.s.multiply(e.work.lambda, u, false)
}

// multiply is Λ·x, or Λ'·x, level by level.
func (s *structure) multiply(lambda [][]float64, x []float64, transposed bool) []float64 {
	out := make([]float64, len(x))
	for t, k := range s.sizes {
		l := lambda[t]
		first, last := s.span(t)
		if k == 1 {
			for i := first; i < last; i++ {
				out[i] = l[0] * x[i]
			}
			continue
		}
		for e := first; e < last; e += k {
			for i := range k {
				for j := 0; j <= i; j++ {
					if transposed {
						out[e+j] += l[i*k+j] * x[e+i]
					} else {
						out[e+i] += l[i*k+j] * x[e+j]
					}
				}
			}
		}
	}
	return out
}

// span is the effects of a term.
func (s *structure) span(t int) (first, last int) {
	if s.node[t] == s.node[t+1] {
		return 0, 0
	}
	first = int(s.effect[s.node[t]])
	return first, first + s.sizes[t]*int(s.node[t+1]-s.node[t])
}

// slope differentiates the parts of the criterion at the last factor, in the order of the parameters.
func (e *equations) slope() (log, penalty []float64) {
	d := e.slopes()
	log, penalty = make([]float64, len(e.names)), make([]float64, len(e.names))
	for i, q := range e.names {
		if q.term < 0 {
			log[i], penalty[i] = e.residualSlope()
			continue
		}
		at := q.row*e.s.sizes[q.term] + q.col
		log[i], penalty[i] = d.log[q.term][at], d.penalty[q.term][at]
	}
	return log, penalty
}

func (e *equations) slopes() slope {
	e.settle()
	e.inverse.invert(e.work, !e.ml)
	return e.s.slopeOf(e.cross, e.work, e.inverse, e.py, e.u)
}

// coefficientCovariance is the covariance of the coefficients on Q at the last factor, in units of variance().
func (e *equations) coefficientCovariance() [][]float64 {
	p := e.s.p
	v := inverted{s: e.s, xx: make([]float64, p*p)}
	v.invertRoot(e.work)
	out := make([][]float64, p)
	for i := range out {
		out[i] = v.xx[i*p:][:p]
	}
	return out
}
