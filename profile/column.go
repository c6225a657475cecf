package profile

import (
	"fmt"
	"math"
)

// Column is the stack of parcels under one green, kept as the masses above the lower edge of each. The lowest parcel
// comes first, so that laying sand appends.
//
// Growth above a depth depends on the depth alone, decay on time alone and work on what lies above a depth, so an edge
// needs to know nothing of the edges beside it: adding from the surface down, and the rounding that goes with it, is
// spared.
type Column struct {
	end   int // the lowest parcel, whose lower edge is the end of the column
	n     int // past the uppermost parcel
	edges []edge

	params  Params
	set     Settings
	rs, ro  float64 // mm for a kg/m² of sand and of organic matter
	laid    bool    // sand has been since the start
	joined  float64 // what of it lies in the parcel at the surface, as written down, mm
	reach   float64 // nothing below is asked for, mm
	missed  bool    // something was
	moved   float64 // how far an edge may have moved since the exponentials were taken, mm
	renewed int     // how often they were

	wrt        []Unknown // derivatives carried along, by the places of these unknowns
	k          int       // how many
	place      [Unknowns]int
	ds, do, dq []float64 // edge·k + which

	scratch [4][]float64 // k each
	account Account
	planes  *Ledger // nil unless layers are followed
}

// edge is the lower edge of a parcel.
type edge struct {
	o, q                      float64 // slow and fast organic mass between the surface and the edge, kg/m²
	x, c0, c1, c2, c3, c4, c5 float64 // the share of growth above it, as a series; x is x₀ of z₀ less the sand above
	s                         float64 // mineral mass between the surface and the edge, kg/m²
	z, deep, top              float64 // z₀ [mm], exp(−z₀/(rλ)) and exp(−z₀/λ)
}

// unrooted marks an edge whose exponential is not known: any depth is far from it.
var unrooted = math.Inf(1)

// NewColumn gives room for so many parcels and derivatives by wrt (none when empty).
func NewColumn(s Settings, parcels int, wrt []Unknown) *Column {
	k := len(wrt)
	c := &Column{
		set: s, wrt: wrt, k: k, edges: make([]edge, parcels),
		ds: make([]float64, parcels*k), do: make([]float64, parcels*k), dq: make([]float64, parcels*k),
	}
	for i := range c.scratch {
		c.scratch[i] = make([]float64, k)
	}
	for u := range c.place {
		c.place[u] = -1
	}
	for w, u := range wrt {
		c.place[u] = w
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
	if len(edges)-1 > len(c.edges) {
		return fmt.Errorf("starting a column: %d parcels do not fit into room for %d", len(edges)-1, len(c.edges))
	}
	c.params, c.account, c.n, c.moved, c.renewed = p, Account{}, len(edges)-1, unrooted, 0
	c.end, c.reach, c.missed = 0, unrooted, false
	c.laid, c.joined = false, 0
	c.rs, c.ro = 1000/c.set.SandDensity, 1000/p[OrganicDensity]
	fast := c.set.FastStart
	if c.set.OnePool {
		fast = 0
	}
	var sand, organic float64
	dSand, dOrganic := c.scratch[0], c.scratch[1]
	clear(dSand)
	clear(dOrganic)
	for j := range c.n {
		i := c.n - 1 - j // parcel j from the surface
		z, h := (edges[j]+edges[j+1])/2, edges[j+1]-edges[j]
		e := math.Exp(-z / p[Fade])
		f := p[Base] + (p[Surface]-p[Base])*e
		volume := f/p[OrganicDensity] + (1-f)/c.set.SandDensity
		mass := h / 1000 / volume
		sand += mass * (1 - f)
		organic += mass * f
		c.edges[i] = edge{s: sand, o: organic * (1 - fast), q: organic * fast, z: unrooted}
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
			dSand[w] += dMass*(1-f) - mass*df
			dOrganic[w] += dMass*f + mass*df
			c.ds[i*c.k+w], c.do[i*c.k+w], c.dq[i*c.k+w] = dSand[w], dOrganic[w]*(1-fast), dOrganic[w]*fast
		}
	}
	c.account.SandStart, c.account.OrganicStart = sand, organic
	return nil
}

// Copy makes c the same as from, which has no more parcels and the same derivatives. A ledger is not copied.
func (c *Column) Copy(from *Column) {
	c.end, c.n, c.params, c.set, c.account = 0, from.n-from.end, from.params, from.set, from.account
	c.rs, c.ro, c.moved, c.renewed = from.rs, from.ro, from.moved, from.renewed
	c.reach, c.missed, c.laid, c.joined = unrooted, false, from.laid, from.joined
	a, b := from.end, from.n
	copy(c.edges, from.edges[a:b])
	copy(c.ds, from.ds[a*c.k:b*c.k])
	copy(c.do, from.do[a*c.k:b*c.k])
	copy(c.dq, from.dq[a*c.k:b*c.k])
}

// depth of an edge, mm: z = S/ρs + (O+Q)/ρo with the masses above it.
func (c *Column) depth(e *edge) float64 { return c.rs*e.s + c.ro*(e.o+e.q) }

// Depth gives the thickness of the whole column, mm.
func (c *Column) Depth() float64 {
	if c.n == 0 {
		return 0
	}
	return c.depth(&c.edges[c.end])
}

// deepen sets d to the derivatives of the depth of edge i; the surface, i = n, does not move.
func (c *Column) deepen(d []float64, i int) {
	if i == c.n {
		clear(d)
		return
	}
	at := i * c.k
	ds, do, dq := c.ds[at:at+len(d)], c.do[at:at+len(d)], c.dq[at:at+len(d)]
	for w := range d {
		d[w] = c.rs*ds[w] + c.ro*(do[w]+dq[w])
	}
	if w := c.place[OrganicDensity]; w >= 0 {
		d[w] -= c.ro * (c.edges[i].o + c.edges[i].q)
	}
}
