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
	ratioEntered // organic per mineral of what crossed the top
	ratioLeft    // and the bottom
	entries
)

// account is one layer between two rounds.
type account [entries]float64

// state is the workspace of one evaluation: cumulative masses to the bottom of each cut, the organic
// share of each cut, and the accounts. Row j is a round, column k a cut, in masses column 0 the surface.
type state struct {
	mineral, organic, om [][]float64
	sand, taken          [][]float64 // by step: sand above each cut's bottom, share of each cut taken out
	accounts             [][]account // by layer and interval
}

func (m *model) workspace() *state {
	grid := func(rows, columns int) [][]float64 {
		g := make([][]float64, rows)
		flat := make([]float64, rows*columns)
		for i := range g {
			g[i], flat = flat[:columns], flat[columns:]
		}
		return g
	}
	n := len(m.cuts)
	s := &state{
		mineral: grid(len(m.rounds), n+1), organic: grid(len(m.rounds), n+1), om: grid(len(m.rounds), n),
		sand: grid(len(m.steps), n+1), taken: grid(len(m.steps), n),
	}
	for _, t := range m.tracks {
		s.accounts = append(s.accounts, make([]account, t.intervals()))
	}
	return s
}

// evaluate works every account out for one set of multipliers.
func (m *model) evaluate(v []float64, s *state) {
	for j, r := range m.rounds {
		m.weigh(j, r, v, s)
	}
	for e, st := range m.steps {
		m.work(e, st, v, s)
	}
	for k, t := range m.tracks {
		for i := range t.intervals() {
			m.keep(k, t.rounds[i], t.rounds[i+1], v, s, &s.accounts[k][i])
		}
	}
}

func (m *model) weigh(j int, r reading, v []float64, s *state) {
	for k, c := range r.cells {
		mass := c.mass * v[c.densityAt]
		om := min(c.om*v[c.omAt], 0.99) // a share; never reached in turf
		s.organic[j][k+1] = s.organic[j][k] + mass*om
		s.mineral[j][k+1] = s.mineral[j][k] + mass*(1-om)
		s.om[j][k] = om
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
	if weight == 0.5 {
		return math.Sqrt(a * b) // layers of one thickness
	}
	return math.Pow(a, weight) * math.Pow(b, 1-weight)
}

func (m *model) work(e int, st step, v []float64, s *state) {
	var surface float64
	for _, y := range st.years {
		surface += y.amount * v[y.factor]
	}
	surface *= v[st.event]
	sand, taken := s.sand[e], s.taken[e]
	for k := range m.cuts {
		sand[k+1] = surface
		for _, p := range st.placed {
			sand[k+1] += p.amount * v[p.factor] * p.above[k]
		}
		taken[k] = 0
		for _, c := range st.cores {
			taken[k] += c.share[k] * v[c.factor]
		}
	}
}

// keep keeps the account of layer k from round i to round j: the window down to its bottom less the
// window down to its top, each by Window.Account.
func (m *model) keep(k, i, j int, v []float64, s *state, a *account) {
	var upper, lower window
	var sand, upperSand, upperMineral, upperOrganic float64
	for c := 0; c <= k; c++ {
		share := 0.0
		for e := i; e < j; e++ {
			share += s.taken[e][c]
		}
		// Taken out of the mean of the two rounds.
		lower.removedMineral += share * (s.mineral[i][c+1] - s.mineral[i][c] + s.mineral[j][c+1] - s.mineral[j][c]) / 2
		lower.removedOrganic += share * (s.organic[i][c+1] - s.organic[i][c] + s.organic[j][c+1] - s.organic[j][c]) / 2
		if c == k-1 {
			upper = lower
		}
	}
	for e := i; e < j; e++ {
		sand += s.sand[e][k+1]
		if k > 0 {
			upperSand += s.sand[e][k]
		}
	}
	if k > 0 {
		upperMineral = s.mineral[i][k] + upperSand - upper.removedMineral - s.mineral[j][k]
		a[ratioEntered] = m.crossing(k-1, i, j, v, s)
		upperOrganic = upperMineral * a[ratioEntered]
	}
	// Q = M₁ + S − Rₘ − M₂; Oₒ = Q·r.
	left := s.mineral[i][k+1] + sand - lower.removedMineral - s.mineral[j][k+1]
	a[ratioLeft] = m.crossing(k, i, j, v, s)
	leftOrganic := left * a[ratioLeft]
	a[sandIn] = sand - upperSand
	a[mineralRemoved] = lower.removedMineral - upper.removedMineral
	a[organicRemoved] = lower.removedOrganic - upper.removedOrganic
	a[mineralEntered], a[organicEntered] = upperMineral, upperOrganic
	a[mineralLeft], a[organicLeft] = left, leftOrganic
	a[mineralChange] = (s.mineral[j][k+1] - s.mineral[j][k]) - (s.mineral[i][k+1] - s.mineral[i][k])
	a[organicChange] = (s.organic[j][k+1] - s.organic[j][k]) - (s.organic[i][k+1] - s.organic[i][k])
	// A of the lower window less A of the upper: O₂ − O₁ + Oₒ + Rₒ of the layer, less what came from above.
	a[formed] = a[organicChange] + leftOrganic + a[organicRemoved] - upperOrganic
}

// window holds what was removed above one depth.
type window struct{ removedMineral, removedOrganic float64 }

// close checks that the account of a layer balances for sand and for organic matter.
func (a account) close(layer string) error {
	const tolerance = 1e-9 // kg/m²; rounding of sums of about 100 kg/m²
	if err := audit("mineral in "+layer, a[sandIn]+a[mineralEntered], a[mineralRemoved]+a[mineralLeft], a[mineralChange], tolerance); err != nil {
		return err
	}
	return audit("organic matter in "+layer, a[formed]+a[organicEntered], a[organicRemoved]+a[organicLeft], a[organicChange], tolerance)
}
