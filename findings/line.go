package findings

import (
	"math"
	"time"

	"underfoot/unit"
)

// draw works out the fitted line of the mean of the greens sampled:
//
//	m(t) = level + β·(t − pivot)    Var m(t) = levelVar + (t − pivot)²·se²
//
// With the greens swept out, the mean of their levels is ȳ − Σ_j c_j·(β·t_j + r̂_j), where ȳ is the
// mean of the green means and c_j the share of round j in it. On the axes of the sweep r̂ is shrunk by
// λ/(λ + 1/σ_round²), and its error is independent of that of β, so
//
//	pivot    = c·t − c·B·t, B = Q·diag(λ/(λ + 1/σ²))·Qᵀ
//	levelVar = Σ_i 1/w_i/G² + Σ_l c_l²/(λ_l + 1/σ²)
//
// Source: mixed-model equations, Henderson 1975 (from memory), solved on the axes of the sweep.
func (f *Trend) draw(p *panel, s swept) {
	g := float64(len(s.greenMean))
	var ybar, variance, ct, cr, cbt float64
	for i := range s.greenMean {
		ybar += s.greenMean[i] / g
		variance += 1 / s.greenW[i] / g / g
	}
	for j, c := range s.share {
		ct += c * p.t[j]
	}
	tau2 := f.RoundSD * f.RoundSD
	free := 0 // axes without information come first
	for l, lambda := range s.lambda {
		var c float64
		for j := range s.share {
			c += s.axes.At(j, l) * s.share[j]
		}
		if tau2 > 0 {
			variance += c * c / (lambda + 1/tau2)
		}
		if lambda == 0 {
			free++
			continue
		}
		shrink := tau2 * lambda / (1 + tau2*lambda)
		x, z := s.x[l-free], s.z[l-free]
		cr += c * shrink * (z - f.SlopePerYear*x)
		cbt += c * shrink * x
	}
	pivot := ct - cbt // years from the mean date of the rounds
	f.level = ybar - f.SlopePerYear*ct - cr + f.SlopePerYear*pivot
	f.levelVar = variance
	f.pivot = p.dates[0].Add(time.Duration((pivot - p.t[0]) * daysPerYear * 24 * float64(time.Hour)))
	f.from, f.to = p.dates[0], p.dates[len(p.dates)-1]
}

// Span is the time from the first round to the last; zero times where there is no trend.
func (f Trend) Span() (from, to time.Time) { return f.from, f.to }

// Line is the fitted mean of the greens sampled at a date [%], with its standard error [points]. It
// is a line through what was measured, not a forecast: beyond the rounds the model of the profile
// knows more. Both are 0 where there is no trend.
func (f Trend) Line(at time.Time) (mean, se unit.Percent) {
	if !f.Estimated {
		return 0, 0
	}
	dt := years(f.pivot, at)
	return unit.Percent(f.level + f.SlopePerYear*dt), unit.Percent(math.Sqrt(f.levelVar + dt*dt*f.SE*f.SE))
}

// Band is the interval of Line at a date that holds with the given confidence (0.9 for 90 %).
func (f Trend) Band(at time.Time, confidence float64) (low, high unit.Percent) {
	mean, se := f.Line(at)
	half := unit.Percent(quantile((1+confidence)/2, f.DF)) * se
	return mean - half, mean + half
}
