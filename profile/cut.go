package profile

// cut is a depth within a column: the parcel it lies in and which share of the parcel lies above it.
type cut struct {
	parcel      int
	share       float64
	height      float64 // of the parcel, mm
	within, end bool    // within the column; or below its end
}

// cut finds a depth [mm]. What is below the column's end is the end.
func (c *Column) cut(depth float64) cut {
	lo, hi := c.end, c.n // parcels below lo have their lower edge at or below depth
	for lo < hi {
		m := int(uint(lo+hi) / 2)
		if c.depth(&c.edges[m]) >= depth {
			lo = m + 1
		} else {
			hi = m
		}
	}
	if lo == c.end {
		return cut{parcel: c.end, share: 1, end: true}
	}
	i := lo - 1
	if i == c.end && i > 0 {
		c.missed = true
	}
	var top float64
	if i+1 < c.n {
		top = c.depth(&c.edges[i+1])
	}
	h := c.depth(&c.edges[i]) - top
	if h <= 0 { // at the surface of a parcel of no thickness
		return cut{parcel: i, share: 1, end: true}
	}
	return cut{parcel: i, share: (depth - top) / h, height: h, within: true}
}

// above gives the masses between the surface and a cut, a parcel counted by its share of thickness.
func (c *Column) above(at cut) (s, o, q float64) {
	var upper edge
	if at.parcel+1 < c.n {
		upper = c.edges[at.parcel+1]
	}
	lower, w := &c.edges[at.parcel], at.share
	return upper.s + w*(lower.s-upper.s), upper.o + w*(lower.o-upper.o), upper.q + w*(lower.q-upper.q)
}

// slope sets ds, do, dq to the derivatives of what [Column.above] gives at a depth that does not move.
//
//	dV = dV₁ + w·(dV₂−dV₁) + dw·(V₂−V₁),  dw = −(dz₁ + w·(dz₂−dz₁))/h
//
// with 1 and 2 the upper and the lower edge of the parcel that is cut.
func (c *Column) slope(at cut, ds, do, dq []float64) {
	k, i := c.k, at.parcel
	s2, o2, q2 := c.ds[i*k:i*k+k], c.do[i*k:i*k+k], c.dq[i*k:i*k+k]
	if at.end {
		copy(ds, s2)
		copy(do, o2)
		copy(dq, q2)
		return
	}
	var upper edge
	w, w1, first := at.share, 1-at.share, 0.0
	s1, o1, q1 := s2, o2, q2 // at the surface: any, times nothing
	if i+1 < c.n {
		upper, first = c.edges[i+1], 1
		s1, o1, q1 = c.ds[i*k+k:i*k+2*k], c.do[i*k+k:i*k+2*k], c.dq[i*k+k:i*k+2*k]
	}
	w1 *= first
	lower := &c.edges[i]
	hs, ho, hq := (lower.s-upper.s)/at.height, (lower.o-upper.o)/at.height, (lower.q-upper.q)/at.height
	for j := range k {
		vs, vo, vq := w1*s1[j]+w*s2[j], w1*o1[j]+w*o2[j], w1*q1[j]+w*q2[j]
		dz := c.rs*vs + c.ro*(vo+vq)
		ds[j], do[j], dq[j] = vs-dz*hs, vo-dz*ho, vq-dz*hq
	}
	if j := c.place[OrganicDensity]; j >= 0 {
		dz := c.ro * (w1*(upper.o+upper.q) + w*(lower.o+lower.q))
		ds[j] += dz * hs
		do[j] += dz * ho
		dq[j] += dz * hq
	}
}
