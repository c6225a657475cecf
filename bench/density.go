package bench

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Mixture is a layer seen as two parts whose volumes add up.
type Mixture struct {
	Organic unit.KgPerM3 // ρ_o, dry bulk density of the organic part alone
	Mineral unit.KgPerM3 // ρ_s, dry bulk density of the mineral part alone
}

// Density gives the dry bulk density of a layer from its organic fraction.
//
//	1/ρ = f/ρ_o + (1 − f)/ρ_s
//
// f [1] from 0 to 1, densities [kg/m³] above 0. Compaction other than that of the layers the two densities
// were fitted on is ignored. Source: Federer, Turcotte & Smith 1993, Can. J. For. Res. 23:1026–1032
// (their D_bo and D_bm are our ρ_o and ρ_s); Adams 1973, J. Soil Sci. 24:10–17.
func (m Mixture) Density(f unit.Fraction) (unit.KgPerM3, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	if !(f >= 0 && f <= 1) {
		return 0, fmt.Errorf("mixture density: organic fraction %s: give a number from 0 to 1", number(float64(f)))
	}
	return m.density(f), nil
}

func (m Mixture) density(f unit.Fraction) unit.KgPerM3 {
	return 1 / (unit.KgPerM3(f)/m.Organic + unit.KgPerM3(1-f)/m.Mineral)
}

// heaviestMineral [kg/m³] is solid quartz; no packing of sand can pass it. From memory.
const heaviestMineral unit.KgPerM3 = 2650

func (m Mixture) check() error {
	if m.Organic > 0 && m.Organic <= m.Mineral && m.Mineral <= heaviestMineral {
		return nil
	}
	return fmt.Errorf("mixture density: densities %s (organic) and %s kg/m³ (mineral): give numbers above 0, the organic no more than the mineral, up to %s",
		number(float64(m.Organic)), number(float64(m.Mineral)), number(float64(heaviestMineral)))
}

// Estimate is a value with its standard uncertainty, both in the unit of the value.
type Estimate[T ~float64] struct {
	Value, Standard T
}

// Relative is the standard uncertainty as a share of the value; +Inf or NaN when the value is 0.
func (e Estimate[T]) Relative() float64 { return math.Abs(float64(e.Standard / e.Value)) }

// BulkDensity gives the measured dry bulk density of a layer.
//
//	ρ = m/V,   u(ρ)/ρ = √((u_m/m)² + (2u_d/d)² + (u_h/h)²)
//
// m is the oven-dry mass [g], V the core volume, d the corer's inner diameter and h the thickness cut. One
// corer and one gauge serve all cores, so their errors do not shrink with the number of cores.
// Source: JCGM 100:2008, 5.1.6, for a product of powers.
func BulkDensity(dry Estimate[unit.Grams], c Cores, l Layer, s Settings) (Estimate[unit.KgPerM3], error) {
	if _, err := c.Volume(l); err != nil {
		return Estimate[unit.KgPerM3]{}, err
	}
	if !(dry.Value > 0) || !(dry.Standard >= 0) {
		return Estimate[unit.KgPerM3]{}, fmt.Errorf("bulk density: dry mass %s ± %s g: give a mass above 0 and an uncertainty of 0 or more",
			number(float64(dry.Value)), number(float64(dry.Standard)))
	}
	return bulkDensity(dry, c, l, s), nil
}

func bulkDensity(dry Estimate[unit.Grams], c Cores, l Layer, s Settings) Estimate[unit.KgPerM3] {
	rho := unit.KgPerM3(dry.Value) / unit.KgPerM3(c.volume(l)) * 1000 // g/cm³ → kg/m³
	rel := hypot(dry.Relative(), 2*float64(s.DiameterStandard/c.Diameter), float64(s.CutStandard/l.Thickness()))
	return Estimate[unit.KgPerM3]{Value: rho, Standard: rho * unit.KgPerM3(rel)}
}

// hypot is √Σx².
func hypot(xs ...float64) float64 {
	var sum float64
	for _, x := range xs {
		sum += x * x
	}
	return math.Sqrt(sum)
}
