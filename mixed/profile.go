package mixed

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is a profile-likelihood interval of one standard deviation, correlation (with Other) or, Group empty and Name "sigma", the
// residual standard deviation. Lower is 0 (or −1) and Upper 1 for a correlation where the likelihood never falls far enough.
// Upper is +Inf for a variance that these data do not bound.
type Interval struct {
	Group, Name, Other     string
	Estimate, Lower, Upper float64
}

// Intervals are the values of each variance parameter at which −2 log of the (restricted) likelihood, least over all other parameters, is within
// χ²₁(level) of its minimum (Venzon & Moolgavkar 1988, Appl Stat 37:87–94, for the idea). They hold for the criterion the model was
// fitted by.
func (f *Fitted) Intervals(level float64) ([]Interval, error) {
	if !(level > 0 && level < 1) {
		return nil, fmt.Errorf("profile intervals: level %g: it must lie between 0 and 1", level)
	}
	e := f.equations
	defer func() { e.evaluate(f.at); e.settle() }()
	cut := distuv.ChiSquared{K: 1}.Quantile(level)
	var out []Interval
	for i, c := range append(slices.Clone(f.Components), Component{Name: "sigma", SD: f.Sigma}) {
		estimate := c.SD
		if c.Other != "" {
			estimate = c.Correlation
		}
		v := Interval{Group: c.Group, Name: c.Name, Other: c.Other, Estimate: estimate}
		if f.untoldComponent(i) {
			v.Upper = math.Inf(1)
			out = append(out, v)
			continue
		}
		p, err := f.newProfile(i, c)
		if err != nil {
			return nil, err
		}
		if c.Other != "" && math.IsNaN(estimate) {
			v.Lower, v.Upper = -1, 1
			out = append(out, v)
			continue
		}
		if v.Lower, err = p.reach(-1, cut); err != nil {
			return nil, fmt.Errorf("profile interval of %s %s: %w", c.Group, c.Name, err)
		}
		if v.Upper, err = p.reach(1, cut); err != nil {
			return nil, fmt.Errorf("profile interval of %s %s: %w", c.Group, c.Name, err)
		}
		out = append(out, v)
	}
	return out, nil
}

// untoldComponent reports whether the criterion does not depend on the i-th component.
func (f *Fitted) untoldComponent(i int) bool {
	for t, k := range f.equations.s.sizes {
		if n := k + k*(k-1)/2; i >= n {
			i -= n
			continue
		}
		return f.untold[t]
	}
	return false
}

// profile holds one parameter at a value while the others move. The variables are the entries of every term's absolute factor in the units
// of the columns over the unit of the response, the held term's effects in an order that puts the held ones first, and σ last.
//
// With the effect first its standard deviation is the first entry of the factor; with two first, (a, 0) and (b·ρ, b·√(1−ρ²)) hold their
// correlation ρ.
type profile struct {
	e        *equations
	term     int   // −1 for σ
	order    []int // of the effects of the held term
	pair     bool  // a correlation is held
	estimate float64
	scale    float64 // of the parameter: 1 for a correlation
	least    float64
	start    []float64
	names    []parameter
	untold   []bool      // terms whose variance stays at zero: the criterion does not depend on it
	curved   [][]float64 // second derivatives in the variables, kept while they serve
}

func (f *Fitted) newProfile(component int, c Component) (*profile, error) {
	e := f.equations
	p := &profile{e: e, term: -1, estimate: c.SD / e.unit, scale: e.unit, least: f.profiled(), untold: f.untold}
	if c.Group != "" || c.Name != "sigma" {
		at := 0
		for t, k := range e.s.sizes {
			count := k + k*(k-1)/2
			if component < at+count {
				p.term = t
				p.hold(f, t, k, component-at)
				break
			}
			at += count
		}
	}
	if p.pair {
		p.estimate, p.scale = c.Correlation, 1
	}
	for t, k := range e.s.sizes {
		for col := range k {
			for row := col; row < k; row++ {
				p.names = append(p.names, parameter{t, row, col})
			}
		}
	}
	p.names = append(p.names, parameter{term: -1})
	p.start = p.variables(f)
	if len(p.start) == 0 {
		return nil, errors.New("profile intervals: nothing to profile")
	}
	return p, nil
}

// hold sets the order of the effects of a term for its i-th component.
func (p *profile) hold(f *Fitted, t, k, i int) {
	first := []int{i}
	if i >= k {
		p.pair = true
		n := i - k
		for r := 1; r < k; r++ {
			if n < r {
				first = []int{n, r}
				break
			}
			n -= r
		}
	}
	p.order = first
	for j := range k {
		if !slices.Contains(first, j) {
			p.order = append(p.order, j)
		}
	}
}

// profiled is the least of the criterion with σ written out, in the unit of value().
func (f *Fitted) profiled() float64 {
	if f.equations.known != nil {
		return f.value
	}
	nu := f.equations.freedom()
	return f.value + nu - nu*math.Log(nu)
}

// variables are the estimates as variables.
func (p *profile) variables(f *Fitted) []float64 {
	e := p.e
	by := 1 / e.unit
	if e.known == nil {
		by = f.Sigma / e.unit
	}
	factors := f.factors()
	var out []float64
	for t, k := range e.s.sizes {
		l := make([]float64, k*k)
		for i := range k {
			for j := range k {
				l[i*k+j] = by * factors[t][i*k+j]
			}
		}
		if t == p.term {
			m := make([]float64, k*k)
			for i, o := range p.order {
				copy(m[i*k:][:k], l[o*k:][:k])
			}
			l, _ = triangular(m, k)
			if p.pair { // variables of the second row: b
				l[k] = math.Hypot(l[k], l[k+1])
			}
		}
		for c := range k {
			for r := c; r < k; r++ {
				out = append(out, l[r*k+c])
			}
		}
	}
	return append(out, f.Sigma/e.unit)
}

// moving reports which variables are free.
func (p *profile) moving() []bool {
	out := all(len(p.names))
	for i, q := range p.names {
		switch {
		case q.term < 0:
			out[i] = p.term >= 0
		case p.untold[q.term]:
			out[i] = false
		case q.term == p.term && !p.pair:
			out[i] = q.row != 0 || q.col != 0
		case q.term == p.term:
			out[i] = q.row != 1 || q.col != 1 // b stands in (1, 0); (1, 1) follows from it
		}
	}
	return out
}

// value is the criterion with σ written out at the variables with the held one at c, its gradient in the variables, and its derivative in c.
func (p *profile) value(x []float64, c float64) (float64, []float64, float64, bool) {
	e := p.e
	n := len(x)
	sigma := x[n-1]
	if p.term < 0 {
		sigma = c
	}
	by := sigma
	if e.known != nil {
		by = 1
	} else if sigma == 0 {
		return math.Inf(1), nil, 0, false
	}
	at := make([]float64, len(e.names))
	turns := make([][]float64, len(e.s.sizes))
	factors := make([][]float64, len(e.s.sizes))
	for t, k := range e.s.sizes {
		m := p.factor(x, t, k, c) // in the term's own columns, effects in order
		factors[t] = m
		w := e.bases[t].raise(m, k)
		for i := range w {
			w[i] /= by
		}
		var l []float64
		l, turns[t] = triangular(w, k)
		for i, q := range e.names {
			if q.term == t {
				at[i] = l[q.row*k+q.col]
			}
		}
	}
	if e.known != nil {
		at[len(at)-1] = sigma
	}
	value := e.evaluate(at)
	if math.IsInf(value, 0) {
		return value, nil, 0, false
	}
	nu := e.freedom()
	if e.known == nil {
		value += -nu*math.Log(e.work.penalty) + e.work.penalty/(sigma*sigma) + 2*nu*math.Log(math.Abs(sigma))
	}
	d := e.slopes()
	g := make([]float64, n)
	slopeC := 0.0
	scaleC := 0.0
	if e.known != nil {
		log, pen := e.residualSlope()
		g[n-1] = log + pen
	} else {
		g[n-1] = -2*e.work.penalty/(sigma*sigma*sigma) + 2*nu/sigma
	}
	for t, k := range e.s.sizes {
		own := make([]float64, k*k) // derivative in the factor handed to triangular
		for i := range own {
			own[i] = d.log[t][i]
			if e.known == nil {
				own[i] += d.penalty[t][i] / (sigma * sigma)
			} else {
				own[i] += d.penalty[t][i]
			}
		}
		own = turnBack(own, turns[t], k)
		if e.known == nil {
			w := e.bases[t].raise(factors[t], k)
			for i := range own {
				scaleC -= own[i] * w[i] / (sigma * sigma)
			}
		}
		for i := range own {
			own[i] /= by
		}
		own = e.bases[t].lift(own, k)
		slopeC += p.collect(g, x, own, t, k, c)
	}
	g[n-1] += scaleC
	if p.term < 0 {
		slopeC = g[n-1]
	}
	return value, g, slopeC, true
}

// factor is the absolute factor of a term from the variables, rows in the order of the effects of the term.
func (p *profile) factor(x []float64, t, k int, c float64) []float64 {
	m := make([]float64, k*k)
	for i, q := range p.names {
		if q.term == t {
			m[q.row*k+q.col] = x[i]
		}
	}
	if t != p.term {
		return m
	}
	if p.pair {
		m[0] = math.Abs(m[0]) // a negative a or b would turn the correlation about
		b := math.Abs(m[k])
		m[k], m[k+1] = b*c, b*math.Sqrt(max(0, 1-c*c))
	} else {
		m[0] = c
	}
	out := make([]float64, k*k)
	for i, o := range p.order {
		copy(out[o*k:][:k], m[i*k:][:k])
	}
	return out
}

// collect adds the derivative in a term's factor to that in the variables, and returns the part of the held value.
func (p *profile) collect(g, x, own []float64, t, k int, c float64) float64 {
	if t == p.term {
		m := make([]float64, k*k)
		for i, o := range p.order {
			copy(m[i*k:][:k], own[o*k:][:k])
		}
		own = m
	}
	b, sign := 0.0, 1.0
	for i, q := range p.names {
		if q.term != t {
			continue
		}
		g[i] = own[q.row*k+q.col]
		if t == p.term && p.pair && q.row == 0 && x[i] < 0 {
			g[i] = -g[i]
		}
		if q.row == 1 && q.col == 0 {
			b = math.Abs(x[i])
			if x[i] < 0 {
				sign = -1
			}
		}
	}
	if t != p.term {
		return 0
	}
	if !p.pair {
		return own[0]
	}
	root := math.Sqrt(max(0, 1-c*c))
	for i, q := range p.names {
		if q.term == t && q.row == 1 && q.col == 0 {
			g[i] = sign * (own[k]*c + own[k+1]*root)
		}
	}
	slope := own[k] * b
	if root > 0 {
		slope -= own[k+1] * b * c / root
	}
	return slope
}

// triangular is the lower triangle L with L·L' = m·m', and the turn Q with m = L·Q, both k × k row-major.
func triangular(m []float64, k int) (l, q []float64) {
	l, q = slices.Clone(m), make([]float64, k*k)
	for i := range k {
		q[i*k+i] = 1
	}
	for i := range k {
		for j := i + 1; j < k; j++ { // turn columns i and j so that row i has nothing in j
			a, b := l[i*k+i], l[i*k+j]
			r := math.Hypot(a, b)
			if b == 0 || r == 0 {
				continue
			}
			cos, sin := a/r, b/r
			for row := range k {
				x, y := l[row*k+i], l[row*k+j]
				l[row*k+i], l[row*k+j] = cos*x+sin*y, cos*y-sin*x
			}
			l[i*k+j] = 0
			for col := range k { // rows i and j of Q
				x, y := q[i*k+col], q[j*k+col]
				q[i*k+col], q[j*k+col] = cos*x+sin*y, cos*y-sin*x
			}
		}
	}
	return l, q
}

// turnBack is g·Q: the derivative in m = L·Q from that in L.
func turnBack(g, q []float64, k int) []float64 {
	out := make([]float64, k*k)
	for i := range k {
		for j := range k {
			for a := range k {
				out[i*k+j] += g[i*k+a] * q[a*k+j]
			}
		}
	}
	return out
}

// raise takes a factor from the term's own columns to the orthonormal ones: L·m.
func (b basis) raise(m []float64, k int) []float64 {
	out := make([]float64, k*k)
	for j := range k { // forward substitution with L⁻¹
		for i := range k {
			v := m[i*k+j]
			for a := range i {
				v -= b.inverse[i][a] * out[a*k+j]
			}
			out[i*k+j] = v / b.inverse[i][i]
		}
	}
	return out
}

// lift is L'·g, the derivative in m from that in L·m.
func (b basis) lift(g []float64, k int) []float64 {
	out := make([]float64, k*k)
	for j := range k { // (L⁻¹)'·out = g
		for i := k - 1; i >= 0; i-- {
			v := g[i*k+j]
			for a := i + 1; a < k; a++ {
				v -= b.inverse[a][i] * out[a*k+j]
			}
			out[i*k+j] = v / b.inverse[i][i]
		}
	}
	return out
}
