package balance

import (
	"math"
	"time"
)

const hoursPerYear = 24 * 365.25 // Julian year

// model is a history ready to be worked out again and again with different multipliers.
type model struct {
	cuts    []cut
	rounds  []reading
	steps   []step // work between each round and the next
	tracks  []track
	factors []factor
	edges   []int    // factor of the organic share at the bottom of each cut
	how     []string // how that share is read, in words
}

// reading is one round.
type reading struct {
	at    time.Time
	years float64 // since the first round
	cells []cell  // the layers of the chain it has, from the surface down
}

// cell is one layer of one round.
type cell struct {
	om, logOM, mass float64 // mass is dry mass per area [kg/m²]
	omAt, densityAt int     // its factors
	edge            edge
}

// edge reads the organic share at the bottom of a layer: ln L_b = w·ln L + (1 − w)·ln L_other + shift.
type edge struct {
	other        int
	weight, lift float64
}

// track is the run of rounds that have a layer and all above it.
type track struct{ rounds []int }

func (t track) intervals() int { return max(0, len(t.rounds)-1) }

func build(h History, rounds []Round) *model {
	m := &model{cuts: chain(rounds)}
	for _, r := range rounds {
		m.addRound(r, rounds[0].At, reach(r, m.cuts))
	}
	for k := range m.cuts {
		m.addEdge(k, h.Uncertainty)
		m.tracks = append(m.tracks, m.track(k, h.Last))
	}
	m.addWork(h)
	return m
}

func (m *model) factor(u float64, from Origin) int {
	m.factors = append(m.factors, newFactor(u, from))
	return len(m.factors) - 1
}

func (m *model) addRound(r Round, first time.Time, n int) {
	d := reading{at: r.At, years: r.At.Sub(first).Hours() / hoursPerYear}
	for _, c := range m.cuts[:n] {
		l, _ := find(r, c)
		d.cells = append(d.cells, cell{
			om: float64(l.OM), logOM: math.Log(float64(l.OM)), mass: float64(l.mass()),
			omAt:      m.factor(float64(l.OMSE/l.OM), FromCores),
			densityAt: m.factor(float64(l.DensitySE/l.Density), FromDensity),
		})
	}
	m.rounds = append(m.rounds, d)
}

func (m *model) track(k, last int) track {
	var t track
	for j, r := range m.rounds {
		if len(r.cells) > k {
			t.rounds = append(t.rounds, j)
		}
	}
	if last > 0 && len(t.rounds) > last+1 {
		t.rounds = t.rounds[len(t.rounds)-last-1:]
	}
	return t
}

// addEdge settles how the organic share at the bottom of cut k is read in each round.
//
// Organic matter falls about exponentially with depth, so its logarithm is read on a straight line between
// the middles of the layers on both sides. Where no round has a layer below, the line through the two layers
// above is drawn on; where only one layer was measured its own share stands in.
func (m *model) addEdge(k int, u Uncertainty) {
	bottom := float64(m.cuts[k].bottom)
	doubt, how := u.Alone, "the layer’s own value, for no other was measured"
	between := func(other int) float64 { // weight of cut k at the bottom, on the line to the other cut
		return (m.cuts[other].middle() - bottom) / (m.cuts[other].middle() - m.cuts[k].middle())
	}
	var lift, n float64
	if k+1 < len(m.cuts) {
		doubt, how = u.Between, "between this layer and the one below"
		w := between(k + 1)
		for _, r := range m.rounds {
			if len(r.cells) > k+1 {
				lift += (1 - w) * (r.cells[k+1].logOM - r.cells[k].logOM)
				n++
			}
		}
	} else if k > 0 {
		doubt, how = u.Beyond, "drawn on from this layer and the one above"
	}
	for _, r := range m.rounds {
		if len(r.cells) <= k {
			continue
		}
		e := edge{other: k, weight: 1}
		switch {
		case len(r.cells) > k+1:
			e = edge{other: k + 1, weight: between(k + 1)}
		case n > 0: // this round stopped here; take the step the other rounds show
			e.lift = lift / n
		case k > 0:
			e = edge{other: k - 1, weight: between(k - 1)}
		}
		r.cells[k].edge = e
	}
	m.edges = append(m.edges, m.factor(float64(doubt), FromBottom))
	m.how = append(m.how, how)
}

func (m *model) layerName(k int) string { return span(m.cuts[k].top, m.cuts[k].bottom) }
