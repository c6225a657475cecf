package sampling

import "math"

// betaTails gives the regularised incomplete beta function and what it lacks to 1,
//
//	I = 1/B(a,b) ∫₀ˣ t^(a−1) (1−t)^(b−1) dt      and      1 − I
//
// for a, b > 0, 0 ≤ x ≤ 1 and y = 1 − x, given apart so that neither end loses digits. The smaller of the two keeps
// its relative accuracy.
// Source: NIST Digital Library of Mathematical Functions, 8.17.22 (continued fraction) and 8.17.4 (other end).
func betaTails(a, b, x, y float64) (below, above float64) {
	switch {
	case x <= 0:
		return 0, 1
	case y <= 0:
		return 1, 0
	case x*(a+b+2) <= a+1:
		below = betaTerm(a, b, x, y) * betaFraction(a, b, x)
		return below, 1 - below
	}
	above = betaTerm(b, a, y, x) * betaFraction(b, a, y)
	return 1 - above, above
}

// betaTerm is x^a y^b/(a B(a,b)): what I(a, b) loses when a grows by one (DLMF 8.17.20).
func betaTerm(a, b, x, y float64) float64 {
	n := a + b
	d := a - n*x // = −(b − n·y), from whichever of x and y is small and so exact
	if y < x {
		d = n*y - b
	}
	off := deviance(a, n*x, d) + deviance(b, n*y, -d)
	return math.Sqrt(b/(2*math.Pi*a*n)) * math.Exp(stirling(n)-stirling(a)-stirling(b)-off)
}

// betaFraction is the continued fraction of DLMF 8.17.22 by Lentz's method as modified by Thompson & Barnett (from
// memory). It needs some √max(a, b) terms.
func betaFraction(a, b, x float64) float64 {
	const tiny, enough = 1e-300, 1e-16
	most := 1000 + 10*math.Sqrt(max(a, b))
	c, d := 1.0, 1/apart(1-(a+b)*x/(a+1), tiny)
	h := d
	for m := 1.0; m < most; m++ {
		even := m * (b - m) * x / ((a + 2*m - 1) * (a + 2*m))
		d, c = 1/apart(1+even*d, tiny), apart(1+even/c, tiny)
		h *= d * c
		odd := -(a + m) * (a + b + m) * x / ((a + 2*m) * (a + 2*m + 1))
		d, c = 1/apart(1+odd*d, tiny), apart(1+odd/c, tiny)
		h *= d * c
		if math.Abs(d*c-1) <= enough {
			break
		}
	}
	return h
}

// apart keeps a divisor away from zero.
func apart(v, tiny float64) float64 {
	if math.Abs(v) < tiny {
		return tiny
	}
	return v
}
