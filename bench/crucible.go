package bench

import (
	"errors"
	"fmt"
	"math"

	"underfoot/unit"
)

// DefaultResolution [g] stands in for a balance resolution nobody wrote down: common practice, no source.
const DefaultResolution unit.Grams = 0.01

// Limits that catch a wrong unit or a slipped decimal point, not limits of the method:
// common practice, no source.
const (
	heaviestCrucible   unit.Grams   = 10_000 // g, crucible and contents
	coarsestResolution unit.Grams   = 1      // g
	hottestFurnace     unit.Celsius = 1500   // °C
)

// Crucible is one crucible's way through the oven and the furnace. All masses include the crucible;
// a crucible weighed on a tared balance has tare 0. What is not known is nil.
type Crucible struct {
	Name           string        // as written on the crucible; may be blank
	Tare           unit.Grams    // empty crucible, m_t
	Moist          *unit.Grams   // with field-moist material, m_w
	Dry            unit.Grams    // with oven-dry material, m_d
	Ash            unit.Grams    // with ash, m_a
	DryTemperature *unit.Celsius // of the oven
	AshTemperature *unit.Celsius // of the furnace
	AshHours       *float64      // h at that temperature; recorded, not used in any sum
	Resolution     *unit.Grams   // smallest step the balance shows; nil means DefaultResolution
}

func (c Crucible) dryMass() unit.Grams { return c.Dry - c.Tare }

func (c Crucible) lost() unit.Grams { return c.Dry - c.Ash }

func (c Crucible) resolution() unit.Grams {
	if c.Resolution != nil {
		return *c.Resolution
	}
	return DefaultResolution
}

// readingStandard is the standard uncertainty of one balance reading, u = δ/√12 [g]: the true value lies
// anywhere within half a step δ either side of what is shown. JCGM 100:2008, F.2.2.1.
func (c Crucible) readingStandard() float64 { return float64(c.resolution()) / math.Sqrt(12) }

// explainable is the largest difference of two readings that the balance alone can explain,
// 3·u(difference) = 3·√2·δ/√12 [g], a little more than one step. The factor 3 is common practice, no source.
func (c Crucible) explainable() unit.Grams {
	return unit.Grams(3 * math.Sqrt2 * c.readingStandard())
}

// check finds every reason why the readings cannot be used.
func (c Crucible) check() error {
	if err := c.checkNumbers(); err != nil {
		return err
	}
	return errors.Join(c.checkDry(), c.checkAsh(), c.checkMoist())
}

const weighAgain = "weigh the crucible again or take the row out"

func (c Crucible) checkDry() error {
	switch gap := c.dryMass(); {
	case gap <= 0:
		return c.problem("dry mass %s is not above tare %s: %s", c.show(c.Dry), c.show(c.Tare), weighAgain)
	case gap <= c.explainable():
		return c.problem("dry mass %s is above tare %s by no more than the balance can explain (%s): %s",
			c.show(c.Dry), c.show(c.Tare), c.show(c.explainable()), weighAgain)
	}
	return nil
}

func (c Crucible) checkAsh() error {
	switch {
	case c.Ash-c.Dry > c.explainable():
		return c.problem("dry mass %s is below ash mass %s: %s", c.show(c.Dry), c.show(c.Ash), weighAgain)
	case c.Ash <= c.Tare:
		return c.problem("ash mass %s is not above tare %s: %s", c.show(c.Ash), c.show(c.Tare), weighAgain)
	}
	return nil
}

func (c Crucible) checkMoist() error {
	if c.Moist != nil && c.Dry-*c.Moist > c.explainable() {
		return c.problem("moist mass %s is below dry mass %s: %s", c.show(*c.Moist), c.show(c.Dry), weighAgain)
	}
	return nil
}

func (c Crucible) checkNumbers() error {
	if r := c.resolution(); !(r > 0 && r <= coarsestResolution) {
		return c.problem("balance resolution %s g: give a number above 0 and up to %s g", number(float64(r)), number(float64(coarsestResolution)))
	}
	errs := []error{c.checkMass("tare", c.Tare), c.checkMass("dry mass", c.Dry), c.checkMass("ash mass", c.Ash)}
	if c.Moist != nil {
		errs = append(errs, c.checkMass("moist mass", *c.Moist))
	}
	errs = append(errs, c.checkTemperature("oven", c.DryTemperature), c.checkTemperature("furnace", c.AshTemperature))
	if h := c.AshHours; h != nil && !(*h >= 0 && !math.IsInf(*h, 1)) {
		errs = append(errs, c.problem("ash time %s h: give zero or more hours, or leave it out", number(*h)))
	}
	return errors.Join(errs...)
}

func (c Crucible) checkMass(name string, m unit.Grams) error {
	if m >= 0 && m <= heaviestCrucible {
		return nil
	}
	return c.problem("%s %s g: give grams from 0 to %s, crucible included", name, number(float64(m)), number(float64(heaviestCrucible)))
}

func (c Crucible) checkTemperature(name string, t *unit.Celsius) error {
	if t == nil || (*t > 0 && *t <= hottestFurnace) {
		return nil
	}
	return c.problem("%s temperature %s °C: give degrees Celsius above 0 and up to %s, or leave it out",
		name, number(float64(*t)), number(float64(hottestFurnace)))
}

// problem names the crucible, if it has a name, before what is wrong with it.
func (c Crucible) problem(format string, args ...any) error {
	if c.Name == "" {
		return fmt.Errorf(format, args...)
	}
	return fmt.Errorf("crucible %s: "+format, append([]any{c.Name}, args...)...)
}
