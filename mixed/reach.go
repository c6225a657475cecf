package mixed

import (
	"errors"
	"math"
	"slices"
)

// reach is where the profile crosses its least value plus cut on one side of the estimate, in the unit of the parameter.
func (p *profile) reach(side, cut float64) (float64, error) {
	end := math.Inf(1)
	switch {
	case p.pair:
		end = side
	case side < 0:
		end = 0
	}
	x := slices.Clone(p.start)
	if p.estimate == end {
		return end * p.scale, nil
	}
	near, far, c, err := p.bracket(side, end, cut, &x)
	if err != nil {
		return 0, err
	}
	if near == end {
		return end * p.scale, nil
	}
	for range 60 {
		v, at, slope, ok := p.descend(x, c)
		if !ok {
			far = c
			c = (near + far) / 2
			continue
		}
		if math.Abs(v-p.least-cut) <= 1e-9*cut {
			return c * p.scale, nil
		}
		x = at
		if v > p.least+cut {
			far = c
		} else {
			near = c
		}
		root := math.Sqrt(max(v-p.least, 1e-12)) // Newton on the root of the rise, which is nearly straight
		next := c + (math.Sqrt(cut)-root)*2*root/slope
		if !(next > min(near, far) && next < max(near, far)) {
			next = (near + far) / 2
		}
		if math.Abs(next-c) <= 1e-14*(1+math.Abs(c)) {
			return next * p.scale, nil
		}
		c = next
	}
	return c * p.scale, nil
}

// bracket steps away from the estimate until the profile has risen by more than cut; start is where to look first. Near is the end when
// the profile never rises so far.
func (p *profile) bracket(side, end, cut float64, x *[]float64) (near, far, start float64, err error) {
	near = p.estimate
	for by := 0.4; by < 40; by *= 1.3 {
		c := p.further(near, side, by)
		if !math.IsInf(end, 0) && math.Abs(c-end) < 1e-3*p.natural() {
			if v, _, _, ok := p.descend(*x, end); ok && v <= p.least+cut {
				return end, end, end, nil
			}
			return near, end, (near + end) / 2, nil
		}
		v, at, _, ok := p.descend(*x, c)
		if !ok || v > p.least+cut {
			if ok {
				*x = at
				return near, c, c, nil
			}
			return near, c, (near + c) / 2, nil
		}
		near, *x = c, at
	}
	return 0, 0, 0, errors.New("the likelihood does not fall off within reach: these data set no bound")
}

// further is a step from c: by shares for a standard deviation, on the scale of Fisher's z for a correlation.
func (p *profile) further(c, side, by float64) float64 {
	if p.pair {
		return math.Tanh(math.Atanh(max(-1+1e-9, min(1-1e-9, c))) + side*by)
	}
	if side < 0 {
		return c * math.Exp(-by)
	}
	return max(c, 0.1*p.natural()) * math.Exp(by)
}

// natural is a size of the parameter to begin with: the residual spread over that of the column, 1 for a correlation.
func (p *profile) natural() float64 {
	if p.pair {
		return 1
	}
	sigma := max(p.start[len(p.start)-1], 0.1)
	if p.term < 0 {
		return sigma
	}
	first := p.order[0]
	return sigma * math.Abs(p.e.bases[p.term].inverse[first][first])
}

// enough is the decrease foreseen at which a descent ends: the profile is then right to some 1e-11 of a cut of 3.8.
const enough = 1e-11

// descend minimises over the moving variables with the parameter held at c; it returns the value, the variables and the slope in c.
func (p *profile) descend(start []float64, c float64) (float64, []float64, float64, bool) {
	x := slices.Clone(start)
	free := p.moving()
	for i, q := range p.names {
		if q.term >= 0 && q.row == q.col && free[i] && math.Abs(x[i]) < 1e-3*p.size(q) {
			x[i] = 0.1 * p.size(q)
		}
	}
	if p.e.known != nil && p.term >= 0 && x[len(x)-1] < 1e-3 {
		x[len(x)-1] = 0.1
	}
	v, g, slope, ok := p.value(x, c)
	if !ok {
		return v, x, 0, false
	}
	damping, last := 0.0, math.Inf(1)
	fresh := false // whether the second derivatives are those of a point of this descent
	for range 100 {
		if p.curved == nil {
			p.curved, fresh = p.differences(x, c, g, free), true
		}
		step, foreseen := newton(p.curved, g, free, damping)
		if foreseen < enough {
			if fresh || foreseen < enough*1e-3 {
				break
			}
		}
		trial := along(x, step)
		tv, tg, ts, ok := p.value(trial, c)
		if !ok || tv > v+1e-11*(1+math.Abs(v)) {
			if !fresh {
				p.curved = nil
				continue
			}
			if foreseen < 1e-9 {
				break
			}
			damping = max(1e-2, 6*damping)
			if damping > 1e10 {
				break
			}
			continue
		}
		if foreseen > 5e-2*last || damping > 0 {
			p.curved = nil
		}
		last = foreseen
		if damping /= 6; damping < 1e-3 {
			damping = 0
		}
		x, v, g, slope = trial, tv, tg, ts
	}
	return v, x, slope, true
}

// size is the natural size of a variable.
func (p *profile) size(q parameter) float64 {
	row := q.row
	if q.term == p.term {
		row = p.order[q.row]
	}
	return math.Abs(p.e.bases[q.term].inverse[row][row])
}

// differences are the second derivatives of the value in the moving variables.
func (p *profile) differences(x []float64, c float64, g []float64, free []bool) [][]float64 {
	h := plain(len(x))
	for i := range x {
		if !free[i] {
			continue
		}
		size := 1.0
		if q := p.names[i]; q.term >= 0 {
			size = p.size(q)
		}
		step := 1e-5 * max(size, math.Abs(x[i]))
		at := slices.Clone(x)
		at[i] += step
		step = at[i] - x[i]
		_, other, _, ok := p.value(at, c)
		if !ok {
			h[i][i] = 1
			continue
		}
		for j := range x {
			h[i][j] = (other[j] - g[j]) / step
		}
	}
	for i := range h {
		for j := range i {
			v := (h[i][j] + h[j][i]) / 2
			h[i][j], h[j][i] = v, v
		}
	}
	return h
}
