package unit

// Depth gives the depth of a mass spread on an area.
//
//	h = m/ρ
//
// m [kg/m²], ρ the dry bulk density [kg/m³], above 0. Settling after spreading is ignored.
func (m KgPerM2) Depth(density KgPerM3) Millimetres {
	return Millimetres(float64(m) / float64(density) * 1000)
}

// Mass gives the mass per area of a depth of material.
//
//	m = h·ρ
//
// h [mm], ρ the dry bulk density [kg/m³]. 1 mm at 1550 kg/m³ is 1.55 kg/m².
func (l Millimetres) Mass(density KgPerM3) KgPerM2 { return KgPerM2(l.Metres() * float64(density)) }

// BulkDensity gives the dry bulk density of a mass per area that lies so deep.
//
//	ρ = m/h
//
// m [kg/m²], h [mm], above 0.
func BulkDensity(mass KgPerM2, depth Millimetres) KgPerM3 {
	return KgPerM3(float64(mass) / depth.Metres())
}

// Over gives the mass on a whole area.
func (m KgPerM2) Over(area SquareMetres) Kilograms { return Kilograms(float64(m) * float64(area)) }

// Volume gives the volume of a depth of material on an area.
func (l Millimetres) Volume(area SquareMetres) CubicMetres {
	return CubicMetres(l.Metres() * float64(area))
}

// Millimetres gives the depth of a volume per area: 1 L/m² is 1 mm.
func (v LitresPerM2) Millimetres() Millimetres { return Millimetres(v) }

// Delivered gives the mass of sand as it is weighed at the gate.
//
//	m_wet = m_dry·(1 + w)
//
// w is the water content by mass of dry sand [0..1].
func (m Tonnes) Delivered(water Fraction) Tonnes { return m * Tonnes(1+water) }
