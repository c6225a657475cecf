package findings

import (
	"math"

	"underfoot/unit"
)

// sameGreens gives every round of one layer the mean of the same greens, as if none had been missed, and its standard
// error from cores and bench alone. It is what an account between rounds needs: that greens differ is no doubt about
// how much they changed, and a round that missed the wettest green has not lost organic matter.
//
//	y_ij = a_i + ρ_j + e_ij    s_j = Σ_i a_i/G + ρ_j    Var s_j = (Σ_i 1/w_i)/G² + (e_j − c)ᵀ·L⁺·(e_j − c)
//
// a_i [%] is green i, ρ_j round j, w_i = Σ_j w_ij the green's weight, L the information about the rounds once greens
// are swept out (see sweep), c_j the share of round j in the mean of the green means, e_j the j-th unit vector. The
// scatter of cores is a share of the mean, so the standard error of a round is in proportion to it. In a table
// without holes s_j is the plain mean of the round. Rounds that share no green with the others keep to greens of their
// own. Ignored: that greens drift apart, which goes into the scatter.
// Source: least-squares (adjusted) means, Searle, Linear Models 1971, ch. 7 (from memory).
func sameGreens(cs []cell, means []RoundMean) {
	p := newPanel(cs)
	s := p.settle()
	index := map[string]int{}
	for j, r := range p.rounds {
		index[r] = j
	}
	middle := meanOM(cs)
	for i := range means {
		m := &means[i]
		level, variance := p.level(s, index[m.Round])
		m.Same = unit.Percent(min(100, max(0, level)))
		if middle > 0 {
			m.SameSE = unit.Percent(math.Sqrt(variance) * float64(m.Mean) / middle)
		}
	}
}

// level is the mean of the greens of a round's part in that round, and its variance.
func (p *panel) level(s swept, j int) (level, variance float64) {
	member := make([]bool, p.greens) // greens of the same part as the round
	for i := range p.cells {
		member[p.green[i]] = p.part[p.round[i]] == p.part[j]
	}
	var g float64
	for i, in := range member {
		if in {
			g++
			level += s.greenMean[i]
			variance += 1 / s.greenW[i]
		}
	}
	level, variance = level/g, variance/g/g
	contrast := make([]float64, len(p.rounds)) // e_j − c
	contrast[j] = 1
	for i := range p.cells {
		if member[p.green[i]] {
			contrast[p.round[i]] -= p.weight(i, p.coreVar) / s.greenW[p.green[i]] / g
		}
	}
	for k, c := range contrast {
		level += c * s.effects[k]
	}
	for l, lambda := range s.lambda {
		if lambda == 0 {
			continue
		}
		var q float64
		for k, c := range contrast {
			q += c * s.axes.At(k, l)
		}
		variance += q * q / lambda
	}
	return level, variance
}
