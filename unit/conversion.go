package unit

// Exact factors between the units of the trade in North America and SI. The foot, the inch and the
// avoirdupois pound are exact by definition (international yard and pound agreement of 1959; NIST
// Special Publication 811, 2008 edition, appendix B.8).
const (
	mmPerInch     = 25.4              // mm/in
	mmPerFoot     = 12 * mmPerInch    // mm/ft
	kgPerPound    = 0.45359237        // kg/lb
	poundsPerTon  = 2000              // lb/US ton (short ton)
	m2PerFt2      = 0.3048 * 0.3048   // m²/ft²
	m3PerFt3      = m2PerFt2 * 0.3048 // m³/ft³
	ft3PerYd3     = 27                // ft³/yd³
	m2PerHectare  = 10_000            // m²/ha
	greenArea     = 1000              // ft²: the area North American rates are quoted on
	m2PerGreen    = greenArea * m2PerFt2
	kgM2PerLbGrn  = kgPerPound / m2PerGreen
	mmPerFt3Green = m3PerFt3 / m2PerGreen * 1000
)

// Units of the trade in North America, and the kilogram per hectare.
type (
	Inches               float64 // in
	SquareFeet           float64 // ft²
	CubicYards           float64 // yd³
	CubicMetres          float64 // m³
	CubicFeetPer1000Ft2  float64 // ft³/1000 ft²: a depth of sand
	CubicYardsPer1000Ft2 float64 // yd³/1000 ft²: a depth of sand
	PoundsPer1000Ft2     float64 // lb/1000 ft²: a mass per area
	ShortTonsPer1000Ft2  float64 // US tons of 2000 lb/1000 ft²: a mass per area
	PoundsPerFt3         float64 // lb/ft³: a bulk density
	KilogramsPerHectare  float64 // kg/ha
)

// Millimetres gives the length in millimetres: 1 in = 25.4 mm exactly.
func (l Inches) Millimetres() Millimetres { return Millimetres(l * mmPerInch) }

// Inches gives the length in inches.
func (l Millimetres) Inches() Inches { return Inches(l / mmPerInch) }

// SquareMetres gives the area in square metres: 1000 ft² = 92.90304 m² exactly.
func (a SquareFeet) SquareMetres() SquareMetres { return SquareMetres(a * m2PerFt2) }

// SquareFeet gives the area in square feet.
func (a SquareMetres) SquareFeet() SquareFeet { return SquareFeet(a / m2PerFt2) }

// CubicMetres gives the volume in cubic metres.
func (v CubicYards) CubicMetres() CubicMetres { return CubicMetres(v * ft3PerYd3 * m3PerFt3) }

// CubicYards gives the volume in cubic yards.
func (v CubicMetres) CubicYards() CubicYards { return CubicYards(v / (ft3PerYd3 * m3PerFt3)) }

// Millimetres gives the depth of sand: 1 ft³/1000 ft² = 0.3048 mm exactly.
func (r CubicFeetPer1000Ft2) Millimetres() Millimetres { return Millimetres(r * mmPerFt3Green) }

// CubicFeetPer1000Ft2 gives a depth of sand as the volume on 1000 ft².
func (l Millimetres) CubicFeetPer1000Ft2() CubicFeetPer1000Ft2 {
	return CubicFeetPer1000Ft2(l / mmPerFt3Green)
}

// Millimetres gives the depth of sand: 1 yd³/1000 ft² = 8.2296 mm exactly.
func (r CubicYardsPer1000Ft2) Millimetres() Millimetres {
	return Millimetres(r * ft3PerYd3 * mmPerFt3Green)
}

// CubicYardsPer1000Ft2 gives a depth of sand as the volume on 1000 ft².
func (l Millimetres) CubicYardsPer1000Ft2() CubicYardsPer1000Ft2 {
	return CubicYardsPer1000Ft2(l / (ft3PerYd3 * mmPerFt3Green))
}

// KgPerM2 gives the mass per area: 1 lb/1000 ft² = 0.00488243 kg/m².
func (r PoundsPer1000Ft2) KgPerM2() KgPerM2 { return KgPerM2(r * kgM2PerLbGrn) }

// PoundsPer1000Ft2 gives the mass on 1000 ft².
func (m KgPerM2) PoundsPer1000Ft2() PoundsPer1000Ft2 { return PoundsPer1000Ft2(m / kgM2PerLbGrn) }

// KgPerM2 gives the mass per area: 1 US ton/1000 ft² = 9.76486 kg/m².
func (r ShortTonsPer1000Ft2) KgPerM2() KgPerM2 { return KgPerM2(r * poundsPerTon * kgM2PerLbGrn) }

// ShortTonsPer1000Ft2 gives the mass on 1000 ft² in US tons.
func (m KgPerM2) ShortTonsPer1000Ft2() ShortTonsPer1000Ft2 {
	return ShortTonsPer1000Ft2(m / (poundsPerTon * kgM2PerLbGrn))
}

// KgPerM2 gives the mass per area: 1 kg/ha = 0.0001 kg/m².
func (r KilogramsPerHectare) KgPerM2() KgPerM2 { return KgPerM2(r / m2PerHectare) }

// KilogramsPerHectare gives the mass on a hectare.
func (m KgPerM2) KilogramsPerHectare() KilogramsPerHectare {
	return KilogramsPerHectare(m * m2PerHectare)
}

// KgPerM3 gives the bulk density: 1 lb/ft³ = 16.0185 kg/m³.
func (d PoundsPerFt3) KgPerM3() KgPerM3 { return KgPerM3(d * kgPerPound / m3PerFt3) }

// PoundsPerFt3 gives the bulk density in lb/ft³.
func (d KgPerM3) PoundsPerFt3() PoundsPerFt3 { return PoundsPerFt3(d * m3PerFt3 / kgPerPound) }
