package profile

// Opening is what tines or blades do to a green.
type Opening struct {
	Touched  float64 // share of the surface, 0..1, by the geometry and for all passes together
	Depth    float64 // as set on the machine, mm
	Fill     float64 // share of the opened volume filled with sand, as written down, 0..1
	Returned bool    // what was cut is worked back in at the surface instead of taken off
}

// most is the largest share of a green that one piece of work may take.
const most = 0.95

// cutting is an opening as it really happens.
type cutting struct {
	phi, fill float64 // share of the surface; of the holes filled
	depth     float64 // mm
	sand      float64 // kg/m² into each mm of depth
	dPhi, dF  float64 // derivatives of phi and fill by the places of Coring and Filling
	returned  bool
	s, o, q   float64 // what lies above the depth before, kg/m²
	at        cut
}

// cutting gives what an opening does: φ = Coring·Touched, F = Filling·Fill (no more than 1), to CutShare·Depth.
func (c *Column) cutting(g Opening) cutting {
	u := cutting{
		phi: c.params[Coring] * g.Touched, fill: c.params[Filling] * g.Fill,
		depth: c.set.CutShare * g.Depth, returned: g.Returned,
	}
	u.dPhi, u.dF = u.phi, u.fill
	if u.phi >= most {
		u.phi, u.dPhi = most, 0
	}
	if u.fill >= 1 {
		u.fill, u.dF = 1, 0
	}
	u.sand = u.fill * u.phi * c.set.SandDensity / 1000
	u.at = c.cut(u.depth)
	if u.at.end {
		u.depth = c.Depth()
	}
	u.s, u.o, u.q = c.above(u.at)
	return u
}

// Open takes a share of every parcel down to the depth and puts sand into the holes. For the masses above an edge at z,
//
//	S ← S − φ·S(d) + F·φ·ρs·d   O ← O − φ·O(d)   Q ← Q − φ·Q(d),   d = min(z, D)
//
// φ = Coring·Touched, F = Filling·Fill (no more than 1), D = CutShare·Depth [mm]. A parcel that D lies in loses evenly.
func (c *Column) Open(g Opening) {
	u := c.cutting(g)
	c.worked()
	if c.planes != nil {
		c.planes.open(c, &u)
	}
	if c.k > 0 {
		c.openSlopes(&u)
	}
	backSand, backSlow, backFast := 0., 0., 0.
	if u.returned {
		backSand, backSlow, backFast = u.phi*u.s, u.phi*u.o, u.phi*u.q
	}
	for i := range c.n - c.end {
		e := &c.edges[i+c.end]
		if z := c.depth(e); z < u.depth {
			e.s += u.sand*z - u.phi*e.s + backSand
			e.o += backSlow - u.phi*e.o
			e.q += backFast - u.phi*e.q
		} else {
			e.s += u.sand*u.depth - u.phi*u.s + backSand
			e.o += backSlow - u.phi*u.o
			e.q += backFast - u.phi*u.q
		}
	}
	c.account.SandIn += u.sand * u.depth
	if u.returned {
		c.blend()
		return
	}
	c.account.SandOut += u.phi * u.s
	c.account.TakenOut += u.phi * (u.o + u.q)
}

// openSlopes carries the derivatives of all edges through an opening, from the state before it.
func (c *Column) openSlopes(u *cutting) {
	k := c.k
	ds, do, dq, dz := c.scratch[0], c.scratch[1], c.scratch[2], c.scratch[3]
	c.slope(u.at, ds, do, dq)
	coring, filling := c.place[Coring], c.place[Filling]
	perPhi, perFill := 0., 0. // sand into a mm by Coring and by Filling
	if u.phi > 0 {
		perPhi = u.sand * u.dPhi / u.phi
	}
	if u.fill > 0 {
		perFill = u.sand * u.dF / u.fill
	}
	back := 0.
	if u.returned {
		back = 1
	}
	for i := c.end; i < c.n; i++ {
		e := &c.edges[i]
		z, s, o, q := c.depth(e), e.s, e.o, e.q
		gs, gone, gq := c.ds[i*k:i*k+k], c.do[i*k:i*k+k], c.dq[i*k:i*k+k]
		if z < u.depth {
			c.deepen(dz, i)
			for j := range gs {
				gs[j] += u.sand*dz[j] - u.phi*(gs[j]-back*ds[j])
				gone[j] -= u.phi * (gone[j] - back*do[j])
				gq[j] -= u.phi * (gq[j] - back*dq[j])
			}
		} else {
			z, s, o, q = u.depth, u.s, u.o, u.q
			if u.at.end {
				c.deepen(dz, c.end)
			} else {
				clear(dz)
			}
			for j := range gs {
				gs[j] += u.sand*dz[j] - u.phi*(1-back)*ds[j]
				gone[j] -= u.phi * (1 - back) * do[j]
				gq[j] -= u.phi * (1 - back) * dq[j]
			}
		}
		if coring >= 0 {
			gs[coring] += perPhi*z - u.dPhi*(s-back*u.s)
			gone[coring] -= u.dPhi * (o - back*u.o)
			gq[coring] -= u.dPhi * (q - back*u.q)
		}
		if filling >= 0 {
			gs[filling] += perFill * z
		}
	}
}
