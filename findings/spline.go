package findings

import "sort"

// curve is a rising function through points, read along straight lines or along a monotone cubic.
//
// The slopes of the cubic are a weighted harmonic mean of the chords on both sides,
//
//	s_i = (w₁ + w₂)/(w₁/d_{i−1} + w₂/d_i)    w₁ = 2h_i + h_{i−1}    w₂ = h_i + 2h_{i−1}
//
// and 0 where the chords d differ in sign; h are the steps in x. At the ends the slope is that of the parabola through
// three points, held to the sign of the end chord and to three times it where the next chord turns. Between two points
// only it is the straight line.
// Source: Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5:300–304, 1984; weights and end rule as in the PCHIP of Moler,
// Numerical Computing with MATLAB, SIAM 2004, section 3.4 (from memory).
type curve struct{ x, y, slope []float64 }

// newCurve takes points in rising order of x, two or more.
func newCurve(x, y []float64) curve {
	n := len(x)
	s := make([]float64, n)
	if n == 2 {
		d := (y[1] - y[0]) / (x[1] - x[0])
		s[0], s[1] = d, d
		return curve{x, y, s}
	}
	step := func(i int) (h, d float64) {
		h = x[i+1] - x[i]
		return h, (y[i+1] - y[i]) / h
	}
	for i := 1; i < n-1; i++ {
		h0, d0 := step(i - 1)
		h1, d1 := step(i)
		if d0*d1 > 0 {
			w1, w2 := 2*h1+h0, h1+2*h0
			s[i] = (w1 + w2) / (w1/d0 + w2/d1)
		}
	}
	h0, d0 := step(0)
	h1, d1 := step(1)
	s[0] = endSlope(h0, h1, d0, d1)
	h0, d0 = step(n - 2)
	h1, d1 = step(n - 3)
	s[n-1] = endSlope(h0, h1, d0, d1)
	return curve{x, y, s}
}

// endSlope is the slope at an end, whose chord is d0 over the step h0; d1 over h1 are the next.
func endSlope(h0, h1, d0, d1 float64) float64 {
	s := ((2*h0+h1)*d0 - h0*d1) / (h0 + h1)
	switch {
	case s*d0 <= 0:
		return 0
	case d0*d1 <= 0 && s*s > 9*d0*d0:
		return 3 * d0
	}
	return s
}

// interval is the step that holds at; the first or last one for what lies outside.
func (c curve) interval(at float64) int {
	return min(max(sort.SearchFloat64s(c.x, at)-1, 0), len(c.x)-2)
}

// linear reads the curve along straight lines; the last line goes on beyond the end.
func (c curve) linear(at float64) float64 {
	i := c.interval(at)
	return c.y[i] + (at-c.x[i])/(c.x[i+1]-c.x[i])*(c.y[i+1]-c.y[i])
}

// monotone reads the curve along the cubic, in Hermite form; beyond the end, where the cubic says nothing, along the
// last straight line.
func (c curve) monotone(at float64) float64 {
	if n := len(c.x); at <= c.x[0] || at >= c.x[n-1] {
		return c.linear(at)
	}
	i := c.interval(at)
	h := c.x[i+1] - c.x[i]
	t := (at - c.x[i]) / h
	u := 1 - t
	return u*u*(1+2*t)*c.y[i] + t*u*u*h*c.slope[i] + t*t*(3-2*t)*c.y[i+1] - t*t*u*h*c.slope[i+1]
}
