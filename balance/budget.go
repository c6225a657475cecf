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

// effects gives what one standard uncertainty of each factor does to the organic matter formed since the first
// round, by round, for every layer: the central difference c·u of JCGM 100:2008, 5.1.3.
func (m *model) effects() [][][]float64 {
	s := m.workspace()
	v := ones(len(m.factors))
	out := make([][][]float64, len(m.cuts)) // by layer, factor, round
	for k := range out {
		out[k] = make([][]float64, len(m.factors))
	}
	for i, f := range m.factors {
		if f.u == 0 {
			continue
		}
		v[i] = 1 + f.u/2
		m.evaluate(v, s)
		for k := range out {
			out[k][i] = m.since(s, k)
		}
		v[i] = 1 - f.u/2
		m.evaluate(v, s)
		for k := range out {
			for j, down := range m.since(s, k) {
				out[k][i][j] -= down
			}
		}
		v[i] = 1
	}
	return out
}

// since adds the organic matter formed in layer k up from the first round.
func (m *model) since(s *state, k int) []float64 {
	out := make([]float64, m.tracks[k].intervals())
	var total float64
	for i := range out {
		total += s.of(m, k, i)[formed]
		out[i] = total
	}
	return out
}

// noise gives the covariance of the organic matter formed from all that is not wrong in every round alike.
func (m *model) noise(effects [][]float64, n int) *mat.SymDense {
	v := mat.NewSymDense(n, nil)
	for i, f := range m.factors {
		if f.origin == FromBottom || effects[i] == nil {
			continue
		}
		for a := range n {
			for b := a; b < n; b++ {
				v.SetSym(a, b, v.At(a, b)+effects[i][a]*effects[i][b])
			}
		}
	}
	return v
}

// budget gives what the uncertainty of the slope is made of, largest first, and the whole of it, by linear
// propagation: JCGM 100:2008, 5.1.2.
func (m *model) budget(effects [][]float64, l line) ([]Share, float64) {
	by := map[Origin]float64{FromGrowth: l.growth * l.growth}
	for i, f := range m.factors {
		if effects[i] != nil {
			c := l.at(effects[i])
			by[f.origin] += c * c
		}
	}
	out := make([]Share, 0, len(by))
	var squares float64
	for from, sq := range by {
		if sq > 0 {
			out = append(out, Share{from, l.scatter * math.Sqrt(sq)})
			squares += sq
		}
	}
	sort.Slice(out, func(a, b int) bool {
		if out[a].SE != out[b].SE {
			return out[a].SE > out[b].SE
		}
		return out[a].Origin < out[b].Origin
	})
	return out, l.scatter * math.Sqrt(squares)
}
