package bench

import (
	"errors"
	"math"

	"underfoot/unit"
)

// Ignition is what the crucibles of one composite say together.
type Ignition struct {
	DryMass       unit.Grams     // oven-dry material, Σ(m_d − m_t)
	AshMass       unit.Grams     // what is left, Σ(m_a − m_t)
	Lost          unit.Grams     // what burnt, Σ(m_d − m_a)
	OrganicMatter unit.Fraction  // L, of oven-dry mass; a hair below 0 when ash gained mass
	Ash           unit.Fraction  // 1 − L
	Water         *unit.Fraction // dry basis; nil unless every crucible was weighed moist
	Uncertainty   Budget         // of OrganicMatter, in percentage points
	Warnings      []Warning
	Notes         []Note

	reading float64 // √Σu_i² over the crucibles [g], the common part of every balance term
}

// OrganicMatter gives the organic matter of one composite as its loss on ignition.
//
//	L = Σ(m_d − m_a) / Σ(m_d − m_t)
//
// The sums run over the crucibles, so that a large portion counts for more than a small one; percentages
// of portions are never averaged. Masses [g] include the crucible, with m_t < m_a and m_a ≤ m_d; an m_a above
// m_d by no more than the balance can explain is kept as measured, slightly below zero, with a warning.
// Water bound in clay, carbonates and charred residue are ignored; see [MineralLoss] for the first two.
//
// Source: ASTM D2974 (organic matter = 100 − ash content, in percent of oven-dry mass; method C at
// 440 ± 40 °C); the same definition in ASTM F1647. Uncertainty: JCGM 100:2008, 5.1.2.
func OrganicMatter(crucibles []Crucible) (Ignition, error) {
	if len(crucibles) == 0 {
		return Ignition{}, errors.New("organic matter: no crucible: give the weighings of at least one")
	}
	var errs []error
	for _, c := range crucibles {
		errs = append(errs, c.check())
	}
	if err := errors.Join(errs...); err != nil {
		return Ignition{}, err
	}
	ig := sum(crucibles)
	ig.Uncertainty = combine(ig.balance(), scatter(crucibles, ig))
	ig.Warnings = ignitionWarnings(crucibles)
	ig.Notes = ignitionNotes(crucibles)
	return ig, nil
}

func sum(crucibles []Crucible) Ignition {
	var ig Ignition
	var variance float64
	for _, c := range crucibles {
		ig.DryMass += c.dryMass()
		ig.AshMass += c.Ash - c.Tare
		ig.Lost += c.lost()
		variance += c.readingStandard() * c.readingStandard()
	}
	ig.reading = math.Sqrt(variance)
	ig.OrganicMatter = unit.Fraction(ig.Lost / ig.DryMass)
	ig.Ash = unit.Fraction(ig.AshMass / ig.DryMass)
	ig.Water = water(crucibles)
	return ig
}

// water is the sum over the crucibles, Σ(m_w − m_d)/Σ(m_d − m_t), or nil when one has no moist mass.
func water(crucibles []Crucible) *unit.Fraction {
	var lost, dry unit.Grams
	for _, c := range crucibles {
		if c.Moist == nil {
			return nil
		}
		lost += *c.Moist - c.Dry
		dry += c.dryMass()
	}
	w := unit.Fraction(lost / dry)
	return &w
}

// WaterContent gives the water of one crucible's material per oven-dry mass.
//
//	w = (m_w − m_d) / (m_d − m_t)
//
// Masses [g] include the crucible; w is 0 or more and may pass 1 in fresh thatch. Whatever else the oven
// drives off counts as water. Source: ISO 11465:1993, water content on a dry-mass basis.
func WaterContent(tare, moist, dry unit.Grams) (unit.Fraction, error) {
	c := Crucible{Tare: tare, Moist: &moist, Dry: dry}
	if err := c.checkNumbers(); err != nil {
		return 0, err
	}
	if err := errors.Join(c.checkDry(), c.checkMoist()); err != nil {
		return 0, err
	}
	return *water([]Crucible{c}), nil
}
