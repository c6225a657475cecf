package mixed

import (
	"math"
	"slices"
)

// point is where a search stands.
type point struct {
	at       []float64
	value    float64
	gradient []float64
	penalty  []float64
	firm     []float64 // second derivative in each parameter as last seen, nil when not seen
}

// The criterion is a smooth even function of the diagonal of each factor and of σ (a column of Λ may change sign without changing Λ·Λ'), so
// the search runs without bounds and a variance of zero is reached as an ordinary minimum. Steps are Newton's with the
// average information, damped where they do not help; once they help, the second derivatives are taken by differences of
// the analytic gradient, and the last steps double the digits.

// settings of the search; no units, all parameters are of the order of one.
const (
	mostSteps  = 200
	closeBy    = 1e-2  // decrease foreseen under which differences of the gradient are worth taking
	slow       = 1e-2  // if the last step has not shrunk it to this share
	settled    = 1e-17 // decrease foreseen at which the search ends: parameters are then right to some 1e-9
	difference = 1e-5  // step of the differences
	vanishing  = 1e-5  // a diagonal entry under this is tried as zero
)

func (e *equations) look(at []float64) (point, bool) {
	p := point{at: slices.Clone(at), value: e.evaluate(at)}
	if math.IsInf(p.value, 0) || math.IsNaN(p.value) {
		return p, false
	}
	e.differentiate(&p)
	return p, true
}

func (e *equations) differentiate(p *point) {
	log, penalty := e.slope()
	by := 1.0
	if e.known == nil {
		by = e.freedom() / e.work.penalty
	}
	p.penalty = penalty
	p.gradient = log
	for i := range log {
		p.gradient[i] += by * penalty[i]
	}
}

// search minimises from a start; free says which parameters move.
func (e *equations) search(start []float64, free []bool) (point, bool) {
	p, ok := e.look(start)
	if !ok {
		return p, false
	}
	damping := 0.0
	last := math.Inf(1)
	for range mostSteps {
		h := e.curvature(p.gradient, p.penalty)
		p.firm = p.firm[:0]
		for i := range h {
			p.firm = append(p.firm, h[i][i])
		}
		step, foreseen := newton(h, p.gradient, free, damping)
		shorten(step, p.at)
		trial := along(p.at, step)
		value := e.evaluate(trial)
		if !(value <= p.value+1e-12*math.Abs(p.value)+1e-12) {
			if foreseen < settled {
				break
			}
			damping = max(1e-2, 8*damping)
			if damping > 1e12 {
				break
			}
			e.restore(&p)
			continue
		}
		gained := p.value - value
		p.at, p.value = trial, value
		e.differentiate(&p)
		if foreseen > 0 && gained > 0.7*foreseen {
			damping /= 8
		}
		if damping < 1e-3 {
			damping = 0
		}
		if foreseen < settled {
			return p, true
		}
		if foreseen < closeBy && damping == 0 && foreseen > slow*last {
			return e.polish(p, free), true
		}
		last = foreseen
	}
	return e.polish(p, free), true
}

// restore makes the factor that of a point again.
func (e *equations) restore(p *point) {
	e.evaluate(p.at)
	e.settle()
}

// polish takes Newton steps with second derivatives by differences, kept while they serve.
func (e *equations) polish(p point, free []bool) point {
	var h [][]float64
	stale := true
	last := math.Inf(1)
	damping := 0.0
	for range 100 {
		if stale {
			if decrement(h, p.gradient, free) < 1e-22 {
				return p
			}
			h = e.hessian(p, free)
			stale = false
		}
		step, foreseen := newton(h, p.gradient, free, damping)
		if foreseen < 1e-24 {
			break
		}
		shorten(step, p.at)
		next, ok := e.look(along(p.at, step))
		tolerance := 1e-11 * (1 + math.Abs(p.value))
		if !ok || next.value > p.value+tolerance || foreseen < 1e-14 && norm(next.gradient, free) >= norm(p.gradient, free) {
			if foreseen < 1e-12 || damping > 1e12 {
				break
			}
			damping = max(1e-2, 8*damping)
			continue
		}
		stale = damping > 0 || foreseen > 1e-2*last || foreseen > 1e-4
		if damping /= 8; damping < 1e-3 {
			damping = 0
		}
		last = foreseen
		p = next
	}
	return p
}

// decrement is the decrease foreseen with second derivatives h, +Inf when there are none.
func decrement(h [][]float64, g []float64, free []bool) float64 {
	if h == nil {
		return math.Inf(1)
	}
	_, d := newton(h, g, free, 0)
	return d
}

func norm(g []float64, free []bool) float64 {
	s := 0.0
	for i, v := range g {
		if free[i] {
			s += v * v
		}
	}
	return s
}

// hessian is the second derivatives of the criterion by forward differences of the gradient.
func (e *equations) hessian(p point, free []bool) [][]float64 {
	n := len(p.at)
	h := make([][]float64, n)
	for i := range h {
		h[i] = make([]float64, n)
	}
	for i := range n {
		if !free[i] {
			continue
		}
		step := difference * max(1, math.Abs(p.at[i]))
		at := slices.Clone(p.at)
		at[i] += step
		step = at[i] - p.at[i]
		q, ok := e.look(at)
		if !ok {
			h[i][i] = 1
			continue
		}
		for j := range n {
			h[i][j] = (q.gradient[j] - p.gradient[j]) / step
		}
	}
	for i := range n {
		for j := range i {
			v := (h[i][j] + h[j][i]) / 2
			h[i][j], h[j][i] = v, v
		}
	}
	return h
}

// newton solves (H + damping·|diag H|)·step = −g over the free parameters, damping further until the matrix is positive definite,
// and returns the decrease ½·g'H⁻¹g it foresees.
func newton(h [][]float64, g []float64, free []bool, damping float64) ([]float64, float64) {
	var index []int
	for i, f := range free {
		if f {
			index = append(index, i)
		}
	}
	n := len(index)
	step := make([]float64, len(g))
	if n == 0 {
		return step, 0
	}
	scale := make([]float64, n)
	largest := 0.0
	for _, i := range index {
		largest = max(largest, math.Abs(h[i][i]))
	}
	if largest == 0 {
		largest = 1
	}
	for a, i := range index {
		scale[a] = max(math.Abs(h[i][i]), 1e-8*largest)
	}
	for {
		l := make([][]float64, n)
		ok := true
		for a, i := range index {
			l[a] = make([]float64, n)
			for b := 0; b <= a; b++ {
				v := h[i][index[b]]
				if a == b {
					v += damping * scale[a]
				}
				for c := range b {
					v -= l[a][c] * l[b][c]
				}
				if a == b {
					if !(v > 1e-10*scale[a]) {
						ok = false
						break
					}
					l[a][a] = math.Sqrt(v)
				} else {
					l[a][b] = v / l[b][b]
				}
			}
			if !ok {
				break
			}
		}
		if !ok {
			if damping > 1e15 || math.IsNaN(damping) {
				return step, 0
			}
			damping = max(1e-3, 4*damping)
			continue
		}
		y := make([]float64, n)
		foreseen := 0.0
		for a, i := range index {
			v := -g[i]
			for c := range a {
				v -= l[a][c] * y[c]
			}
			y[a] = v / l[a][a]
			foreseen += y[a] * y[a] / 2
		}
		for a := n - 1; a >= 0; a-- {
			v := y[a]
			for c := a + 1; c < n; c++ {
				v -= l[c][a] * y[c]
			}
			y[a] = v / l[a][a]
			step[index[a]] = y[a]
		}
		return step, foreseen
	}
}

// shorten keeps a step within reach: no parameter moves by more than its own size and two.
func shorten(step, at []float64) {
	by := 1.0
	for i, v := range step {
		if limit := 2 + math.Abs(at[i]); math.Abs(v) > limit {
			by = min(by, limit/math.Abs(v))
		}
	}
	for i := range step {
		step[i] *= by
	}
}

func along(at, step []float64) []float64 {
	out := make([]float64, len(at))
	for i := range at {
		out[i] = at[i] + step[i]
	}
	return out
}
