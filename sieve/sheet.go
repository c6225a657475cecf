package sieve

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// Retained is what stayed on one sieve; a sieve of 0 mm is the pan.
type Retained struct {
	Sieve unit.Millimetres // opening [mm], 0..200
	Mass  unit.Grams       // left on it [g], 0 or more
}

// Sheet is one sieving as it was weighed.
type Sheet struct {
	Retained []Retained
	Start    *unit.Grams    // dry mass before washing and sieving [g], where it was weighed
	Washed   *unit.Grams    // dry mass that washing took away [g]: finer than the finest sieve
	Repeat   *Repeatability // nil for [DefaultRepeatability]
}

// What the fractions may lack of the start mass before it is said, and before it is a warning.
// Source: from memory of ASTM F1632 and D6913 (loss on sieving of 1 to 2 %; 0.5 to 1 %).
const (
	lossNoted  unit.Fraction = 0.01
	lossWarned unit.Fraction = 0.02
)

// Bounds on what a sieve and a mass can be; beyond them a number is a mistake.
const (
	coarsest unit.Millimetres = 200
	finest   unit.Millimetres = 0.001
	heaviest unit.Grams       = 1e6
)

// Curve sums the sheet up:
//
//	P(d_i) = 100·(washed + pan + Σ_{d_j < d_i} m_j)/(washed + pan + Σ m_j)
//
// percent passing of the recovered mass. What was lost is taken to have been lost alike from all sizes; [Curve.Loss] says
// how much that was. Without a pan, what the start mass has beyond the fractions is taken to have passed the finest sieve.
// Source: ASTM C136 and F1632, calculation; the pan of 0 mm is ours.
func (s Sheet) Curve() (*Curve, error) {
	list := slices.Clone(s.Retained)
	slices.SortStableFunc(list, func(a, b Retained) int { return cmp.Compare(a.Sieve, b.Sieve) })
	if err := s.check(list); err != nil {
		return nil, err
	}
	c := &Curve{repeat: DefaultRepeatability()}
	if s.Repeat != nil {
		c.repeat = *s.Repeat
	}
	mass := make([]float64, 0, len(list)+1) // by class, below the finest sieve first
	c.sizes = make([]float64, 0, len(list))
	below, sum := 0.0, 0.0
	pan := list[0].Sieve == 0
	if pan {
		below, list = float64(list[0].Mass), list[1:]
	}
	if s.Washed != nil {
		below += float64(*s.Washed)
	}
	mass = append(mass, 0)
	for _, r := range list {
		c.sizes = append(c.sizes, float64(r.Sieve))
		mass = append(mass, float64(r.Mass))
		sum += float64(r.Mass)
	}
	below += c.close(s.Start, pan, sum+below)
	mass[0] = below
	sum += below
	if !(sum > 0) {
		return nil, errors.New("sieving: every fraction is 0 g: nothing was sieved")
	}
	c.Mass = unit.Grams(sum)
	for i, m := range mass {
		mass[i] = 100 * m / sum
	}
	c.share = mass
	c.settle()
	return c, nil
}

// close sets the recovered mass beside the start mass. It returns what is taken to have passed the finest sieve because no
// pan was weighed.
func (c *Curve) close(start *unit.Grams, pan bool, sum float64) float64 {
	if start == nil {
		if !pan {
			c.Warnings = append(c.Warnings, "no pan was weighed: nothing is taken to have passed the finest sieve")
		}
		return 0
	}
	lost := unit.Fraction((float64(*start) - sum) / float64(*start))
	if !pan && lost > 0 {
		c.Warnings = append(c.Warnings, fmt.Sprintf("no pan was weighed: the %.2f g that the fractions lack of the start mass are taken to have passed the finest sieve, and a loss cannot be told from them", float64(*start)-sum))
		return float64(*start) - sum
	}
	c.Loss = &lost
	switch {
	case lost > lossWarned || lost < -lossWarned:
		c.Warnings = append(c.Warnings, fmt.Sprintf("the fractions sum to %.2f g of %.2f g at the start, %s: more than 2 %%; weigh or sieve again", sum, float64(*start), off(lost)))
	case lost > lossNoted || lost < -lossNoted:
		c.Notes = append(c.Notes, fmt.Sprintf("the fractions sum to %.2f g of %.2f g at the start, %s: between 1 and 2 %%, usable", sum, float64(*start), off(lost)))
	}
	return 0
}

func off(lost unit.Fraction) string {
	if lost < 0 {
		return fmt.Sprintf("%.1f %% too much", -100*float64(lost))
	}
	return fmt.Sprintf("%.1f %% lost", 100*float64(lost))
}

// check wants the list by size.
func (s Sheet) check(list []Retained) error {
	for i, r := range list {
		switch {
		case math.IsNaN(float64(r.Sieve)) || r.Sieve < 0 || r.Sieve > coarsest || r.Sieve > 0 && r.Sieve < finest:
			return fmt.Errorf("sieving: a sieve of %g mm: give openings from %g to %g mm, and 0 for the pan", float64(r.Sieve), float64(finest), float64(coarsest))
		case !(r.Mass >= 0 && r.Mass <= heaviest):
			return fmt.Errorf("sieving: %g g on the sieve of %g mm: give 0 to %g g", float64(r.Mass), float64(r.Sieve), float64(heaviest))
		case i > 0 && list[i-1].Sieve == r.Sieve:
			return fmt.Errorf("sieving: the sieve of %g mm is there twice: sum its masses, or give one of them", float64(r.Sieve))
		}
	}
	if n := len(list); n == 0 || n == 1 && list[0].Sieve == 0 {
		return errors.New("sieving: no sieve: give at least one with what stayed on it")
	}
	for _, m := range []struct {
		name string
		mass *unit.Grams
		low  unit.Grams
	}{{"start mass", s.Start, 1e-6}, {"washed out", s.Washed, 0}} {
		if m.mass != nil && !(*m.mass >= m.low && *m.mass <= heaviest) {
			return fmt.Errorf("sieving: %s %g g: give %g to %g g", m.name, float64(*m.mass), float64(m.low), float64(heaviest))
		}
	}
	if s.Repeat != nil {
		return s.Repeat.check()
	}
	return nil
}
