package sampling

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// chiSquaredQuantile is the value that a chi-squared variable with ν > 0 degrees of freedom stays below with probability p,
// 0 < p < 1.
// Source: NIST Digital Library of Mathematical Functions 8.2, incomplete gamma function of gonum.
func chiSquaredQuantile(p, df float64) float64 {
	f := func(u float64) float64 {
		x := math.Exp(u) / 2
		if p > 0.5 {
			return math.Log1p(-p) - math.Log(mathext.GammaIncRegComp(df/2, x))
		}
		return math.Log(mathext.GammaIncReg(df/2, x)) - math.Log(p)
	}
	return math.Exp(rising(f, math.Log(df), 0.5))
}
