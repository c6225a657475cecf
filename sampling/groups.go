package sampling

import (
	"fmt"
	"math"
)

// Groups is a comparison of several greens, each sampled several times over: can they be told apart at all?
type Groups struct {
	Groups  int     // greens, ≥ 2
	Between float64 // variance between the true means of these greens (divisor Groups − 1) [unit², > 0]
	Within  float64 // variance between composites of one green [unit², > 0]
}

// Power is the chance that an F test at the given level sees a difference between the groups when each has n ≥ 2
// independent measurements; λ = (k − 1)·n·between/within.
// Source: Cohen, Statistical Power Analysis, 2nd ed. 1988, ch. 8 (from memory); noncentral F as in Johnson, Kotz &
// Balakrishnan 1995, ch. 30.
func (g Groups) Power(n int, level float64) (float64, error) {
	if err := g.check(level); err != nil {
		return 0, err
	}
	if n < 2 {
		return 0, fmt.Errorf("telling groups apart: %d measurements a group: take at least 2", n)
	}
	return g.power(float64(n), level), nil
}

// Number is how many measurements a group see the difference with the test's power: n as a real number where the power
// is met exactly, 2 at least. Round it up. An F test has no sides; Test.OneSided and NearOnly are ignored.
func (g Groups) Number(test Test) (float64, error) {
	if err := test.check(); err != nil {
		return 0, err
	}
	if err := g.check(test.Level); err != nil {
		return 0, err
	}
	f := func(logN float64) float64 { return g.power(math.Exp(logN), test.Level) - test.Power }
	least := math.Log(2)
	if f(least) >= 0 {
		return 2, nil
	}
	high := least + 1
	for ; f(high) < 0; high++ {
		if high > math.Log(1e6) {
			return 0, fmt.Errorf("telling groups apart: more than a million measurements a group for a variance of %g between and %g within: ask for less", g.Between, g.Within)
		}
	}
	return math.Exp(root(f, least, high)), nil
}

func (g Groups) power(n, level float64) float64 {
	k := float64(g.Groups)
	d := fisherF{m: k - 1, n: (n - 1) * k, offset: (k - 1) * n * g.Between / g.Within}
	return d.above(d.upper(level))
}

func (g Groups) check(level float64) error {
	const doing = "telling groups apart"
	if g.Groups < 2 {
		return fmt.Errorf("%s: %d groups: give at least 2", doing, g.Groups)
	}
	if !isChance(level) {
		return fmt.Errorf("%s: level %g: give a chance between 0 and 1, for example 0.05", doing, level)
	}
	if err := positive(doing, "variance between", g.Between); err != nil {
		return err
	}
	return positive(doing, "variance within", g.Within)
}
