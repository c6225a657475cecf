package profile

// Seen is what lies between two depths.
type Seen struct {
	Organic, Mineral float64 // kg/m²
}

// OM gives the organic mass fraction.
func (s Seen) OM() float64 { return s.Organic / (s.Organic + s.Mineral) }

// Mass gives both together, kg/m².
func (s Seen) Mass() float64 { return s.Organic + s.Mineral }

// Between gives what lies between two depths below today's surface, top above bottom [mm]. A parcel that is cut by an
// edge counts by its share of thickness.
func (c *Column) Between(top, bottom float64) Seen {
	s, o, q := c.above(c.cut(bottom))
	seen := Seen{o + q, s}
	if top > 0 {
		s, o, q = c.above(c.cut(top))
		seen.Organic -= o + q
		seen.Mineral -= s
	}
	return seen
}

// Slope is [Column.Between] with the derivatives of the logarithm of its organic mass fraction and of its mass, by
// the unknowns carried along. Clean sand has no such logarithm: NaN.
func (c *Column) Slope(top, bottom float64, dLogOM, dLogMass []float64) Seen {
	ds, do, dq := c.scratch[0], c.scratch[1], c.scratch[2]
	dOrganic, dMass := dLogOM[:c.k], dLogMass[:c.k]
	seen := c.Between(top, bottom)
	c.slope(c.cut(bottom), ds, do, dq)
	for j := range dMass {
		dOrganic[j] = do[j] + dq[j]
		dMass[j] = dOrganic[j] + ds[j]
	}
	if top > 0 {
		c.slope(c.cut(top), ds, do, dq)
		for j := range dMass {
			organic := do[j] + dq[j]
			dOrganic[j] -= organic
			dMass[j] -= organic + ds[j]
		}
	}
	organic, mass := 1/seen.Organic, 1/seen.Mass()
	for j := range dMass {
		dMass[j] *= mass
		dOrganic[j] = dOrganic[j]*organic - dMass[j]
	}
	return seen
}
