package sampling

import (
	"errors"
	"fmt"
	"math"
)

// Components are the variances a figure is made of, for one layer. Points are percentage points of organic matter, but any
// unit will do if all share it. Time is in years.
type Components struct {
	Green      float64 // σ_g², between greens at the year Origin [points²]
	GreenTime  float64 // σ_gt², a green on one date about its own line [points²]
	Round      float64 // σ_r², what a date does to all greens alike [points²]
	GreenSlope float64 // σ_b², between the greens' own slopes [(points/year)²]
	LevelSlope float64 // covariance of a green's level at Origin with its slope [points²/year]
	Core       float64 // σ_c², between single cores of a green [points²]
	Laboratory float64 // σ_l², between determinations of one composite [points²]
	Origin     float64 // year at which Green and LevelSlope hold, counted as the years of rounds are
}

// Beyond these bounds numbers are mistakes, and their squares would leave what a float64 holds.
const (
	largest = 1e30 // variance, whatever the unit
	least   = 1e-30
	ages    = 1e6 // years either way
)

// isYear says whether a time in years is one.
func isYear(y float64) bool { return math.Abs(y) <= ages }

func (c Components) check() error {
	const doing = "components"
	for _, v := range []struct {
		name  string
		value float64
	}{
		{"between greens", c.Green},
		{"of a green in time", c.GreenTime},
		{"between rounds", c.Round},
		{"of the greens' slopes", c.GreenSlope},
		{"between cores", c.Core},
		{"of the laboratory", c.Laboratory},
	} {
		if !(v.value >= 0 && v.value <= largest) {
			return fmt.Errorf("%s: variance %s %g: give a number of 0 or more", doing, v.name, v.value)
		}
	}
	switch {
	case c.Green+c.GreenTime+c.Round+c.GreenSlope+c.Core+c.Laboratory == 0:
		return errors.New("components: all are 0, as if one core told everything: give at least the variance between cores")
	case !(c.LevelSlope*c.LevelSlope <= c.Green*c.GreenSlope*(1+1e-12)):
		return fmt.Errorf("%s: covariance of level and slope %g is more than variances of %g and %g allow: at most %.4g either way",
			doing, c.LevelSlope, c.Green, c.GreenSlope, math.Sqrt(c.Green*c.GreenSlope))
	case !isYear(c.Origin):
		return fmt.Errorf("%s: origin %g: give the year the variance between greens holds for", doing, c.Origin)
	}
	return nil
}

// Likeness is how alike two cores of one green are, σ_g²/(σ_g² + σ_c²): 0 where the green does not matter, 1 where one
// core tells all about its green (the intraclass correlation).
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 9.
func (c Components) Likeness() (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	if c.Green+c.Core == 0 {
		return 0, errors.New("likeness of cores: neither greens nor cores vary")
	}
	return c.Green / (c.Green + c.Core), nil
}

// DesignEffect is how many times the variance of the mean of cores taken green by green exceeds that of as many cores
// scattered over all greens, 1 + (cores − 1)·likeness.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 9.
func (c Components) DesignEffect(cores int) (float64, error) {
	if cores < 1 {
		return 0, fmt.Errorf("design effect: %d cores a green: take at least 1", cores)
	}
	likeness, err := c.Likeness()
	if err != nil {
		return 0, err
	}
	return 1 + float64(cores-1)*likeness, nil
}

// Cautious is the variance to plan with when it was estimated from few degrees of freedom: the limit that the true one
// stays below with the given assurance, s²·ν/χ²(1 − assurance, ν). An estimate as it stands is too small about half the
// time, and then the design sees less than it promised.
// variance [≥ 0], df > 0, 0 < assurance < 1; 0.8 is common practice.
// Source: Browne, Statistics in Medicine 14 (1995) 1933–1940 (from memory).
func Cautious(variance, df, assurance float64) (float64, error) {
	const doing = "cautious variance"
	switch {
	case !(variance >= 0) || math.IsInf(variance, 1):
		return 0, fmt.Errorf("%s: variance %g: give a number of 0 or more", doing, variance)
	case !isChance(assurance):
		return 0, fmt.Errorf("%s: assurance %g: give a share between 0 and 1, for example 0.8", doing, assurance)
	}
	if !(df >= leastDF) {
		return 0, fmt.Errorf("%s: %g degrees of freedom: give %g or more", doing, df, leastDF)
	}
	if df > 1e12 { // χ²/ν is 1 to six digits
		return variance, nil
	}
	return variance * df / chiSquaredQuantile(1-assurance, df), nil
}
