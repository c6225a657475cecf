package bench

import (
	"errors"
	"fmt"
	"math"

	"underfoot/unit"
)

// Corrections are what the mineral part may lose in the furnace, to be taken off the loss on ignition. All are off unless
// given: see [Corrections.WhyOff].
type Corrections struct {
	Clay      *ClayWater
	Carbonate *CarbonateGas
}

// ClayWater is water bound in the lattice of clay, which the furnace drives off.
type ClayWater struct {
	Share         unit.Fraction // clay, of the mineral mass
	Water         unit.Fraction // driven off, of the mass of clay
	WaterStandard unit.Fraction // its standard uncertainty
}

// CarbonateGas is carbon dioxide that carbonate gives off.
type CarbonateGas struct {
	Share      unit.Fraction // calcium carbonate, of the mineral mass
	Decomposed unit.Fraction // of it, at the temperature and time of the furnace
	Standard   unit.Fraction // standard uncertainty of Decomposed
}

const (
	// ClayWaterAt550 is the water lost by clay at 550 °C, g per g: about 0.09 (Hoogsteen et al. 2015, Eur. J. Soil
	// Sci., from memory); less at 440 °C, by how much is not known.
	ClayWaterAt550 unit.Fraction = 0.09
	// CarbonateLostAt550 is the share of calcite lost at 550 °C: 99.8 % remained (Hoogsteen et al. 2018).
	CarbonateLostAt550 unit.Fraction = 0.002
	// carbonDioxide is the share of calcium carbonate's mass that leaves as carbon dioxide, 44.009/100.086 from the
	// standard atomic weights (IUPAC).
	carbonDioxide = 44.009 / 100.086
)

// ClayAt440 is a share of clay [of mineral mass, 0 to 1] burnt at 440 °C. What it loses there lies anywhere between nothing and
// what is lost at 550 °C: half of that, with the standard uncertainty a/√3 of a rectangular distribution of half width a
// (JCGM 100:2008, 4.3.7).
func ClayAt440(share unit.Fraction) *ClayWater {
	half := ClayWaterAt550 / 2
	return &ClayWater{Share: share, Water: half, WaterStandard: half / unit.Fraction(math.Sqrt(3))}
}

// CarbonateAt440 is a share of calcium carbonate [of mineral mass, 0 to 1] burnt at 440 °C, its loss taken as for [ClayAt440].
func CarbonateAt440(share unit.Fraction) *CarbonateGas {
	half := CarbonateLostAt550 / 2
	return &CarbonateGas{Share: share, Decomposed: half, Standard: half / unit.Fraction(math.Sqrt(3))}
}

// MineralLoss turns the corrections into the loss of the sand burnt alone.
//
//	b = c·w + k·x·44.009/100.086
//
// c is the share of clay, w the water it loses, k the share of carbonate and x how much of it decomposes, all fractions 0
// to 1; uncertainties of w and x are added in squares. nil when nothing is corrected. Other minerals are taken to lose nothing.
func (c Corrections) MineralLoss() (*MineralLoss, error) {
	if c.Clay == nil && c.Carbonate == nil {
		return nil, nil
	}
	m := MineralLoss{Completeness: 1}
	var parts []float64
	if w := c.Clay; w != nil {
		if err := errors.Join(fraction("clay", w.Share), fraction("water of clay", w.Water), fraction("standard uncertainty of the water of clay", w.WaterStandard)); err != nil {
			return nil, err
		}
		m.Loss += w.Share * w.Water
		parts = append(parts, float64(w.Share*w.WaterStandard))
	}
	if k := c.Carbonate; k != nil {
		if err := errors.Join(fraction("carbonate", k.Share), fraction("decomposed carbonate", k.Decomposed), fraction("standard uncertainty of the decomposed carbonate", k.Standard)); err != nil {
			return nil, err
		}
		m.Loss += k.Share * k.Decomposed * carbonDioxide
		parts = append(parts, float64(k.Share*k.Standard)*carbonDioxide)
	}
	m.LossStandard = unit.Fraction(hypot(parts...))
	return &m, m.check()
}

func fraction(name string, v unit.Fraction) error {
	if v >= 0 && v <= 1 {
		return nil
	}
	return fmt.Errorf("correction: %s %s: give a fraction from 0 to 1", name, number(float64(v)))
}

// WhyOff says why no correction is made unless asked for.
func (Corrections) WhyOff() string {
	return "Nothing is taken off for water bound in clay or for carbonate: with clean sand they move a result by 0.1 to 0.3 points at most, below 550 °C calcite hardly decomposes, " +
		"the water clay loses at 440 °C is not well known, and a series must be treated alike from its first round to its last."
}
