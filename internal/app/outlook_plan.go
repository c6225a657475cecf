package app

import (
	"slices"

	"underfoot"
	"underfoot/profile"
)

// plan gives the work the forecast goes by, the same as that of the levers, and keeps the days of it that are to come.
func (o *Foretold) plan(m *Model) [][]profile.Event {
	var work [][]profile.Event
	work, o.Plan = m.basePlan(o.Horizons[1])
	for _, green := range work {
		for _, e := range green {
			if d := underfoot.Date(e.Day); d > o.From && d <= o.Horizons[1] && !slices.Contains(o.Work, d) {
				o.Work = append(o.Work, d)
			}
		}
	}
	slices.Sort(o.Work)
	return work
}
