package findings

import (
	"cmp"
	"math"
	"slices"
	"time"

	"underfoot/unit"
)

// mover carries the marks of the material from the reference round through the work to the later rounds.
type mover struct {
	rounds  []Profile
	events  []event   // after the reference round, by date
	density float64   // of the sand [kg/m³]
	inputs  []float64 // standard uncertainties of what is in doubt
	cubic   bool      // some round has three layers
	doubts  []int     // of each round: where the inputs of its marks start
}

// event is one piece of work; masses in kg/m².
type event struct {
	at                 time.Time
	surface            float64 // sand on the surface
	filled             float64 // sand spread evenly between two depths
	topMM, bottomMM    unit.Millimetres
	taken              float64 // share of the area taken out down to bottomMM
	touched            float64 // share opened, for what the holes can take
	sand, holes, opens int     // the inputs that scale it: sand on the surface, sand in holes, share opened
}

// moved is where the material of one band is and what it holds in one round. What has grown in the sand laid on the
// uppermost band counts with it: what is its own and what grew above cannot be told apart while both lie in one layer.
type moved struct {
	top, bottom float64 // mineral mass above it and down to its lower mark [kg/m²]
	own         float64 // its own mineral [kg/m²]
	self        float64 // organic matter between the marks [kg/m²]
	organic     float64 // the same, of the uppermost band from the surface [kg/m²]
	removed     float64 // of organic, taken out since the reference round [kg/m²]
	topMM       float64
	bottomMM    float64
	sampled     float64 // mineral mass sampled in the round [kg/m²]
	apart       bool    // its upper mark does not lie inside the uppermost layer
}

// om is the organic share of the material itself [%].
func (b moved) om() float64 { return 100 * b.self / (b.self + b.own) }

func newMover(f Following, rounds []Profile) *mover {
	m := &mover{rounds: rounds, density: float64(f.SandDensity)}
	for _, p := range rounds {
		m.cubic = m.cubic || len(p.Layers) > 2
	}
	m.doubt(f)
	return m
}

// between gives the events after one round's date and up to another's.
func (m *mover) between(from, to time.Time) []event {
	var out []event
	for _, e := range m.events {
		if e.at.After(from) && !e.at.After(to) {
			out = append(out, e)
		}
	}
	return out
}

// addWork lists the work after the reference round and up to the last one in order of date.
func (m *mover) addWork(f Following, sand, holes, opens func(year int) int) {
	from, to := m.rounds[0].Date, m.rounds[len(m.rounds)-1].Date
	within := func(t time.Time) bool { return t.After(from) && !t.After(to) }
	for _, s := range f.Sand {
		if !within(s.Date) || s.Amount == 0 {
			continue
		}
		e := event{at: s.Date, sand: -1, holes: -1, opens: -1}
		if s.BottomMM == 0 {
			e.surface, e.sand = float64(s.Amount), sand(s.Date.Year())
		} else {
			e.filled, e.topMM, e.bottomMM, e.holes = float64(s.Amount), s.TopMM, s.BottomMM, holes(s.Date.Year())
		}
		m.events = append(m.events, e)
	}
	for _, o := range f.Opened {
		if !within(o.Date) || (!o.Removed && o.Backfill == 0) {
			continue
		}
		e := event{at: o.Date, bottomMM: o.DepthMM, filled: float64(o.Backfill), touched: float64(o.Touched), sand: -1, holes: -1, opens: -1}
		if o.Removed {
			e.taken, e.opens = float64(o.Touched), opens(o.Date.Year())
		}
		if e.filled > 0 {
			e.holes = holes(o.Date.Year())
		}
		m.events = append(m.events, e)
	}
	slices.SortStableFunc(m.events, func(a, b event) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(b.taken, a.taken)) // holes are made before sand is put on
	})
}

// column is one round as curves over the mineral mass above.
type column struct {
	organic  curve // kg/m² over kg/m²
	depth    curve // mm over kg/m²
	mineral  curve // kg/m² over mm
	straight bool  // two layers: straight lines
}

// column builds the curves of round j with the inputs at v.
func (m *mover) column(j int, v []float64) column {
	layers := m.rounds[j].Layers
	n := len(layers) + 1
	flat := make([]float64, 3*n)
	mineral, organic, depth := flat[:n:n], flat[n:2*n:2*n], flat[2*n:]
	for k, l := range layers {
		om, density := m.layer(v, j, k)
		om = min(max(float64(l.OM)/100+om, 0), 0.999)
		mass := l.mass() * max(1+density, 0.01)
		mineral[k+1] = mineral[k] + (1-om)*mass
		organic[k+1] = organic[k] + om*mass
		depth[k+1] = float64(l.BottomMM)
	}
	return column{
		organic: newCurve(mineral, organic), depth: curve{x: mineral, y: depth}, mineral: curve{x: depth, y: mineral}, straight: n == 3,
	}
}

// read is the organic mass above a mineral mass.
func (c column) read(mineral float64) float64 {
	if c.straight {
		return c.organic.linear(mineral)
	}
	return c.organic.monotone(mineral)
}

// lean is how far the organic mass above a mineral mass may stand off the curve: u = d·h·t·(1 − t) [kg/m²], for a layer of
// mineral mass h, cut at the share t, whose content may run from d above to d below its mean; d is the larger step
// to the layers above and below it. At the bottoms of layers it is 0. It is checked on courses with a known truth.
func (c column) lean(mineral float64) float64 {
	i := c.organic.interval(mineral)
	ratio := func(i int) float64 { return (c.organic.y[i+1] - c.organic.y[i]) / (c.organic.x[i+1] - c.organic.x[i]) }
	h := c.organic.x[i+1] - c.organic.x[i]
	t := min(max((mineral-c.organic.x[i])/h, 0), 1)
	var d float64
	if i > 0 {
		d = math.Abs(ratio(i) - ratio(i-1))
	}
	if i+2 < len(c.organic.x) {
		d = max(d, math.Abs(ratio(i+1)-ratio(i)))
	}
	return d * h * t * (1 - t)
}

// sampled is the mineral mass down to the bottom of the last layer.
func (c column) sampled() float64 { return c.organic.x[len(c.organic.x)-1] }

// follow gives every band in every round, with the inputs at v.
func (m *mover) follow(v []float64) [][]moved {
	out := make([][]moved, len(m.rounds))
	col := m.column(0, v)
	now := make([]moved, len(m.rounds[0].Layers))
	for k := range now {
		b := &now[k]
		b.top, b.bottom = col.organic.x[k], col.organic.x[k+1]
		b.own = b.bottom - b.top
	}
	out[0] = m.look(now, 0, col, v)
	for j := 1; j < len(m.rounds); j++ {
		for _, e := range m.between(m.rounds[j-1].Date, m.rounds[j].Date) {
			m.work(now, e, col, v)
		}
		col = m.column(j, v)
		out[j] = m.look(now, j, col, v)
	}
	return out
}

// look reads what the bands hold in round j and where they are.
func (m *mover) look(now []moved, j int, col column, v []float64) []moved {
	above := col.read(now[0].top) + m.mark(v, j, 0)
	for k := range now {
		b := &now[k]
		at := col.read(b.bottom) + m.mark(v, j, k+1)
		b.self, b.organic = at-above, at-above
		b.apart = k > 0 || b.top == 0 || b.top >= col.organic.x[1]*(1-1e-9)
		if k == 0 {
			b.organic = at
		}
		b.topMM, b.bottomMM, b.sampled = col.depth.linear(b.top), col.depth.linear(b.bottom), col.sampled()
		above = at
	}
	return slices.Clone(now)
}

// work moves the marks by one event. The profile by depth is taken as in the round before.
func (m *mover) work(now []moved, e event, col column, v []float64) {
	surface := e.surface * (1 + m.scale(v, e.sand))
	taken := min(max(e.taken*(1+m.scale(v, e.opens)), 0), 0.999)
	filled := e.filled * (1 + m.scale(v, e.holes))
	reach := col.mineral.linear(float64(e.bottomMM))
	if e.touched > 0 && filled > 0 { // what the holes cannot take stays on the surface
		over := max(0, filled-e.touched*float64(e.bottomMM)/1000*m.density)
		surface, filled = surface+over, filled-over
	}
	move := func(mark float64) float64 {
		to := mark + surface
		if filled > 0 {
			to += filled * within(col.depth.linear(mark), float64(e.topMM), float64(e.bottomMM))
		}
		return to - taken*min(mark, reach)
	}
	for k := range now {
		b := &now[k]
		if taken > 0 {
			share := taken * within(reach, b.top, b.bottom)
			b.own -= share * b.own
			b.self -= share * b.self
			if k == 0 {
				share = taken * within(reach, 0, b.bottom)
			}
			b.removed += share * b.organic
			b.organic -= share * b.organic
		}
		b.top, b.bottom = move(b.top), move(b.bottom)
	}
}

// within is the share of what lies between two depths that is above a third.
func within(at, top, bottom float64) float64 { return min(max((at-top)/(bottom-top), 0), 1) }
