package main

import "math"

// Densities of the two-phase mixture, 1/ρ = f/ρ_o + (1−f)/ρ_s (Adams 1973), chosen inside the ranges printed for
// sand and for organic matter in soils.
const (
	mineralDensity = 1580.0 // kg/m³, sand as it lies in a green
	organicDensity = 230.0  // kg/m³
)

// Sands that a parcel may hold.
const (
	rootSand = iota
	oldDressing
	newDressing
	sandKinds
)

const topWindow = 20.0 // mm, the layer whose account is kept in the ledger

// parcel is a slice of the profile per area [kg/m²].
type parcel struct {
	sand    [sandKinds]float64
	organic float64
}

func (p parcel) mineral() float64 {
	return p.sand[rootSand] + p.sand[oldDressing] + p.sand[newDressing]
}

// thickness of the parcel [mm], volumes of sand and organic matter added.
func (p parcel) thickness() float64 {
	return 1000 * (p.mineral()/mineralDensity + p.organic/organicDensity)
}

// share is the same material, x of it [0..1].
func (p parcel) share(x float64) parcel {
	for k := range p.sand {
		p.sand[k] *= x
	}
	p.organic *= x
	return p
}

func (p parcel) plus(q parcel) parcel {
	for k := range p.sand {
		p.sand[k] += q.sand[k]
	}
	p.organic += q.organic
	return p
}

// fraction of organic matter by mass.
func (p parcel) fraction() float64 { return p.organic / (p.organic + p.mineral()) }

// ledger adds up what came and went [kg/m²], for the whole column and for its top 20 mm.
type ledger struct {
	sandIn, mineralOut         float64
	made, decayed, organicOut  float64
	topMade, topDecayed        float64
	topMineralOut, topOrganicO float64
}

// column is the profile of one green, surface first.
type column struct {
	parcels []parcel
	ledger  ledger
}

// newColumn lays 160 parcels of about 1 mm with f(z) = deep + (surface − deep)·exp(−z/shape), z and shape in mm;
// the upper sand is mostly old dressing, the lower mostly root zone.
func newColumn(surface, deep, shape float64) *column {
	c := &column{}
	for i := range 160 {
		z := float64(i) + 0.5
		f := deep + (surface-deep)*math.Exp(-z/shape)
		mass := 1 / (1000 * (f/organicDensity + (1-f)/mineralDensity)) // kg/m² in 1 mm
		dressed := math.Exp(-z * z / (70 * 70))
		p := parcel{organic: f * mass}
		p.sand[oldDressing] = dressed * (1 - f) * mass
		p.sand[rootSand] = (1 - dressed) * (1 - f) * mass
		c.parcels = append(c.parcels, p)
	}
	return c
}

// each calls do with every parcel and its upper and lower depth [mm].
func (c *column) each(do func(p *parcel, top, bottom float64)) {
	z := 0.0
	for i := range c.parcels {
		h := c.parcels[i].thickness()
		do(&c.parcels[i], z, z+h)
		z += h
	}
}

// between gives all that lies between two depths [mm] below today's surface.
func (c *column) between(top, bottom float64) parcel {
	var sum parcel
	c.each(func(p *parcel, a, b float64) {
		if inside := min(b, bottom) - max(a, top); inside > 0 {
			sum = sum.plus(p.share(inside / (b - a)))
		}
	})
	return sum
}

// whole gives the material of the whole column.
func (c *column) whole() parcel {
	var sum parcel
	for _, p := range c.parcels {
		sum = sum.plus(p)
	}
	return sum
}
