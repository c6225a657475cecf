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

// Open takes a share of every parcel down to the depth and puts sand into the holes:
//
//	s ← s(1−w) + F·w·h·ρs   o ← o(1−w)   q ← q(1−w)   w = φ·v/h
//
// φ = Coring·Touched, F = Filling·Fill (no more than 1), v the part of the parcel's thickness h above the depth that is really cut
// (CutShare·Depth) [mm].
func (c *Column) Open(g Opening) {
	phi := min(c.params[Coring]*g.Touched, most)
	fill := min(c.params[Filling]*g.Fill, 1)
	depth := c.set.CutShare * g.Depth
	if c.planes != nil {
		c.planes.open(c, phi, fill, depth, g.Returned)
	}
	k := c.k
	dz, dw := c.scratch[0], c.scratch[1]
	ts, to, tq := c.scratch[2], c.scratch[3], c.scratch[4]
	clear(dz)
	clear(ts)
	clear(to)
	clear(tq)
	we, wf := c.which(Coring), c.which(Filling)
	if phi == most {
		we = -1
	}
	if fill == 1 {
		wf = -1
	}
	density := c.set.SandDensity / 1000
	var z, sandOut, slowOut, fastOut, sandIn float64
	for i := c.n - 1; i >= 0 && z < depth; i-- {
		h := c.thickness(i)
		v := min(h, depth-z)
		w := phi * v / h
		s, o, q := c.s[i], c.o[i], c.q[i]
		if k > 0 {
			clear(dw)
			if v < h { // w = φ(D−z)/h
				c.thicken(dw, i, -w/h)
				for j := range dw {
					dw[j] -= phi * dz[j] / h
				}
			}
			if we >= 0 {
				dw[we] += w
			}
			c.openDerivatives(i, w, fill, h, v, phi, density, dz, dw, ts, to, tq, we, wf)
		}
		in := fill * phi * v * density
		c.s[i] = s*(1-w) + in
		c.o[i] = o * (1 - w)
		c.q[i] = q * (1 - w)
		sandOut, slowOut, fastOut, sandIn = sandOut+s*w, slowOut+o*w, fastOut+q*w, sandIn+in
		z += h
	}
	c.account.SandIn += sandIn
	if !g.Returned {
		c.account.SandOut += sandOut
		c.account.TakenOut += slowOut + fastOut
		return
	}
	top := c.n - 1
	c.s[top], c.o[top], c.q[top] = c.s[top]+sandOut, c.o[top]+slowOut, c.q[top]+fastOut
	for j := range k {
		c.ds[top*k+j] += ts[j]
		c.do[top*k+j] += to[j]
		c.dq[top*k+j] += tq[j]
	}
	c.blend()
}

// openDerivatives carries parcel i through an opening, adds what leaves it to ts, to, tq and its thickness to dz.
// Sand in: F·φ·v·ρ with v the whole parcel or the part above the depth.
func (c *Column) openDerivatives(i int, w, fill, h, v, phi, density float64, dz, dw, ts, to, tq []float64, we, wf int) {
	k := c.k
	at := i * k
	s, o, q := c.s[i], c.o[i], c.q[i]
	dv := c.scratch[5]
	clear(dv)
	if v < h {
		for j := range dv {
			dv[j] = -dz[j]
		}
	} else {
		c.thicken(dv, i, 1)
	}
	c.thicken(dz, i, 1)
	for j := range k {
		ds, do, dq := c.ds[at+j], c.do[at+j], c.dq[at+j]
		ts[j] += w*ds + dw[j]*s
		to[j] += w*do + dw[j]*o
		tq[j] += w*dq + dw[j]*q
		c.ds[at+j] = ds*(1-w) - dw[j]*s + fill*phi*density*dv[j]
		c.do[at+j] = do*(1-w) - dw[j]*o
		c.dq[at+j] = dq*(1-w) - dw[j]*q
	}
	in := fill * phi * v * density
	if we >= 0 {
		c.ds[at+we] += in
	}
	if wf >= 0 {
		c.ds[at+wf] += in
	}
}

// Inject puts sand between two depths; nothing leaves and what lies there moves apart. amount: as written down,
// kg/m²; top and bottom [mm below the surface], bottom above top.
//
//	s_i ← s_i + m·amount·(overlap of parcel i with the depths)/(bottom−top)
func (c *Column) Inject(amount, top, bottom float64) {
	density := c.params[Sanding] * amount / (bottom - top)
	if c.planes != nil {
		c.planes.inject(c, density, top, bottom)
	}
	k := c.k
	dz := c.scratch[0]
	clear(dz)
	wm := c.which(Sanding)
	var z float64
	for i := c.n - 1; i >= 0 && z < bottom; i-- {
		h := c.thickness(i)
		v := max(min(z+h, bottom)-max(z, top), 0)
		if i == 0 && z+h < bottom { // below the column: into its lowest parcel
			v += bottom - max(z+h, top)
		}
		in := density * v
		if k > 0 {
			c.injectDerivatives(i, density, z, h, top, bottom, dz)
			if wm >= 0 {
				c.ds[i*k+wm] += in
			}
		}
		c.s[i] += in
		c.account.SandIn += in
		z += h
	}
}

// injectDerivatives adds what the moving edges of parcel i do to the sand it takes, and its thickness to dz.
func (c *Column) injectDerivatives(i int, density, z, h, top, bottom float64, dz []float64) {
	k := c.k
	dEnd := c.scratch[1]
	copy(dEnd, dz)
	c.thicken(dEnd, i, 1)
	upper, lower := z > top && z < bottom, z+h > top && z+h < bottom && i > 0
	for j := range k {
		if upper {
			c.ds[i*k+j] -= density * dz[j]
		}
		if lower {
			c.ds[i*k+j] += density * dEnd[j]
		}
	}
	copy(dz, dEnd)
}
