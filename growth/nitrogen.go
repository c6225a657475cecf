package growth

import (
	"fmt"
	"math"
	"time"
)

// Gift is nitrogen given on a day.
type Gift struct {
	Day  int     // days since 1970-01-01
	KgHa float64 // kg/ha
}

// Reference is the nitrogen of a year that the size of growth is stated at, kg/ha; working default, no source.
const Reference = 150

// yearStart gives the day a season year begins: 1 January, 1 July in the south.
func yearStart(year int, south bool) int {
	month := time.January
	if south {
		month = time.July
	}
	return int(time.Date(year, month, 1, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// seasonYear gives the season year of a day.
func seasonYear(day int, south bool) int {
	y := yearOf(day)
	if south && day < yearStart(y, true) {
		return y - 1
	}
	return y
}

// seasons gives the nitrogen of each day's season year over [Reference]. gifts: by day; first, until: the run, until not in
// it.
//
// The season's total counts on every day of it: nitrogen that is given in spring still feeds the autumn, and logs are
// kept by season. A season of which the log holds only a part – it begins late or ends early – is brought to a whole
// one by the share that the other seasons had given over the same part of the year; a season without any entry is
// taken to be as the last one before it that has some, or the first after it; with no entry at all growth stands at
// the reference.
func seasons(gifts []Gift, first, until int, south bool) (values []float64, notes []string) {
	values = make([]float64, until-first)
	totals := map[int]float64{}
	for _, g := range gifts {
		totals[seasonYear(g.Day, south)] += g.KgHa
	}
	if len(totals) == 0 {
		for i := range values {
			values[i] = 1
		}
		return values, []string{fmt.Sprintf("no nitrogen is on record: growth is taken as with %d kg/ha a year", Reference)}
	}
	low, high := seasonYear(gifts[0].Day, south), seasonYear(gifts[len(gifts)-1].Day, south)
	whole, notes := complete(gifts, totals, low, high, south)
	nearest := func(year int) float64 {
		for y := min(year, high); y >= low; y-- {
			if v, ok := whole[y]; ok {
				return v
			}
		}
		for y := max(year, low); y <= high; y++ {
			if v, ok := whole[y]; ok {
				return v
			}
		}
		return Reference
	}
	missing := map[int]bool{}
	year, start, end := 0, 0, 0
	for i := range values {
		day := first + i
		if i == 0 || day >= end || day < start {
			year = seasonYear(day, south)
			start, end = yearStart(year, south), yearStart(year+1, south)
		}
		v, ok := whole[year]
		if !ok {
			v = nearest(year)
			missing[year] = true
		}
		values[i] = v / Reference
	}
	for y := low; y <= high; y++ {
		if missing[y] {
			notes = append(notes, fmt.Sprintf("no nitrogen is on record for %d: taken as %.0f kg/ha, as in the season before", y, nearest(y)))
		}
	}
	return values, notes
}

// complete brings the first and the last season to whole ones where the log holds only a part of them.
func complete(gifts []Gift, totals map[int]float64, low, high int, south bool) (whole map[int]float64, notes []string) {
	whole = map[int]float64{}
	for y, v := range totals {
		whole[y] = v
	}
	if low == high {
		return whole, nil
	}
	// the part of a season a log usually covers, from the seasons that are not at an end of it
	partial := func(year int, in func(dayOfYear int) bool) (share float64, ok bool) {
		var part, all float64
		for _, g := range gifts {
			y := seasonYear(g.Day, south)
			if y == year || (y == low || y == high) && high-low > 2 {
				continue
			}
			all += g.KgHa
			if in(g.Day - yearStart(y, south)) {
				part += g.KgHa
			}
		}
		if all == 0 {
			return 0, false
		}
		return part / all, true
	}
	last := gifts[len(gifts)-1].Day - yearStart(high, south)
	fix := func(year int, share float64, ok bool, what string) {
		switch {
		case !ok || share > 0.85: // as good as whole
		case share < 0.25:
			delete(whole, year)
			notes = append(notes, fmt.Sprintf("the nitrogen of %d %s: taken as in the season before", year, what))
		default:
			whole[year] = totals[year] / share
			notes = append(notes, fmt.Sprintf("the nitrogen of %d %s: %.0f kg/ha on record are taken as %.0f %% of the year's", year, what, totals[year], math.Round(100*share)))
		}
	}
	share, ok := partial(high, func(d int) bool { return d <= last+gap })
	fix(high, share, ok, "is on record for part of the year only")
	begin := gifts[0].Day - yearStart(low, south)
	share, ok = partial(low, func(d int) bool { return d >= begin-gap })
	fix(low, share, ok, "is on record for part of the year only")
	return whole, notes
}

// gap is by how many days one season's gifts may lie later than another's without seeming to be missing; working default.
const gap = 21
