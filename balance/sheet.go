package balance

import (
	"fmt"
	"math"
	"sort"

	"underfoot/coring"
	"underfoot/unit"
)

// Working range of the net organic matter formed in the top 20 mm of an active green, in kg/m² a year; working
// default, no source. It is shown beside the answer and never pulls it.
const (
	WorkingLow  = 0.1
	WorkingHigh = 0.8
)

// MostFormed is more organic matter than turf can form in the top of a green, in kg/m² a year: an account that
// surely finds more rests on a wrong record. Working default, no source.
const MostFormed = 5.0

// What a history uses where it leaves the field at zero.
const (
	defaultDraws       = 4000
	defaultSeed        = 1
	defaultSandDensity = 1550.0 // kg/m³, loose dry dressing sand; working default, no source
	defaultDecay       = 0.35   // 1/a, the middle of 0.1 to 0.6 for the mat of a live green; working default, no source
)

// History is what a course weighed and did.
type History struct {
	Rounds      []Round
	Sand        []Sand
	Coring      []Coring
	SandDensity unit.KgPerM3 // of the sand that fills holes; 0 means 1550 kg/m³
	Decay       unit.PerYear // share of the organic matter in a layer that decays in a year; 0 means 0.35, below 0 none
	Uncertainty Uncertainty  // the zero value means DefaultUncertainty
	Last        int          // use only the last so many intervals between rounds; 0 means all
	Draws       int          // random draws; 0 means 4000
	Seed        uint64       // of the draws; 0 means 1
}

// Sheet is the whole balance of a course.
type Sheet struct {
	Layers   []Holding // from the surface down
	Warnings []string
	Draws    int
	Seed     uint64
}

// Of keeps the balance of a course over its rounds.
//
// For every layer that touches the surface through measured layers it gives the account between each round and
// the next, the net organic matter formed a year from all of them together (fit), and the sand that would hold
// the layer (terms.hold), each with what the stated uncertainties make of it by random draws (JCGM 101:2008).
// Sand and cores count when they fall after one round's date and not after the next one's.
func Of(h History) (Sheet, error) {
	h = h.filled()
	rounds, err := h.check()
	if err != nil {
		return Sheet{}, err
	}
	m := build(h, rounds)
	if len(m.cuts) == 0 {
		return Sheet{}, fmt.Errorf("balance: no round has a layer that starts at the surface: measure one, for example 0–20 mm")
	}
	value := m.workspace()
	m.evaluate(ones(len(m.factors)), value)
	for k := range m.cuts {
		for i := range m.tracks[k].intervals() {
			if err := value.of(m, k, i).close(m.layerName(k)); err != nil {
				return Sheet{}, err
			}
		}
	}
	sheet := Sheet{Draws: h.Draws, Seed: h.Seed, Warnings: leftOut(rounds, m.cuts)}
	sheet.Layers = m.holdings(h, value, rounds)
	sheet.Warnings = append(sheet.Warnings, m.warnings(sheet.Layers, value)...)
	return sheet, nil
}

func (h History) filled() History {
	if h.Draws == 0 {
		h.Draws = defaultDraws
	}
	if h.Seed == 0 {
		h.Seed = defaultSeed
	}
	if h.SandDensity == 0 {
		h.SandDensity = defaultSandDensity
	}
	switch {
	case h.Decay == 0:
		h.Decay = defaultDecay
	case h.Decay < 0:
		h.Decay = 0
	}
	if h.Uncertainty == (Uncertainty{}) {
		h.Uncertainty = DefaultUncertainty()
	}
	return h
}

func (h History) check() ([]Round, error) {
	if h.Draws < 100 || h.Draws > 1_000_000 || h.Draws%2 != 0 {
		return nil, fmt.Errorf("balance: %d draws: give an even number from 100 to 1000000", h.Draws)
	}
	if !(h.SandDensity > 0) || math.IsInf(float64(h.SandDensity), 0) {
		return nil, fmt.Errorf("balance: bulk density of the sand is %g kg/m³: give one above 0, about 1500 to 1700", float64(h.SandDensity))
	}
	if !(h.Decay >= 0 && h.Decay <= 5) {
		return nil, fmt.Errorf("balance: %g of the organic matter decays in a year: give 0 to 5, below 0 for none", float64(h.Decay))
	}
	if h.Last < 0 {
		return nil, fmt.Errorf("balance: the last %d intervals: give 0 for all, or more", h.Last)
	}
	if err := h.Uncertainty.check(); err != nil {
		return nil, fmt.Errorf("balance: %w", err)
	}
	for _, s := range h.Sand {
		if err := s.check(); err != nil {
			return nil, fmt.Errorf("balance: %w", err)
		}
	}
	for _, c := range h.Coring {
		if err := c.check(); err != nil {
			return nil, fmt.Errorf("balance: %w", err)
		}
	}
	if len(h.Rounds) == 0 {
		return nil, fmt.Errorf("balance: no rounds: take cores, weigh and burn them first")
	}
	return checkRounds(h.Rounds)
}

// YearAmount is the sand of one calendar year.
type YearAmount struct {
	Year   int
	Amount unit.KgPerM2
}

// SandByYear gives the sand that went into a layer, by calendar year, in order. Surface sand counts for a layer
// that starts at the surface; sand in holes by the share of the hole that lies in the layer.
func (h History) SandByYear(top, bottom unit.Millimetres) []YearAmount {
	h = h.filled()
	surface := &model{cuts: []cut{{0, bottom}}}
	within := func(from, to unit.Millimetres, over float64) float64 {
		if top == 0 {
			return surface.shares(from, to, over)[0]
		}
		return (1 - over) * float64(coring.Overlap(from, to, top, bottom))
	}
	byYear := map[int]float64{}
	for _, s := range h.Sand {
		share := within(s.Top, s.Bottom, 0)
		if s.surface() {
			share = within(0, bottom, 1)
		}
		byYear[s.At.Year()] += float64(s.Amount) * share
	}
	for _, c := range h.Coring {
		if c.Backfill > 0 {
			byYear[c.At.Year()] += float64(c.Backfill) * within(0, c.Depth, c.over(h.SandDensity))
		}
	}
	out := make([]YearAmount, 0, len(byYear))
	for y, amount := range byYear {
		out = append(out, YearAmount{y, unit.KgPerM2(amount)})
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Year < out[j].Year })
	return out
}
