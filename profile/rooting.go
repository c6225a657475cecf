package profile

import "math"

// Rooting near a depth. The share of growth above an edge,
//
//	C(z) = 1 − (1−ω)·exp(−z/λ) − ω·exp(−z/(rλ))
//
// is kept as a series about the depth z₀ at which its exponentials were taken last,
//
//	C = c₀ + c₁x + … + c₅x⁵,   x = (z₀−z)/(rλ),   c₀ = C(z₀),   cₖ = −(ω·exp(−z₀/(rλ)) + rᵏ(1−ω)·exp(−z₀/λ))/k!
//
// as growth and decay move an edge by so little: what is left off is less than u⁶/720 of the exponentials, u = |z₀−z|/λ,
// and u < near makes that 6.7e-13. It does not add up, for z₀ stays. Once an edge may have moved farther, and after any
// work, the exponentials are taken anew: within far of the last depth from the last ones by the series of exp to x⁷,
// which is exact to rounding, else, and every so many times, by exp itself. In between, rounding adds up to no more
// than exact·4·2.2e-16 = 2.3e-13, and to 4 times that in exp(−z/λ) as the fourth power.
const (
	near  = 0.028
	far   = 0.03
	exact = 256
)

// take takes the exponentials of all edges at the depths they have now.
func (c *Column) take() {
	inv, reach := 1/(c.params[RootDepth]*c.set.DeepReach), c.set.DeepReach
	c.renewed++
	limit := far
	if c.renewed%exact == 0 {
		limit = 0
	}
	four, rs, ro := reach == 4, c.rs, c.ro
	edges := c.edges[c.end:c.n]
	for i := range edges {
		e := &edges[i]
		z := rs*e.s + ro*(e.o+e.q)
		deep := e.deep
		if x := (e.z - z) * inv; x < limit && x > -limit {
			deep *= short(x)
		} else {
			deep = math.Exp(-z * inv)
		}
		e.z, e.deep = z, deep
		if four {
			square := deep * deep
			e.top = square * square
		} else {
			e.top = math.Exp(-z * inv * reach)
		}
	}
}

// renew begins the series of all edges anew at the depths they have now.
func (c *Column) renew() {
	c.take()
	p, reach := &c.params, c.set.DeepReach
	inv := 1 / (p[RootDepth] * reach)
	deeper, upper, rs := p[DeepShare], 1-p[DeepShare], c.rs
	edges := c.edges[c.end:c.n]
	for i := range edges {
		e := &edges[i]
		e.x = (e.z - rs*e.s) * inv
		deep, top := deeper*e.deep, upper*e.top
		e.c0 = 1 - deep - top
		top *= reach
		e.c1 = -deep - top
		top *= reach
		e.c2 = (deep + top) * (-1. / 2)
		top *= reach
		e.c3 = (deep + top) * (-1. / 6)
		top *= reach
		e.c4 = (deep + top) * (-1. / 24)
		top *= reach
		e.c5 = (deep + top) * (-1. / 120)
	}
}

// worked makes the next stretch take all exponentials anew.
func (c *Column) worked() { c.moved = unrooted }

// exp is the exponential; the short series is exact to rounding for small steps.
func exp(x float64) float64 {
	if x > -far && x < far {
		return short(x)
	}
	return math.Exp(x)
}

// short is exp(x) for |x| < 0.03 to x⁷/5040; what is left off is below 2e-17 of it.
func short(x float64) float64 {
	x2 := x * x
	return (1 + x) + x2*((1./2+x*(1./6))+x2*((1./24+x*(1./120))+x2*(1./720+x*(1./5040))))
}
