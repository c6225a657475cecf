package profile

import "fmt"

// Ledger follows what happens above depths below the surface, which stay where they are while material sinks past
// them. Set with [Column.Follow].
type Ledger struct {
	Depths []float64 // mm
	Above  []Flow    // by depth
}

// Flow is what happened above a depth, kg/m².
type Flow struct {
	OrganicStart, SandStart float64
	Made, Decayed, TakenOut float64
	SandIn, SandOut         float64
	OrganicEnd, SandEnd     float64
}

// Sunk gives the organic matter and the sand that went down past the depth.
func (f Flow) Sunk() (organic, sand float64) {
	return f.OrganicStart + f.Made - f.Decayed - f.TakenOut - f.OrganicEnd, f.SandStart + f.SandIn - f.SandOut - f.SandEnd
}

// Follow starts a ledger at depths [mm]; an empty list ends it.
func (c *Column) Follow(depths []float64) {
	if len(depths) == 0 {
		c.planes = nil
		return
	}
	l := &Ledger{Depths: depths, Above: make([]Flow, len(depths))}
	for j, z := range depths {
		seen := c.Between(0, z)
		l.Above[j].OrganicStart, l.Above[j].SandStart = seen.Organic, seen.Mineral
	}
	c.planes = l
}

// Followed gives the flows since [Column.Follow] or the last call, and begins the next leaf there.
func (c *Column) Followed() []Flow {
	l := c.planes
	closed := make([]Flow, len(l.Above))
	for j, z := range l.Depths {
		seen := c.Between(0, z)
		l.Above[j].OrganicEnd, l.Above[j].SandEnd = seen.Organic, seen.Mineral
		closed[j] = l.Above[j]
		l.Above[j] = Flow{OrganicStart: seen.Organic, SandStart: seen.Mineral}
	}
	return closed
}

// above gives what lies above a depth of something that is known above every edge. A parcel that is cut counts by its
// share.
func (l *Ledger) above(c *Column, depth float64, edge func(i int) float64) float64 {
	at := c.cut(depth)
	var upper float64
	if at.parcel+1 < c.n {
		upper = edge(at.parcel + 1)
	}
	return upper + at.share*(edge(at.parcel)-upper)
}

func (l *Ledger) pass(c *Column, st *stretch) {
	kappa := c.params[Growth]
	for j, depth := range l.Depths {
		share := l.above(c, depth, func(i int) float64 {
			if i == c.end {
				return 1
			}
			return c.rooted(c.depth(&c.edges[i]))
		})
		_, o, q := c.above(c.cut(depth))
		flow := &l.Above[j]
		flow.Made += share * kappa * st.made
		flow.Decayed += share*kappa*(st.made-st.slow-st.fast) + o*(1-st.stay) + q*(1-st.keep-st.turn)
	}
}

func (l *Ledger) laid(sand float64) {
	for j := range l.Above {
		l.Above[j].SandIn += sand
	}
}

func (l *Ledger) open(c *Column, u *cutting) {
	back, backSand := 0., 0.
	if u.returned {
		back, backSand = u.phi*(u.o+u.q), u.phi*u.s
	}
	for j, depth := range l.Depths {
		flow := &l.Above[j]
		flow.TakenOut -= back
		flow.SandOut -= backSand
		flow.TakenOut += u.phi * l.above(c, depth, func(i int) float64 {
			e := &c.edges[i]
			if c.depth(e) < u.depth {
				return e.o + e.q
			}
			return u.o + u.q
		})
		flow.SandOut += u.phi * l.above(c, depth, func(i int) float64 {
			e := &c.edges[i]
			if c.depth(e) < u.depth {
				return e.s
			}
			return u.s
		})
		flow.SandIn += u.sand * l.above(c, depth, func(i int) float64 { return min(c.depth(&c.edges[i]), u.depth) })
	}
}

func (l *Ledger) inject(c *Column, sand, top, bottom float64) {
	for j, depth := range l.Depths {
		l.Above[j].SandIn += sand * l.above(c, depth, func(i int) float64 {
			return c.injected(i, c.depth(&c.edges[i]), top, bottom)
		})
	}
}

// Ledger runs a column through the track and gives, for each pair of neighbouring days, what happened above the
// depths [mm]. The days are looks of the forcing, in order; what happens on a day belongs to the time before it.
func (t *Track) Ledger(c *Column, f *Forcing, p Params, out *Readout, depths []float64, days []int) ([][]Flow, error) {
	if err := c.Start(p, t.edges); err != nil {
		return nil, err
	}
	defer c.Follow(nil)
	var leaves [][]Flow
	at := 0
	for i, day := range days {
		look, ok := find(f.looks, day)
		if !ok {
			return nil, fmt.Errorf("keeping a ledger: day %d is not among the days looked at", day)
		}
		if look > 0 { // what happens on the first day of all belongs to the first leaf
			t.Go(c, f, at, look, out)
		}
		at = look
		if i == c.end {
			c.Follow(depths)
			continue
		}
		leaves = append(leaves, c.Followed())
	}
	_, err := c.Account()
	return leaves, err
}
