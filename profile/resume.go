package profile

// Resume takes a column on from a state reached before, which is left as it is, through the whole of a track whose looks
// begin on the day of that state; what happened on that day has been done. The forcing has been set for the params of
// the state. As with [Track.Read], the column is of no use afterwards.
func (t *Track) Resume(c *Column, f *Forcing, state *Column, out *Readout) error {
	c.Copy(state)
	t.rested(c, f, out)
	if c.missed {
		c.Copy(state)
		t.Go(c, f, 0, len(f.looks)-1, out)
	}
	_, err := c.Account()
	return err
}

// Parcels gives how many parcels the column has.
func (c *Column) Parcels() int { return c.n - c.end }
