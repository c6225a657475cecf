package sieve

import "underfoot/unit"

// series are the openings the fineness modulus counts [mm]. Source: ASTM C136 and C125, fineness modulus (0.150 mm and each
// of twice the opening above).
func series() []unit.Millimetres {
	return []unit.Millimetres{0.150, 0.300, 0.600, 1.18, 2.36, 4.75, 9.5, 19, 37.5, 75, 150}
}

// Fineness is a fineness modulus.
type Fineness struct {
	Value   float64 // [–]
	Between bool    // some sieves of the series were not used: read between those that were
	Assumed bool    // something stayed on the coarsest sieve, and nothing is taken to be coarser than the next of the series
}

// FinenessModulus is FM = Σ cumulative percent retained on 0.150, 0.300, 0.600, 1.18, 2.36, 4.75, 9.5 … mm, over 100 [–].
// Sieves of the series that were not used are read on the curve. ok is false where the curve does not reach down to
// 0.150 mm. Source: ASTM C136, fineness modulus.
func (c *Curve) FinenessModulus() (Fineness, bool) {
	var f Fineness
	for _, d := range series() {
		p, ok := c.Passing(d)
		switch {
		case !ok && d > c.Coarsest():
			f.Assumed = true
			p = 100
		case !ok:
			return Fineness{}, false
		case !c.used(d) && d < c.Coarsest():
			f.Between = true
		}
		f.Value += float64(100-p) / 100
	}
	return f, true
}

func (c *Curve) used(d unit.Millimetres) bool {
	for _, s := range c.sizes {
		if s == float64(d) {
			return true
		}
	}
	return false
}
