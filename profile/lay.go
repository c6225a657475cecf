package profile

// Lay spreads sand on the surface and works it in. amount: as written down, kg/m²; what lies there is Sanding times
// that. It joins the parcel at the surface until that has taken Join millimetres of sand, as written down; the first of
// all makes a parcel of its own. Within the top Mix millimetres the organic matter is then spread evenly over the sand,
//
//	O(z) ← S(z)·O(mix)/S(mix)   above the depth mix
//
// with S and O the sand and organic matter above a depth. Sand stays where it is.
func (c *Column) Lay(amount float64) {
	sand := c.params[Sanding] * amount
	c.worked()
	if c.own(amount, c.set) {
		i := c.n
		c.n++
		c.edges[i] = edge{z: unrooted}
		at := i * c.k
		clear(c.ds[at : at+c.k])
		clear(c.do[at : at+c.k])
		clear(c.dq[at : at+c.k])
	}
	for i := c.end; i < c.n; i++ {
		c.edges[i].s += sand
	}
	if w := c.place[Sanding]; w >= 0 {
		for i := c.end; i < c.n; i++ {
			c.ds[i*c.k+w] += sand
		}
	}
	c.account.SandIn += sand
	if c.planes != nil {
		c.planes.laid(sand)
	}
	c.blend()
	c.rest()
}

// own says whether sand makes a parcel of its own, and remembers it.
func (c *Column) own(amount float64, s Settings) bool {
	own := !c.laid || c.joined >= s.Join
	if own {
		c.laid, c.joined = true, 0
	}
	c.joined += amount / s.SandDensity * 1000
	return own
}

// blend spreads the organic matter of the top Mix millimetres evenly over their sand.
func (c *Column) blend() {
	k, at := c.k, c.cut(c.set.Mix)
	sand, slow, fast := c.above(at)
	if sand <= 0 {
		return
	}
	slow, fast = slow/sand, fast/sand // of each unit of sand
	dSlow, dFast := c.scratch[1], c.scratch[2]
	if k > 0 {
		dSand := c.scratch[0]
		c.slope(at, dSand, dSlow, dFast)
		for j, ds := range dSand {
			dSlow[j] = (dSlow[j] - slow*ds) / sand
			dFast[j] = (dFast[j] - fast*ds) / sand
		}
	}
	first := at.parcel // first edge, from below, that lies above the depth
	if at.within && at.share < 1 {
		first++
	}
	for i := first; i < c.n; i++ {
		e := &c.edges[i]
		ds, do, dq := c.ds[i*k:i*k+k], c.do[i*k:i*k+k], c.dq[i*k:i*k+k]
		for j := range ds {
			do[j] = dSlow[j]*e.s + slow*ds[j]
			dq[j] = dFast[j]*e.s + fast*ds[j]
		}
		e.o, e.q = slow*e.s, fast*e.s
	}
}
