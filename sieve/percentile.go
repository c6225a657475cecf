package sieve

import (
	"math"

	"underfoot/unit"
)

// reached is how near to a percentage a curve counts as having reached it [points]: the noise of sums in binary.
const reached = 1e-9

// D is the size that q percent of the mass is finer than [mm], q 0..100:
//
//	log D_q = log d₀ + (q − P₀)/(P₁ − P₀)·(log d₁ − log d₀)
//
// between the sieves d₀ and d₁ whose passing P₀ and P₁ hold q. Where the curve is flat at q, the smallest size that
// reaches q. ok is false outside the sieves used: nothing is extrapolated. Source: log-linear rule of the texts on sieving,
// such as Das, Principles of Geotechnical Engineering, ch. 2.
func (c *Curve) D(q unit.Percent) (size unit.Millimetres, ok bool) {
	x := float64(q)
	if !(x >= 0 && x <= 100) || x < c.passing[0]-reached {
		return 0, false
	}
	for i, p := range c.passing {
		if p < x-reached {
			continue
		}
		if i == 0 || p-x <= reached {
			return unit.Millimetres(c.sizes[i]), true
		}
		t := (x - c.passing[i-1]) / (p - c.passing[i-1])
		return unit.Millimetres(math.Exp(math.Log(c.sizes[i-1]) + t*math.Log(c.sizes[i]/c.sizes[i-1]))), true
	}
	return 0, false
}

// DSD is the standard deviation of D_q [mm], from that of the percent passing there:
//
//	u(D) = D·u(P)/(dP/d ln D)
//
// ok is false where D is not known or the curve is flat.
func (c *Curve) DSD(q unit.Percent) (sd unit.Millimetres, ok bool) {
	d, ok := c.D(q)
	if !ok {
		return 0, false
	}
	rise := 0.0 // points per unit of ln size, about D
	for i := 1; i < len(c.sizes); i++ {
		if c.sizes[i-1] <= float64(d) && float64(d) <= c.sizes[i] {
			rise = max(rise, (c.passing[i]-c.passing[i-1])/math.Log(c.sizes[i]/c.sizes[i-1]))
		}
	}
	if !(rise > 0) {
		return 0, false
	}
	return unit.Millimetres(float64(d) * c.spread(c.below(float64(d))) / rise), true
}

func (c *Curve) ratio(top, foot unit.Percent) (float64, bool) {
	a, ok := c.D(top)
	b, also := c.D(foot)
	if !ok || !also {
		return 0, false
	}
	return float64(a / b), true
}

// Uniformity is C_u = D60/D10 [–]: small for grains all alike. ok is false where either is outside the sieves.
func (c *Curve) Uniformity() (float64, bool) { return c.ratio(60, 10) }

// Gradation is the gradation index D90/D10 [–]. Source: from memory of the trade's literature.
func (c *Curve) Gradation() (float64, bool) { return c.ratio(90, 10) }

// Curvature is C_c = D30²/(D10·D60) [–].
func (c *Curve) Curvature() (float64, bool) {
	a, ok := c.ratio(30, 10)
	b, also := c.ratio(30, 60)
	return a * b, ok && also
}
