package balance

import (
	"fmt"
	"math"
	"sort"
	"time"

	"underfoot/coring"
	"underfoot/unit"
)

// Holding is one layer: how much organic matter it makes and what sand would hold it.
// Rates are in kg/m² a year.
type Holding struct {
	Top, Bottom unit.Millimetres
	Reason      string // why there is no answer; empty when there is one

	From, To  time.Time // first and last round of the account
	Years     float64
	Intervals int
	Accounts  []Account // between each round and the next

	OM         unit.Fraction // of the layer in the last round
	Leaving    unit.Fraction // organic share of what sinks out of it, in the last round
	LeavingHow string        // how that was read

	Formed       Estimate // net organic matter formed, from all rounds together
	FormedLinear float64  // its standard uncertainty by linear propagation, as a check on the draws
	Scatter      float64  // how many times more the rounds scatter than stated; 1 when they do not
	Budget       []Share  // what the uncertainty of Formed is made of, largest first

	Removed Estimate // organic matter taken out with cores
	Applied Estimate // sand really put into the layer

	Hold              Estimate // sand into the layer that holds it, if coring goes on as it did
	HoldWithoutCoring Estimate
	NoneNeeded        float64  // chance that no sand is needed to hold it
	ShortBy           Estimate // Hold less Applied
	Short             float64  // chance that less was applied than would have held it

	draws                  *draws
	formed, hold, entering []float64
	value                  terms
	organic, mineral       float64
}

// Share is one origin's part in a standard uncertainty; the parts add in squares.
type Share struct {
	Origin Origin
	SE     float64
}

// Name gives the layer by its depths.
func (h Holding) Name() string { return span(h.Top, h.Bottom) }

// Answered says whether the layer has an account.
func (h Holding) Answered() bool { return h.Reason == "" }

// OutsideWorkingRange says whether the organic matter formed is surely outside the working range, which is for
// layers of the top 20 mm.
func (h Holding) OutsideWorkingRange() bool {
	return h.Answered() && h.Top == 0 && (h.Formed.Q95 < WorkingLow || h.Formed.Q05 > WorkingHigh)
}

func (m *model) holdings(value *state, all []*draws, rounds []Round) []Holding {
	out := make([]Holding, len(m.cuts))
	n := len(all[0].applied)
	scratch := make([]float64, n)
	flow := make([]float64, n) // mineral sinking into the layer when those above are held
	valueFlow := 0.0
	open := true
	for k, c := range m.cuts {
		h := Holding{Top: c.top, Bottom: c.bottom, LeavingHow: m.how[k], Scatter: 1}
		switch {
		case m.tracks[k].intervals() == 0:
			h.Reason = fmt.Sprintf("%s needs two rounds that measured it and every layer above it; there is %s", h.Name(), counted(len(m.tracks[k].rounds)))
			open = false
		case !open:
			h.Reason = fmt.Sprintf("%s has no account, for the layer above it has none", h.Name())
		default:
			h.fill(m, k, value, all[k], rounds, flow, valueFlow, scratch)
			valueFlow += max(0, h.value.hold()) - h.value.mineralRemoved
			next := make([]float64, n)
			for d := range next {
				next[d] = flow[d] + h.hold[d] - all[k].mineralRemoved[d]
			}
			flow = next
		}
		out[k] = h
	}
	return out
}

func counted(n int) string {
	switch n {
	case 0:
		return "none"
	case 1:
		return "one"
	}
	return fmt.Sprint(n)
}

func (h *Holding) fill(m *model, k int, value *state, d *draws, rounds []Round, flow []float64, valueFlow float64, scratch []float64) {
	t := m.tracks[k]
	n := t.intervals()
	first, last := t.rounds[0], t.rounds[n]
	h.From, h.To, h.Intervals = m.rounds[first].at, m.rounds[last].at, n
	h.Years = m.rounds[last].years - m.rounds[first].years
	h.OM = unit.Fraction(m.rounds[last].cells[k].om)
	one := newDraws(1, n) // the values, in the form of the draws
	one.keep(m, k, value, 0)
	h.Leaving = unit.Fraction(one.bottom[0] / (1 + one.bottom[0]))
	h.Accounts = m.accounts(k, value, d, rounds)

	years, formedSince := make([]float64, n), make([]float64, n)
	for i := range n {
		years[i] = m.rounds[t.rounds[i+1]].years - m.rounds[first].years
		formedSince[i] = one.formed[i][0]
	}
	l := fit(years, formedSince, d.formed)
	h.Scatter = l.scatter
	h.formed = l.widened(d.formed)
	h.Formed = summarise(l.slope, h.formed, scratch)
	h.Budget, h.FormedLinear = m.budget(k, l)

	h.value = terms{l.slope, one.organicRemoved[0], one.mineralRemoved[0], valueFlow, one.top[0], one.bottom[0]}
	h.organic, h.mineral, h.draws, h.entering = one.organic[0], one.mineral[0], d, flow
	h.Removed = summarise(one.organicRemoved[0], d.organicRemoved, scratch)
	h.Applied = summarise(one.applied[0], d.applied, scratch)
	h.holds(one.applied[0], scratch)
}

// widened gives the slope of every draw, spread about its mean by the scatter.
func (l line) widened(formed [][]float64) []float64 {
	out := make([]float64, len(formed[0]))
	var mean float64
	for i, w := range l.weights {
		for d, y := range formed[i] {
			out[d] += w * y
		}
	}
	for _, x := range out {
		mean += x / float64(len(out))
	}
	for d, x := range out {
		out[d] = mean + l.scatter*(x-mean)
	}
	return out
}

func (h *Holding) terms(d int) terms {
	return terms{h.formed[d], h.draws.organicRemoved[d], h.draws.mineralRemoved[d], h.entering[d], h.draws.top[d], h.draws.bottom[d]}
}

func (h *Holding) holds(applied float64, scratch []float64) {
	n := len(h.formed)
	h.hold = make([]float64, n)
	work := make([]float64, n)
	without := h.value
	without.organicRemoved, without.mineralRemoved = 0, 0
	for d := range n {
		t := h.terms(d)
		h.hold[d] = max(0, t.hold())
		t.organicRemoved, t.mineralRemoved = 0, 0
		work[d] = max(0, t.hold())
	}
	h.Hold = summarise(max(0, h.value.hold()), h.hold, scratch)
	h.HoldWithoutCoring = summarise(max(0, without.hold()), work, scratch)
	h.NoneNeeded = share(h.hold, func(x float64) bool { return x <= 0 })
	for d := range n {
		work[d] = h.hold[d] - h.draws.applied[d]
	}
	h.ShortBy = summarise(max(0, h.value.hold())-applied, work, scratch)
	h.Short = share(work, func(x float64) bool { return x > 0 })
}

// Toward gives the sand a year into the layer that brings its organic matter to so many times what it is now,
// over so many years, and what holds it from then on is Hold at the new level.
//
// times above 0 (0.85 means 15 % less), years above 0. Coring goes on as it did, formation stays, and the layers
// above are held. The organic share of what sinks out is taken half-way between now and then.
func (h Holding) Toward(times, years float64) (Estimate, error) {
	if !h.Answered() {
		return Estimate{}, fmt.Errorf("sand toward another level: %s", h.Reason)
	}
	if !(times > 0 && times < 10) || !(years > 0 && years < 100) {
		return Estimate{}, fmt.Errorf("sand toward another level: %g times the organic matter over %g years: give more than 0 and less than 10 times, and more than 0 and less than 100 years", times, years)
	}
	sand := func(t terms, organic, mineral float64) float64 {
		dO, dM := change(organic, mineral, times)
		return max(0, t.toward(shrink(t.bottom, (1+times)/2), dO/years, dM/years))
	}
	out := make([]float64, len(h.formed))
	for d := range out {
		out[d] = sand(h.terms(d), h.draws.organic[d], h.draws.mineral[d])
	}
	return summarise(sand(h.value, h.organic, h.mineral), out, make([]float64, len(out))), nil
}

// CoringWorth is what one event of coring would do for a layer.
type CoringWorth struct {
	Removed Estimate // organic matter taken out of the layer [kg/m²]
	Holes   float64  // sand its holes take within the layer [kg/m²]
	Less    Estimate // sand that need not go on otherwise [kg/m²]
}

// Coring gives what one event would do for the layer: cores removed, holes filled.
//
//	Rₒ = f·c·O,  less = Rₒ/r_b − Rₘ + holes
//
// f the share touched, c the share of the layer above the depth reached, r_b organic per mineral of what leaves
// the layer's bottom; holes = f·c·h·ρ·e the sand in the holes within the layer.
func (h Holding) Coring(o coring.Opening, density unit.KgPerM3, filled unit.Fraction) (CoringWorth, error) {
	if !h.Answered() {
		return CoringWorth{}, fmt.Errorf("worth of coring: %s", h.Reason)
	}
	c := float64(coring.Overlap(h.Top, h.Bottom, 0, o.Depth))
	within := o
	within.Volume = unit.LitresPerM2(float64(o.Touched) * c * float64(h.Bottom-h.Top))
	holes, err := within.SandToFill(density, filled)
	if err != nil {
		return CoringWorth{}, fmt.Errorf("worth of coring: %w", err)
	}
	share := float64(o.Touched) * c
	less := func(organic, mineral, r float64) float64 { return share*organic/r - share*mineral + float64(holes) }
	out, saved := make([]float64, len(h.formed)), make([]float64, len(h.formed))
	for d := range out {
		out[d] = share * h.draws.organic[d]
		saved[d] = less(h.draws.organic[d], h.draws.mineral[d], h.draws.bottom[d])
	}
	scratch := make([]float64, len(out))
	return CoringWorth{
		Removed: summarise(share*h.organic, out, scratch),
		Holes:   float64(holes),
		Less:    summarise(less(h.organic, h.mineral, h.value.bottom), saved, scratch),
	}, nil
}

// budget gives what the uncertainty of the slope is made of, by linear propagation: JCGM 100:2008, 5.1.2.
func (m *model) budget(k int, l line) ([]Share, float64) {
	s := m.workspace()
	v := ones(len(m.factors))
	slope := func() float64 {
		m.evaluate(v, s)
		var total, sum float64
		for i, a := range s.accounts[k] {
			total += a[formed]
			sum += l.weights[i] * total
		}
		return sum
	}
	by := map[Origin]float64{}
	var squares float64
	for i, f := range m.factors {
		if f.u == 0 {
			continue
		}
		step := f.u / 2 // the central difference over one standard uncertainty
		v.set(i, 1+step)
		up := slope()
		v.set(i, 1-step)
		c := up - slope()
		v.set(i, 1)
		by[f.origin] += c * c
		squares += c * c
	}
	out := make([]Share, 0, len(by))
	for from, sq := range by {
		if sq > 0 {
			out = append(out, Share{from, l.scatter * math.Sqrt(sq)})
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
