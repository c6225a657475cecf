package sieve

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Repeatability is how far sievings of one material stand apart, as the half width that holds 95 in 100, a share of what is
// in the class. Between the two sizes of class it runs straight in the logarithm of the class.
type Repeatability struct {
	Large   unit.Fraction // of a class of LargeAt or more, 0..1
	Small   unit.Fraction // of a class of SmallAt or less, 0..1
	LargeAt unit.Percent  // % of mass, 0..100
	SmallAt unit.Percent  // % of mass, above 0, below LargeAt
	Floor   unit.Percent  // points of mass, no class is known better
}

// DefaultRepeatability is about 10 % of a class, up to about 35 % in small ones. Source: the confidence intervals that a
// construction recommendation for putting greens names for laboratories' sieve results (about 10 %, to about 35 % in small
// classes, as printed in the trade press). That it runs from classes of 20 % down to 1 %, and the floor of 0.05 points, are
// working defaults, no source.
func DefaultRepeatability() Repeatability {
	return Repeatability{Large: 0.10, Small: 0.35, LargeAt: 20, SmallAt: 1, Floor: 0.05}
}

func (r Repeatability) check() error {
	for _, f := range []unit.Fraction{r.Large, r.Small} {
		if !(f >= 0 && f <= 1) {
			return fmt.Errorf("repeatability: half width %g of a class: give a share from 0 to 1", float64(f))
		}
	}
	if !(r.SmallAt > 0 && r.LargeAt > r.SmallAt && r.LargeAt <= 100) {
		return fmt.Errorf("repeatability: small classes of %g %% and large of %g %%: give 0 < small < large, at most 100 %%", float64(r.SmallAt), float64(r.LargeAt))
	}
	if !(r.Floor >= 0 && r.Floor <= 10) {
		return fmt.Errorf("repeatability: floor of %g points: give 0 to 10", float64(r.Floor))
	}
	return nil
}

// z95 is the normal deviate that 95 in 100 lie within.
const z95 = 1.959964

// sd is the standard deviation of a class of p percent [points].
func (r Repeatability) sd(p float64) float64 {
	t := math.Log(p/float64(r.SmallAt)) / math.Log(float64(r.LargeAt/r.SmallAt))
	t = max(0, min(1, t))
	half := (1-t)*float64(r.Small) + t*float64(r.Large)
	return max(p*half, float64(r.Floor)) / z95
}

// chance is the chance that a normal quantity of the mean and standard deviation given lies at or below a bound.
func chance(mean, sd, bound float64) float64 {
	if sd <= 0 {
		if mean <= bound {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc((mean-bound)/sd/math.Sqrt2)
}
