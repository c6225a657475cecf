package balance

import (
	"fmt"
	"math"
	"time"

	"underfoot/unit"
)

// Layer is the mean of one course for one layer in one round.
type Layer struct {
	Top, Bottom unit.Millimetres
	OM          unit.Fraction // organic share of dry mass
	OMSE        unit.Fraction // its standard error
	Density     unit.KgPerM3  // dry bulk density
	DensitySE   unit.KgPerM3  // its standard error
}

// Round is one round of cores on the course.
type Round struct {
	Label  string
	At     time.Time
	Layers []Layer
}

// Organic gives the organic mass of the layer: O = L·ρ·h [kg/m²].
func (l Layer) Organic() unit.KgPerM2 { return unit.KgPerM2(l.OM) * l.mass() }

// Mineral gives the mineral mass of the layer: M = (1 − L)·ρ·h [kg/m²].
func (l Layer) Mineral() unit.KgPerM2 { return unit.KgPerM2(1-l.OM) * l.mass() }

func (l Layer) mass() unit.KgPerM2 { return (l.Bottom - l.Top).Mass(l.Density) }

func (l Layer) name() string { return span(l.Top, l.Bottom) }

// span names a layer by its depths.
func span(top, bottom unit.Millimetres) string {
	return fmt.Sprintf("%g–%g mm", float64(top), float64(bottom))
}

func (l Layer) check() error {
	switch {
	case !(l.Top >= 0 && l.Bottom > l.Top) || math.IsInf(float64(l.Bottom), 0):
		return fmt.Errorf("layer %s: the bottom must lie below the top, and the top at 0 mm or deeper", l.name())
	case !(l.OM > 0 && l.OM < 1):
		return fmt.Errorf("layer %s: organic matter is %g %%: the account needs more than 0 and less than 100 %%", l.name(), float64(l.OM.Percent()))
	case !(l.Density > 0) || math.IsInf(float64(l.Density), 0):
		return fmt.Errorf("layer %s: bulk density is %g kg/m³: give a measured or estimated one above 0", l.name(), float64(l.Density))
	case !(l.OMSE >= 0) || !(l.DensitySE >= 0) || l.OMSE > 1 || math.IsInf(float64(l.DensitySE), 0):
		return fmt.Errorf("layer %s: standard errors are %g %% and %g kg/m³: give numbers of 0 or more", l.name(), float64(l.OMSE.Percent()), float64(l.DensitySE))
	}
	return nil
}
