package app

import (
	"cmp"
	"slices"
	"strconv"

	"underfoot"
	"underfoot/findings"
)

// ReadingDay is the mean over the greens of one kind of reading on one day.
type ReadingDay struct {
	Date underfoot.Date
	Mean float64
}

// Verdict returns what the last season's readings of a kind say against their band; nil where they were not judged.
func (s *Standing) Verdict(kind string) *findings.KindVerdict {
	for i := range s.Direction.Kinds {
		if string(s.Direction.Kinds[i].Kind) == kind {
			return &s.Direction.Kinds[i]
		}
	}
	return nil
}

// ReadingDays returns the reading days of the season that was judged, by date, and the name of the season; where the
// kind was not judged, those of the last calendar year it was read in.
func (s *Standing) ReadingDays(kind string) (days []ReadingDay, season string) {
	ours := map[string]bool{"": true}
	for _, g := range s.Greens {
		ours[g.ID] = true
	}
	var read []underfoot.Reading
	last := 0
	for _, r := range s.Records.Readings {
		if r.Kind == kind && ours[r.Green] && r.Date <= s.Today {
			read = append(read, r)
			last = max(last, r.Date.Year())
		}
	}
	in, season := s.season(kind, last)
	sum, n := map[underfoot.Date]float64{}, map[underfoot.Date]float64{}
	for _, r := range read {
		if in(r.Date) {
			sum[r.Date] += r.Value
			n[r.Date]++
		}
	}
	for d, total := range sum {
		days = append(days, ReadingDay{Date: d, Mean: total / n[d]})
	}
	slices.SortFunc(days, func(a, b ReadingDay) int { return cmp.Compare(a.Date, b.Date) })
	return days, season
}

// season says whether a day lies in the season a kind was judged by, else in the calendar year last.
func (s *Standing) season(kind string, last int) (in func(underfoot.Date) bool, name string) {
	v := s.Verdict(kind)
	if v == nil {
		return func(d underfoot.Date) bool { return d.Year() == last }, strconv.Itoa(last)
	}
	year, _ := strconv.Atoi(v.Season[:min(4, len(v.Season))])
	from, to := 1, 12
	for _, t := range s.Records.Targets {
		if t.Kind == kind {
			from, to = t.FromMonth.Or(1), t.ToMonth.Or(12)
		}
	}
	return func(d underfoot.Date) bool {
		m := int(d.Month())
		if from <= to {
			return d.Year() == year && m >= from && m <= to
		}
		return (d.Year() == year && m >= from) || (d.Year() == year+1 && m <= to)
	}, v.Season
}
