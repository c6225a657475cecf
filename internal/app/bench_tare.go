package app

import (
	"slices"

	"underfoot/bench"
	"underfoot/unit"
)

// TareHistories judges the tares of every crucible on record, by the name of the crucible: those written down by
// themselves and those of each furnace run that has a date.
func (s *Standing) TareHistories() []bench.TareHistory {
	lists := map[string][]bench.Tared{}
	coarse := map[string]unit.Grams{} // of the balances each was weighed on
	for i := range s.Quality.Runs {
		r := &s.Quality.Runs[i]
		if !r.Dated {
			continue
		}
		for _, w := range r.Crucibles {
			if w.Crucible == "" || !w.TareG.Known {
				continue
			}
			lists[w.Crucible] = append(lists[w.Crucible], bench.Tared{Day: float64(r.Date), Mass: unit.Grams(w.TareG.Value)})
			coarse[w.Crucible] = max(coarse[w.Crucible], unit.Grams(w.ResolutionG.Or(float64(bench.DefaultResolution))))
		}
	}
	for _, t := range s.Records.Tares {
		lists[t.Crucible] = append(lists[t.Crucible], bench.Tared{Day: float64(t.Date), Mass: unit.Grams(t.TareG)})
	}
	var out []bench.TareHistory
	for name, list := range lists {
		step, weighed := coarse[name]
		if !weighed {
			step = bench.DefaultResolution
		}
		if h, err := bench.Tares(name, list, &step); err == nil {
			out = append(out, h)
		}
	}
	slices.SortFunc(out, func(a, b bench.TareHistory) int { return naturally(a.Crucible, b.Crucible) })
	return out
}
