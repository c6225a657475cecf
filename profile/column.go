package profile

import (
	"fmt"
	"math"
)

// Column is the stack of parcels under one green. The lowest parcel comes first, so that laying sand appends.
type Column struct {
	n       int       // parcels
	s, o, q []float64 // mineral, slow and fast organic mass, kg/m²

	params Params
	set    Settings

	wrt        []Unknown // derivatives carried along, by the places of these unknowns
	k          int       // how many
	ds, do, dq []float64 // parcel·k + which

	scratch [6][]float64 // k each
	account Account
	planes  *Ledger // nil unless layers are followed
}

// NewColumn gives room for so many parcels and derivatives by wrt (none when empty).
func NewColumn(s Settings, parcels int, wrt []Unknown) *Column {
	k := len(wrt)
	c := &Column{
		set: s, wrt: wrt, k: k,
		s: make([]float64, parcels), o: make([]float64, parcels), q: make([]float64, parcels),
		ds: make([]float64, parcels*k), do: make([]float64, parcels*k), dq: make([]float64, parcels*k),
	}
	for i := range c.scratch {
		c.scratch[i] = make([]float64, k)
	}
	return c
}

// cells gives the edges of the first column's parcels, mm from the surface down.
func (s Settings) cells() []float64 {
	edges := []float64{0}
	for z := 0.0; z < s.Depth-1e-9; {
		step := s.Cell
		if z >= 60-1e-9 {
			step *= 3
		}
		z = math.Min(z+step, s.Depth)
		edges = append(edges, z)
	}
	return edges
}

// parcels gives how many parcels the first column has.
func (s Settings) parcels() int { return len(s.cells()) - 1 }

// Start fills the column with the first profile,
//
//	f(z) = fb + (f0−fb)·exp(−z/ζ)
//
// taken at the middle of each parcel, with density by the mixture of volumes. edges: from the surface down [mm].
func (c *Column) Start(p Params, edges []float64) error {
	if len(edges)-1 > len(c.s) {
		return fmt.Errorf("starting a column: %d parcels do not fit into room for %d", len(edges)-1, len(c.s))
	}
	c.params, c.account, c.n = p, Account{}, len(edges)-1
	fast := c.set.FastStart
	if c.set.OnePool {
		fast = 0
	}
	for j := range c.n {
		i := c.n - 1 - j // parcel j from the surface
		z, h := (edges[j]+edges[j+1])/2, edges[j+1]-edges[j]
		e := math.Exp(-z / p[Fade])
		f := p[Base] + (p[Surface]-p[Base])*e
		volume := f/p[OrganicDensity] + (1-f)/c.set.SandDensity
		mass := h / 1000 / volume
		c.s[i], c.o[i], c.q[i] = mass*(1-f), mass*f*(1-fast), mass*f*fast
		c.account.start(c.s[i], c.o[i]+c.q[i])
		for w, u := range c.wrt {
			var df, dVolume float64
			switch u {
			case Surface:
				df = p[Surface] * e
			case Base:
				df = p[Base] * (1 - e)
			case Fade:
				df = (p[Surface] - p[Base]) * e * z / p[Fade]
			case OrganicDensity:
				dVolume = -f / p[OrganicDensity]
			}
			dVolume += df * (1/p[OrganicDensity] - 1/c.set.SandDensity)
			dMass := -mass / volume * dVolume
			c.ds[i*c.k+w] = dMass*(1-f) - mass*df
			dOrganic := dMass*f + mass*df
			c.do[i*c.k+w], c.dq[i*c.k+w] = dOrganic*(1-fast), dOrganic*fast
		}
	}
	return nil
}

// Copy makes c the same as from, which has the same room.
func (c *Column) Copy(from *Column) {
	c.n, c.params, c.set, c.account = from.n, from.params, from.set, from.account
	copy(c.s[:c.n], from.s)
	copy(c.o[:c.n], from.o)
	copy(c.q[:c.n], from.q)
	copy(c.ds[:c.n*c.k], from.ds)
	copy(c.do[:c.n*c.k], from.do)
	copy(c.dq[:c.n*c.k], from.dq)
}

// thickness of parcel i, mm.
func (c *Column) thickness(i int) float64 {
	return 1000 * (c.s[i]/c.set.SandDensity + (c.o[i]+c.q[i])/c.params[OrganicDensity])
}

// thicken adds the derivatives of the thickness of parcel i to d, sign times.
func (c *Column) thicken(d []float64, i int, sign float64) {
	rs, ro := sign*1000/c.set.SandDensity, sign*1000/c.params[OrganicDensity]
	at := i * c.k
	ds, do, dq := c.ds[at:at+c.k], c.do[at:at+c.k], c.dq[at:at+c.k]
	for w := range d {
		d[w] += rs*ds[w] + ro*(do[w]+dq[w])
	}
	if w := c.which(OrganicDensity); w >= 0 {
		d[w] -= ro * (c.o[i] + c.q[i])
	}
}

// which gives the place of an unknown among the derivatives, −1 when it is not among them.
func (c *Column) which(u Unknown) int {
	for w, v := range c.wrt {
		if v == u {
			return w
		}
	}
	return -1
}

// Depth gives the thickness of the whole column, mm.
func (c *Column) Depth() float64 {
	var z float64
	for i := range c.n {
		z += c.thickness(i)
	}
	return z
}
