package sampling

import "math"

// stirling is what Stirling's formula leaves out of the gamma function,
//
//	ε(a) = ln Γ(a) − (a − ½) ln a + a − ½ ln 2π
//
// for a > 0. Densities written with it lose nothing to the difference of large logarithms.
// Source: Loader, Fast and accurate computation of binomial probabilities, 2000 (from memory); the asymptotic series
// is NIST Digital Library of Mathematical Functions, 5.11.1.
func stirling(a float64) float64 {
	const halfLog2Pi = 0.91893853320467274178032973640562
	if a < 12 {
		// ε(a) = ε(a + 1) + (a + ½) ln(1 + 1/a) − 1, because Γ(a + 1) = a·Γ(a): up to where the series serves. One
		// step is worth taking only while the subtraction is small.
		if a < 1 {
			l, _ := math.Lgamma(a)
			return l - (a-0.5)*math.Log(a) + a - halfLog2Pi
		}
		return stirling(a+1) + logRatioExcess(a)
	}
	r := 1 / (a * a)
	return (1.0/12 - r*(1.0/360-r*(1.0/1260-r*(1.0/1680-r*(1.0/1188-r*(691.0/360360-r*(1.0/156-r*3617.0/122400))))))) / a
}

// logRatioExcess is (a + ½) ln(1 + 1/a) − 1 for a ≥ 1: with v = 1/(2a + 1), ln(1 + 1/a) = 2 artanh v, so that it
// equals v²/3 + v⁴/5 + v⁶/7 + …
func logRatioExcess(a float64) float64 {
	v := 1 / (2*a + 1)
	power, sum := v*v, 0.0
	for k := 3.0; ; k += 2 {
		next := sum + power/k
		if next == sum {
			return sum
		}
		sum, power = next, power*v*v
	}
}

// deviance is x ln(x/m) + m − x, the half deviance of a count x [≥ 0] from its mean m [> 0], with d = x − m given apart:
// where the two are large and close, only the caller knows their difference to its last digit.
// Source: Loader 2000, as in stirling.
func deviance(x, m, d float64) float64 {
	if x == 0 {
		return m
	}
	if math.Abs(d) >= 0.1*(x+m) {
		return x*math.Log(x/m) - d
	}
	v := d / (x + m)
	sum, power := d*v, 2*x*v
	for k := 3.0; ; k += 2 {
		power *= v * v
		next := sum + power/k
		if next == sum {
			return sum
		}
		sum = next
	}
}

// poisson is the probability of exactly k [0, 1, 2, …] where m [> 0] are expected.
func poisson(k, m float64) float64 {
	if k == 0 {
		return math.Exp(-m)
	}
	return math.Exp(-stirling(k)-deviance(k, m, k-m)) / math.Sqrt(2*math.Pi*k)
}
