package sampling

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// studentT is the distribution of (Z + δ)/S: Z standard normal, S² a mean of ν squares of others. With δ = 0 it is Student's
// t; else the noncentral t, which is what a t test follows when there is something to see.
type studentT struct {
	df     float64 // ν > 0 degrees of freedom; infinite for the normal
	offset float64 // δ, the true effect over its standard error
}

// boundless is an offset beyond which every test sees everything; squares of it still fit a float64.
const boundless = 1e100

// below is the probability of a value up to t:
//
//	P(T ≤ t) = ∫ Φ(t·e^u − δ) g(u) du      g(u) = √(ν/π) exp(−ε(ν/2) + ν(u − (e^2u − 1)/2))
//
// g is the density of u = ln S. Nothing is subtracted, so small tails keep their digits. The integrand is analytic, has a
// single peak and falls off exponentially or faster on both sides: the trapezoidal rule, started at the peak and halved
// until two sums agree, converges faster than any power of its step.
// Source: the definition, as in Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions vol. 2, 2nd ed. 1995,
// ch. 31; the rule in Trefethen & Weideman, SIAM Review 56 (2014) 385–458 (both from memory).
func (d studentT) below(t float64) float64 {
	switch {
	case math.IsInf(t, -1), d.offset > boundless:
		return 0
	case math.IsInf(t, 1), d.offset < -boundless:
		return 1
	case t == 0:
		return normalBelow(-d.offset)
	case d.df > 1e16: // S departs from 1 by less than a rounding error
		return normalBelow(t - d.offset)
	}
	if d.offset*t > 0 && math.Abs(d.offset) > 100 && t*t > max(1e4, 50*d.df) {
		return d.acrossNormal(t)
	}
	scale := math.Sqrt(d.df/math.Pi) * math.Exp(-stirling(d.df/2))
	at := func(u float64) float64 {
		return math.Exp(d.df*logSquare(u)) * normalBelow(t*math.Exp(u)-d.offset)
	}
	peak := d.peak(t)
	step := 1 / math.Sqrt(d.sharpness(t, peak))
	sum := at(peak) + outward(at, peak, step, 1) + outward(at, peak, -step, 1)
	for range 20 { // three or four do
		finer := sum + outward(at, peak, step, 0.5) + outward(at, peak, -step, 0.5)
		off := math.Abs(finer/2 - sum)
		step, sum = step/2, finer
		if off <= 1e-13*sum {
			break
		}
	}
	return min(1, scale*step*sum)
}

// acrossNormal is below for large t and δ of one sign, where Φ in its integral is all but a step. Then the other order is the
// smooth one: with z over the normal deviate,
//
//	P(T ≤ t) = ∫ φ(z) P(S ≥ (δ + z)/t) dz for t > 0, and with ≤ for t < 0      νS² is chi-squared
func (d studentT) acrossNormal(t float64) float64 {
	const reach, step = 15.0, 0.2 // φ(15) is 1e-49; the rule's error at this step e^(−2π²/0.2²)
	tail := mathext.GammaIncRegComp
	if t < 0 {
		tail = mathext.GammaIncReg
	}
	var sum float64
	for z := -reach; z <= reach; z += step {
		s := (d.offset + z) / t
		sum += math.Exp(-z*z/2) * tail(d.df/2, d.df*s*s/2)
	}
	return min(1, sum*step/math.Sqrt(2*math.Pi))
}

// above is the probability of a value beyond t.
func (d studentT) above(t float64) float64 { return studentT{d.df, -d.offset}.below(-t) }

// peak finds where the integrand of below is largest: ν(s − 1/s) = t·φ(ts − δ)/Φ(ts − δ) with s = e^u. The left side
// rises with s and the right side falls, so there is one.
func (d studentT) peak(t float64) float64 {
	return rising(func(u float64) float64 {
		s := math.Exp(u)
		return 2*d.df*math.Sinh(u) - t*hazard(t*s-d.offset)
	}, 0, 0.5)
}

// sharpness is minus the curvature of the integrand's logarithm at its peak: 2νs² + z′²h(z + h) − z′h with z = ts − δ, its
// derivative z′ = ts, and h = φ(z)/Φ(z).
func (d studentT) sharpness(t, peak float64) float64 {
	s := math.Exp(peak)
	h := hazard(t*s - d.offset)
	return max(2*d.df*s*s+t*s*h*(t*s*(t*s-d.offset+h)-1), d.df*s*s)
}

// quantile is the value that stays above a share p of a central t, 0 < p < 1.
func (d studentT) quantile(p float64) float64 {
	if p > 0.5 {
		return -d.lower(1 - p)
	}
	return d.lower(p)
}

// upper is the value that a share q of a central t lies beyond, q kept to its last digit.
func (d studentT) upper(q float64) float64 {
	if q > 0.5 {
		return d.lower(1 - q)
	}
	return -d.lower(q)
}

// lower is the quantile for p ≤ ½.
func (d studentT) lower(p float64) float64 {
	if p == 0.5 {
		return 0
	}
	want, central := math.Log(p), studentT{d.df, 0}
	x := rising(func(u float64) float64 { return want - math.Log(central.below(-math.Exp(u))) }, 0, 0.5)
	return -math.Exp(x)
}

// outward sums f at peak + step·(first, first + 1, …) until the terms no longer count.
func outward(f func(float64) float64, peak, step, first float64) float64 {
	var sum float64
	for k := first; ; k++ {
		term := f(peak + k*step)
		sum += term
		if !(term > 1e-18*sum) { // nor NaN
			return sum
		}
	}
}

// logSquare is u − (e^2u − 1)/2, at most 0; near 0 it is −u² − ⅔u³ − …, where the difference would lose its digits.
func logSquare(u float64) float64 {
	if math.Abs(u) > 0.3 {
		return u - math.Expm1(2*u)/2
	}
	term := 2 * u * u // (2u)^k/k! at k = 2
	sum := 0.0
	for k := 3.0; ; k++ {
		next := sum - term/2
		if next == sum {
			return sum
		}
		sum, term = next, term*2*u/k
	}
}

// normalBelow is Φ(z), exact to its last digits in the lower tail.
func normalBelow(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// hazard is φ(z)/Φ(z).
func hazard(z float64) float64 {
	if z < -30 { // Φ(z) = φ(z)/|z|·(1 − 1/z² + 3/z⁴ − …), Abramowitz & Stegun 26.2.12 (from memory)
		r := 1 / (z * z)
		return -z / (1 - r*(1-3*r))
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / normalBelow(z)
}
