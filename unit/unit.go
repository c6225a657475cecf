// Package unit holds the quantities that cross package boundaries, one type for each unit, so that
// a signature says what it takes and a millimetre cannot be handed over as a gram.
//
// Conversions happen only at the edges of the program; inside it a quantity has one unit.
package unit

// Mass, length, area and volume as they are weighed and measured at the bench and on the green.
type (
	Grams            float64 // g
	Kilograms        float64 // kg
	Tonnes           float64 // t (1000 kg)
	Millimetres      float64 // mm
	SquareMetres     float64 // m²
	CubicCentimetres float64 // cm³
)

// Quantities per area of green and per volume of soil.
type (
	KgPerM2     float64 // kg/m²: a stock, or an amount of sand
	KgPerM3     float64 // kg/m³: a bulk density
	LitresPerM2 float64 // L/m²; 1 L/m² is a depth of 1 mm
)

// Shares and temperature.
type (
	Fraction float64 // 0..1
	Percent  float64 // 0..100, of oven-dry mass where organic matter is meant
	Celsius  float64 // °C
	PerYear  float64 // 1/a, or whatever the name of the quantity says, a year
)

// Percent gives the share in percent.
func (f Fraction) Percent() Percent { return Percent(f * 100) }

// Fraction gives the share as a number from 0 to 1.
func (p Percent) Fraction() Fraction { return Fraction(p / 100) }

// Metres gives the length in metres.
func (l Millimetres) Metres() float64 { return float64(l) / 1000 }

// Kilograms gives the mass in kilograms.
func (m Grams) Kilograms() Kilograms { return Kilograms(m / 1000) }

// Tonnes gives the mass in tonnes.
func (m Kilograms) Tonnes() Tonnes { return Tonnes(m / 1000) }

// GramsPerCm3 gives the density in g/cm³, the form bench books print.
func (d KgPerM3) GramsPerCm3() float64 { return float64(d) / 1000 }
