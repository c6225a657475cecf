package balance

import "math"

// entry numbers the columns of one layer's account between two rounds.
type entry int

const (
	sandIn entry = iota // sand put into the layer
	mineralRemoved
	organicRemoved
	mineralEntered // across the top, from the layer above
	organicEntered
	mineralLeft // across the bottom
	organicLeft
	mineralChange
	organicChange
	formed
	made         // formed, and what decayed of the stock
	ratioEntered // organic per mineral of what crossed the top
	ratioLeft    // and the bottom
	entries
)

// account is one layer between two rounds.
type account [entries]float64

// state is the workspace of one evaluation. Rows are rounds or steps, columns cuts.
type state struct {
	mineral, organic, om [][]float64 // by round
	sand, taken          [][]float64 // by step: sand put into each cut, share of each cut taken out
	accounts             [][]account // by pair of rounds
	entering, leaving    []float64   // by cut: organic per mineral of what crosses, were all to stay as in its last round
	decay                float64     // 1/a
}

func (m *model) workspace() *state {
	n := len(m.cuts)
	grid := func(rows int) [][]float64 {
		g, flat := make([][]float64, rows), make([]float64, rows*n)
		for i := range g {
			g[i] = flat[i*n : (i+1)*n]
		}
		return g
	}
	s := &state{
		mineral: grid(len(m.rounds)), organic: grid(len(m.rounds)), om: grid(len(m.rounds)),
		sand: grid(len(m.steps)), taken: grid(len(m.steps)),
		entering: make([]float64, n), leaving: make([]float64, n),
	}
	for range m.pairs {
		s.accounts = append(s.accounts, make([]account, n))
	}
	return s
}

// of gives the account of layer k in its i-th interval.
func (s *state) of(m *model, k, i int) *account { return &s.accounts[m.tracks[k].pairs[i]][k] }

// evaluate works every account out for one set of multipliers.
func (m *model) evaluate(v []float64, s *state) {
	for j, r := range m.rounds {
		for k, c := range r.cells {
			mass := c.mass * v[c.densityAt]
			om := min(c.om*v[c.omAt], 0.99) // a share; never reached in turf
			s.om[j][k], s.organic[j][k], s.mineral[j][k] = om, mass*om, mass*(1-om)
		}
	}
	for e, st := range m.steps {
		m.work(st, v, s.sand[e], s.taken[e])
	}
	s.decay = m.decay * v[m.decayAt]
	for p, pair := range m.pairs {
		for k := range pair.layers {
			m.keep(k, pair.from, pair.to, v, s, s.accounts[p])
		}
	}
	for k, t := range m.tracks {
		if n := t.intervals(); n > 0 {
			last := t.rounds[n]
			s.leaving[k] = m.crossing(k, last, last, v, s)
			if k > 0 {
				s.entering[k] = m.crossing(k-1, last, last, v, s)
			}
		}
	}
}

// crossing gives the organic per mineral of what crossed the bottom of cut k from round i to round j (addEdge).
func (m *model) crossing(k, i, j int, v []float64, s *state) float64 {
	e := m.edges[k]
	var share float64
	switch {
	case e.from == below && len(m.rounds[j].cells) > k+1:
		share = between(s.om[i][k], s.om[j][k+1], e.weight)
	case e.from != above:
		share = s.om[i][k] * e.lift
	default:
		share = between(between(s.om[i][k], s.om[j][k], 0.5), between(s.om[i][k-1], s.om[j][k-1], 0.5), e.weight)
	}
	share = min(share*v[e.factor], 0.99)
	return share / (1 - share)
}

// between reads a value on the straight line between the logarithms of two others: aʷ·b¹⁻ʷ.
func between(a, b, weight float64) float64 {
	switch weight { // layers of one thickness
	case 0.5:
		return math.Sqrt(a * b)
	case 1.5:
		return a * math.Sqrt(a/b)
	}
	return math.Pow(a, weight) * math.Pow(b, 1-weight)
}

// work gives the sand put into each cut, and the share of each cut taken out, in one step.
func (m *model) work(st step, v, sand, taken []float64) {
	clear(sand)
	clear(taken)
	for _, y := range st.years {
		sand[0] += y.amount * v[y.factor]
	}
	sand[0] *= v[st.event]
	for _, p := range st.placed {
		for k, within := range p.within {
			sand[k] += p.amount * v[p.factor] * within
		}
	}
	for _, c := range st.cores {
		for k, share := range c.share {
			taken[k] += share * v[c.factor]
		}
	}
}

// keep keeps the account of layer k from round i to round j; the account of the layer above comes first, for what
// left that one enters this one. Added up from the surface down it is Window.Account of the window to the bottom.
func (m *model) keep(k, i, j int, v []float64, s *state, accounts []account) {
	a := &accounts[k]
	var sand, taken float64
	for e := i; e < j; e++ {
		sand += s.sand[e][k]
		taken += s.taken[e][k]
	}
	if k > 0 {
		up := &accounts[k-1]
		a[mineralEntered], a[organicEntered], a[ratioEntered] = up[mineralLeft], up[organicLeft], up[ratioLeft]
	}
	a[sandIn] = sand
	a[mineralRemoved] = taken * (s.mineral[i][k] + s.mineral[j][k]) / 2 // out of the mean of the two rounds
	a[organicRemoved] = taken * (s.organic[i][k] + s.organic[j][k]) / 2
	a[mineralChange] = s.mineral[j][k] - s.mineral[i][k]
	a[organicChange] = s.organic[j][k] - s.organic[i][k]
	// Q = M₁ + S − Rₘ − M₂, with what entered; Oₒ = Q·r.
	a[mineralLeft] = a[mineralEntered] + sand - a[mineralRemoved] - a[mineralChange]
	a[ratioLeft] = m.crossing(k, i, j, v, s)
	a[organicLeft] = a[mineralLeft] * a[ratioLeft]
	// A = O₂ − O₁ + Oₒ + Rₒ, less what entered.
	a[formed] = a[organicChange] + a[organicLeft] + a[organicRemoved] - a[organicEntered]
	// B = A + κ·O·t, O the mean of the two rounds' stocks.
	a[made] = a[formed] + s.decay*(m.rounds[j].years-m.rounds[i].years)*(s.organic[i][k]+s.organic[j][k])/2
}

// close checks that the account of a layer balances for sand and for organic matter.
func (a account) close(layer string) error {
	const tolerance = 1e-9 // kg/m²; rounding of sums of about 100 kg/m²
	if err := audit("mineral in "+layer, a[sandIn]+a[mineralEntered], a[mineralRemoved]+a[mineralLeft], a[mineralChange], tolerance); err != nil {
		return err
	}
	return audit("organic matter in "+layer, a[formed]+a[organicEntered], a[organicRemoved]+a[organicLeft], a[organicChange], tolerance)
}
