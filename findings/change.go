package findings

import (
	"math"
)

// realised is what a fit says of the greens and rounds that were sampled, and of no others.
type realised struct {
	slope, se, df float64 // points a year
	level         float64 // % at the pivot, where the line and its slope are independent
	levelVar      float64 // points²
	pivot         float64 // years from the mean date of the rounds
}

// realise gives the straight line through the mean of the sampled greens in every round:
//
//	m_j = x_j·β + r_j + ℓ_j·Σ_i (a_i + b_i·t_j)/G    (level, slope) = least squares of m_j on 1, t_j (and the season)
//
// with every green counted in every round and every round once. It is a sum of fixed and random effects, predicted with
// its own error: what good and bad years did to these greens is part of the change and no doubt about it; only cores,
// bench and holes in the table are. In the words of the literature, narrow inference: about these greens and rounds.
// Source: McLean, Sanders & Stroup, Am. Stat. 45:54–64, 1991 (from memory).
func (c *chosen) realise(p *panel) (realised, bool) {
	w, ok := leastSquares(c.columns[:c.line])
	if !ok {
		return realised{}, false
	}
	e, v := newEquations(c.design, c.fit), variancesOf(c.design, c.fit)
	line, slope := c.through(p, w[0]), c.through(p, w[1])
	values, cov, ok := e.covariance([]combination{line, slope}, v)
	if !ok || !(cov.At(1, 1) > 0) {
		return realised{}, false
	}
	out := realised{slope: values[1], se: math.Sqrt(cov.At(1, 1))}
	if out.df, ok = e.degrees(slope, v); !ok {
		return realised{}, false
	}
	out.pivot = -cov.At(0, 1) / cov.At(1, 1)
	out.level = values[0] + out.slope*out.pivot
	out.levelVar = math.Max(0, cov.At(0, 0)-cov.At(0, 1)*cov.At(0, 1)/cov.At(1, 1))
	return out, finite(out.slope, out.se, out.df, out.level, out.levelVar, out.pivot)
}

// through is the sum of the round means with the given weights.
func (c *chosen) through(p *panel, weight []float64) combination {
	out := combination{fixed: make([]float64, len(c.columns))}
	for k, column := range c.columns {
		for j, w := range weight {
			out.fixed[k] += w * column[j]
		}
	}
	for _, term := range c.design.Terms {
		k := len(term.Names)
		u := make([]float64, k*len(term.Levels))
		switch term.Group {
		case "round":
			copy(u, weight)
		default:
			for i := range term.Levels {
				for j, w := range weight {
					u[i*k] += w * c.scale[j] / float64(len(term.Levels))
					if k > 1 {
						u[i*k+1] += w * c.scale[j] * p.t[j] / float64(len(term.Levels))
					}
				}
			}
		}
		out.random = append(out.random, u)
	}
	return out
}
