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

// each calls do for every parcel and depth with the share of the parcel above the depth, from the surface down.
func (l *Ledger) each(c *Column, do func(parcel int, top, bottom float64, flow *Flow, share float64)) {
	var z float64
	for i := c.n - 1; i >= 0; i-- {
		h := c.thickness(i)
		for j, depth := range l.Depths {
			if depth > z {
				do(i, z, z+h, &l.Above[j], min((depth-z)/h, 1))
			}
		}
		z += h
	}
}

func (l *Ledger) pass(c *Column, st *stretch) {
	kappa := c.params[Growth]
	lost, lostFast := 1-st.stay, 1-st.keep-st.turn
	made, gone := kappa*st.made, kappa*(st.made-st.slow-st.fast)
	l.each(c, func(i int, top, bottom float64, flow *Flow, share float64) {
		end := 1.0
		if i > 0 {
			end = c.rooted(bottom)
		}
		w := (end - c.rooted(top)) * share
		flow.Made += w * made
		flow.Decayed += w*gone + share*(c.o[i]*lost+c.q[i]*lostFast)
	})
}

func (l *Ledger) laid(sand float64) {
	for j := range l.Above {
		l.Above[j].SandIn += sand
	}
}

func (l *Ledger) open(c *Column, phi, fill, depth float64, returned bool) {
	density := c.set.SandDensity / 1000
	var slow, sand float64
	l.each(c, func(i int, top, bottom float64, flow *Flow, share float64) {
		v := max(min(bottom, depth)-top, 0)
		w := share * phi * v / (bottom - top)
		flow.TakenOut += w * (c.o[i] + c.q[i])
		flow.SandOut += w * c.s[i]
		flow.SandIn += share * fill * phi * v * density
	})
	if !returned {
		return
	}
	var z float64
	for i := c.n - 1; i >= 0 && z < depth; i-- {
		h := c.thickness(i)
		w := phi * min(h, depth-z) / h
		slow, sand = slow+w*(c.o[i]+c.q[i]), sand+w*c.s[i]
		z += h
	}
	for j := range l.Above {
		l.Above[j].TakenOut -= slow
		l.Above[j].SandOut -= sand
	}
}

func (l *Ledger) inject(c *Column, density, top, bottom float64) {
	l.each(c, func(i int, from, to float64, flow *Flow, share float64) {
		flow.SandIn += share * density * max(min(to, bottom)-max(from, top), 0)
	})
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
		if i == 0 {
			c.Follow(depths)
			continue
		}
		leaves = append(leaves, c.Followed())
	}
	_, err := c.Account()
	return leaves, err
}
