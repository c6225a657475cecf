package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"underfoot"
	"underfoot/growth"
	"underfoot/profile"
	"underfoot/season"
)

// SeasonFound is a season plan as JSON.
type SeasonFound struct {
	Feasible    bool          `json:"feasible"`
	Probability float64       `json:"probability_in_band"`
	Work        []WorkRow     `json:"work"`
	Forecast    []ForecastRow `json:"forecast"` // with that work, at the end
	SandMM      float64       `json:"sand_mm"`
	SandT       float64       `json:"sand_t"`
	Cost        float64       `json:"cost"`
	Disturbed   float64       `json:"disturbed_days"`
	Others      []SeasonOther `json:"alternatives"`
	Search      SeasonSearch  `json:"search"`

	Course    string        `json:"course"`
	Title     string        `json:"course_name"`
	From      string        `json:"from"`
	Until     string        `json:"until"`
	Direction string        `json:"direction"`
	Bands     []WantedFound `json:"bands"`
	Wanted    float64       `json:"wanted_probability"`
	Name      string        `json:"name"`
	Currency  string        `json:"currency"`
	Costs     CostFound     `json:"costs"`
	Months    []MonthFound  `json:"months"`
	Nitrogen  float64       `json:"nitrogen_kg_ha"` // a season, where the plan moves it; 0 where it stays
	Nothing   *SeasonWhatIf `json:"nothing_done"`
	Half      *SeasonWhatIf `json:"half_done"`
	Hot       *SeasonWhatIf `json:"hot_summer"`
	Limits    []LimitFound  `json:"limits"`
	Curve     []CurvePoint  `json:"curve"`
	Unmet     string        `json:"unmet"`
	Nearest   *SeasonOther  `json:"nearest"`
	Order     *OrderFound   `json:"order"`
	Says      []string      `json:"sentences"`
	Notes     []string      `json:"notes"`
	Cautions  []string      `json:"cautions"`
}

// SeasonOther is another plan.
type SeasonOther struct {
	Name        string    `json:"name"`
	SandMM      float64   `json:"sand_mm"`
	SandT       float64   `json:"sand_t"`
	Cost        float64   `json:"cost"`
	Disturbed   float64   `json:"disturbed_days"`
	Probability float64   `json:"probability_in_band"`
	Work        []WorkRow `json:"work"`

	Forecast []ForecastRow `json:"forecast,omitempty"` // of the nearest plan only
}

// SeasonSearch says how sure it is that nothing better was missed. Bound is in money with the disturbed days reckoned at
// DayWorth each, Gap its distance to the plan, relative.
type SeasonSearch struct {
	Evaluations int     `json:"evaluations"`
	Seconds     float64 `json:"seconds"`
	Bound       float64 `json:"bound"`
	Gap         float64 `json:"gap"`
	Weight      float64 `json:"weight"`
	DayWorth    float64 `json:"day_worth"`
	Judged      int     `json:"judged"`
}

// WantedFound is where a layer is wanted, percent, and how likely it comes to lie there.
type WantedFound struct {
	TopMM       float64  `json:"top_mm"`
	BottomMM    float64  `json:"bottom_mm"`
	Low         float64  `json:"low"`
	High        float64  `json:"high"`
	On          string   `json:"on"`
	Probability *float64 `json:"probability"`
}

// CostFound is what a plan takes, by part.
type CostFound struct {
	Sand     float64 `json:"sand"`
	Contract float64 `json:"contract"`
	Fuel     float64 `json:"fuel"`
	Labour   float64 `json:"labour"`
	Hours    float64 `json:"labour_h"`
}

// MonthFound is what one month takes.
type MonthFound struct {
	Month     string  `json:"month"`
	Events    int     `json:"events"`
	SandMM    float64 `json:"sand_mm"`
	SandT     float64 `json:"sand_t"`
	Cost      float64 `json:"cost"`
	Disturbed float64 `json:"disturbed_days"`
	CostFound
}

// SeasonWhatIf is what happens otherwise than planned.
type SeasonWhatIf struct {
	Probability float64       `json:"probability_in_band"`
	Forecast    []ForecastRow `json:"forecast"`
}

// LimitFound is a limit, and what doing without it would save.
type LimitFound struct {
	Name  string  `json:"name"`
	Saves float64 `json:"saves"`
	Binds bool    `json:"binds"`
}

// CurvePoint is the plan's openings with less or more sand.
type CurvePoint struct {
	SandMM      float64 `json:"sand_mm"`
	Cost        float64 `json:"cost"`
	Disturbed   float64 `json:"disturbed_days"`
	Probability float64 `json:"probability_in_band"`
}

// OrderFound is the sand to buy.
type OrderFound struct {
	Sand       string          `json:"sand"`
	NeededT    float64         `json:"needed_t"`
	DryT       float64         `json:"dry_t"`
	LossesT    float64         `json:"losses_t"`
	OrderedT   float64         `json:"ordered_t"`
	LeftT      float64         `json:"left_t"`
	Loads      int             `json:"loads"`
	Cost       float64         `json:"cost"`
	Deliveries []DeliveryFound `json:"deliveries"`
	Grains     []string        `json:"grains"`
}

// DeliveryFound is one delivery.
type DeliveryFound struct {
	Date    string  `json:"date"`
	Loads   int     `json:"loads"`
	T       float64 `json:"t"`
	Cost    float64 `json:"cost"`
	Before  string  `json:"for_work_from"`
	StoredT float64 `json:"stored_t"`
}

// WhatIf is a plan, and what becomes of it otherwise than planned, all on every member and green.
type WhatIf struct {
	Plan    *Rehearsed // as planned
	Half    *Rehearsed // when only half of it is done
	Hot     *Rehearsed // when every summer is the hottest of the course's own years; nil without a whole year of weather
	Nothing *Rehearsed // when nothing is done
}

// Proposed is the plan to speak of: the best, or where none does it the nearest; nil without either.
func (p *SeasonPlan) Proposed() *season.Found {
	if p.Answer.Best != nil {
		return p.Answer.Best
	}
	return p.Answer.Nearest
}

// WhatIf rehearses a plan, half of it, a hot summer and nothing done.
func (p *SeasonPlan) WhatIf(plan season.Plan) (*WhatIf, error) {
	w := &WhatIf{}
	var err error
	if w.Plan, err = p.Rehearse(plan); err != nil {
		return nil, err
	}
	if w.Half, err = p.Rehearse(plan.Less(0.5)); err != nil {
		return nil, err
	}
	if w.Nothing, err = p.Rehearse(season.Plan{}); err != nil {
		return nil, err
	}
	w.Hot, err = p.HotSummer(plan)
	return w, err
}

// whatIf is [SeasonPlan.WhatIf] of the best plan; where there is none, only the nearest and nothing are rehearsed.
func (p *SeasonPlan) whatIf() (*WhatIf, error) {
	if p.Answer.Best != nil {
		return p.WhatIf(p.Answer.Best.Plan)
	}
	w := &WhatIf{}
	var err error
	if w.Nothing, err = p.Rehearse(season.Plan{}); err != nil || p.Answer.Nearest == nil {
		return w, err
	}
	w.Plan, err = p.Rehearse(p.Answer.Nearest.Plan)
	return w, err
}

// HotSummer rehearses a plan with the weather of the course's own year of the hottest summer in every year to come; nil
// when the course has no whole year of weather.
func (p *SeasonPlan) HotSummer(plan season.Plan) (*Rehearsed, error) {
	hot, ok, err := p.hottest()
	if err != nil || !ok {
		return nil, err
	}
	search := *p.Search
	search.Futures = []profile.Daily{hot}
	other := *p
	other.Search = &search
	return other.Rehearse(plan)
}

// hottest makes the weather to come that of the own year with the warmest three summer months.
func (p *SeasonPlan) hottest() (profile.Daily, bool, error) {
	r := p.m.records
	c := p.Search.Calendar
	n := r.climate.Count()
	if n == 0 {
		return profile.Daily{}, false, nil
	}
	first := time.June
	if r.input.South {
		first = time.December
	}
	begin := underfoot.MakeDate(underfoot.Date(c.From).Year(), first, 1)
	best, warmest := 0, math.Inf(-1)
	for i := range n {
		w := r.climate.Draw(int(begin), int(begin)+91, func(int) int { return i })
		var sum float64
		for _, t := range w.Mean {
			sum += t
		}
		if sum > warmest {
			best, warmest = i, sum
		}
	}
	input := r.input
	input.Nitrogen = p.gifts()
	past := input.Weather
	if from := past.First + len(past.Mean); from <= c.Until {
		next := r.climate.Draw(from, c.Until, func(int) int { return best })
		input.Weather = growth.Weather{
			First: past.First, Mean: slices.Concat(past.Mean, next.Mean), Rain: slices.Concat(past.Rain, next.Rain), Filled: slices.Concat(past.Filled, next.Filled),
		}
	}
	d, err := growth.NewDrive(input)
	if err != nil {
		return profile.Daily{}, false, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return daily(d), true, nil
}

// Found puts the plan down for scripts. seconds is how long the search took; storage and lead are those of
// [SeasonPlan.Order].
func (p *SeasonPlan) Found(seconds, storageT float64, lead int) (*SeasonFound, error) {
	a, search := p.Answer, p.Search
	out := &SeasonFound{
		Feasible: a.Best != nil, Course: p.course().ID, Title: p.course().Title(), From: underfoot.Date(search.Calendar.From).String(), Until: underfoot.Date(search.Calendar.Until).String(),
		Direction: cmp.Or(p.Direction, directionFound(p.m.s.Direction).Verdict), Wanted: search.Aim.Probability, Currency: p.Sand.Currency, Nitrogen: p.Nitrogen, Unmet: a.Unmet,
		Search: SeasonSearch{Evaluations: a.Evaluations, Seconds: seconds, DayWorth: search.Aim.DayWorth, Judged: a.Judged},
		Others: []SeasonOther{}, Limits: []LimitFound{}, Curve: []CurvePoint{}, Months: []MonthFound{}, Notes: p.AllNotes(), Cautions: p.Cautions(),
	}
	done := a.Best
	if done == nil {
		done = &a.Nothing // what stands at the top is what the forecast beside it comes from
		if a.Nearest != nil {
			nearest := p.other(a.Nearest)
			out.Nearest = &nearest
		}
	} else {
		out.Search.Bound, out.Search.Gap, out.Search.Weight = a.Bound, a.Gap, done.Weight
	}
	out.Name, out.Probability, out.Work = done.Name, done.Probability, workRows(p.Work(done.Plan))
	out.SandMM, out.SandT, out.Cost, out.Disturbed = done.Cost.SandMM, done.Cost.SandTonnes, done.Cost.Money(), done.Cost.Disturbed
	out.Costs = costFound(done.Cost)
	for i, w := range search.Aim.Wanted {
		b := WantedFound{TopMM: w.Layer.Top, BottomMM: w.Layer.Bottom, Low: 100 * w.Low, High: 100 * w.High, On: underfoot.Date(w.Day).String()}
		if i < len(done.Each) {
			b.Probability = &done.Each[i]
		}
		out.Bands = append(out.Bands, b)
	}
	for _, m := range done.Plan.CostByMonth(search.Prices, search.Calendar) {
		out.Months = append(out.Months, MonthFound{
			fmt.Sprintf("%d-%02d", m.Year, int(m.Month.Month)), m.Events, m.SandMM, m.SandTonnes, m.Money(), m.Disturbed, costFound(m.Cost),
		})
	}
	for i := range a.Others {
		out.Others = append(out.Others, p.other(&a.Others[i]))
	}
	for _, l := range a.Limits {
		out.Limits = append(out.Limits, LimitFound{l.Name, l.Saves, l.Saves > 0})
	}
	for _, f := range a.Curve {
		out.Curve = append(out.Curve, CurvePoint{f.Cost.SandMM, f.Cost.Money(), f.Cost.Disturbed, f.Probability})
	}
	if err := p.otherwise(out); err != nil {
		return nil, err
	}
	o, err := p.Order(done.Plan, storageT, lead)
	if err != nil {
		return nil, err
	}
	out.Order = p.orderFound(o)
	out.Notes = append(out.Notes, o.Notes...)
	return out, nil
}

// otherwise fills in the forecast, and what happens otherwise than planned.
func (p *SeasonPlan) otherwise(out *SeasonFound) error {
	w, err := p.whatIf()
	if err != nil {
		return err
	}
	what := func(r *Rehearsed) *SeasonWhatIf {
		if r == nil {
			return nil
		}
		return &SeasonWhatIf{r.Probability, p.m.ForecastRows(r.Forecast)}
	}
	out.Says = p.Sentences(w)
	out.Nothing, out.Half, out.Hot = what(w.Nothing), what(w.Half), what(w.Hot)
	if out.Feasible {
		out.Forecast = p.m.ForecastRows(w.Plan.Forecast)
		return nil
	}
	out.Forecast = out.Nothing.Forecast
	if out.Nearest != nil {
		out.Nearest.Forecast = p.m.ForecastRows(w.Plan.Forecast)
	}
	return nil
}

func (p *SeasonPlan) other(f *season.Found) SeasonOther {
	return SeasonOther{Name: f.Name, SandMM: f.Cost.SandMM, SandT: f.Cost.SandTonnes, Cost: f.Cost.Money(), Disturbed: f.Cost.Disturbed, Probability: f.Probability, Work: workRows(p.Work(f.Plan))}
}

func (p *SeasonPlan) orderFound(o *season.Order) *OrderFound {
	out := &OrderFound{
		Sand: p.Sand.ID, NeededT: o.Tonnes, DryT: o.DryTonnes, LossesT: o.Losses, OrderedT: o.Ordered, LeftT: o.Left, Loads: o.Loads, Cost: o.Money,
		Deliveries: []DeliveryFound{}, Grains: p.Grains(),
	}
	for _, d := range o.Deliveries {
		out.Deliveries = append(out.Deliveries, DeliveryFound{underfoot.Date(d.Day).String(), d.Loads, d.Tonnes, d.Money, underfoot.Date(d.Before).String(), d.Stored})
	}
	return out
}

func costFound(c season.Cost) CostFound {
	return CostFound{c.Sand, c.Contract, c.Fuel, c.Labour, c.Hours}
}

// Cautions gives the words of safety for sand, machines and plans.
func (p *SeasonPlan) Cautions() []string {
	var out []string
	for _, c := range season.Cautions() {
		out = append(out, c.Text)
	}
	return out
}

// AllNotes says what was filled in or set aside.
func (p *SeasonPlan) AllNotes() []string {
	c := p.Search.Calendar
	aside := 0
	if f := p.Proposed(); f != nil {
		aside = len(p.InTheWay(f.Plan))
	}
	notes := slices.Concat([]string{}, p.Notes, p.m.Notes)
	if aside > 0 {
		notes = append(notes, fmt.Sprintf("%s between %s and %s: this plan takes their place", counted(aside, "entry of other work is planned in the log", "entries of other work are planned in the log"),
			underfoot.Date(c.From), underfoot.Date(c.Until)))
	}
	if today := p.m.Today; underfoot.Date(c.From) < today {
		notes = append(notes, fmt.Sprintf("the plan begins on %s, before today, %s", underfoot.Date(c.From), today))
	}
	return notes
}
