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
	entries
)

// account is one layer between two rounds.
type account [entries]float64

// state is the workspace of one evaluation: cumulative masses to the bottom of each cut, the ratio of organic
// to mineral there, and the accounts. Row j is a round, column k a cut, column 0 the surface.
type state struct {
	mineral, organic, ratio [][]float64
	sand, taken             [][]float64 // by step: sand above each cut's bottom, share of each cut taken out
	accounts                [][]account // by layer and interval
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
		mineral: grid(len(m.rounds), n+1), organic: grid(len(m.rounds), n+1), ratio: grid(len(m.rounds), n+1),
		sand: grid(len(m.steps), n+1), taken: grid(len(m.steps), n),
	}
	for _, t := range m.tracks {
		s.accounts = append(s.accounts, make([]account, t.intervals()))
	}
	return s
}

// evaluate works every account out for one set of multipliers.
func (m *model) evaluate(v values, s *state) {
	for j, r := range m.rounds {
		m.weigh(j, r, v, s)
	}
	for e, st := range m.steps {
		m.work(e, st, v, s)
	}
	for k, t := range m.tracks {
		for i := range t.intervals() {
			m.between(k, t.rounds[i], t.rounds[i+1], s, &s.accounts[k][i])
		}
	}
}

func (m *model) weigh(j int, r reading, v values, s *state) {
	for k, c := range r.cells {
		mass := c.mass * v.times[c.densityAt]
		om := math.Min(c.om*v.times[c.omAt], 0.99) // a share; never reached in turf
		s.organic[j][k+1] = s.organic[j][k] + mass*om
		s.mineral[j][k+1] = s.mineral[j][k] + mass*(1-om)
		o := r.cells[c.edge.other]
		own, other := c.logOM+v.log[c.omAt], o.logOM+v.log[o.omAt]
		at := math.Exp(c.edge.weight*own + (1-c.edge.weight)*other + c.edge.lift + v.log[m.edges[k]])
		at = math.Min(at, 0.99)
		s.ratio[j][k+1] = at / (1 - at)
	}
}

func (m *model) work(e int, st step, v values, s *state) {
	var surface float64
	for _, y := range st.years {
		surface += y.amount * v.times[y.factor]
	}
	surface *= v.times[st.event]
	sand, taken := s.sand[e], s.taken[e]
	for k := range m.cuts {
		sand[k+1] = surface
		for _, p := range st.placed {
			sand[k+1] += p.amount * v.times[p.factor] * p.above[k]
		}
		taken[k] = 0
		for _, c := range st.cores {
			taken[k] += c.share[k] * v.times[c.factor]
		}
	}
}

// between keeps the account of layer k from round i to round j: the window down to its bottom less the
// window down to its top, each by Window.Account.
func (m *model) between(k, i, j int, s *state, a *account) {
	upper, upperMineral, upperOrganic, upperSand := window{}, 0.0, 0.0, 0.0
	var lower window
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
	var sand float64
	for e := i; e < j; e++ {
		sand += s.sand[e][k+1]
		if k > 0 {
			upperSand += s.sand[e][k]
		}
	}
	if k > 0 {
		upperMineral = s.mineral[i][k] + upperSand - upper.removedMineral - s.mineral[j][k]
		upperOrganic = upperMineral * (s.ratio[i][k] + s.ratio[j][k]) / 2
	}
	// Q = M₁ + S − Rₘ − M₂; Oₒ = Q·r, r the mean of both dates.
	left := s.mineral[i][k+1] + sand - lower.removedMineral - s.mineral[j][k+1]
	leftOrganic := left * (s.ratio[i][k+1] + s.ratio[j][k+1]) / 2
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
