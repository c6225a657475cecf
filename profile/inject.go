package profile

// Inject puts sand between two depths; nothing leaves and what lies there moves apart. amount: as written down,
// kg/m²; top and bottom [mm below the surface], bottom above top.
//
//	S(z) ← S(z) + m·amount·(min(z, bottom)−top)/(bottom−top)   for edges below top
//
// m = Sanding. What would go below the column's end goes into its lowest parcel.
func (c *Column) Inject(amount, top, bottom float64) {
	sand := c.params[Sanding] * amount
	c.worked()
	if c.planes != nil {
		c.planes.inject(c, sand, top, bottom)
	}
	if c.end > 0 && c.end+1 < c.n && bottom > c.depth(&c.edges[c.end+1]) {
		c.missed = true
	}
	k, dz := c.k, c.scratch[0]
	sanding := c.place[Sanding]
	for i := range c.n - c.end {
		i += c.end
		e := &c.edges[i]
		z := c.depth(e)
		share := c.injected(i, z, top, bottom)
		if k > 0 && share > 0 {
			ds := c.ds[i*k : i*k+k]
			if share < 1 {
				c.deepen(dz, i)
				for j := range ds {
					ds[j] += sand / (bottom - top) * dz[j]
				}
			}
			if sanding >= 0 {
				ds[sanding] += sand * share
			}
		}
		e.s += sand * share
	}
	c.account.SandIn += sand
}

// injected gives the share of injected sand that ends up above edge i at depth z.
func (c *Column) injected(i int, z, top, bottom float64) float64 {
	if i == c.end {
		return 1
	}
	return min(max((z-top)/(bottom-top), 0), 1)
}
