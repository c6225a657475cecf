package findings

import (
	"math"
	"math/rand/v2"
	"slices"
)

// oneWay is values y with known standard errors s about levels that scatter normally.
type oneWay struct{ y, s []float64 }

func (o *oneWay) add(c CourseLevel) {
	o.y = append(o.y, float64(c.OM))
	o.s = append(o.s, max(float64(c.SE), 1e-6)) // a value without any error would hold the others to it
}

// mean gives the weighted mean at a variance between, the variance of that mean, and the logarithm of the marginal
// density of τ under flat priors, up to a constant: ½·log V_μ − ½·Σ log(s_i² + τ²) − ½·Σ (y_i − μ̂)²/(s_i² + τ²).
func (o oneWay) mean(tau2 float64) (mu, variance, logDensity float64) {
	var sw, sy, logs float64
	for i, y := range o.y {
		w := 1 / (o.s[i]*o.s[i] + tau2)
		sw, sy, logs = sw+w, sy+w*y, logs+math.Log(w)
	}
	mu, variance = sy/sw, 1/sw
	var q float64
	for i, y := range o.y {
		q += (y - mu) * (y - mu) / (o.s[i]*o.s[i] + tau2)
	}
	return mu, variance, 0.5 * (math.Log(variance) + logs - q)
}

// reml gives the mean, its standard error and the variance between by restricted maximum likelihood: the root of the
// score y'PPy − tr P in τ², P the weights with the mean swept out; 0 where the score falls from the start.
func (o oneWay) reml() (mu, se, tau2 float64) {
	score := func(tau2 float64) float64 {
		mu, variance, _ := o.mean(tau2)
		var trace, pull float64
		for i, y := range o.y {
			w := 1 / (o.s[i]*o.s[i] + tau2)
			trace += w - w*w*variance
			pull += w * w * (y - mu) * (y - mu)
		}
		return pull - trace
	}
	if score(0) > 0 {
		low, high := 0.0, 1e-6
		for score(high) > 0 {
			low, high = high, 4*high
		}
		for range 200 {
			tau2 = (low + high) / 2
			if score(tau2) > 0 {
				low = tau2
			} else {
				high = tau2
			}
		}
	}
	mu, variance, _ := o.mean(tau2)
	return mu, math.Sqrt(variance), tau2
}

// posterior is the posterior of the levels: normal given τ, with τ on a grid.
type posterior struct {
	of     oneWay
	tau    []float64
	mu, sd []float64 // of the mean, given τ
	cum    []float64 // probability of this τ or a smaller one
}

const (
	tauSteps  = 200
	peerDraws = 1000 // of the percentile
	curves    = 200  // of them also give the quantiles of the peers
)

func (o oneWay) posterior() posterior {
	var mean, ss, se float64
	n := float64(len(o.y))
	for i, y := range o.y {
		mean, se = mean+y/n, se+o.s[i]/n
	}
	for _, y := range o.y {
		ss += (y - mean) * (y - mean) / (n - 1)
	}
	end := 8 * max(math.Sqrt(ss), se)
	p := posterior{of: o}
	var logs []float64
	for k := range tauSteps {
		t := (float64(k) + 0.5) / tauSteps
		tau := end * t * t // closer together near 0
		mu, variance, l := o.mean(tau * tau)
		p.tau, p.mu, p.sd = append(p.tau, tau), append(p.mu, mu), append(p.sd, math.Sqrt(variance))
		logs = append(logs, l+math.Log(t)) // the step in τ goes with t
	}
	top := slices.Max(logs)
	var sum float64
	for _, l := range logs {
		sum += math.Exp(l - top)
		p.cum = append(p.cum, sum)
	}
	for k := range p.cum {
		p.cum[k] /= sum
	}
	return p
}

// given is the level of course i at step k of τ: normal with this mean and standard deviation about the mean given μ.
func (p posterior) given(i, k int, mu float64) (mean, sd float64) {
	s2, t2 := p.of.s[i]*p.of.s[i], p.tau[k]*p.tau[k]
	pull := s2 / (s2 + t2)
	return pull*mu + (1-pull)*p.of.y[i], math.Sqrt(t2 * pull)
}

// level is the posterior mean and standard deviation of course i.
func (p posterior) level(i int) (mean, sd float64) {
	var m, q, before float64
	for k, c := range p.cum {
		s2, t2 := p.of.s[i]*p.of.s[i], p.tau[k]*p.tau[k]
		pull := s2 / (s2 + t2)
		at, own := p.given(i, k, p.mu[k])
		m += (c - before) * at
		q += (c - before) * (own*own + pull*pull*p.sd[k]*p.sd[k] + at*at)
		before = c
	}
	return m, math.Sqrt(max(q-m*m, 0))
}

// draw gives, draw by draw, the share of the other courses that lie below course 0, and the mean over draws of the
// quantiles of the others.
func (p posterior) draw(seed uint64) (shares, quantiles []float64) {
	rng := rand.New(rand.NewPCG(seed, 0x9ee5))
	others := make([]float64, len(p.of.y)-1)
	quantiles = make([]float64, len(peerQuantiles()))
	for d := range peerDraws {
		// Steps of τ are taken evenly over their probability, in an order that spreads the first ones over all of it.
		u := (float64(d*619%peerDraws) + 0.5) / peerDraws
		k, _ := slices.BinarySearch(p.cum, u)
		k = min(k, len(p.cum)-1)
		mu := p.mu[k] + p.sd[k]*rng.NormFloat64()
		mean, sd := p.given(0, k, mu)
		own := mean + sd*rng.NormFloat64()
		var below float64
		for i := range others {
			mean, sd := p.given(i+1, k, mu)
			others[i] = mean + sd*rng.NormFloat64()
			switch {
			case others[i] < own:
				below++
			case others[i] == own:
				below += 0.5
			}
		}
		shares = append(shares, below/float64(len(others)))
		if d < curves {
			slices.Sort(others)
			for j, q := range peerQuantiles() {
				quantiles[j] += Quantile(others, q) / curves
			}
		}
	}
	return shares, quantiles
}
