package balance

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"underfoot/coring"
	"underfoot/unit"
)

// Holding is one layer: how much organic matter it makes and what sand would hold it.
// Rates are in kg/m² a year.
type Holding struct {
	Top, Bottom unit.Millimetres
	Basis       Basis  // what Formed, Removed and Hold rest on
	Reason      string // why there is no answer; empty when there is one

	From, To  time.Time // first and last round of the account
	Years     float64
	Intervals int
	Accounts  []Account // between each round and the next

	OM         unit.Fraction // of the layer in the last round
	Leaving    unit.Fraction // organic share of what sinks out of it, were it to stay as in the last round
	LeavingHow string        // how that was read

	Formed       Estimate // net organic matter formed, from all rounds together, as it stands at the last
	FormedLinear float64  // its standard uncertainty by linear propagation, as a check on the draws
	Scatter      float64  // how many times more the rounds scatter than stated; 1 when they do not
	Budget       []Share  // what the uncertainty of Formed is made of, largest first
	HoldBudget   []Share  // what that of Hold is made of

	Removed Estimate // organic matter taken out with cores
	Applied Estimate // sand really put into the layer lately, since Lately
	Lately  time.Time

	Hold              Estimate // sand into the layer that holds it, if coring goes on as it did
	HoldWithoutCoring Estimate
	NoneNeeded        float64  // chance that no sand is needed to hold it
	ShortBy           Estimate // Hold less Applied
	Short             float64  // chance that less is applied lately than holds it

	Since time.Time // with a model: from when to To the rates are of
	Check *Check    // with a model: what the rounds alone say

	draws                  *draws
	formed, hold, entering []float64
	value                  terms
	organic, mineral       float64
	applied                float64
	since                  []float64
	decay                  float64   // 1/a
	ahead                  []float64 // what is formed in years to come above what was [kg/m²/a]; nil for nothing
	written                []float64 // sand on the greens over sand written down; nil for the same
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

func (m *model) holdings(h History, value *state, rounds []Round) []Holding {
	all := m.sample(h.Draws, h.Seed, value)
	effects := m.effects()
	out := make([]Holding, len(m.cuts))
	n := len(all[0].applied)
	scratch := make([]float64, n)
	flow := make([]float64, n) // mineral sinking into the layer when those above are held
	valueFlow := 0.0
	open := true
	for k, c := range m.cuts {
		l := Holding{Top: c.top, Bottom: c.bottom, Basis: ByRounds, LeavingHow: m.edges[k].how, Scatter: 1}
		switch {
		case m.tracks[k].intervals() == 0:
			l.Reason = fmt.Sprintf("%s needs two rounds that measured it and every layer above it; there is %s", l.Name(), counted(len(m.tracks[k].rounds)))
			open = false
		case m.span(m.tracks[k], 0) < leastYears:
			l.Reason = fmt.Sprintf("%s was measured from %s to %s only, which is too short to tell a year by; take the next round a year after the first",
				l.Name(), spoken(m.rounds[m.tracks[k].rounds[0]].at), spoken(m.rounds[m.tracks[k].rounds[m.tracks[k].intervals()]].at))
			open = false
		case !open:
			l.Reason = fmt.Sprintf("%s has no account, for the layer above it has none", l.Name())
		default:
			l.draws, l.entering, l.value.entering = all[k], flow, valueFlow
			l.account(m, k, value, rounds)
			l.form(m, k, effects[k], h, scratch)
			l.holds(scratch)
			valueFlow += max(0, l.value.hold()) - l.value.mineralRemoved
			next := make([]float64, n)
			for d := range next {
				next[d] = flow[d] + l.hold[d] - all[k].mineralRemoved[d]
			}
			flow = next
		}
		out[k] = l
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

// account fills in what was found between the rounds, before any line is drawn.
func (h *Holding) account(m *model, k int, value *state, rounds []Round) {
	t := m.tracks[k]
	n := t.intervals()
	first, last := t.rounds[0], t.rounds[n]
	h.From, h.To, h.Intervals = m.rounds[first].at, m.rounds[last].at, n
	h.Years = m.rounds[last].years - m.rounds[first].years
	h.Lately = m.rounds[t.rounds[t.lately]].at
	h.OM = unit.Fraction(m.rounds[last].cells[k].om)
	h.Accounts = m.accounts(k, value, h.draws, rounds)
	h.since = m.since(value, k)
	h.decay = value.decay
	one := newDraws(1, n) // the values, in the form of the draws
	one.keep(m, k, value, 0)
	h.applied, h.organic, h.mineral = one.applied[0], one.organic[0], one.mineral[0]
	h.value.organicRemoved, h.value.mineralRemoved = one.organicRemoved[0], one.mineralRemoved[0]
	h.value.top, h.value.bottom = one.top[0], one.bottom[0]
	h.Leaving = unit.Fraction(h.value.bottom / (1 + h.value.bottom))
}

// form draws the line through the organic matter made, and takes off what decays of the stock there is now.
func (h *Holding) form(m *model, k int, effects []*effect, from History, scratch []float64) {
	t := m.tracks[k]
	years := make([]float64, h.Intervals)
	for i := range years {
		years[i] = m.rounds[t.rounds[i+1]].years - m.rounds[t.rounds[0]].years
	}
	l := fit(years, h.since[:h.Intervals], m.noise(effects, h.Intervals), from.Uncertainty)
	h.value.formed, h.Scatter = l.at(h.since), l.scatter
	h.formed = l.widened(h.draws, rand.New(rand.NewPCG(from.Seed, uint64(k))))
	h.Formed = summarise(h.value.formed, h.formed, scratch)
	h.Budget, h.FormedLinear = m.formedBudget(effects, l)
	h.HoldBudget = m.holdBudget(effects, l, h.value.entering, h.value.bottom)
}

// widened gives the organic matter formed a year of every draw, with years that differ and rounds that scatter. What
// those add is drawn by itself and not by stretching the draws: an error that acts alike on what is formed and on
// what sinks out must go on cancelling in the sand that holds.
func (l line) widened(from *draws, rng *rand.Rand) []float64 {
	out := make([]float64, len(from.decays))
	for i, w := range l.weights {
		for d, y := range from.made[i] {
			out[d] += w * y
		}
	}
	more := math.Hypot(l.growth, l.excess)
	for d, y := range from.decays {
		out[d] += more*rng.NormFloat64() - y
	}
	return out
}

func (h *Holding) terms(d int) terms {
	formed := h.formed[d]
	if h.ahead != nil {
		formed += h.ahead[d]
	}
	return terms{formed, h.draws.organicRemoved[d], h.draws.mineralRemoved[d], h.entering[d], h.draws.top[d], h.draws.bottom[d]}
}

// holds fills in the sand that holds the layer, beside the sand it got.
func (h *Holding) holds(scratch []float64) {
	n := len(h.formed)
	h.hold = make([]float64, n)
	work := make([]float64, n)
	without := h.value
	without.organicRemoved, without.mineralRemoved = 0, 0
	for d := range n {
		t := h.terms(d)
		h.hold[d] = max(0, t.hold())
		t.organicRemoved, t.mineralRemoved = 0, 0
		work[d] = h.inTheLog(d, max(0, t.hold()))
	}
	h.Removed = summarise(h.value.organicRemoved, h.draws.organicRemoved, scratch)
	h.Applied = summarise(h.applied, h.draws.applied, scratch)
	value := max(0, h.value.hold()) / h.meanWritten()
	h.HoldWithoutCoring = summarise(max(0, without.hold())/h.meanWritten(), work, scratch)
	for d := range n {
		work[d] = h.inTheLog(d, h.hold[d])
	}
	h.Hold = summarise(value, work, scratch)
	h.NoneNeeded = share(h.hold, func(x float64) bool { return x <= 0 })
	for d := range n {
		work[d] -= h.draws.applied[d]
	}
	h.ShortBy = summarise(value-h.applied, work, scratch)
	h.Short = share(work, func(x float64) bool { return x > 0 })
}

// inTheLog gives sand on the greens as it would be written down.
func (h *Holding) inTheLog(d int, sand float64) float64 {
	if h.written == nil {
		return sand
	}
	return sand / h.written[d]
}

func (h *Holding) meanWritten() float64 {
	if h.written == nil {
		return 1
	}
	return mean(h.written)
}

// Toward gives the sand a year into the layer that brings its organic matter to so many times what it is now,
// over so many years, and what holds it from then on is Hold at the new level.
//
// times above 0 (0.85 means 15 % less), years above 0. Coring goes on as it did, what is made stays, and the layers
// above are held. Decay and the organic share of what sinks out are taken half-way between now and then.
func (h Holding) Toward(times, years float64) (Estimate, error) {
	if !h.Answered() {
		return Estimate{}, fmt.Errorf("sand toward another level: %s", h.Reason)
	}
	if !(times > 0 && times < 10) || !(years > 0 && years < 100) {
		return Estimate{}, fmt.Errorf("sand toward another level: %g times the organic matter over %g years: give more than 0 and less than 10 times, and more than 0 and less than 100 years", times, years)
	}
	sand := func(t terms, decay, organic, mineral float64) float64 {
		dO, dM := change(organic, mineral, times)
		t.formed -= decay * dO / 2
		return max(0, t.toward(shrink(t.bottom, (1+times)/2), dO/years, dM/years))
	}
	out := make([]float64, len(h.formed))
	for d := range out {
		out[d] = h.inTheLog(d, sand(h.terms(d), h.draws.decays[d]/h.draws.organic[d], h.draws.organic[d], h.draws.mineral[d]))
	}
	return summarise(sand(h.value, h.decay, h.organic, h.mineral)/h.meanWritten(), out, make([]float64, len(out))), nil
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
		saved[d] = h.inTheLog(d, less(h.draws.organic[d], h.draws.mineral[d], h.draws.bottom[d]))
	}
	scratch := make([]float64, len(out))
	return CoringWorth{
		Removed: summarise(share*h.organic, out, scratch),
		Holes:   float64(holes),
		Less:    summarise(less(h.organic, h.mineral, h.value.bottom)/h.meanWritten(), saved, scratch),
	}, nil
}
