package sampling

import (
	"fmt"
	"math"
)

// Comparison is what a t test compares.
type Comparison int

// The comparisons.
const (
	OneSample Comparison = iota // one mean with a fixed value; or paired differences, with their own sd
	TwoSample                   // two groups of the same size
)

// estimate is the difference from n measurements (a group) that scatter by sd. n need not be whole.
func (c Comparison) estimate(n, sd float64) Estimate {
	if c == TwoSample {
		return Estimate{Variance: 2 * sd * sd / n, DF: 2 * (n - 1)}
	}
	return Estimate{Variance: sd * sd / n, DF: n - 1}
}

// Means is the estimate of a mean, or of the difference of two, from n ≥ 2 independent measurements in each group that
// scatter by sd [unit of the measurement, > 0].
func Means(c Comparison, n int, sd float64) (Estimate, error) {
	if n < 2 {
		return Estimate{}, fmt.Errorf("comparing means: %d measurements: take at least 2", n)
	}
	if err := positive("comparing means", "scatter", sd); err != nil {
		return Estimate{}, err
	}
	return c.estimate(float64(n), sd), nil
}

// NumberForMargin is the smallest number of independent measurements whose mean is known to ± margin,
//
//	t((1 + C)/2, n − 1)·s/√n ≤ margin
//
// sd and margin in one unit, both > 0; confidence between 0 and 1.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 4.
func NumberForMargin(sd, margin, confidence float64) (int, error) {
	const doing = "measurements for a margin"
	if err := positive(doing, "scatter", sd); err != nil {
		return 0, err
	}
	if err := positive(doing, "margin", margin); err != nil {
		return 0, err
	}
	if err := checkConfidence(confidence); err != nil {
		return 0, err
	}
	n, ok := smallest(2, math.MaxInt32, func(n int) bool {
		return OneSample.estimate(float64(n), sd).halfWidth(confidence) <= margin
	})
	if !ok {
		return 0, fmt.Errorf("%s: a margin of %g with a scatter of %g takes more measurements than can be counted: ask for less", doing, margin, sd)
	}
	return n, nil
}

// NumberForChange is how many measurements (in each group) see a true difference with the test's power: n as a real number
// where the power is met exactly, 2 at least. Round it up. sd and change in one unit, both > 0.
// Source: as Test.seen; n solved for.
func NumberForChange(c Comparison, sd, change float64, test Test) (float64, error) {
	const doing = "measurements for a change"
	if err := positive(doing, "scatter", sd); err != nil {
		return 0, err
	}
	if err := positive(doing, "change", change); err != nil {
		return 0, err
	}
	if err := test.check(); err != nil {
		return 0, err
	}
	power := func(logN float64) float64 {
		e := c.estimate(math.Exp(logN), sd)
		return test.seen(change/e.SE(), e.DF) - test.Power
	}
	least := math.Log(2)
	if power(least) >= 0 {
		return 2, nil
	}
	high := least + 1
	for ; power(high) < 0; high++ {
		if high > math.Log(math.MaxInt32) {
			return 0, fmt.Errorf("%s: a change of %g with a scatter of %g takes more measurements than can be counted: ask for less", doing, change, sd)
		}
	}
	return math.Exp(root(power, least, high)), nil
}

// smallest finds the first n from low to high for which ok holds, given that it goes on to hold from there.
func smallest(low, high int, ok func(int) bool) (int, bool) {
	reach := low
	for step := 1; !ok(reach); step *= 2 {
		if reach >= high {
			return 0, false
		}
		low = reach + 1
		reach = min(high, reach+step)
	}
	for low < reach {
		middle := low + (reach-low)/2
		if ok(middle) {
			reach = middle
		} else {
			low = middle + 1
		}
	}
	return reach, true
}

func positive(doing, name string, v float64) error {
	if !(v > 0) || math.IsInf(v, 1) {
		return fmt.Errorf("%s: %s %g: give a number above 0", doing, name, v)
	}
	return nil
}
