package app

import (
	"fmt"
	"math"

	"underfoot"
	"underfoot/season"
)

// Barred is a stretch of days that speaks against an operation.
type Barred struct {
	From, Until underfoot.Date // both included
	Why         string
	Hard        bool // it is not to be done then; else it had better not be
}

// Barred lists the days of the time planned for on which an operation is not to be done, or had better not be, in order.
// A day is barred for one reason: closed before a tournament before too little growth.
func (p *SeasonPlan) Barred(o *season.Operation) []Barred {
	var list []Barred
	c := p.Search.Calendar
	for day := c.From; day <= c.Until; day++ {
		why, hard := p.bars(o, day)
		if why == "" {
			continue
		}
		d := underfoot.Date(day)
		if n := len(list); n > 0 && list[n-1].Until == d-1 && list[n-1].Why == why {
			list[n-1].Until = d
			continue
		}
		list = append(list, Barred{d, d, why, hard})
	}
	return list
}

// bars says what speaks against an operation on a day; empty for nothing.
func (p *SeasonPlan) bars(o *season.Operation, day int) (why string, hard bool) {
	c := p.Search.Calendar
	for _, x := range c.Closed {
		if day >= x.From && day <= x.Until {
			return spanned("the course is closed for work", x.From, x.Until), true
		}
	}
	opens := o.Kind != season.Topdress && o.Kind != season.InjectSand
	index := c.Index(day)
	gone := day + int(math.Ceil(o.DisturbedDays(index)))
	for _, t := range c.Tournaments {
		on := dayText(t.Day)
		switch {
		case day > t.Day:
		case day >= t.Day-t.Before:
			return fmt.Sprintf("the greens are kept for the tournament of %s", on), true
		case opens && t.Unopened > 0 && day >= t.Day-t.Unopened:
			return fmt.Sprintf("nothing opens the surface in the %d days before the tournament of %s", t.Unopened, on), true
		case gone > t.Day-t.Before:
			return fmt.Sprintf("it would not have healed before the tournament of %s", on), true
		}
	}
	if index < o.Growth {
		return fmt.Sprintf("little grows then: it wants a growth index of %.2f or more to heal", o.Growth), false
	}
	return "", false
}

// spanned adds the days of a stretch to a clause.
func spanned(what string, from, until int) string {
	if from == until {
		return what + " on " + dayText(from)
	}
	return fmt.Sprintf("%s from %s to %s", what, dayText(from), dayText(until))
}
