package bench

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// MineralLoss corrects a loss on ignition for what the sand itself loses in the furnace: water bound in
// clay, carbonate. It is off unless given, because with the clean sands of putting greens it moves the
// result by 0.1 to 0.3 percentage points at most (from memory, Hoogsteen et al. 2015 for clay).
type MineralLoss struct {
	Loss                 unit.Fraction // b, lost by the sand burnt alone; 0 ≤ b < η
	LossStandard         unit.Fraction // standard uncertainty of b
	Completeness         unit.Fraction // η, share of the organic part that burns; b < η ≤ 1, normally 1
	CompletenessStandard unit.Fraction // standard uncertainty of η
}

// Organic gives the organic fraction F behind a loss on ignition L.
//
//	L = η·F + b·(1 − F)   ⇒   F = (L − b)/(η − b)
//
// L from a little below 0 to 1. The loss b is taken as the same for all mineral grains. Source: mass
// balance of the two parts, own derivation, docs/model/bench.md section 4; no published equation is claimed.
func (m MineralLoss) Organic(l unit.Fraction) (unit.Fraction, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	return m.organic(l), nil
}

func (m MineralLoss) organic(l unit.Fraction) unit.Fraction {
	return (l - m.Loss) / (m.Completeness - m.Loss)
}

func (m MineralLoss) check() error {
	switch {
	case !(m.Completeness > 0 && m.Completeness <= 1):
		return fmt.Errorf("mineral correction: completeness of burning %s: give a fraction above 0 and up to 1", number(float64(m.Completeness)))
	case !(m.Loss >= 0 && m.Loss < m.Completeness):
		return fmt.Errorf("mineral correction: loss of the sand %s: give a fraction from 0 to below the completeness of burning, %s",
			number(float64(m.Loss)), number(float64(m.Completeness)))
	case !(m.LossStandard >= 0 && m.LossStandard < 1) || !(m.CompletenessStandard >= 0 && m.CompletenessStandard < 1):
		return fmt.Errorf("mineral correction: standard uncertainties %s and %s: give fractions from 0 to below 1",
			number(float64(m.LossStandard)), number(float64(m.CompletenessStandard)))
	}
	return nil
}

// budget carries the uncertainty of L over to F and adds that of b and η.
//
//	∂F/∂L = 1/(η − b),  ∂F/∂b = (L − η)/(η − b)²,  ∂F/∂η = −(L − b)/(η − b)²
func (m MineralLoss) budget(l unit.Fraction, of Budget) Budget {
	gap := float64(m.Completeness - m.Loss)
	var parts []Component
	for _, c := range of.Components {
		c.Standard /= unit.Percent(gap)
		parts = append(parts, c)
	}
	add := func(name string, slope float64, u unit.Fraction) {
		if u > 0 {
			s := unit.Fraction(math.Abs(slope) * float64(u))
			parts = append(parts, Component{Name: name, Standard: s.Percent(), DF: math.Inf(1)})
		}
	}
	add(blankName, float64(l-m.Completeness)/(gap*gap), m.LossStandard)
	add(completedName, float64(l-m.Loss)/(gap*gap), m.CompletenessStandard)
	return combine(parts...)
}
