package balance

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
)

// Share is one origin's part in a standard uncertainty; the parts add in squares.
type Share struct {
	Origin Origin
	SE     float64
}

// effect is what one standard uncertainty of a factor does to a layer, from half of it down to half of it up.
type effect struct {
	up, down side
	since    []float64 // difference of the two
}

// side is a layer as one of the two ends of an effect has it.
type side struct {
	since []float64
	terms terms // without what is formed and what enters
}

// effects gives what one standard uncertainty of each factor does to every layer, nil where it has none: the central
// difference c·u of JCGM 100:2008, 5.1.3.
func (m *model) effects() [][]*effect {
	s := m.workspace()
	v := ones(len(m.factors))
	out := make([][]*effect, len(m.cuts)) // by layer, factor
	for k := range out {
		out[k] = make([]*effect, len(m.factors))
	}
	for i, f := range m.factors {
		if f.u == 0 {
			continue
		}
		v[i] = 1 + f.u/2
		m.evaluate(v, s)
		for k := range out {
			out[k][i] = &effect{up: m.side(s, k)}
		}
		v[i] = 1 - f.u/2
		m.evaluate(v, s)
		for k := range out {
			e := out[k][i]
			e.down = m.side(s, k)
			for j, up := range e.up.since {
				e.since = append(e.since, up-e.down.since[j])
			}
		}
		v[i] = 1
	}
	return out
}

func (m *model) side(s *state, k int) side {
	one := newDraws(1, m.tracks[k].intervals())
	one.keep(m, k, s, 0)
	return side{m.since(s, k), terms{
		organicRemoved: one.organicRemoved[0], mineralRemoved: one.mineralRemoved[0], top: one.top[0], bottom: one.bottom[0],
	}}
}

// since adds the organic matter made in layer k up from the first round; in the last place is what of the stock in the
// last round decays in a year.
func (m *model) since(s *state, k int) []float64 {
	t := m.tracks[k]
	n := t.intervals()
	out := make([]float64, n+1)
	if n == 0 {
		return out
	}
	var total float64
	for i := range n {
		total += s.of(m, k, i)[made]
		out[i] = total
	}
	out[n] = s.decay * s.organic[t.rounds[n]][k]
	return out
}

// noise gives the covariance of the organic matter made from all that is not wrong in every round alike.
func (m *model) noise(effects []*effect, n int) *mat.SymDense {
	v := mat.NewSymDense(n, nil)
	for i, f := range m.factors {
		if f.origin == FromBottom || f.origin == FromDecay || effects[i] == nil {
			continue
		}
		for a := range n {
			for b := a; b < n; b++ {
				v.SetSym(a, b, v.At(a, b)+effects[i].since[a]*effects[i].since[b])
			}
		}
	}
	return v
}

// formedBudget gives what the uncertainty of the organic matter formed is made of, largest first, and the whole of
// it, by linear propagation: JCGM 100:2008, 5.1.2.
func (m *model) formedBudget(effects []*effect, l line) ([]Share, float64) {
	return m.budget(effects, l, 1, func(e *effect) float64 { return l.at(e.since) })
}

// holdBudget gives the same of the sand that holds the layer. What acts alike on formation and on what sinks out
// cancels here, so it is another list.
func (m *model) holdBudget(effects []*effect, l line, entering, bottom float64) []Share {
	hold := func(s side) float64 {
		s.terms.formed, s.terms.entering = l.at(s.since), entering
		return s.terms.hold()
	}
	out, _ := m.budget(effects, l, 1/bottom, func(e *effect) float64 { return hold(e.up) - hold(e.down) })
	return out
}

// budget adds the effects up by origin, in squares; rate is what a kg/m² a year of formation is worth.
func (m *model) budget(effects []*effect, l line, rate float64, of func(*effect) float64) ([]Share, float64) {
	by := map[Origin]float64{FromGrowth: math.Pow(rate*l.growth, 2), FromScatter: math.Pow(rate*l.excess, 2)}
	for i, f := range m.factors {
		if effects[i] != nil {
			c := of(effects[i])
			by[f.origin] += c * c
		}
	}
	out := make([]Share, 0, len(by))
	var squares float64
	for from, sq := range by {
		if sq > 0 {
			out = append(out, Share{from, math.Sqrt(sq)})
			squares += sq
		}
	}
	sort.Slice(out, func(a, b int) bool {
		if out[a].SE != out[b].SE {
			return out[a].SE > out[b].SE
		}
		return out[a].Origin < out[b].Origin
	})
	return out, math.Sqrt(squares)
}
