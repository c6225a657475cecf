package app

import (
	"math"
	"slices"
	"sync"

	"underfoot"
	"underfoot/growth"
	"underfoot/season"
)

// feedings keeps a plan with its nitrogen moved to other amounts, so that the weather to come is driven once for each.
type feedings struct {
	mu   sync.Mutex
	list map[float64]*SeasonPlan
}

const feedingsKept = 8

// Feeding gives the plan with the nitrogen of its time moved to a total [kg/ha a season], or back to what is planned in
// the log for 0. The work, prices and what is wanted stay.
func (p *SeasonPlan) Feeding(total float64) (*SeasonPlan, error) {
	if total == p.Nitrogen {
		return p, nil
	}
	if !(total >= 0 && total <= 1000) {
		return nil, underfoot.Errorf(underfoot.Invalid, "plan: nitrogen is %g kg/ha a season: give 0 to 1000", total)
	}
	f := p.fed
	f.mu.Lock()
	defer f.mu.Unlock()
	if x := f.list[total]; x != nil {
		return x, nil
	}
	c := p.Search.Calendar
	a := SeasonAsk{From: underfoot.Date(c.From), Until: underfoot.Date(c.Until)}
	n := nitrogen{gifts: p.m.records.gifts, planned: p.m.plannedGifts(a)}
	if total > 0 {
		n = p.m.fed(a, total)
	}
	futures, err := p.m.records.futuresWith(n.gifts, c.Until, modelFutures)
	if err != nil {
		return nil, err
	}
	search := *p.Search
	search.Futures = futures
	out := *p
	out.Search, out.Gifts, out.Nitrogen = &search, n.planned, total
	if len(f.list) >= feedingsKept {
		clear(f.list)
	}
	f.list[total] = &out
	return &out, nil
}

func newFeedings() *feedings { return &feedings{list: map[float64]*SeasonPlan{}} }

// gifts is the nitrogen the plan goes by.
func (p *SeasonPlan) gifts() []growth.Gift {
	if p.Nitrogen == 0 {
		return p.m.records.gifts
	}
	c := p.Search.Calendar
	return p.m.fed(SeasonAsk{From: underfoot.Date(c.From), Until: underfoot.Date(c.Until)}, p.Nitrogen).gifts
}

// giftsAYear is into how many gifts [Model.fed] shares a season's nitrogen out.
const giftsAYear = 6

// KeptNitrogen gives the nitrogen a kept plan moved [kg/ha a season]; 0 where it left it as planned in the log.
func (p *SeasonPlan) KeptNitrogen(name string) float64 {
	for i := range p.m.s.Records.Scenarios {
		if x := &p.m.s.Records.Scenarios[i]; x.Scenario == name && x.Kind == "nitrogen" {
			return math.Round(giftsAYear*x.NitrogenKgHa.Or(0)*1e6) / 1e6 // gifts are equal
		}
	}
	return 0
}

// movedGifts are the rows that keep a plan's moved nitrogen; none where it stays as it was planned.
func (p *SeasonPlan) movedGifts() []underfoot.Work {
	if p.Nitrogen == 0 {
		return nil
	}
	return p.Gifts
}

// Within gives the part of a plan that lies in the time planned for, and how many pieces of work lie before and after it.
func (p *SeasonPlan) Within(plan season.Plan) (part season.Plan, before, after int) {
	c := p.Search.Calendar
	part.Entries = slices.DeleteFunc(slices.Clone(plan.Entries), func(e season.Entry) bool {
		switch {
		case e.Day < c.From:
			before++
		case e.Day > c.Until:
			after++
		default:
			return false
		}
		return true
	})
	return part, before, after
}
