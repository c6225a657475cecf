package sampling

import "math"

// rootSteps bounds the search for a root; halving alone shrinks any bracket of floating-point numbers to
// neighbours in fewer.
const rootSteps = 200

// root finds where f crosses zero between a and b, f(a) and f(b) having opposite signs, to the last few bits.
// Inverse quadratic steps are taken only where they are sure to be better than halving.
// Source: Chandrupatla, Advances in Engineering Software 28 (1997) 145–149 (from memory).
func root(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	c, fc := a, fa
	t := 0.5
	for range rootSteps {
		x := a + t*(b-a)
		fx := f(x)
		if math.Signbit(fx) == math.Signbit(fa) {
			c, fc = a, fa
		} else {
			c, b, fc, fb = b, a, fb, fa
		}
		a, fa = x, fx
		best, fbest := a, fa
		if math.Abs(fb) < math.Abs(fa) {
			best, fbest = b, fb
		}
		near := (2e-16*math.Abs(best) + 1e-300) / math.Abs(b-c)
		if near > 0.5 || fbest == 0 {
			return best
		}
		t = 0.5
		xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
		if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
			t = fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
		}
		t = min(max(t, near), 1-near)
	}
	return a
}

// rising finds where an increasing function of the whole line crosses zero, starting from a guess: it steps out in
// doubling strides until the root lies between two points. NaN where it never crosses.
func rising(f func(float64) float64, guess, stride float64) float64 {
	low, high := guess, guess
	for s := stride; f(low) > 0; s *= 2 {
		if math.IsInf(low, -1) {
			return math.NaN()
		}
		low, high = low-s, low
	}
	for s := stride; f(high) < 0; s *= 2 {
		if math.IsInf(high, 1) {
			return math.NaN()
		}
		low, high = high, high+s
	}
	if low == high {
		return low
	}
	return root(f, low, high)
}
