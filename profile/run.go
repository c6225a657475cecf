package profile

// Room gives how many parcels the track needs.
func (t *Track) Room() int { return t.room }

// NewColumn gives a column with room for the track, carrying derivatives by wrt.
func (t *Track) NewColumn(s Settings, wrt []Unknown) *Column { return NewColumn(s, t.room, wrt) }

// Readout is what a run saw, by sight.
type Readout struct {
	Seen             []Seen
	DLogOM, DLogMass []float64 // sight·k + which, when derivatives are carried
}

// NewReadout gives room for n sights and k derivatives.
func NewReadout(n, k int) *Readout {
	return &Readout{Seen: make([]Seen, n), DLogOM: make([]float64, n*k), DLogMass: make([]float64, n*k)}
}

// Run takes a column from the first profile through the whole track and reads the sights into out. The forcing has been
// [Forcing.Set] for the same params, with derivatives when the column carries any. It allocates nothing; the error is
// that of an account that does not close.
func (t *Track) Run(c *Column, f *Forcing, p Params, out *Readout) error {
	if err := c.Start(p, t.edges); err != nil {
		return err
	}
	t.Go(c, f, 0, len(f.looks)-1, out)
	_, err := c.Account()
	return err
}

// Read is [Track.Run] for the sake of what is seen, and sees the same. What lies deeper than the deepest sight and work
// may be left as one parcel, so the column is of no use afterwards but for its account.
func (t *Track) Read(c *Column, f *Forcing, p Params, out *Readout) error {
	if err := c.Start(p, t.edges); err != nil {
		return err
	}
	t.rested(c, f, out)
	if c.missed {
		return t.Run(c, f, p, out)
	}
	_, err := c.Account()
	return err
}

// rested runs a column that has been started, letting rest what lies below the track's reach.
func (t *Track) rested(c *Column, f *Forcing, out *Readout) {
	c.reach = t.reach
	c.rest()
	t.Go(c, f, 0, len(f.looks)-1, out)
}

// Go takes a column on from look a to look b: what happens at a has been done unless a is 0, what happens at b is
// done.
func (t *Track) Go(c *Column, f *Forcing, a, b int, out *Readout) {
	o, v := 0, 0
	if a > 0 {
		for o < len(t.ops) && t.ops[o].look <= a {
			o++
		}
		for v < len(t.sights) && t.sights[v].look <= a {
			v++
		}
	}
	for look := a; look <= b; look++ {
		if look > a {
			c.pass(&f.pieces[look-1])
		}
		for ; o < len(t.ops) && t.ops[o].look == look; o++ {
			c.Do(t.ops[o].Event)
		}
		for ; v < len(t.sights) && t.sights[v].look == look; v++ {
			t.read(c, t.sights[v], out)
		}
	}
}

// Do does one piece of work.
func (c *Column) Do(e Event) {
	switch {
	case e.Opening.Touched > 0:
		c.Open(e.Opening)
	case e.Bottom > 0 && e.Sand > 0:
		c.Inject(e.Sand, e.Top, e.Bottom)
	case e.Sand > 0:
		c.Lay(e.Sand)
	}
}

// read looks once.
func (t *Track) read(c *Column, v sight, out *Readout) {
	span := t.spans[v.at]
	if c.k == 0 {
		out.Seen[v.at] = c.Between(span.Top, span.Bottom)
		return
	}
	a, b := v.at*c.k, (v.at+1)*c.k
	out.Seen[v.at] = c.Slope(span.Top, span.Bottom, out.DLogOM[a:b], out.DLogMass[a:b])
}
