package findings

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"underfoot/unit"
)

// MaterialChange is a slope over rounds whose errors are known and tied together: points a year of OM, or kg/m² a year
// of organic mass.
type MaterialChange struct {
	Known            bool // false: fewer than two rounds
	PerYear          float64
	SE, DF           float64 // DF 0: normal, with the round-to-round scatter assumed or the cores alone to go by
	Lower95, Upper95 float64
	Lower90, Upper90 float64
	PRising          float64
	RoundSD          float64 // round-to-round scatter beyond cores and log [points]
	Assumed          bool    // that scatter was assumed: two rounds cannot show it
	Verdict          TrendVerdict
	Rounds           int
}

// FixedChange is the trend of one layer at fixed depth as found elsewhere.
type FixedChange struct {
	TopMM, BottomMM unit.Millimetres
	Rounds          int // it rests on
	Change          MaterialChange
}

// series is a value in each of some rounds, with the covariance of their errors.
type series struct {
	years, value []float64
	cov          *mat.SymDense // nil: independent, se holds the standard errors
	se           []float64
}

// line fits the slope of a series over time.
//
//	y = a + β·t + r + e    Var r = σ_round²·I    Var e = V
//
// y [%] in each round, t [a], V [points²] known, from cores, densities and log. σ_round² is the moment estimate at which
// the weighted residual sum of squares q equals its degrees of freedom ν = rounds − 2; β comes by generalised least
// squares with standard error √(q/ν·c), c the unscaled variance, and Student t with ν. Where σ_round² is 0 the rounds lie
// closer to the line than their errors allow, and the wider of that interval and the normal one from V alone is given.
// With two rounds σ_round is assumed. Ignored: that V is itself estimated.
// Sources (from memory): generalised least squares, Aitken 1935; moments, Paule & Mandel, J. Res. NBS 87:377–385,
// 1982; interval, Hartung & Knapp, Statist. Med. 20:3875–3889, 2001.
func (s series) line(roundSD float64) MaterialChange {
	c := MaterialChange{Rounds: len(s.value), Verdict: NoChange}
	if len(s.value) < 2 || s.years[len(s.years)-1]-s.years[0] < 1/daysPerYear {
		return c
	}
	c.Known = true
	df := float64(len(s.value) - 2)
	if df < 1 {
		f := s.fit(roundSD * roundSD)
		c.PerYear, c.SE, c.RoundSD, c.Assumed = f.slope, math.Sqrt(f.variance), roundSD, true
		return c.conclude()
	}
	q0, _ := series{years: s.years, value: s.value, se: ones(len(s.value))}.rest(0)
	tau2 := falling(q0/df, df, s.rest)
	f := s.fit(tau2)
	c.PerYear, c.SE, c.DF, c.RoundSD = f.slope, math.Sqrt(max(f.q/df, 0)*f.variance), df, math.Sqrt(tau2)
	if tau2 == 0 {
		if se := math.Sqrt(f.variance); quantile(0.975, 0)*se > quantile(0.975, df)*c.SE {
			c.SE, c.DF = se, 0
		}
	}
	return c.conclude()
}

func (c MaterialChange) conclude() MaterialChange {
	t95, t90 := quantile(0.975, c.DF)*c.SE, quantile(0.95, c.DF)*c.SE
	c.Lower95, c.Upper95 = c.PerYear-t95, c.PerYear+t95
	c.Lower90, c.Upper90 = c.PerYear-t90, c.PerYear+t90
	c.PRising = 1 - probabilityBelow(0, c.PerYear, c.SE, c.DF)
	switch {
	case c.Assumed: // a good or a bad year would look the same
	case c.PRising >= sure:
		c.Verdict = Rising
	case 1-c.PRising >= sure:
		c.Verdict = Falling
	}
	return c
}

// gls is a straight line by generalised least squares.
type gls struct{ slope, variance, q, fall float64 }

// rest gives the weighted residual sum of squares at a round-to-round variance, and how fast it falls.
func (s series) rest(tau2 float64) (q, fall float64) {
	f := s.fit(tau2)
	return f.q, f.fall
}

// fit gives the line with round-to-round variance tau2 added to the known covariance.
func (s series) fit(tau2 float64) gls {
	n := len(s.value)
	v := mat.NewSymDense(n, nil)
	if s.cov != nil {
		v.CopySym(s.cov)
	}
	for i := range n {
		d := v.At(i, i) + tau2
		if s.se != nil {
			d += s.se[i] * s.se[i]
		}
		v.SetSym(i, i, d*(1+1e-12)+1e-12) // 1e-6 points: keeps exact rounds from weighing without end
	}
	w := inverse(v)
	var sw, sx, sy, sxx, sxy float64
	for i, x := range s.years {
		for j, y := range s.value {
			k := w.At(i, j)
			sw, sx, sy, sxx, sxy = sw+k, sx+k*x, sy+k*y, sxx+k*x*s.years[j], sxy+k*x*y
		}
	}
	det := sw*sxx - sx*sx
	f := gls{slope: (sw*sxy - sx*sy) / det, variance: sw / det}
	level := (sy - f.slope*sx) / sw
	for i := range n {
		var pull float64 // V⁻¹ times the residuals
		for j, y := range s.value {
			pull += w.At(i, j) * (y - level - f.slope*s.years[j])
		}
		f.q += pull * (s.value[i] - level - f.slope*s.years[i])
		f.fall += pull * pull
	}
	return f
}

// inverse of a covariance; where the rounds' errors are one and the same it counts them as independent.
func inverse(v *mat.SymDense) *mat.SymDense {
	var chol mat.Cholesky
	w := mat.NewSymDense(v.SymmetricDim(), nil)
	if chol.Factorize(v) {
		if err := chol.InverseTo(w); err == nil {
			return w
		}
	}
	w.Zero()
	for i := range v.SymmetricDim() {
		w.SetSym(i, i, 1/v.At(i, i))
	}
	return w
}

// bands puts every band together: where it was in each round, its change, and what fixed depth says.
func (m *mover) bands(f Following) []MaterialBand {
	value := m.follow(nil)
	effects := m.effects()
	out := make([]MaterialBand, len(m.rounds[0].Layers))
	for k, l := range m.rounds[0].Layers {
		b := &out[k]
		b.TopMM, b.BottomMM = l.TopMM, l.BottomMM
		var seen, apart []int // rounds in which it can be seen, and told from what grew above it
		for j := range m.rounds {
			at := value[j][k]
			if at.bottom > at.sampled*(1+1e-9) {
				if b.Left == "" {
					b.Left, b.DeeperMM = m.rounds[j].Round, deeper(at.bottom, at.sampled, m.rounds[j])
				}
				continue
			}
			seen = append(seen, j)
			if at.apart {
				apart = append(apart, j)
			}
			b.Rounds = append(b.Rounds, m.round(j, k, at, effects))
		}
		b.Change = m.series(apart, func(j int) float64 { return value[j][k].om() }, func(e [][]effect, j int) float64 { return e[j][k].om }, effects).line(float64(f.RoundSD))
		mass := value[0][k].own + value[0][k].organic
		b.Stock = m.series(seen, func(j int) float64 { return value[j][k].organic }, func(e [][]effect, j int) float64 { return e[j][k].organic }, effects).
			line(float64(f.RoundSD.Fraction()) * mass)
		b.Fixed = b.fixed(f)
		b.Says = b.sentence()
	}
	return out
}

// deeper is the thickness that a round would have had to go deeper to hold a mineral mass, T = (M − M_sampled)/ρ, with
// the mineral in a millimetre of its last layer. Source: Ellert & Bettany 1995, Can. J. Soil Sci. 75:529–538 (from memory).
func deeper(needed, sampled float64, p Profile) unit.Millimetres {
	last := p.Layers[len(p.Layers)-1]
	return unit.KgPerM2(needed - sampled).Depth(last.Density * unit.KgPerM3(1-last.OM.Fraction()))
}

func (m *mover) round(j, k int, at moved, effects [][][]effect) MaterialRound {
	p := m.rounds[j]
	var om, organic float64
	for _, e := range effects {
		om += e[j][k].om * e[j][k].om
		organic += e[j][k].organic * e[j][k].organic
	}
	out := MaterialRound{
		Round: p.Round, Date: p.Date, TopMM: unit.Millimetres(at.topMM), BottomMM: unit.Millimetres(at.bottomMM),
		OMKnown: at.apart, OM: unit.Percent(at.om()), SE: unit.Percent(math.Sqrt(om)), Organic: unit.KgPerM2(at.organic), OrganicSE: unit.KgPerM2(math.Sqrt(organic)),
		Removed: unit.KgPerM2(at.removed),
	}
	for _, e := range m.between(m.rounds[0].Date, p.Date) {
		out.SandMM += unit.KgPerM2(e.surface).Depth(unit.KgPerM3(m.density))
		out.removedIn = out.removedIn || e.taken > 0
		out.opened = out.opened || e.taken > 0 || e.filled > 0
	}
	first := m.rounds[0].Layers[k]
	for _, l := range p.Layers {
		if l.TopMM == first.TopMM && l.BottomMM == first.BottomMM {
			out.Fixed, out.FixedSE, out.FixedKnown = l.OM, l.OMSE, true
		}
	}
	return out
}

// series gathers a value of a band over rounds, with the covariance that the inputs in doubt give it.
func (m *mover) series(in []int, value func(round int) float64, effect func(e [][]effect, round int) float64, effects [][][]effect) series {
	if len(in) == 0 {
		return series{}
	}
	s := series{cov: mat.NewSymDense(len(in), nil)}
	for a, j := range in {
		s.years = append(s.years, years(m.rounds[0].Date, m.rounds[j].Date))
		s.value = append(s.value, value(j))
		for b, i := range in[:a+1] {
			var sum float64
			for _, e := range effects {
				sum += effect(e, j) * effect(e, i)
			}
			s.cov.SetSym(a, b, sum)
		}
	}
	return s
}

// fixed is the change at fixed depth over the same rounds: the trend given, where it rests on as many rounds.
func (b *MaterialBand) fixed(f Following) MaterialChange {
	var s series
	for _, r := range b.Rounds {
		if r.FixedKnown {
			s.years = append(s.years, years(b.Rounds[0].Date, r.Date))
			s.value = append(s.value, float64(r.Fixed))
			s.se = append(s.se, float64(r.FixedSE))
		}
	}
	for _, c := range f.Fixed {
		if c.TopMM == b.TopMM && c.BottomMM == b.BottomMM && c.Rounds == len(s.value) && c.Change.Known {
			return c.Change
		}
	}
	return s.line(float64(f.RoundSD))
}
