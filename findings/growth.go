package findings

import (
	"math"

	"underfoot/mixed"
)

// Growth says whether the greens of one layer grow apart.
type Growth struct {
	Known            bool
	PerYear          float64 // change of the standard deviation between greens, as a share of itself [1/a]
	Lower95, Upper95 float64
	PGrowing         float64
	Verdict          GrowthVerdict
}

// GrowthVerdict is a verdict on the spread between greens.
type GrowthVerdict string

// The verdicts on the spread between greens.
const (
	Growing   GrowthVerdict = "growing"
	Shrinking GrowthVerdict = "shrinking"
	NoGrowth  GrowthVerdict = "no change seen"
)

// How the growth of the spread is searched.
const (
	// growthSpan is the most the spread may have changed from the first round to the last: twentyfold up or down
	// (common practice, no source).
	growthSpan = 3.0 // natural logarithm
	growthGrid = 21  // rates tried
)

// growth gives the rate at which the spread between greens changes, greens keeping their order:
//
//	y_ij = ρ_j + exp(γ·t_j)·a_i + e_ij    p(γ) ∝ L(γ)
//
// γ [1/a] is the rate, L(γ) the restricted likelihood at its best over all other numbers. Every rate that would change
// the spread at most twentyfold over the rounds is held equally likely beforehand; chance and interval are read off
// p(γ). Ignored: greens that change places (their drift), and doubt about the other numbers beyond their best.
// Source: profile likelihood, e.g. Pawitan, In All Likelihood, 2001, ch. 3 (from memory).
func (p *panel) growth(m model) Growth {
	span := p.t[len(p.t)-1] - p.t[0]
	if len(p.rounds) < 3 || p.greens < 3 || span <= 0 {
		return Growth{}
	}
	m.drift, m.asCame = false, m.round
	l := p.lay(m)
	if len(l.design.Terms) != 1 {
		return Growth{}
	}
	z := make([]float64, len(p.cells))
	l.design.Terms[0].Z[0] = z
	rate, log := make([]float64, growthGrid), make([]float64, growthGrid)
	best := 0
	for k := range rate {
		rate[k] = growthSpan / span * (2*float64(k)/(growthGrid-1) - 1)
		for i := range z {
			z[i] = math.Exp(rate[k] * p.t[p.round[i]])
		}
		f, err := mixed.Fit(l.design, mixed.Options{})
		if err != nil || !finite(f.Criterion) {
			return Growth{}
		}
		if log[k] = -f.Criterion / 2; log[k] > log[best] {
			best = k
		}
	}
	weight := make([]float64, growthGrid)
	for k := range weight {
		weight[k] = math.Exp(log[k] - log[best])
	}
	below := cumulate(rate, weight)
	g := Growth{Known: true, PerYear: crossing(rate, below, 0.5), Lower95: crossing(rate, below, 0.025), Upper95: crossing(rate, below, 0.975)}
	g.PGrowing = 1 - below[growthGrid/2] // the middle of the grid is a rate of 0
	switch {
	case g.PGrowing >= sure:
		g.Verdict = Growing
	case g.PGrowing <= 1-sure:
		g.Verdict = Shrinking
	default:
		g.Verdict = NoGrowth
	}
	return g
}

// cumulate is the share of the area under w that lies below each x, by trapezia.
func cumulate(x, w []float64) []float64 {
	out := make([]float64, len(x))
	for k := 1; k < len(x); k++ {
		out[k] = out[k-1] + (w[k]+w[k-1])/2*(x[k]-x[k-1])
	}
	total := out[len(x)-1]
	for k := range out {
		out[k] /= total
	}
	return out
}

// crossing is where a rising y reaches a value, on straight lines between the points.
func crossing(x, y []float64, value float64) float64 {
	for k := 1; k < len(x); k++ {
		if y[k] >= value {
			if y[k] == y[k-1] {
				return x[k]
			}
			return x[k-1] + (x[k]-x[k-1])*(value-y[k-1])/(y[k]-y[k-1])
		}
	}
	return x[len(x)-1]
}
