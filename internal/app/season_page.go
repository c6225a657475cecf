package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/profile"
	"underfoot/season"
)

// SeasonDates gives the days a plan is asked for where nobody says otherwise: from the day after the record, or tomorrow,
// to the end of the growing season after next: 15 October, south of the equator 15 April.
func (m *Model) SeasonDates() (from, until underfoot.Date) {
	from = max(m.Today, m.LastDay()) + 1
	end := func(year int) underfoot.Date {
		if m.records.input.South {
			return underfoot.MakeDate(year, time.April, 15)
		}
		return underfoot.MakeDate(year, time.October, 15)
	}
	year := from.Year()
	const soonest = 120 // days of the first season that are worth planning for; working default, no source
	if end(year) < from+soonest {
		year++
	}
	return from, end(year + 1)
}

// SeasonLayers gives the layers a plan can be asked about, with the mean of the last round in percent; ok is false where
// the last round has none.
func (m *Model) SeasonLayers() []SeasonLayer {
	var out []SeasonLayer
	for _, l := range m.Fit.Layers {
		x := SeasonLayer{Layer: l}
		if found := m.s.Layer(l.Top, l.Bottom); found != nil {
			x.Percent, x.Known = float64(found.Last().Mean), true
		}
		out = append(out, x)
	}
	return out
}

// SeasonLayer is a layer and what it last measured [%].
type SeasonLayer struct {
	calibrate.Layer
	Percent float64
	Known   bool
}

// Reckoned says what days and hours are reckoned at where nobody says otherwise, and the chance wanted.
func Reckoned() (dayWorth, hour, chance float64) { return usualDayWorth, usualHour, usualChance }

// UsualAsk is the question for a plan where nobody asks otherwise: the usual days, the direction of the findings, the crew of the
// course.
func (m *Model) UsualAsk() SeasonAsk {
	a := SeasonAsk{Direction: string(m.s.Direction.Verdict), Probability: usualChance, Sand: m.s.Sand.ID, DayWorth: usualDayWorth, Hour: usualHour}
	a.From, a.Until = m.SeasonDates()
	hours, price := m.s.CrewOf(a.From, a.Until)
	a.Caps.CrewHours = hours
	if price > 0 {
		a.Hour = price
	}
	return a
}

// Does says the work of a plan in a clause.
func (p *SeasonPlan) Does(plan *season.Plan) string { return p.does(plan) }

// Lies says where the layers come to lie.
func (p *SeasonPlan) Lies(r *Rehearsed) string { return p.lies(r) }

// Takes says sand, money, hours and disturbance.
func (p *SeasonPlan) Takes(c season.Cost) string { return p.takes(c) }

// MoneyIn is the plan for a reader of their own currency: money reads in it where the sand names none. Nothing is converted.
func (p *SeasonPlan) MoneyIn(currency string) *SeasonPlan {
	out := *p
	out.Sand.Currency = cmp.Or(p.Sand.Currency, currency)
	return &out
}

// Currency is that of the plan's money; empty where none is known.
func (p *SeasonPlan) Currency() string { return strings.TrimSpace(p.Sand.Currency) }

// Money prints a sum with its currency.
func (p *SeasonPlan) Money(v float64) string { return p.money(v) }

// Until is the last day planned for.
func (p *SeasonPlan) Until() underfoot.Date { return underfoot.Date(p.Search.Calendar.Until) }

// From is the first day planned for.
func (p *SeasonPlan) From() underfoot.Date { return underfoot.Date(p.Search.Calendar.From) }

// WhatIfs is [SeasonPlan.WhatIf] of the best plan; where there is none, only the nearest and nothing are rehearsed.
func (p *SeasonPlan) WhatIfs() (*WhatIf, error) { return p.whatIf() }

// Operation finds an operation of the plan's catalogue; nil for none.
func (p *SeasonPlan) Operation(id string) *season.Operation {
	i := slices.IndexFunc(p.Search.Operations, func(o season.Operation) bool { return o.ID == id })
	if i < 0 {
		return nil
	}
	return &p.Search.Operations[i]
}

// fanMembers is how many of the members a fan is drawn from: enough for a picture within a moment.
const fanMembers = 64

// Fan follows a plan month by month for a picture, ending with the numbers it was rehearsed to.
func (p *SeasonPlan) Fan(r *Rehearsed) ([]OutlookLayer, error) {
	m, c := p.m, p.Search.Calendar
	const each = 61 // days
	var days []int
	for d := m.Ensemble.Now + 1; d < c.Until-each/3; d += each {
		days = append(days, d)
	}
	days = append(days, c.Until)
	ask := calibrate.Ask{Days: days, Seed: modelSeed, Futures: p.Search.Futures, Workers: modelWorkers, Members: fanMembers}
	events := r.Plan.Events(p.Search.Prices.Density)
	for i, g := range m.records.course.Greens {
		work := slices.Concat(g.Work, m.fixed(i, c.From), events)
		slices.SortStableFunc(work, func(a, b profile.Event) int { return cmp.Compare(a.Day, b.Day) })
		ask.Work = append(ask.Work, work)
	}
	f, err := m.Ensemble.Forecast(ask)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	var out []OutlookLayer
	last := len(r.Forecast.Days) - 1
	for l, layer := range f.Layers {
		x := OutlookLayer{Layer: layer, Future: points(f, l)}
		if i := slices.Index(r.Forecast.Layers, layer); i >= 0 && r.Forecast.Days[last] == c.Until { // one number for one day
			x.Future[len(x.Future)-1].Estimate = r.Forecast.Estimate(-1, last, i)
		}
		out = append(out, x)
	}
	return out, nil
}

// Remark says what speaks against a piece of work of a plan on its day or in its amount; empty for nothing.
func (p *SeasonPlan) Remark(plan season.Plan, i int) string {
	e, c := plan.Entries[i], p.Search.Calendar
	for _, x := range c.Closed {
		if e.Day >= x.From && e.Day <= x.Until {
			return "the course is closed for work that day"
		}
	}
	o := e.Operation
	if index := c.Index(e.Day); index < o.Growth {
		return fmt.Sprintf("little grows then: the growth index is %.2f, it should be %.2f or more to heal", index, o.Growth)
	}
	if why, hard := p.bars(o, e.Day); hard {
		return fmt.Sprintf("%s: %.0f days are reckoned", why, o.DisturbedDays(c.Index(e.Day)))
	}
	if e.SandMM < o.SandLow-1e-9 || e.SandMM > o.SandHigh+1e-9 {
		return fmt.Sprintf("%g to %g mm is usual for it", o.SandLow, o.SandHigh)
	}
	for j, other := range plan.Entries {
		if apart := abs(other.Day - e.Day); j != i && other.Operation == o && apart < o.Spacing {
			return fmt.Sprintf("%d days from the same work on %s; %d are usual", apart, dayText(other.Day), o.Spacing)
		}
	}
	return ""
}

func abs(d int) int { return max(d, -d) }
