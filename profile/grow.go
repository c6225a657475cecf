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
	kappa, lambda := c.params[Growth], c.params[RootDepth]
	slow, fast := kappa*st.slow, kappa*st.fast
	end := &c.edges[c.end]
	o, q := end.o, end.q
	lost := o*(1-st.stay) + q*(1-st.keep-st.turn)
	c.account.Made += kappa * st.made
	c.account.Decayed += lost + kappa*st.made - slow - fast
	moves := c.ro * max(slow+fast, lost) // no edge moves farther
	switch {
	case c.k > 0:
		c.passSlopes(st)
	case c.moved < near*lambda:
		c.passNear(st)
		c.moved += moves
	case moves > near*lambda/4 && c.moved == unrooted || moves > near*lambda: // a series would not serve long
		c.passFar(st)
		c.moved = near * lambda
	default:
		c.renew()
		c.passNear(st)
		c.moved = moves
	}
	end.o = o*st.stay + q*st.turn + slow
	end.q = q*st.keep + fast
}

// passNear is pass for all edges but the last, by the series of the share of growth.
func (c *Column) passNear(st *stretch) {
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

// passFar is the same by the exponentials.
func (c *Column) passFar(st *stretch) {
	p := &c.params
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	stay, turn, keep := st.stay, st.turn, st.keep
	deeper, upper := p[DeepShare], 1-p[DeepShare]
	c.take()
	edges := c.edges[c.end+1 : c.n]
	for i := range edges {
		e := &edges[i]
		o, q := e.o, e.q
		above := (1 - deeper*e.deep) - upper*e.top
		e.o = (o*stay + q*turn) + slow*above
		e.q = q*keep + fast*above
	}
}

// passSlopes is passFar for a column that carries derivatives: from the state before the stretch,
//
//	dO ← dO·stay + dQ·turn + κ·slow·C′·dz    dQ ← dQ·keep + κ·fast·C′·dz,   dz = dS/ρs + (dO+dQ)/ρo
//
// and to the unknowns that a stretch or C depend on what is theirs.
func (c *Column) passSlopes(st *stretch) {
	p, k := &c.params, c.k
	lambda, omega := p[RootDepth], p[DeepShare]
	slow, fast := p[Growth]*st.slow, p[Growth]*st.fast
	var own [len(rated)]ratedSlope
	n := st.rated(c, &own)
	growth, root, deepShare, density := c.place[Growth], c.place[RootDepth], c.place[DeepShare], c.place[OrganicDensity]
	c.take()
	for i := c.end; i < c.n; i++ {
		e := &c.edges[i]
		o, q := e.o, e.q
		z := e.z
		above, slope, dOmega := 1.0, 0.0, 0.0
		if i > c.end {
			above = (1 - omega*e.deep) - (1-omega)*e.top
			slope = (1-omega)*e.top/lambda + omega*e.deep/(lambda*c.set.DeepReach)
			dOmega = omega * (1 - omega) * (e.top - e.deep)
		}
		a, b := slope*c.rs, slope*c.ro
		at := i * k
		ds, do, dq := c.ds[at:at+k], c.do[at:at+k], c.dq[at:at+k]
		passRow(ds, do, dq, st.stay+slow*b, st.turn+slow*b, slow*a, fast*b, st.keep+fast*b, fast*a)
		if growth >= 0 {
			do[growth] += slow * above
			dq[growth] += fast * above
		}
		if root >= 0 {
			do[root] -= slow * z * slope
			dq[root] -= fast * z * slope
		}
		if deepShare >= 0 {
			do[deepShare] += slow * dOmega
			dq[deepShare] += fast * dOmega
		}
		if density >= 0 {
			do[density] -= slow * b * (o + q)
			dq[density] -= fast * b * (o + q)
		}
		for j := range own[:n] {
			d := &own[j]
			do[d.w] += o*d.stay + q*d.turn + above*d.slow
			dq[d.w] += q*d.keep + above*d.fast
		}
		if i > c.end {
			e.o, e.q = o*st.stay+q*st.turn+slow*above, q*st.keep+fast*above
		}
	}
}

// passRow carries the derivatives of one edge.
func passRow(ds, do, dq []float64, oo, oq, os, qo, qq, qs float64) {
	do, dq = do[:len(ds)], dq[:len(ds)]
	for j, s := range ds {
		o, q := do[j], dq[j]
		do[j] = (o*oo + q*oq) + s*os
		dq[j] = (o*qo + q*qq) + s*qs
	}
}

// ratedSlope is the derivative of a stretch by one of the unknowns it depends on, and that unknown's place.
type ratedSlope struct {
	w                            int
	stay, turn, keep, slow, fast float64
}

// rated gives the derivatives of a stretch by those unknowns that are carried along, and how many.
func (st *stretch) rated(c *Column, own *[len(rated)]ratedSlope) (n int) {
	kappa := c.params[Growth]
	for r, u := range &rated {
		if w := c.place[u]; w >= 0 {
			own[n] = ratedSlope{w, st.dStay[r], st.dTurn[r], st.dKeep[r], kappa * st.dSlow[r], kappa * st.dFast[r]}
			n++
		}
	}
	return n
}

// rooted gives the share of growth above a depth z [mm].
func (c *Column) rooted(z float64) float64 {
	p := &c.params
	top, deep := math.Exp(-z/p[RootDepth]), math.Exp(-z/(c.set.DeepReach*p[RootDepth]))
	return 1 - top + p[DeepShare]*(top-deep)
}
