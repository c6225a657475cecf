package findings

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"underfoot/unit"
)

// Quantile is the quantile of sorted values at probability p, type 8: about median-unbiased whatever the distribution.
//
//	h = (n + 1/3)·p + 1/3    q = x_⌊h⌋ + (h − ⌊h⌋)·(x_⌊h⌋₊₁ − x_⌊h⌋)
//
// with x_1 and x_n beyond the ends. NaN of no values. Source: definition 8 of Hyndman & Fan, The American Statistician
// 50:361–365, 1996.
func Quantile(sorted []float64, p float64) float64 {
	n := float64(len(sorted))
	if n == 0 {
		return math.NaN()
	}
	h := min(max((n+1.0/3)*p+1.0/3, 1), n)
	// A whole h that rounding has put a little below it: R allows the same four units of the last place.
	if r := math.Round(h); math.Abs(h-r) < 4*2.220446049250313e-16*max(1, h) {
		h = r
	}
	i := int(h)
	if i == len(sorted) {
		return sorted[i-1]
	}
	return sorted[i-1] + (h-float64(i))*(sorted[i]-sorted[i-1])
}

// mostSpread is the largest number of courses a table is spread into; a larger table says no more.
const mostSpread = 2000

// courses spreads a table into as many courses as stand behind it, evenly over its distribution.
func (t PeerTable) courses() []CourseLevel {
	n := min(t.Courses, mostSpread)
	out := make([]CourseLevel, n)
	for k := range out {
		out[k] = CourseLevel{Course: t.Source, OM: t.at((float64(k) + 0.5) / float64(n)), SE: t.MeanSE}
	}
	return out
}

// at reads the table at a probability along straight lines in normal scores, the last ones drawn on; never below 0.
func (t PeerTable) at(p float64) unit.Percent {
	z := distuv.UnitNormal.Quantile(p)
	i := 0
	for i+2 < len(t.P) && p > t.P[i+1] {
		i++
	}
	z0, z1 := distuv.UnitNormal.Quantile(t.P[i]), distuv.UnitNormal.Quantile(t.P[i+1])
	return max(0, t.OM[i]+unit.Percent((z-z0)/(z1-z0))*(t.OM[i+1]-t.OM[i]))
}

func (t PeerTable) check() error {
	where := fmt.Sprintf("reference table %q", t.Source)
	if t.Courses < LeastPeers {
		return fmt.Errorf("%s: %d courses: allowed is %d or more", where, t.Courses, LeastPeers)
	}
	if !(t.MeanSE >= 0) || math.IsInf(float64(t.MeanSE), 0) {
		return fmt.Errorf("%s: mean standard error is %g points: allowed is 0 or more", where, float64(t.MeanSE))
	}
	if len(t.P) < 3 || len(t.P) != len(t.OM) {
		return fmt.Errorf("%s: %d probabilities and %d quantiles: give three or more of each", where, len(t.P), len(t.OM))
	}
	for i, p := range t.P {
		switch {
		case !(p > 0 && p < 1) || (i > 0 && p <= t.P[i-1]):
			return fmt.Errorf("%s: probability %g: allowed are rising numbers between 0 and 1", where, p)
		case !(t.OM[i] >= 0 && t.OM[i] <= 100):
			return fmt.Errorf("%s: quantile at %g is %g %%: allowed is 0 to 100 %%", where, p, float64(t.OM[i]))
		case i > 0 && t.OM[i] < t.OM[i-1]:
			return fmt.Errorf("%s: quantile at %g is %g %%, below the %g %% at %g: quantiles must not fall", where, p, float64(t.OM[i]), float64(t.OM[i-1]), t.P[i-1])
		}
	}
	return nil
}
