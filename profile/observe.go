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
	var seen Seen
	var z float64
	rs, ro := 1000/c.set.SandDensity, 1000/c.params[OrganicDensity]
	for i := c.n - 1; i >= 0 && z < bottom; i-- {
		organic := c.o[i] + c.q[i]
		h := rs*c.s[i] + ro*organic
		end := z + h
		if end > top {
			w := 1.0
			if z < top || end > bottom {
				w = (min(end, bottom) - max(z, top)) / h
			}
			seen.Organic += w * organic
			seen.Mineral += w * c.s[i]
		}
		z = end
	}
	return seen
}

// Slope is [Column.Between] with the derivatives of the logarithm of its organic mass fraction and of its mass, by
// the unknowns carried along.
func (c *Column) Slope(top, bottom float64, dLogOM, dLogMass []float64) Seen {
	k := c.k
	dz, dEnd, dOrganic, dMineral := c.scratch[0], c.scratch[1], c.scratch[2], c.scratch[3]
	clear(dz)
	clear(dOrganic)
	clear(dMineral)
	var seen Seen
	var z float64
	for i := c.n - 1; i >= 0 && z < bottom; i-- {
		organic, mineral := c.o[i]+c.q[i], c.s[i]
		h := c.thickness(i)
		end := z + h
		copy(dEnd, dz)
		c.thicken(dEnd, i, 1)
		if end > top && h > 0 {
			lower, upper := min(end, bottom), max(z, top)
			w := (lower - upper) / h
			at := i * k
			for j := range k {
				var dw float64
				if end <= bottom {
					dw += dEnd[j]
				}
				if z >= top {
					dw -= dz[j]
				}
				dw = (dw - w*(dEnd[j]-dz[j])) / h
				dOrganic[j] += w*(c.do[at+j]+c.dq[at+j]) + dw*organic
				dMineral[j] += w*c.ds[at+j] + dw*mineral
			}
			seen.Organic += w * organic
			seen.Mineral += w * mineral
		}
		copy(dz, dEnd)
		z = end
	}
	mass := seen.Mass()
	for j := range k {
		dMass := dOrganic[j] + dMineral[j]
		dLogOM[j] = dOrganic[j]/seen.Organic - dMass/mass
		dLogMass[j] = dMass / mass
	}
	return seen
}
