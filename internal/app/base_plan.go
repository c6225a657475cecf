package app

import (
	"fmt"
	"slices"

	"underfoot"
	"underfoot/profile"
)

// covers is how long before the end a plan may stop and still count as whole, d: work rests in winter. Working default.
const covers = 200

// basePlan gives the work done and what is to come until a day, and says in words what it goes by: what is planned, the
// work of the last twelve months over again, or the one and then the other.
func (m *Model) basePlan(until underfoot.Date) ([][]profile.Event, string) {
	from := m.LastDay()
	last := from // day of planned work
	for _, green := range m.records.planned {
		for _, e := range green {
			if e.Day <= int(until) {
				last = max(last, underfoot.Date(e.Day))
			}
		}
	}
	if last > from && until-last <= covers {
		return m.records.planned, "the work planned"
	}
	again := 0
	work := make([][]profile.Event, len(m.records.planned))
	for g, list := range m.records.planned {
		more := repeated(list, from, last, until)
		work[g] = slices.Concat(list, more)
		again += len(more)
		slices.SortStableFunc(work[g], func(a, b profile.Event) int { return a.Day - b.Day })
	}
	switch {
	case last > from && again == 0:
		return work, fmt.Sprintf("the work planned, up to %s, and none after it", last)
	case last > from:
		return work, fmt.Sprintf("the work planned, up to %s, and after it the work of the last twelve months over again", last)
	case again == 0:
		return work, "no work at all, as none is planned and none was logged in the last twelve months"
	}
	return work, "the work of the last twelve months over again, as nothing is planned"
}
