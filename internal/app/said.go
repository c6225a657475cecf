package app

import (
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"underfoot"
	"underfoot/balance"
	"underfoot/calibrate"
	"underfoot/profile"
	"underfoot/season"
	"underfoot/unit"
)

// said is the balance and the advice of a standing, worked out when first asked for: the model behind them takes a while.
type said struct {
	once    sync.Once
	known   atomic.Bool
	balance *balance.Sheet
	why     string // why the model does not speak, empty when it does
	advice  season.Advice
}

// Balance is the account of the layers and the sand that holds them, nil when there is none: by the profile model
// where the records carry it, else by the rounds alone. It is worked out once.
func (s *Standing) Balance() *balance.Sheet { return s.say().balance }

// Advice is next season's sand, from the direction and the balance.
func (s *Standing) Advice() season.Advice { return s.say().advice }

// BalanceKnown is Balance where it has been worked out, else the balance by the rounds alone: for lists of many courses.
func (s *Standing) BalanceKnown() *balance.Sheet {
	if s.said.known.Load() {
		return s.said.balance
	}
	return s.ByRounds
}

// WhyByRounds says why the balance rests on the rounds alone; empty when it does not.
func (s *Standing) WhyByRounds() string { return s.say().why }

// Modelled says whether the model speaks for the balance.
func (s *Standing) Modelled() bool {
	sheet := s.Balance()
	return sheet != nil && len(sheet.Layers) > 0 && sheet.Layers[0].Basis == balance.ByModel
}

func (s *Standing) say() *said {
	x := &s.said
	x.once.Do(func() {
		x.balance, x.advice = s.ByRounds, s.byRounds
		if s.ByRounds == nil || len(answered(s.ByRounds)) == 0 {
			return // there is no balance at all, and it says why
		}
		sheet, why := s.sheetOf()
		if x.why = why; why == "" {
			if advice, err := s.advise(sheet); err == nil { // the course was found good when the rounds alone advised
				x.balance, x.advice = sheet, advice
			}
		}
		x.known.Store(true)
	})
	return x
}

// From when on the model speaks for the balance; working defaults, no source.
const (
	roundsForModel = 3 // rounds of the layer at the surface
	modelYears     = 2 // the last so many years are what the rates are of
)

// byModel puts the profile model behind the balance of the rounds, or says why not.
func (s *Standing) byModel() (*balance.Sheet, string) {
	top := s.ByRounds.Layers[0]
	if top.Intervals+1 < roundsForModel {
		return nil, "the balance rests on the rounds alone: two rounds leave too much of the profile model to what is usual elsewhere; with the next one it will speak"
	}
	m, err := s.Model()
	if err != nil {
		return nil, fmt.Sprintf("the balance rests on the rounds alone: the profile model has no answer (%v)", err)
	}
	to := int(underfoot.DateOf(top.To))
	years := min(modelYears, math.Floor(float64(to-m.records.course.Start)/365.25), math.Max(1, math.Round(top.Years)))
	if years < 1 {
		return nil, "the balance rests on the rounds alone: the records span less than a year"
	}
	layers, from := answered(s.ByRounds), int(yearsOn(underfoot.Date(to), -int(years)))
	modelled, err := onShelf(m.shelf, shelfAccount, m.alsoRests(layers, from, to), func() ([]balance.Modelled, error) { return m.holding(layers, from, to) })
	if err != nil {
		return nil, fmt.Sprintf("the balance rests on the rounds alone: %v", err)
	}
	sheet, err := s.ByRounds.WithModel(modelled)
	if err != nil {
		return nil, fmt.Sprintf("the balance rests on the rounds alone: %v", err)
	}
	return &sheet, ""
}

// holding is the account of layers from a day to another by the model, and the sand that holds the one at the surface.
func (m *Model) holding(layers []calibrate.Layer, from, to int) ([]balance.Modelled, error) {
	modelled, err := m.modelled(layers, from, to)
	if err != nil {
		return nil, fmt.Errorf("the account of the profile model fails (%w)", err)
	}
	sand, err := m.holdRunningOn(layers[0])
	if err != nil {
		return nil, fmt.Errorf("the forecast of the profile model fails (%w)", err)
	}
	deep := m.s.deepKgM2(m.LastDay())
	for _, v := range sand {
		modelled[0].Hold = append(modelled[0].Hold, v+deep)
	}
	return modelled, nil
}

// answered gives the layers from the surface down that the rounds answer.
func answered(sheet *balance.Sheet) []calibrate.Layer {
	var list []calibrate.Layer
	for _, h := range sheet.Layers {
		if !h.Answered() {
			break
		}
		list = append(list, calibrate.Layer{Top: float64(h.Top), Bottom: float64(h.Bottom)})
	}
	return list
}

// modelled keeps the account of layers from a day to another in every member.
func (m *Model) modelled(layers []calibrate.Layer, from, to int) ([]balance.Modelled, error) {
	leaves, err := m.Ensemble.Leaves(calibrate.AskFlows{Layers: layers, Edges: []int{from, to}, Members: flowMembers})
	if err != nil {
		return nil, err
	}
	written := m.Ensemble.Values(profile.Sanding, flowMembers)
	var list []balance.Modelled
	for _, l := range leaves {
		list = append(list, balance.Modelled{
			Top: unit.Millimetres(l.Layer.Top), Bottom: unit.Millimetres(l.Layer.Bottom), From: underfoot.Date(from).Time(), To: underfoot.Date(to).Time(), Years: float64(to-from) / 365.25,
			Made: l.Made, Decayed: l.Decayed, OrganicRemoved: l.TakenOut, MineralRemoved: l.SandTakenOut, OrganicEntered: l.SunkIn, MineralEntered: l.SandSunkIn,
			OrganicLeft: l.SunkOut, MineralLeft: l.SandSunkOut, Organic: l.OrganicEnd, Mineral: l.SandEnd, Written: written,
		})
	}
	return list, nil
}
