package sampling

import "math"

// fisherF is the distribution of a ratio of mean squares, that above with m degrees of freedom and noncentrality λ, that below
// with n. With λ = 0 it is Fisher's F; else what the F test follows when the groups really differ.
type fisherF struct {
	m, n   float64 // degrees of freedom, > 0
	offset float64 // λ ≥ 0
}

// mostExpected bounds λ/2. There an F lies near λ/m with certainty, and the sums below already have some 4e5 terms.
const mostExpected = 5e8

// above is the probability of a value beyond f:
//
//	P(F > f) = Σ_j Poisson(j; λ/2)·(1 − I_x(m/2 + j, n/2))      x = mf/(mf + n)
//
// summed upwards, where 1 − I grows by a positive term from each j to the next: nothing is subtracted.
// Source: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions vol. 2, 2nd ed. 1995, ch. 30 (from memory);
// recurrence NIST Digital Library of Mathematical Functions 8.17.20.
func (d fisherF) above(f float64) float64 {
	if !(f > 0) {
		return 1
	}
	x, y := d.shares(f)
	a, b, mean := d.m/2, d.n/2, min(d.offset/2, mostExpected)
	if mean == 0 {
		_, above := betaTails(a, b, x, y)
		return above
	}
	j := max(0, math.Floor(mean-9*math.Sqrt(mean)-40)) // Poisson tail below here: under 1e-18
	_, tail := betaTails(a+j, b, x, y)
	var sum float64
	for ; ; j++ {
		p := poisson(j, mean)
		sum += p * tail
		if j > mean && p <= 1e-18*sum {
			return min(1, sum)
		}
		tail = min(1, tail+betaTerm(a+j, b, x, y))
	}
}

// below is the probability of a value up to f, summed downwards for the same reason.
func (d fisherF) below(f float64) float64 {
	if !(f > 0) {
		return 0
	}
	x, y := d.shares(f)
	a, b, mean := d.m/2, d.n/2, min(d.offset/2, mostExpected)
	j := 0.0
	if mean > 0 {
		j = math.Ceil(mean + 9*math.Sqrt(mean) + 40)
	}
	tail, _ := betaTails(a+j, b, x, y)
	if mean == 0 {
		return tail
	}
	var sum float64
	for ; j >= 0; j-- {
		p := poisson(j, mean)
		sum += p * tail
		if j < mean && p <= 1e-18*sum {
			break
		}
		if j > 0 {
			tail = min(1, tail+betaTerm(a+j-1, b, x, y))
		}
	}
	return min(1, sum)
}

// upper is the value that a share q of a central F lies beyond, 0 < q < 1.
func (d fisherF) upper(q float64) float64 {
	central := fisherF{d.m, d.n, 0}
	f := func(u float64) float64 { // rises with u = ln f
		if q <= 0.5 {
			return math.Log(q) - math.Log(central.above(math.Exp(u)))
		}
		return math.Log(central.below(math.Exp(u))) - math.Log1p(-q)
	}
	return math.Exp(rising(f, 0, 0.5))
}

// shares are x = mf/(mf + n) and 1 − x.
func (d fisherF) shares(f float64) (x, y float64) {
	if math.IsInf(f, 1) {
		return 1, 0
	}
	t := d.m*f + d.n
	return d.m * f / t, d.n / t
}
