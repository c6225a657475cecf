package bench

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// HorRatLow and HorRatHigh hold what is commonly accepted of a scatter between laboratories: 0.5 to 2.0.
// AOAC International, Official Methods of Analysis, Appendix F.
const HorRatLow, HorRatHigh = 0.5, 2.0

// Horwitz gives the relative standard deviation between laboratories that chemical methods of many kinds show at a mass
// fraction, in percent.
//
//	PRSD_R = 2·C^(−0.15)          AOAC International, Official Methods of Analysis, Appendix F
//
// C is a mass fraction above 0 and up to 1. A yardstick of chemical analysis: for a loss on ignition it is an indication.
func Horwitz(c unit.Fraction) (unit.Percent, error) {
	if !(c > 0 && c <= 1) {
		return 0, fmt.Errorf("horwitz: mass fraction %s: give a fraction above 0 and up to 1", number(float64(c)))
	}
	return unit.Percent(2 * math.Pow(float64(c), -0.15)), nil
}

// HorRat sets a relative standard deviation [%] beside Horwitz's at the same mass fraction. Between laboratories 0.5 to
// 2.0 is commonly accepted; within one laboratory half to two thirds of 1 is usual. An indication, never a verdict.
func HorRat(rsd unit.Percent, c unit.Fraction) (float64, error) {
	if !(rsd >= 0) || math.IsInf(float64(rsd), 1) {
		return 0, fmt.Errorf("horrat: relative standard deviation %s %%: give percent of 0 or more", number(float64(rsd)))
	}
	predicted, err := Horwitz(c)
	if err != nil {
		return 0, err
	}
	return float64(rsd / predicted), nil
}
