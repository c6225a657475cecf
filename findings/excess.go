package findings

import "math"

// scatter is a set of independent points z about a line through the origin, z = β·x + error, the
// variance of each error being v plus a common excess τ².
type scatter struct{ z, x, v []float64 }

// fit gives the weighted slope β = Σxz/(v+τ²) / Σx²/(v+τ²), its information Σx²/(v+τ²), the
// weighted residual sum of squares q and how fast q falls with τ² (−dq/dτ²).
func (s scatter) fit(tau2 float64) (beta, info, q, fall float64) {
	var xz float64
	for i := range s.z {
		w := 1 / (s.v[i] + tau2)
		xz += w * s.x[i] * s.z[i]
		info += w * s.x[i] * s.x[i]
	}
	if info > 0 {
		beta = xz / info
	}
	for i := range s.z {
		w := 1 / (s.v[i] + tau2)
		d := s.z[i] - beta*s.x[i]
		q += w * d * d
		fall += w * w * d * d
	}
	return beta, info, q, fall
}

// excess is the common variance τ² at which the weighted residual sum of squares equals target: the
// moment estimate where target is the degrees of freedom, a bound where it is a χ² quantile. 0 where
// the known variances alone already explain the scatter.
//
//	Σ (z_i − β(τ²)·x_i)²/(v_i + τ²) = target
//
// Source: Paule & Mandel, J. Res. NBS 87:377–385, 1982; bounds: Viechtbauer, Statist. Med. 26:37–52,
// 2007 (both from memory).
func (s scatter) excess(target float64) float64 {
	if target <= 0 {
		return math.Inf(1)
	}
	// With v left out the residual sum is q0/τ², which is never below the one with v: the root is
	// at or below q0/target.
	_, _, q0, _ := scatter{z: s.z, x: s.x, v: make([]float64, len(s.z))}.fit(1)
	return falling(q0/target, target, func(tau2 float64) (float64, float64) {
		_, _, q, fall := s.fit(tau2)
		return q, fall
	})
}

// falling solves q(x) = target for a convex falling q on 0..high by Newton's method kept inside a
// bracket. f gives q and −dq/dx. The answer is 0 where q(0) is already at or below target.
func falling(high, target float64, f func(float64) (q, fall float64)) float64 {
	q, fall := f(0)
	if !(q > target) { // also 0/0, where there is nothing to explain
		return 0
	}
	low, x := 0.0, 0.0
	for range 100 {
		next := x + (q-target)/fall
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-x) <= 1e-13*high {
			return next
		}
		x = next
		if q, fall = f(x); q > target {
			low = x
		} else {
			high = x
		}
	}
	return x
}
