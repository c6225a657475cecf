package findings

import (
	"math"

	"underfoot/unit"
)

// MaterialChange is a slope over rounds whose errors are known and tied together: points a year of OM, or kg/m² a year
// of organic mass.
type MaterialChange struct {
	Known            bool // false: fewer than two rounds
	PerYear          float64
	SE, DF           float64 // DF 0: normal
	Lower95, Upper95 float64
	Lower90, Upper90 float64
	PRising          float64
	RoundSD          float64 // round-to-round scatter that was assumed
	Assumed          bool    // it was: two rounds cannot show it
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
	cov          [][]float64 // nil: independent, se holds the standard errors
	se           []float64
}

// line gives the slope of a series over time, as the trend at fixed depth does: of least squares through the values of
// the sampled greens in every round, with the standard error that the known errors give it.
//
//	β = Σ w_i·y_i    w_i = (t_i − t̄)/Σ(t − t̄)²    se² = wᵀVw
//
// y [%] or [kg/m²] in each round, t [a], V the covariance of the errors. It speaks of these rounds: what a good or a bad year
// did is part of them. With two rounds, which cannot show that, the round-to-round scatter is assumed and added.
// Ignored: that V is itself estimated.
func (s series) line(roundSD float64) MaterialChange {
	n := len(s.value)
	c := MaterialChange{Rounds: n, Verdict: NoChange}
	if n < 2 || s.years[n-1]-s.years[0] < 1/daysPerYear {
		return c
	}
	c.Known = true
	if n == 2 {
		c.RoundSD, c.Assumed = roundSD, true
	}
	var mean, ss float64
	for _, t := range s.years {
		mean += t / float64(n)
	}
	for _, t := range s.years {
		ss += (t - mean) * (t - mean)
	}
	var variance float64
	for i, t := range s.years {
		w := (t - mean) / ss
		c.PerYear += w * s.value[i]
		variance += w * w * c.RoundSD * c.RoundSD
		for j, u := range s.years {
			variance += w * (u - mean) / ss * s.covariance(i, j)
		}
	}
	c.SE = math.Sqrt(max(variance, 0))
	return c.conclude()
}

// covariance of the errors in two rounds.
func (s series) covariance(i, j int) float64 {
	switch {
	case s.cov != nil:
		return s.cov[i][j]
	case i == j:
		return s.se[i] * s.se[i]
	}
	return 0
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
	s := series{cov: make([][]float64, len(in))}
	for a, j := range in {
		s.cov[a] = make([]float64, len(in))
		s.years = append(s.years, years(m.rounds[0].Date, m.rounds[j].Date))
		s.value = append(s.value, value(j))
		for b, i := range in {
			for _, e := range effects {
				s.cov[a][b] += effect(e, j) * effect(e, i)
			}
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
