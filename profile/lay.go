package profile

// Lay spreads sand on the surface and works it in. amount: as written down, kg/m²; what lies there is Sanding times
// that. It makes a parcel of its own unless joined to the parcel at the surface. Within the top Mix millimetres the organic matter is then
// spread evenly over the sand,
//
//	o_i ← o_i − w_i·o_i + (Σ w·o)·w_i·s_i/(Σ w·s)
//
// w_i the share of parcel i that lies within. The mass of each parcel's sand stays.
func (c *Column) Lay(amount float64, own bool) {
	sand := c.params[Sanding] * amount
	if own {
		i := c.n
		c.n++
		c.s[i], c.o[i], c.q[i] = 0, 0, 0
		at := i * c.k
		clear(c.ds[at : at+c.k])
		clear(c.do[at : at+c.k])
		clear(c.dq[at : at+c.k])
	}
	top := c.n - 1
	c.s[top] += sand
	if w := c.which(Sanding); w >= 0 {
		c.ds[top*c.k+w] += sand
	}
	c.account.SandIn += sand
	if c.planes != nil {
		c.planes.laid(sand)
	}
	c.blend()
}

// blend spreads the organic matter of the top Mix millimetres evenly over their sand.
func (c *Column) blend() {
	k, mix := c.k, c.set.Mix
	dz, dSand, dSlow, dFast := c.scratch[0], c.scratch[1], c.scratch[2], c.scratch[3]
	var z, sand, slow, fast, part float64
	clear(dz)
	clear(dSand)
	clear(dSlow)
	clear(dFast)
	last := c.n // lowest parcel touched
	part = 1
	for i := c.n - 1; i >= 0 && z < mix; i-- {
		last = i
		h := c.thickness(i)
		w := 1.0
		if z+h > mix {
			w = (mix - z) / h
			part = w
		}
		sand += w * c.s[i]
		slow += w * c.o[i]
		fast += w * c.q[i]
		if k > 0 {
			c.blendSums(i, w, h, dz, dSand, dSlow, dFast)
		}
		z += h
	}
	if sand <= 0 {
		return
	}
	perSlow, perFast := slow/sand, fast/sand
	for j := range k {
		dSlow[j] = (dSlow[j] - perSlow*dSand[j]) / sand // now derivatives of the ratios
		dFast[j] = (dFast[j] - perFast*dSand[j]) / sand
	}
	for i := c.n - 1; i >= last; i-- {
		w := 1.0
		dw := c.scratch[4]
		if i == last {
			w = part
		}
		s, o, q := c.s[i], c.o[i], c.q[i]
		at := i * k
		for j := range k {
			var d float64
			if i == last && part < 1 {
				d = dw[j]
			}
			ds := c.ds[at+j]
			c.do[at+j] += -w*c.do[at+j] - d*o + dSlow[j]*w*s + perSlow*(d*s+w*ds)
			c.dq[at+j] += -w*c.dq[at+j] - d*q + dFast[j]*w*s + perFast*(d*s+w*ds)
		}
		c.o[i] += -w*o + perSlow*w*s
		c.q[i] += -w*q + perFast*w*s
	}
}

// blendSums adds parcel i, of which the share w lies within the blended depth, to the derivatives of the sums; the
// derivative of a share below 1 is left in scratch 4.
func (c *Column) blendSums(i int, w, h float64, dz, dSand, dSlow, dFast []float64) {
	k := c.k
	at := i * k
	dw := c.scratch[4]
	clear(dw)
	if w < 1 {
		c.thicken(dw, i, -w/h) // −w·dh/h
		for j := range dw {
			dw[j] -= dz[j] / h
		}
	}
	for j := range k {
		dSand[j] += w*c.ds[at+j] + dw[j]*c.s[i]
		dSlow[j] += w*c.do[at+j] + dw[j]*c.o[i]
		dFast[j] += w*c.dq[at+j] + dw[j]*c.q[i]
	}
	c.thicken(dz, i, 1)
}
