package main

import "math"

// grow adds organic matter, amount [kg/m²] spread by depth as exp(−z/λ), λ [mm].
func (c *column) grow(amount, lambda float64) {
	below := 0.0
	c.each(func(_ *parcel, _, bottom float64) { below = bottom })
	all := 1 - math.Exp(-below/lambda)
	c.each(func(p *parcel, top, bottom float64) {
		p.organic += amount * (math.Exp(-top/lambda) - math.Exp(-bottom/lambda)) / all
	})
	c.ledger.made += amount
	c.ledger.topMade += amount * (1 - math.Exp(-topWindow/lambda)) / all
}

// decay takes the share x [0..1] of all organic matter.
func (c *column) decay(x float64) {
	c.each(func(p *parcel, top, bottom float64) {
		lost := x * p.organic
		c.ledger.decayed += lost
		c.ledger.topDecayed += lost * inTop(top, bottom)
		p.organic -= lost
	})
}

// dress lays sand [kg/m²] on the surface: half stays there, half works down evenly into the top 4 mm.
func (c *column) dress(kind int, sand float64) {
	c.fill(kind, sand/2, 4)
	var p parcel
	p.sand[kind] = sand / 2
	c.parcels = append([]parcel{p}, c.parcels...)
	c.ledger.sandIn += sand / 2
}

// fill puts sand [kg/m²] evenly between the surface and depth [mm].
func (c *column) fill(kind int, sand, depth float64) {
	n := c.cut(depth)
	total := 0.0
	for _, p := range c.parcels[:n] {
		total += p.thickness()
	}
	for i := range c.parcels[:n] {
		c.parcels[i].sand[kind] += sand * c.parcels[i].thickness() / total
	}
	c.ledger.sandIn += sand
}

// remove takes the share φ [0..1] of everything down to depth [mm].
func (c *column) remove(share, depth float64) {
	n := c.cut(depth)
	z := 0.0
	for i := range c.parcels[:n] {
		p := c.parcels[i]
		h := p.thickness()
		gone := p.share(share)
		c.ledger.mineralOut += gone.mineral()
		c.ledger.organicOut += gone.organic
		c.ledger.topMineralOut += gone.mineral() * inTop(z, z+h)
		c.ledger.topOrganicO += gone.organic * inTop(z, z+h)
		c.parcels[i] = p.share(1 - share)
		z += h
	}
}

// cut splits the parcel that depth [mm] runs through and says how many parcels lie above.
func (c *column) cut(depth float64) int {
	z := 0.0
	for i, p := range c.parcels {
		h := p.thickness()
		if z+h <= depth {
			z += h
			continue
		}
		x := (depth - z) / h
		if x <= 0 {
			return i
		}
		lower := append([]parcel{p.share(x), p.share(1 - x)}, c.parcels[i+1:]...)
		c.parcels = append(c.parcels[:i:i], lower...)
		return i + 1
	}
	return len(c.parcels)
}

// inTop is the share of a parcel that lies within the top window.
func inTop(top, bottom float64) float64 {
	if bottom <= top {
		return 0
	}
	return max(0, min(bottom, topWindow)-top) / (bottom - top)
}

// growthPotential is exp(−½((T−20)/5.5)²) for cool-season grass, T mean air temperature [°C] (Gelernter and
// Stowell 2005, Golf Course Management, March, 108–113).
func growthPotential(t float64) float64 { return math.Exp(-0.5 * math.Pow((t-20)/5.5, 2)) }

// cored is the share of the surface that tines of diameter d [mm] open on a grid a × b [mm]: πd²/(4ab).
func cored(d, a, b float64) float64 { return math.Pi * d * d / (4 * a * b) }
