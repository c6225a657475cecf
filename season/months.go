package season

import (
	"cmp"
	"slices"
	"time"
)

// Month is a month of a year.
type Month struct {
	Year  int
	Month time.Month
}

// monthOf gives the month of a day.
func monthOf(day int) Month {
	t := time.Unix(int64(day)*86400, 0).UTC()
	return Month{t.Year(), t.Month()}
}

// MonthCost is what the work of one month takes.
type MonthCost struct {
	Month
	Events int
	Cost
}

// CostByMonth gives what a plan takes month by month, in order; months without work are left out.
func (p *Plan) CostByMonth(prices *Prices, c *Calendar) []MonthCost {
	var list []MonthCost
	for _, e := range p.Entries {
		m := monthOf(e.Day)
		i := slices.IndexFunc(list, func(x MonthCost) bool { return x.Month == m })
		if i < 0 {
			list = append(list, MonthCost{Month: m})
			i = len(list) - 1
		}
		list[i].Events++
		list[i].add(prices.of(e, c))
	}
	slices.SortFunc(list, func(a, b MonthCost) int { return cmp.Or(a.Year-b.Year, int(a.Month.Month-b.Month.Month)) })
	return list
}
