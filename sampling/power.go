package sampling

import (
	"fmt"
	"math"
)

// Test is how a difference is put to the test.
type Test struct {
	Level    float64 // chance of crying change where there is none, 0 < Level < 1
	Power    float64 // chance of seeing a true change that counts as being able to see it, Level < Power < 1
	OneSided bool    // only a change in the direction looked for counts
	NearOnly bool    // two-sided, but seeing it with the wrong sign does not count
}

// UsualTest is a two-sided test that cries change one time in twenty and is to see a true one in 8 of 10 cases: common
// practice, no source. Seeing a change counts whatever its sign, as the test itself has it.
func UsualTest() Test { return Test{Level: 0.05, Power: 0.8} }

func (t Test) check() error {
	switch {
	case !isChance(t.Level):
		return fmt.Errorf("test: level %g: give a chance between 0 and 1, for example 0.05", t.Level)
	case !isChance(t.Power) || t.Power <= t.Level:
		return fmt.Errorf("test: power %g: give a chance between the level %g and 1, for example 0.8", t.Power, t.Level)
	}
	return nil
}

// isChance says whether a chance lies between 0 and 1 with a millionth to spare; nothing in the field is surer.
func isChance(p float64) bool { return p >= 1e-6 && p <= 1-1e-6 }

// critical is the value of t beyond which a change is called.
func (t Test) critical(df float64) float64 {
	if t.OneSided {
		return studentT{df, 0}.upper(t.Level)
	}
	return studentT{df, 0}.upper(t.Level / 2)
}

// seen is the chance of calling a change whose true size is δ standard errors:
//
//	P(T > t_crit) + P(T < −t_crit)      T noncentral t with ν degrees of freedom and offset δ
//
// without the second part where one-sided or NearOnly.
// Source: Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions vol. 2, 2nd ed. 1995, ch. 31 (from memory).
func (t Test) seen(offset, df float64) float64 { return t.beyond(t.critical(df), offset, df) }

func (t Test) beyond(crit, offset, df float64) float64 {
	d := studentT{df, offset}
	power := d.above(crit)
	if !t.OneSided && !t.NearOnly {
		power += d.below(-crit)
	}
	return min(1, power)
}

// offset is the size of a true change, in standard errors, that is seen with the test's power. At 0 the power is no more
// than the level, and it grows with the change, so there is one.
func (t Test) offset(df float64) float64 {
	crit := t.critical(df)
	short := func(offset float64) float64 { return t.beyond(crit, offset, df) - t.Power }
	high := max(1, crit+studentT{df, 0}.quantile(t.Power)) // the central t approximation
	for short(high) < 0 {
		high *= 2
	}
	return root(short, 0, high)
}

// Estimate is what a design says about one figure: its variance, and how well that variance itself will be known.
type Estimate struct {
	Variance float64 // in the unit of the figure, squared
	DF       float64 // degrees of freedom of the test; 0 where the design leaves nothing to judge the scatter by
}

// SE is the standard error, in the unit of the figure.
func (e Estimate) SE() float64 { return math.Sqrt(e.Variance) }

// HalfWidth is half the confidence interval of the figure, t((1 + C)/2, ν)·SE, for a confidence C between 0 and 1.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 2.
func (e Estimate) HalfWidth(confidence float64) (float64, error) {
	if err := checkConfidence(confidence); err != nil {
		return 0, err
	}
	if err := e.check("half width"); err != nil {
		return 0, err
	}
	return e.halfWidth(confidence), nil
}

func (e Estimate) halfWidth(confidence float64) float64 {
	return studentT{e.DF, 0}.upper((1-confidence)/2) * e.SE()
}

// Power is the chance that the test calls a true change of the given size [unit of the figure, either sign]. One-sided,
// the change is one in the direction looked for.
func (e Estimate) Power(change float64, test Test) (float64, error) {
	if err := test.check(); err != nil {
		return 0, err
	}
	if err := e.check("power"); err != nil {
		return 0, err
	}
	if math.IsNaN(change) || math.IsInf(change, 0) {
		return 0, fmt.Errorf("power: change %g: give a number", change)
	}
	return test.seen(math.Abs(change)/e.SE(), e.DF), nil
}

// SmallestVisible is the smallest true change that the test calls with its power [unit of the figure].
func (e Estimate) SmallestVisible(test Test) (float64, error) {
	if err := test.check(); err != nil {
		return 0, err
	}
	if err := e.check("smallest visible change"); err != nil {
		return 0, err
	}
	return test.offset(e.DF) * e.SE(), nil
}

// SmallestByCentralT is the same by the textbook approximation (t(1 − α/2, ν) + t(power, ν))·SE, which takes a central t
// for the noncentral one and is a little too small for few degrees of freedom. It is here to compare with tables.
// Source: Snedecor & Cochran, Statistical Methods (from memory).
func (e Estimate) SmallestByCentralT(test Test) (float64, error) {
	if err := test.check(); err != nil {
		return 0, err
	}
	if err := e.check("smallest visible change"); err != nil {
		return 0, err
	}
	return (test.critical(e.DF) + studentT{e.DF, 0}.quantile(test.Power)) * e.SE(), nil
}

// leastDF is the fewest degrees of freedom that anything is worked out for: designs have 1 or none.
const leastDF = 1.0

func (e Estimate) check(doing string) error {
	switch {
	case !(e.Variance > 0) || math.IsInf(e.Variance, 1):
		return fmt.Errorf("%s: variance %g: give a number above 0", doing, e.Variance)
	case !(e.DF >= leastDF):
		return fmt.Errorf("%s: %g degrees of freedom: the design has too few greens or rounds to judge its own scatter by", doing, e.DF)
	}
	return nil
}

func checkConfidence(c float64) error {
	if !isChance(c) {
		return fmt.Errorf("confidence %g: give a share between 0 and 1, for example 0.95", c)
	}
	return nil
}
