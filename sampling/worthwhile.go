package sampling

import (
	"fmt"
	"math"
)

// Gain is the share by which a measurement with standard error measured makes a forecast with standard deviation foretold
// more certain,
//
//	1 − √(m²/(f² + m²))
//
// both in one unit, measured > 0. At f = m it is 0.29: the measurement then knows as much as the forecast did.
// Source: variance of a normal posterior, 1/(1/f² + 1/m²); Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, eq. 2.10
// (number from memory).
func Gain(foretold, measured float64) (float64, error) {
	if !(foretold >= 0) || math.IsInf(foretold, 1) || !(measured > 0) || math.IsInf(measured, 1) {
		return 0, fmt.Errorf("gain of a measurement: forecast ± %g, measurement ± %g: give 0 or more, and more than 0", foretold, measured)
	}
	return 1 - measured/math.Hypot(foretold, measured), nil
}

// RoundMean is the estimate of what a line through rounds of this design would be off on one date: the mean of the greens
// sampled about the course's own, with what the date does to all greens and to each,
//
//	Var = σ_r² + ((1 − g/G)·σ_g² + σ_gt² + σ_c²/cores + σ_l²/determinations)/g
//
// A forecast that is surer than this learns little from such a round.
// Source: as CourseMean and Slope.
func (c Components) RoundMean(d Design, target Target) (Estimate, error) {
	e, err := c.CourseMean(d, target)
	if err != nil {
		return Estimate{}, err
	}
	e.Variance += c.Round + c.GreenTime/float64(d.Greens)
	return e, nil
}
