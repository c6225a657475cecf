package profile

import "math"

// pass lets a stretch of time go by: growth, decay and what they do to every parcel.
//
//	o ← o·stay + q·turn + κ·slow·w    q ← q·keep + κ·fast·w
//	w = C(bottom) − C(top),  C(z) = (1−ω)(1−exp(−z/λ)) + ω(1−exp(−z/(rλ)))
//
// z: depths of the parcel's edges at the start of the stretch [mm]. What would root below the column counts to its
// lowest parcel, so the shares sum to 1.
func (c *Column) pass(st *stretch) {
	p := &c.params
	kappa, lambda, omega := p[Growth], p[RootDepth], p[DeepShare]
	inv := 1 / (lambda * c.set.DeepReach)
	if c.planes != nil {
		c.planes.pass(c, st)
	}
	if c.k > 0 {
		c.passDerivatives(st)
	}
	slow, fast := kappa*st.slow, kappa*st.fast
	rs, ro := 1000/c.set.SandDensity, 1000/p[OrganicDensity]
	lost, lostFast := 1-st.stay, 1-st.keep-st.turn
	var z, above, decayed float64
	four := c.set.DeepReach == 4
	for i := c.n - 1; i >= 0; i-- {
		o, q := c.o[i], c.q[i]
		z += rs*c.s[i] + ro*(o+q)
		below := 1.0
		if i > 0 {
			deep := math.Exp(-z * inv)
			var near float64
			if four {
				near = deep * deep
				near *= near
			} else {
				near = math.Exp(-z / lambda)
			}
			below = 1 - near + omega*(near-deep)
		}
		w := below - above
		above = below
		decayed += o*lost + q*lostFast
		c.o[i] = o*st.stay + q*st.turn + slow*w
		c.q[i] = q*st.keep + fast*w
	}
	c.account.Made += kappa * st.made
	c.account.Decayed += decayed + kappa*(st.made-st.slow-st.fast)
}

// passDerivatives carries the derivatives through a stretch, from the state before it.
func (c *Column) passDerivatives(st *stretch) {
	p := &c.params
	kappa, lambda, omega, reach := p[Growth], p[RootDepth], p[DeepShare], c.set.DeepReach
	slow, fast := kappa*st.slow, kappa*st.fast
	k := c.k
	dz, dAbove, dSlow, dFast := c.scratch[0], c.scratch[1], c.scratch[2], c.scratch[3]
	clear(dz)
	clear(dAbove)
	clear(dSlow)
	clear(dFast)
	wk, wl, wo := c.which(Growth), c.which(RootDepth), c.which(DeepShare)
	if wk >= 0 {
		dSlow[wk], dFast[wk] = slow, fast
	}
	var at [len(rated)]int
	for r, u := range rated {
		at[r] = c.which(u)
		if at[r] >= 0 {
			dSlow[at[r]] += kappa * st.dSlow[r]
			dFast[at[r]] += kappa * st.dFast[r]
		}
	}
	var z, above, lambdaAbove, omegaAbove float64
	for i := c.n - 1; i >= 0; i-- {
		o, q := c.o[i], c.q[i]
		c.thicken(dz, i, 1)
		z += c.thickness(i)
		below, slope := 1.0, 0.0
		var dLambda, dOmega float64
		if i > 0 {
			near, deep := math.Exp(-z/lambda), math.Exp(-z/(reach*lambda))
			below = 1 - near + omega*(near-deep)
			slope = ((1-omega)*near + omega*deep/reach) / lambda
			dLambda = -z * slope
			dOmega = omega * (1 - omega) * (near - deep)
		}
		w := below - above
		above = below
		do, dq := c.do[i*k:i*k+k], c.dq[i*k:i*k+k]
		for j := range do {
			dBelow := slope * dz[j]
			dw := dBelow - dAbove[j]
			dAbove[j] = dBelow
			do[j], dq[j] = do[j]*st.stay+dq[j]*st.turn+slow*dw+dSlow[j]*w, dq[j]*st.keep+fast*dw+dFast[j]*w
		}
		if wl >= 0 {
			do[wl] += slow * (dLambda - lambdaAbove)
			dq[wl] += fast * (dLambda - lambdaAbove)
		}
		if wo >= 0 {
			do[wo] += slow * (dOmega - omegaAbove)
			dq[wo] += fast * (dOmega - omegaAbove)
		}
		lambdaAbove, omegaAbove = dLambda, dOmega
		for r, j := range at {
			if j >= 0 {
				do[j] += o*st.dStay[r] + q*st.dTurn[r]
				dq[j] += q * st.dKeep[r]
			}
		}
	}
}

// rooted gives the share of growth above a depth z [mm].
func (c *Column) rooted(z float64) float64 {
	p := &c.params
	near, deep := math.Exp(-z/p[RootDepth]), math.Exp(-z/(c.set.DeepReach*p[RootDepth]))
	return 1 - near + p[DeepShare]*(near-deep)
}
