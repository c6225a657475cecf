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
	pairs   []pair
	factors []factor
	decay   float64 // 1/a
	decayAt int     // its factor
	edges   []edge  // by cut
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
}

// edge says how the organic share of what crosses the bottom of a cut is read.
type edge struct {
	from   neighbour
	factor int
	weight float64 // of the cut itself, on the line to its neighbour; 1 when it has none
	lift   float64 // times the cut’s own share, where a round has no layer below
	how    string  // in words
}

// neighbour is the layer an edge is read with.
type neighbour int

const (
	alone neighbour = iota
	below
	above
)

// track is the run of rounds that have a layer and all above it.
type track struct {
	rounds []int
	pairs  []int // between each of them and the next
	lately int   // the interval from which on sand counts as put on lately
}

func (t track) intervals() int { return len(t.pairs) }

// latelyYears is how far back sand counts as put on lately: what a dressed layer still remembers, to the nearest round
// from there on; working default, no source.
const latelyYears = 1.5

// span is the time from the first round of an interval of a track to its last round.
func (m *model) span(t track, interval int) float64 {
	return m.rounds[t.rounds[len(t.rounds)-1]].years - m.rounds[t.rounds[interval]].years
}

// pair is two rounds with the layers whose accounts run from one to the other.
type pair struct{ from, to, layers int }

// pairOf finds the pair of two rounds, or makes it, down to layer k.
func (m *model) pairOf(from, to, k int) int {
	for p := range m.pairs {
		if m.pairs[p].from == from && m.pairs[p].to == to {
			m.pairs[p].layers = max(m.pairs[p].layers, k+1)
			return p
		}
	}
	m.pairs = append(m.pairs, pair{from, to, k + 1})
	return len(m.pairs) - 1
}

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
	m.decay, m.decayAt = float64(h.Decay), m.factor(float64(h.Uncertainty.Decay), FromDecay)
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
	for i := 0; i+1 < len(t.rounds); i++ {
		t.pairs = append(t.pairs, m.pairOf(t.rounds[i], t.rounds[i+1], k))
	}
	for t.lately = max(0, len(t.pairs)-1); t.lately > 0 && m.span(t, t.lately) < latelyYears; {
		t.lately--
	}
	return t
}

// addEdge settles how the organic share of what crosses the bottom of cut k is read.
//
// What crossed between two rounds lay in the cut at the first and below it at the second. Organic matter falls
// about exponentially with depth, so the logarithm is read at the bottom on a straight line between the middles
// of the cut at the first round and of the one below at the second. A round that stopped short takes the step
// other rounds show. Where no round has a layer below, the line through the two layers above is drawn on; where
// only one layer was ever measured, its own share at the first round stands in.
func (m *model) addEdge(k int, u Uncertainty) {
	weight := func(other int) float64 { // of cut k at its bottom, on the line to the other cut
		z, mine := m.cuts[other].middle(), m.cuts[k].middle()
		return (z - float64(m.cuts[k].bottom)) / (z - mine)
	}
	var step, n float64
	for _, r := range m.rounds {
		if len(r.cells) > k+1 {
			step += r.cells[k+1].logOM - r.cells[k].logOM
			n++
		}
	}
	e := edge{from: alone, weight: 1, lift: 1, how: "the layer’s own value, for no other was measured"}
	doubt := u.Alone
	switch {
	case n > 0:
		w := weight(k + 1)
		e = edge{from: below, weight: w, lift: math.Exp((1 - w) * step / n), how: "between this layer and the one below"}
		doubt = u.Between
	case k > 0:
		e = edge{from: above, weight: weight(k - 1), how: "drawn on from this layer and the one above"}
		doubt = u.Beyond
	}
	e.factor = m.factor(float64(doubt), FromBottom)
	m.edges = append(m.edges, e)
}

func (m *model) layerName(k int) string { return span(m.cuts[k].top, m.cuts[k].bottom) }
