package findings

import "slices"

// Explained is a share of the variance of readings, 0..1, with its interval.
type Explained struct{ Share, Lower95, Upper95 float64 }

// explained is what organic matter explains:
//
//	R² = b²·v/(b²·v + rest)    rest = Var(Xβ) − b²·v + Σ σ²(random) + σ²
//
// b is the slope, v the variance of organic matter over the rows that is left once water content (slope c; nil: left out) and a wave of
// the year in the model are taken out by least squares. With neither it is the marginal R² of Nakagawa and Schielzeth, the share
// of the fixed part in the whole. The interval is that of the slope:
// where it holds zero the lower end is 0. Ignored: doubt about the variances; the share that organic matter would explain if it were
// known without error, which is larger.
// Source: Nakagawa & Schielzeth, Methods Ecol. Evol. 4:133–142, 2013, eq. 26 (from memory).
func (m *responseModel) explained(b OMSlope, water []float64, c float64) Explained {
	var own []float64
	var others [][]float64
	for k, name := range m.design.Names {
		switch name {
		case "om":
			own = m.design.Columns[k]
		case "(Intercept)":
		default:
			others = append(others, m.design.Columns[k])
		}
	}
	fixed := m.fixedPart()
	if water != nil {
		others = append(others, water)
		for i := range fixed {
			fixed[i] += c * water[i]
		}
	}
	v := variance(own) * (1 - explained(own, others...))
	rest := m.fitted.Sigma*m.fitted.Sigma + max(0, variance(fixed)-b.Value*b.Value*v)
	for _, c := range m.fitted.Components {
		rest += c.Variance
	}
	share := func(b float64) float64 { return b * b * v / (b*b*v + rest) }
	low, high := min(share(b.Lower95), share(b.Upper95)), max(share(b.Lower95), share(b.Upper95))
	if b.zero() {
		low = 0
	}
	return Explained{share(b.Value), low, high}
}

// fixedPart is Xβ of every row.
func (m *responseModel) fixedPart() []float64 {
	out := make([]float64, len(m.design.Y))
	for k, name := range m.design.Names {
		at := slices.Index(m.fitted.Names, name)
		if at < 0 {
			continue
		}
		for i, x := range m.design.Columns[k] {
			out[i] += m.fitted.Beta[at] * x
		}
	}
	return out
}

// variance is the mean square about the mean.
func variance(x []float64) float64 {
	mean, out := average(x), 0.0
	for _, v := range x {
		out += (v - mean) * (v - mean) / float64(len(x))
	}
	return out
}
