package profile

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
	p := &c.params
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	end := &c.edges[c.end]
	o, q := end.o, end.q
	lost := o*(1-st.stay) + q*(1-st.keep-st.turn)
	c.account.Made += p[Growth] * st.made
	c.account.Decayed += lost + p[Growth]*st.made - slow - fast
	if !(c.moved < near*p[RootDepth]) {
		c.renew()
	}
	c.moved += c.ro * max(slow+fast, lost) // no edge moves farther
	if c.k > 0 {
		c.passSlopes(st)
	} else {
		c.passPlain(st)
	}
	end.o = o*st.stay + q*st.turn + slow
	end.q = q*st.keep + fast
}

// passPlain is pass for a column without derivatives, all edges but the last.
func (c *Column) passPlain(st *stretch) {
	p := &c.params
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	stay, turn, keep := st.stay, st.turn, st.keep
	scale := c.ro / (p[RootDepth] * c.set.DeepReach)
	edges := c.edges[c.end+1 : c.n]
	for i := range edges {
		e := &edges[i]
		o, q := e.o, e.q
		x := e.x - scale*(o+q)
		xx := x * x
		above := (e.c0 + e.c1*x) + xx*((e.c2+e.c3*x)+xx*(e.c4+e.c5*x))
		e.o = (o*stay + q*turn) + slow*above
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
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	inv := 1 / (lambda * reach)
	for i := c.end; i < c.n; i++ {
		e := &c.edges[i]
		s, o, q := e.s, e.o, e.q
		z := c.rs*s + c.ro*(o+q)
		above, slope, top, deep := 1.0, 0.0, 0.0, 0.0
		if i > c.end {
			x := (e.z - z) * inv
			deep, top = e.deep*exp(x), e.top*exp(reach*x)
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
		if i > c.end {
			e.o, e.q = o*st.stay+(q*st.turn+slow*above), q*st.keep+fast*above
		}
	}
}
