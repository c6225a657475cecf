package balance

import (
	"math"
	"math/rand/v2"
)

// draws are what the random draws of one layer gave; each slice has one value a draw.
type draws struct {
	made             [][]float64 // organic matter made since the first round, by interval
	decays           []float64   // of the stock in the last round, a year
	applied          []float64   // sand into the layer lately [kg/m²/a]
	organicRemoved   []float64   // [kg/m²/a]
	mineralRemoved   []float64   // [kg/m²/a]
	top, bottom      []float64   // organic per mineral of what crosses, were all to stay as in the last round
	organic, mineral []float64   // in the layer, in the last round [kg/m²]
	sum, squares     []account   // by interval, shifted by the value: moments of every entry
}

func newDraws(n, intervals int) *draws {
	flat := make([]float64, n*(intervals+9))
	next := func() []float64 { s := flat[:n:n]; flat = flat[n:]; return s }
	d := &draws{sum: make([]account, intervals), squares: make([]account, intervals)}
	for range intervals {
		d.made = append(d.made, next())
	}
	d.decays = next()
	d.applied, d.organicRemoved, d.mineralRemoved = next(), next(), next()
	d.top, d.bottom, d.organic, d.mineral = next(), next(), next(), next()
	return d
}

// keep writes one evaluation of layer k into place at.
func (d *draws) keep(m *model, k int, s *state, at int) {
	t := m.tracks[k]
	n := t.intervals()
	if n == 0 {
		return
	}
	var total, applied, organic, mineral float64
	for i := range n {
		a := s.of(m, k, i)
		total += a[made]
		if i >= t.lately {
			applied += a[sandIn]
		}
		organic += a[organicRemoved]
		mineral += a[mineralRemoved]
		d.made[i][at] = total
	}
	first, last := t.rounds[0], t.rounds[n]
	years := m.rounds[last].years - m.rounds[first].years
	d.applied[at], d.organicRemoved[at], d.mineralRemoved[at] = applied/m.span(t, t.lately), organic/years, mineral/years
	d.top[at], d.bottom[at] = s.entering[k], s.leaving[k]
	d.decays[at] = s.decay * s.organic[last][k]
	d.organic[at], d.mineral[at] = s.organic[last][k], s.mineral[last][k]
}

// moments adds one evaluation of layer k to the sums.
func (d *draws) moments(m *model, k int, s, value *state) {
	for i := range d.sum {
		a, at, sum, squares := s.of(m, k, i), value.of(m, k, i), &d.sum[i], &d.squares[i]
		for q := range a {
			x := a[q] - at[q]
			sum[q] += x
			squares[q] += x * x
		}
	}
}

// sample propagates the uncertainties by random draws: JCGM 101:2008, chapter 7. Draws come in pairs that
// mirror one another, which halves the work and steadies the means.
func (m *model) sample(n int, seed uint64, value *state) []*draws {
	rng := rand.New(rand.NewPCG(seed, 0x5eed))
	out := make([]*draws, len(m.cuts))
	for k, t := range m.tracks {
		out[k] = newDraws(n, t.intervals())
	}
	v, mirror := ones(len(m.factors)), ones(len(m.factors))
	s := m.workspace()
	take := func(v []float64, at int) {
		m.evaluate(v, s)
		for k := range m.tracks {
			out[k].keep(m, k, s, at)
			out[k].moments(m, k, s, value)
		}
	}
	for at := 0; at+1 < n; at += 2 {
		for i, f := range m.factors {
			if f.sigma == 0 {
				continue
			}
			x, drift := f.sigma*rng.NormFloat64(), f.sigma*f.sigma/2
			v[i] = math.Exp(x - drift)
			mirror[i] = 1 / (v[i] * (1 + f.u*f.u)) // e^(−x−σ²/2), for e^σ² = 1 + u²
		}
		take(v, at)
		take(mirror, at+1)
	}
	return out
}
