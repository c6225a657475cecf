package profile

import "math"

// pass lets a stretch of time go by: growth, decay and what they do to every edge.
//
//	O ← O·stay + Q·turn + κ·slow·C(z)    Q ← Q·keep + κ·fast·C(z)
//	C(z) = (1−ω)(1−exp(−z/λ)) + ω(1−exp(−z/(rλ)))
//
// O and Q: slow and fast organic matter above the edge [kg/m²]; z: its depth at the start of the stretch [mm]. What
// would root below the column counts to its lowest parcel, so C is 1 at the end of the column.
func (c *Column) pass(st *stretch) {
	if c.planes != nil {
		c.planes.pass(c, st)
	}
	c.passed++
	if c.passed%renewal == 0 {
		for i := range c.edges[:c.n] {
			c.edges[i].z = unrooted
		}
	}
	p := &c.params
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	end := c.edges[0]
	c.account.Made += p[Growth] * st.made
	c.account.Decayed += end.o*(1-st.stay) + end.q*(1-st.keep-st.turn) + p[Growth]*st.made - slow - fast
	if c.k > 0 {
		c.passSlopes(st)
	} else {
		c.passPlain(st)
	}
	c.edges[0].o = end.o*st.stay + end.q*st.turn + slow
	c.edges[0].q = end.q*st.keep + fast
}

// Exponentials. Between two stretches an edge moves by so little that exp(−z/(rλ)) follows from the last one known by
// the series in x = (zLast−z)/(rλ). Below near the series to x⁴ is off by less than x⁵/120 = 8.4e-13 of itself; nothing adds up, as the
// last one known stays. Farther away it is renewed: below far by the series to x⁷, which is exact to rounding, above by the exponential
// itself. Rounding of renewals adds up to no more than some 5e-14 until, every so many stretches, the exponential is
// taken for all.
const (
	near    = 0.01
	far     = 0.03
	renewal = 256
)

// renew takes the exponential of an edge at a new depth.
func (e *edge) renew(z, inv float64) {
	if x := (e.z - z) * inv; x < far && x > -far {
		e.e *= exp(x)
	} else {
		e.e = math.Exp(-z * inv)
	}
	e.z = z
}

// passPlain is pass for a column without derivatives, all edges but the last.
func (c *Column) passPlain(st *stretch) {
	p := &c.params
	rs, ro := c.rs, c.ro
	inv := 1 / (p[RootDepth] * c.set.DeepReach)
	omega := p[DeepShare]
	first := 1 - omega
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	stay, turn, keep := st.stay, st.turn, st.keep
	four := c.set.DeepReach == 4
	edges := c.edges[1:c.n]
	for i := range edges {
		e := &edges[i]
		s, o, q := e.s, e.o, e.q
		z := rs*s + ro*(o+q)
		x := (e.z - z) * inv
		if !(x < near && x > -near) {
			e.renew(z, inv)
			x = 0
		}
		deep := e.e * (1 + x*(1+x*(1./2+x*(1./6+x*(1./24)))))
		var top float64
		if four {
			top = deep * deep
			top *= top
		} else {
			top = math.Exp(-z / p[RootDepth])
		}
		above := 1 - first*top - omega*deep
		e.o = o*stay + (q*turn + slow*above)
		e.q = q*keep + fast*above
	}
}

// passSlopes is passPlain for a column that carries derivatives: from the state before the stretch,
//
//	dO ← dO·stay + dQ·turn + κ·slow·C′·dz,  dz = dS/ρs + (dO+dQ)/ρo
//
// the same for Q, and to the unknowns that a stretch or C depend on what is theirs.
func (c *Column) passSlopes(st *stretch) {
	p, k := &c.params, c.k
	lambda, omega, reach := p[RootDepth], p[DeepShare], c.set.DeepReach
	inv := 1 / (lambda * reach)
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	four := reach == 4
	for i := range c.edges[:c.n] {
		e := &c.edges[i]
		s, o, q := e.s, e.o, e.q
		z := c.rs*s + c.ro*(o+q)
		above, slope, top, deep := 1.0, 0.0, 0.0, 0.0
		if i > 0 {
			x := (e.z - z) * inv
			if !(x < near && x > -near) {
				e.renew(z, inv)
				x = 0
			}
			deep = e.e * (1 + x*(1+x*(1./2+x*(1./6+x*(1./24)))))
			if four {
				top = deep * deep
				top *= top
			} else {
				top = math.Exp(-z / lambda)
			}
			above = 1 - (1-omega)*top - omega*deep
			slope = ((1-omega)*top + omega*deep/reach) / lambda
		}
		a, b := slope*c.rs, slope*c.ro
		oo, oq, os := st.stay+slow*b, st.turn+slow*b, slow*a
		qo, qq, qs := fast*b, st.keep+fast*b, fast*a
		at := i * k
		ds, do, dq := c.ds[at:at+k], c.do[at:at+k], c.dq[at:at+k]
		do, dq = do[:len(ds)], dq[:len(ds)]
		for j, ds := range ds {
			vo, vq := do[j], dq[j]
			do[j] = vo*oo + vq*oq + ds*os
			dq[j] = vo*qo + vq*qq + ds*qs
		}
		add := func(u Unknown, dSlow, dFast float64) {
			if w := c.place[u]; w >= 0 {
				do[w] += dSlow
				dq[w] += dFast
			}
		}
		dLambda, dOmega := -z*slope, omega*(1-omega)*(top-deep)
		dDensity := -b * (o + q)
		add(Growth, slow*above, fast*above)
		add(RootDepth, slow*dLambda, fast*dLambda)
		add(DeepShare, slow*dOmega, fast*dOmega)
		add(OrganicDensity, slow*dDensity, fast*dDensity)
		made := p[Growth] * above
		for r, u := range rated {
			add(u, o*st.dStay[r]+q*st.dTurn[r]+made*st.dSlow[r], q*st.dKeep[r]+made*st.dFast[r])
		}
		if i > 0 {
			e.o, e.q = o*st.stay+(q*st.turn+slow*above), q*st.keep+fast*above
		}
	}
}
