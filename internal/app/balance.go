package app

import (
	"time"

	"underfoot/balance"
)

// BalanceFound is the answer of the balance command; masses in kg/m², rates in kg/m² a year.
type BalanceFound struct {
	Course   string         `json:"course"`
	Why      string         `json:"why_not"` // empty when there is a balance
	Layers   []LayerBalance `json:"layers"`
	Seasons  []SeasonSand   `json:"seasons"`
	Sand     string         `json:"sand"`
	Density  float64        `json:"sand_density_kg_m3"`
	Warnings []string       `json:"warnings"`
	Draws    int            `json:"draws"`
	Seed     uint64         `json:"seed"`

	ByRounds string       `json:"by_rounds_because,omitempty"` // why the model does not speak
	Flows    []FlowFound  `json:"flows"`                       // by season and layer, from the model
	Levers   *LeversFound `json:"levers"`                      // nil without a model
}

// Spread is a quantity with its uncertainty.
type Spread struct {
	Value float64 `json:"value"`
	SD    float64 `json:"sd"`
	Q05   float64 `json:"q05"`
	Q50   float64 `json:"q50"`
	Q95   float64 `json:"q95"`
}

// LayerBalance is one layer of [BalanceFound].
type LayerBalance struct {
	TopMM      float64        `json:"top_mm"`
	BottomMM   float64        `json:"bottom_mm"`
	Why        string         `json:"why_not"`
	Basis      string         `json:"basis,omitempty"` // model or rounds
	Since      string         `json:"rates_since,omitempty"`
	Check      *CheckFound    `json:"by_rounds_alone,omitempty"` // beside the model
	From       string         `json:"from,omitempty"`
	To         string         `json:"to,omitempty"`
	Formed     *Spread        `json:"net_formed_kg_m2_a"`
	Removed    *Spread        `json:"removed_kg_m2_a"`
	Hold       *Spread        `json:"sand_to_hold_kg_m2_a"`
	HoldMM     *Spread        `json:"sand_to_hold_mm_a"`
	Applied    *Spread        `json:"sand_applied_kg_m2_a"`
	AppliedMM  *Spread        `json:"sand_applied_mm_a"`
	Lately     string         `json:"sand_applied_from,omitempty"`
	NoneNeeded *float64       `json:"p_none_needed"`
	Short      *float64       `json:"p_applied_too_little"`
	Leaving    *float64       `json:"leaving_organic_percent"`
	LeavingHow string         `json:"leaving_how,omitempty"`
	Accounts   []AccountFound `json:"accounts"`
}

// CheckFound is what the rounds alone say of a layer that the model speaks for.
type CheckFound struct {
	Formed *Spread `json:"net_formed_kg_m2_a"`
	Hold   *Spread `json:"sand_to_hold_kg_m2_a"`
	Apart  string  `json:"disagree,omitempty"`
}

// AccountFound is one layer between two rounds.
type AccountFound struct {
	From           string  `json:"from"`
	To             string  `json:"to"`
	Years          float64 `json:"years"`
	Sand           Value   `json:"sand_kg_m2"`
	RemovedMineral Value   `json:"removed_mineral_kg_m2"`
	RemovedOrganic Value   `json:"removed_organic_kg_m2"`
	EnteredMineral Value   `json:"entered_mineral_kg_m2"`
	EnteredOrganic Value   `json:"entered_organic_kg_m2"`
	LeftMineral    Value   `json:"left_mineral_kg_m2"`
	LeftOrganic    Value   `json:"left_organic_kg_m2"`
	ChangeMineral  Value   `json:"change_mineral_kg_m2"`
	ChangeOrganic  Value   `json:"change_organic_kg_m2"`
	Formed         Value   `json:"net_formed_kg_m2"`
}

// Value is a value with its standard uncertainty.
type Value struct {
	Value float64 `json:"value"`
	SE    float64 `json:"se"`
}

// SeasonSand is the sand put on in one calendar year, mean of the course.
type SeasonSand struct {
	Year      int     `json:"year"`
	SurfaceMM float64 `json:"surface_mm"`
	HolesMM   float64 `json:"holes_and_injected_mm"`
	SandKgM2  float64 `json:"sand_kg_m2"`
	SandT     float64 `json:"sand_t"`
	Dressings int     `json:"dressings"`
}

// BalanceFound gives the answer of the balance command.
func (s *Standing) BalanceFound() BalanceFound {
	out := BalanceFound{
		Course: s.Records.Course.ID, Why: s.Why, Layers: []LayerBalance{}, Seasons: []SeasonSand{}, Warnings: []string{}, Flows: []FlowFound{},
		Sand: s.Sand.Title(), Density: float64(s.SandDensity()),
	}
	for _, e := range s.Seasons {
		out.Seasons = append(out.Seasons, SeasonSand{e.Year, e.SurfaceMM, e.DeepMM, e.SandKgM2, e.SandKgM2 * s.AreaM2 / 1000, e.Dressings})
	}
	sheet := s.Balance()
	if sheet == nil {
		return out
	}
	out.Warnings, out.Draws, out.Seed = noNil(sheet.Warnings), sheet.Draws, sheet.Seed
	for _, h := range sheet.Layers {
		out.Layers = append(out.Layers, layerBalance(h, 1000/float64(s.SandDensity())))
	}
	out.ByRounds = s.WhyByRounds()
	if s.Modelled() {
		s.modelFound(&out)
	}
	return out
}

func layerBalance(h balance.Holding, mm float64) LayerBalance {
	out := LayerBalance{TopMM: float64(h.Top), BottomMM: float64(h.Bottom), Why: h.Reason, Accounts: []AccountFound{}}
	if !h.Answered() {
		return out
	}
	out.Basis = string(h.Basis)
	if c := h.Check; c != nil {
		out.Since, out.Check = h.Since.Format(time.DateOnly), &CheckFound{spread(c.Formed), spread(c.Hold), c.Apart}
	}
	out.From, out.To = h.From.Format(time.DateOnly), h.To.Format(time.DateOnly)
	out.Formed, out.Removed, out.Hold, out.Applied = spread(h.Formed), spread(h.Removed), spread(h.Hold), spread(h.Applied)
	out.HoldMM, out.AppliedMM = spread(h.Hold.Times(mm)), spread(h.Applied.Times(mm))
	out.Lately = h.Lately.Format(time.DateOnly)
	out.NoneNeeded, out.Short = finite(h.NoneNeeded), finite(h.Short)
	out.Leaving, out.LeavingHow = finite(float64(h.Leaving.Percent())), h.LeavingHow
	for _, a := range h.Accounts {
		v := func(m balance.Measured) Value { return Value(m) }
		out.Accounts = append(out.Accounts, AccountFound{
			From: a.FromRound, To: a.ToRound, Years: a.Years, Sand: v(a.Sand), RemovedMineral: v(a.RemovedMineral), RemovedOrganic: v(a.RemovedOrganic),
			EnteredMineral: v(a.EnteredMineral), EnteredOrganic: v(a.EnteredOrganic), LeftMineral: v(a.LeftMineral), LeftOrganic: v(a.LeftOrganic),
			ChangeMineral: v(a.ChangeMineral), ChangeOrganic: v(a.ChangeOrganic), Formed: v(a.Formed),
		})
	}
	return out
}

func spread(e balance.Estimate) *Spread { return &Spread{e.Value, e.SD, e.Q05, e.Q50, e.Q95} }
