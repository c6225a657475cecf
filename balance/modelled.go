package balance

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"underfoot/unit"
)

// Basis is what a layer's rates rest on.
type Basis string

// The bases.
const (
	ByRounds Basis = "rounds" // means of layers from round to round
	ByModel  Basis = "model"  // the profile model, calibrated to the rounds
)

// Modelled is a layer as a calibrated model of the whole profile has it over some whole years up to the last round. Each
// slice has one value a draw, the same draws in every layer; masses in kg/m² over the whole time.
type Modelled struct {
	Top, Bottom unit.Millimetres
	From, To    time.Time
	Years       float64

	Made, Decayed                  []float64 // organic matter
	OrganicRemoved, MineralRemoved []float64 // with cores
	OrganicEntered, MineralEntered []float64 // sunk in from above
	OrganicLeft, MineralLeft       []float64 // sunk out below; negative when it rose
	Organic, Mineral               []float64 // in the layer at the end
	Written                        []float64 // sand that lay on the greens over the sand written down

	// Hold is sand a year into the layer [kg/m², as written down] that brings it back, two years on, to what it holds at
	// the last round, found by running the model on; NaN in draws in which sand does not. Nil where it was not run.
	Hold []float64
}

// Check is what the rounds alone say of a layer that a model speaks for.
type Check struct {
	Formed Estimate // kg/m² a year
	Hold   Estimate // kg/m² a year
	Apart  string   // a sentence where the two cannot both be right; empty where they may
}

// leastSunk is from how much mineral that sank out of a layer its organic share is read off, kg/m² a year; below it the
// layer itself stands in. Working default, no source.
const leastSunk = 0.5

// modelAhead is over how many years to come the sand of a model has to hold.
const modelAhead = 2.0

// yearsDiffer is how far what is made in one year differs from another's, relative; working default, no source, tried on
// simulated courses (docs/model/balance.md).
const yearsDiffer = 0.06

// WithModel gives the sheet with the rates of a model of the profile instead of those of the rounds, where it has them:
// what is formed less decayed, what crosses the bottoms, and the sand that follows from them (terms.hold). What is sunk
// is followed parcel by parcel there and not read off the means of layers. The accounts between the rounds and the
// sand applied stay as recorded, and the answer of the rounds stays beside it as Check. A layer has to be answered by
// the rounds, and those above it by the model.
//
// The rates are those of the time the model was asked for. What holds the layer has to do so in years to come. Where the
// model was run on (Modelled.Hold), what is formed then follows from it,
//
//	A′ = (S + Qₐ − Rₘ)·r_b + Rₒ − Qₐ·rₐ
//
// the inverse of terms.hold, and everything else that is said of sand follows from A′. With or without that, years to
// come differ in more than the temperatures a model runs on: to A′ is added a doubt of
//
//	yearsDiffer·B·√(1/T + 1/modelAhead)    [kg/m²/a]
//
// B what is made a year, T Modelled.Years. Neither touches what is said to have been formed.
//
// Sand to hold is in sand as it is written down: where the model finds that more lies on the greens than the log says,
// holding takes so much less in the words of the log.
func (s Sheet) WithModel(layers []Modelled) (Sheet, error) {
	out := s
	out.Layers = make([]Holding, len(s.Layers))
	out.Warnings = append([]string(nil), s.Warnings...)
	var flow []float64
	open := true
	for k := range s.Layers {
		h := s.Layers[k]
		if open = open && h.Answered() && k < len(layers) && layers[k].Top == h.Top && layers[k].Bottom == h.Bottom; open {
			m := layers[k]
			if err := m.check(); err != nil {
				return s, err
			}
			if flow == nil {
				flow = make([]float64, len(m.Made))
			}
			h = h.withModel(m, flow, rand.New(rand.NewPCG(s.Seed, uint64(k))))
			if h.Check.Apart != "" {
				out.Warnings = append(out.Warnings, h.Check.Apart)
			}
			next := make([]float64, len(flow))
			for d := range next {
				next[d] = flow[d] + h.hold[d] - h.draws.mineralRemoved[d]
			}
			flow = next
		}
		out.Layers[k] = h
	}
	return out, nil
}

func (m *Modelled) check() error {
	n := len(m.Made)
	if n < 10 || !(m.Years > 0) {
		return fmt.Errorf("balance: a model of %s has %d draws over %g years: give 10 draws or more, and some time", span(m.Top, m.Bottom), n, m.Years)
	}
	for _, v := range [][]float64{
		m.Decayed, m.OrganicRemoved, m.MineralRemoved, m.OrganicEntered, m.MineralEntered, m.OrganicLeft, m.MineralLeft, m.Organic, m.Mineral, m.Written,
	} {
		if len(v) != n {
			return fmt.Errorf("balance: a model of %s has %d draws of one thing and %d of another", span(m.Top, m.Bottom), n, len(v))
		}
	}
	if m.Hold != nil && len(m.Hold) != n {
		return fmt.Errorf("balance: a model of %s has %d draws of one thing and %d of another", span(m.Top, m.Bottom), n, len(m.Hold))
	}
	return nil
}

// withModel fills in the layer from the model, mineral sinking in from above as it does when those layers are held.
func (h Holding) withModel(m Modelled, entering []float64, rng *rand.Rand) Holding {
	check := &Check{Formed: h.Formed, Hold: h.Hold}
	n := len(m.Made)
	rate := func(v []float64) []float64 {
		out := make([]float64, n)
		for d := range out {
			out[d] = v[d] / m.Years
		}
		return out
	}
	d := &draws{
		decays: rate(m.Decayed), organicRemoved: rate(m.OrganicRemoved), mineralRemoved: rate(m.MineralRemoved), organic: m.Organic, mineral: m.Mineral,
		top: m.crossing(m.OrganicEntered, m.MineralEntered), bottom: m.crossing(m.OrganicLeft, m.MineralLeft), applied: make([]float64, n),
	}
	h.Basis, h.Check, h.Since = ByModel, check, m.From
	h.FormedLinear, h.Scatter = 0, 1
	h.formed = rate(m.Made)
	for i := range h.formed {
		h.formed[i] -= d.decays[i]
		d.applied[i] = h.applied
	}
	applied := h.Applied
	h.draws, h.entering, h.written = d, entering, m.Written
	h.value = terms{mean(h.formed), mean(d.organicRemoved), mean(d.mineralRemoved), mean(entering), mean(d.top), mean(d.bottom)}
	h.organic, h.mineral = mean(d.organic), mean(d.mineral)
	h.decay = mean(d.decays) / h.organic
	h.Leaving, h.LeavingHow = unit.Fraction(h.value.bottom/(1+h.value.bottom)), "of what sank past the bottom, by the model of the profile"
	scratch := make([]float64, n)
	h.Formed = summarise(h.value.formed, h.formed, scratch)
	h.ahead = h.yearsAhead(m, rng)
	h.value.formed += mean(h.ahead)
	h.holds(scratch)
	h.Applied = applied // as recorded
	h.Budget, h.HoldBudget = []Share{{FromModel, h.Formed.SD}}, h.doubts(m)
	check.Apart = apart(h)
	return h
}

// doubts is what the doubt of the sand that holds is made of: years that differ, and the rest.
func (h *Holding) doubts(m Modelled) []Share {
	years := yearsDiffer * mean(m.Made) / m.Years * math.Sqrt(1/m.Years+1/modelAhead) / h.value.bottom / h.meanWritten()
	rest := Share{FromModel, math.Sqrt(math.Max(0, h.Hold.SD*h.Hold.SD-years*years))}
	if m.Hold != nil {
		rest.Origin = FromAhead
	}
	list := []Share{rest, {FromGrowth, math.Min(years, h.Hold.SD)}}
	slices.SortFunc(list, func(a, b Share) int { return cmp.Compare(b.SE, a.SE) })
	return list
}

// yearsAhead gives what is formed a year in years to come above what was, by draw.
func (h *Holding) yearsAhead(m Modelled, rng *rand.Rand) []float64 {
	out := make([]float64, len(m.Made))
	for d := range out {
		out[d] = yearsDiffer * m.Made[d] / m.Years * math.Sqrt(1/m.Years+1/modelAhead) * rng.NormFloat64()
		if m.Hold != nil && !math.IsNaN(m.Hold[d]) {
			t := h.terms(d)
			sand := m.Hold[d] * m.Written[d]
			out[d] += (sand+t.entering-t.mineralRemoved)*t.bottom + t.organicRemoved - t.entering*t.top - t.formed
		}
	}
	return out
}

// crossing gives the organic per mineral of what crossed.
func (m *Modelled) crossing(organic, mineral []float64) []float64 {
	out := make([]float64, len(organic))
	for d := range out {
		if mineral[d] > leastSunk*m.Years && organic[d] > 0 {
			out[d] = organic[d] / mineral[d]
		} else {
			out[d] = m.Organic[d] / m.Mineral[d]
		}
	}
	return out
}

// apart says where the two intervals of what is formed, or of the sand that holds, have nothing in common.
func apart(h Holding) string {
	off := func(a, b Estimate) bool { return a.Q95 < b.Q05 || b.Q95 < a.Q05 }
	tell := func(what string, a, b Estimate) string {
		return fmt.Sprintf("%s: the model of the profile and the rounds alone do not agree on %s: %.2f to %.2f kg/m² a year by the one, %.2f to %.2f by the other; look at the record of sand, the densities and the rounds that do not fit",
			h.Name(), what, a.Q05, a.Q95, b.Q05, b.Q95)
	}
	switch {
	case off(h.Formed, h.Check.Formed):
		return tell("what is formed", h.Formed, h.Check.Formed)
	case off(h.Hold, h.Check.Hold):
		return tell("the sand that holds", h.Hold, h.Check.Hold)
	}
	return ""
}

func mean(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / math.Max(1, float64(len(v)))
}
