package profile

// rest joins the parcels whose upper edge lies below all that is asked for into one. As edges know nothing of each
// other, what lies above does not change by it.
func (c *Column) rest() {
	k := c.k
	for c.end+2 < c.n && c.depth(&c.edges[c.end+2]) > c.reach {
		i := c.end
		c.edges[i+1] = c.edges[i]
		copy(c.ds[i*k+k:i*k+2*k], c.ds[i*k:i*k+k])
		copy(c.do[i*k+k:i*k+2*k], c.do[i*k:i*k+k])
		copy(c.dq[i*k+k:i*k+2*k], c.dq[i*k:i*k+k])
		c.end++
	}
}

// A track asks for nothing below its reach: the deepest sight and work, and as far as the material there may rise
// again later.
type reach struct{ deepest, rise, most float64 }

// at takes a depth into account.
func (r *reach) at(depth float64) { r.deepest = max(r.deepest, depth) }

// work takes a piece of work into account. Holes that stay open let what lies below them rise, sand sinks it. Holes
// are taken to be filled to four fifths of what was written down; a column which rises farther than that is run again in full.
func (r *reach) work(e Event, s Settings) {
	g := e.Opening
	depth := s.CutShare * g.Depth
	r.at(depth)
	r.at(e.Bottom)
	const filled = 0.8
	r.rise = max(r.rise+g.Touched*depth*(1-filled*g.Fill)-e.Sand/s.SandDensity*1000, 0)
	r.most = max(r.most, r.rise)
}

// depth is the reach, mm; organic matter comes and goes by a few millimetres.
func (r *reach) depth() float64 { return r.deepest + r.most + 3 }
