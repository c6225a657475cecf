package app

import (
	"underfoot"
	"underfoot/calibrate"
)

// Quantiles are the middle of a quantity and where 9 in 10 lie.
type Quantiles struct {
	Q05 float64 `json:"q05"`
	Q50 float64 `json:"q50"`
	Q95 float64 `json:"q95"`
}

func quantiles(e calibrate.Estimate, times float64) Quantiles {
	return Quantiles{e.Q05 * times, e.Q50 * times, e.Q95 * times}
}

// FlowFound is what happened to a layer in a season, the mean of the greens; masses in kg/m², contents in percent and
// changes of it in points.
type FlowFound struct {
	From      string    `json:"from"`
	To        string    `json:"to"`
	TopMM     float64   `json:"top_mm"`
	BottomMM  float64   `json:"bottom_mm"`
	Made      Quantiles `json:"made_kg_m2"`
	Decayed   Quantiles `json:"decayed_kg_m2"`
	TakenOut  Quantiles `json:"taken_out_kg_m2"`
	SunkIn    Quantiles `json:"sunk_in_kg_m2"`
	Buried    Quantiles `json:"buried_kg_m2"`
	Sand      Quantiles `json:"sand_kg_m2"`
	Start     Quantiles `json:"start_percent"`
	End       Quantiles `json:"end_percent"`
	ByMade    Quantiles `json:"by_made_points"`
	ByDecay   Quantiles `json:"by_decay_points"`
	ByTaking  Quantiles `json:"by_taking_out_points"`
	BySand    Quantiles `json:"by_sand_points"`
	BySinking Quantiles `json:"by_sinking_points"`
}

// LeversFound is what one more of each kind of work would do.
type LeversFound struct {
	From      string        `json:"from"`
	Baseline  string        `json:"baseline"`
	Coring    string        `json:"coring"`
	AppliedMM float64       `json:"sand_spread_last_12_months_mm"`
	PlannedMM float64       `json:"sand_in_baseline_mm_a"`
	Effects   []EffectFound `json:"effects"`
	Holding   []HoldFound   `json:"sand_to_hold"`
}

// EffectFound is one lever's effect on a layer on a day, in points.
type EffectFound struct {
	Lever    string    `json:"lever"` // sand_1_mm_a, coring_1_a, nitrogen_less_10_kg_ha_a
	Date     string    `json:"date"`
	TopMM    float64   `json:"top_mm"`
	BottomMM float64   `json:"bottom_mm"`
	Change   Quantiles `json:"change_points"`
}

// HoldFound is the sand on top that brings a layer back on a day to what it holds now.
type HoldFound struct {
	Date     string     `json:"date"`
	TopMM    float64    `json:"top_mm"`
	BottomMM float64    `json:"bottom_mm"`
	Possible float64    `json:"share_of_runs_it_can"`
	KgM2     *Quantiles `json:"kg_m2_a"` // nil where sand on top does not reach the layer in this time
	MM       *Quantiles `json:"mm_a"`
}

// modelFound adds what the model says to the balance.
func (s *Standing) modelFound(out *BalanceFound) {
	m, err := s.Model()
	if err != nil {
		return // the balance has said so
	}
	if flows, err := m.SeasonFlows(); err == nil {
		for _, f := range flows {
			out.Flows = append(out.Flows, flowFound(f))
		}
	} else {
		out.Warnings = append(out.Warnings, err.Error())
	}
	l, err := m.Levers()
	if err != nil {
		out.Warnings = append(out.Warnings, err.Error())
		return
	}
	out.Levers = l.found(1000 / float64(s.SandDensity()))
}

func flowFound(f calibrate.Flows) FlowFound {
	kg := func(e calibrate.Estimate) Quantiles { return quantiles(e, 1) }
	points := func(e calibrate.Estimate) Quantiles { return quantiles(e, 100) }
	return FlowFound{
		From: underfoot.Date(f.From).String(), To: underfoot.Date(f.To).String(), TopMM: f.Layer.Top, BottomMM: f.Layer.Bottom,
		Made: kg(f.Made), Decayed: kg(f.Decayed), TakenOut: kg(f.TakenOut), SunkIn: kg(f.SunkIn), Buried: kg(f.SunkOut), Sand: kg(f.SandIn),
		Start: points(f.Start), End: points(f.End), ByMade: points(f.ByMade), ByDecay: points(f.ByDecay), ByTaking: points(f.ByTaking),
		BySand: points(f.BySand), BySinking: points(f.BySinking),
	}
}

func (l *Levers) found(mm float64) *LeversFound {
	out := &LeversFound{From: l.From.String(), Baseline: l.Baseline, Coring: l.CoringName, AppliedMM: l.AppliedMM, PlannedMM: l.PlannedMM}
	for _, lever := range []struct {
		name    string
		effects []calibrate.Effect
	}{{"sand_1_mm_a", l.MoreSand}, {"coring_1_a", l.OneCoring}, {"nitrogen_less_10_kg_ha_a", l.LessNitrogen}} {
		for _, e := range lever.effects {
			out.Effects = append(out.Effects, EffectFound{lever.name, underfoot.Date(e.Day).String(), e.Layer.Top, e.Layer.Bottom, quantiles(e.Change, 100)})
		}
	}
	for h, list := range [][]calibrate.Holding{l.HoldingFirst, l.Holding} {
		for _, x := range list {
			row := HoldFound{Date: l.Horizons[h].String(), TopMM: x.Layer.Top, BottomMM: x.Layer.Bottom, Possible: x.Possible}
			if Reached(x) {
				kg, deep := quantiles(x.Sand, 1), quantiles(x.Sand, mm)
				row.KgM2, row.MM = &kg, &deep
			}
			out.Holding = append(out.Holding, row)
		}
	}
	return out
}

// Reached says whether sand on top reaches the layer in the time looked at, in most of the runs.
func Reached(h calibrate.Holding) bool { return h.Possible >= 0.5 }
