package app

import (
	"fmt"
	"slices"

	"underfoot"
	"underfoot/profile"
)

// plan gives the work the forecast goes by: what is planned, and the work of the last twelve months over again where nothing is.
func (o *Outlook) plan(m *Model) ([][]profile.Event, error) {
	work := m.records.planned
	if !m.Planned() {
		work = make([][]profile.Event, len(m.records.planned))
		for g, done := range m.records.planned {
			work[g] = slices.Clone(done)
			for n := 1; n <= 2; n++ {
				for _, e := range done {
					if from := yearsOn(o.From, -1); e.Day > int(from) && e.Day <= int(o.From) {
						e.Day = int(yearsOn(underfoot.Date(e.Day), n))
						work[g] = append(work[g], e)
					}
				}
			}
		}
	}
	days := map[int]bool{}
	for _, green := range work {
		for _, e := range green {
			if e.Day > int(o.From) && e.Day <= int(o.Horizons[1]) && !days[e.Day] {
				days[e.Day] = true
				o.Work = append(o.Work, underfoot.Date(e.Day))
			}
		}
	}
	slices.Sort(o.Work)
	o.Plan = o.planSays(m, o.Work)
	return work, nil
}

func (o *Outlook) planSays(m *Model, days []underfoot.Date) string {
	switch {
	case m.Planned():
		last := days[len(days)-1].Time().Format("2 January 2006")
		if o.Horizons[1]-days[len(days)-1] > 200 {
			return fmt.Sprintf("the work planned, on %d days up to %s, and none after it", len(days), last)
		}
		return fmt.Sprintf("the work planned, on %d days up to %s", len(days), last)
	case len(days) == 0:
		return "no work at all, as none is planned and none was logged in the last twelve months"
	}
	return "the work of the last twelve months over again, as nothing is planned"
}
