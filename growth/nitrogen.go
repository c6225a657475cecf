package growth

import (
	"fmt"
	"math"
)

// Gift is nitrogen given on a day.
type Gift struct {
	Day  int     // days since 1970-01-01
	KgHa float64 // kg/ha
}

// Reference is the nitrogen of a year that the size of growth is stated at, kg/ha; working default, no source.
const Reference = 150

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
	if len(gifts) == 0 {
		for i := range values {
			values[i] = 1
		}
		return values, []string{fmt.Sprintf("no nitrogen is on record: growth is taken as with %d kg/ha a year", Reference)}
	}
	l := seasonLog{gifts: gifts, south: south, whole: map[int]float64{}}
	l.low, l.high = seasonYear(gifts[0].Day, south), seasonYear(gifts[len(gifts)-1].Day, south)
	for _, g := range gifts {
		l.whole[seasonYear(g.Day, south)] += g.KgHa
	}
	l.complete()
	for day := first; day < until; {
		year := seasonYear(day, south)
		v, known := l.whole[year]
		if !known {
			v = l.nearest(year)
			if year > l.low && year < l.high {
				l.note("no nitrogen is on record for %s: taken as %.0f kg/ha, as in the season before", seasonName(year, south), v)
			}
		}
		for end := min(yearStart(year+1, south), until); day < end; day++ {
			values[day-first] = v / Reference
		}
	}
	return values, l.notes
}

// seasonLog is the nitrogen on record, by season.
type seasonLog struct {
	gifts     []Gift // by day
	south     bool
	low, high int             // first and last season
	whole     map[int]float64 // kg/ha of the seasons known, brought to whole ones
	notes     []string
}

func (l *seasonLog) note(format string, args ...any) {
	l.notes = append(l.notes, fmt.Sprintf(format, args...))
}

// When the log of a season is taken to hold a part of it only; working defaults, no source.
const (
	lateness  = 21   // d that one season's gifts may lie later than another's without seeming to be missing
	asWhole   = 0.85 // share of a season's nitrogen from which it is as good as whole
	tooLittle = 0.25 // share under which it says nothing of the rest
)

// complete brings the first and the last season to whole ones where the log holds only a part of them.
func (l *seasonLog) complete() {
	if l.low == l.high {
		return
	}
	last := l.gifts[len(l.gifts)-1].Day - yearStart(l.high, l.south)
	begin := l.gifts[0].Day - yearStart(l.low, l.south)
	late, lateKnown := l.share(l.high, func(d int) bool { return d <= last+lateness })
	early, earlyKnown := l.share(l.low, func(d int) bool { return d >= begin-lateness })
	if l.high-l.low == 1 && lateKnown && earlyKnown && late < tooLittle && early < tooLittle {
		// two halves of seasons that together make one
		total := l.whole[l.low] + l.whole[l.high]
		l.whole = map[int]float64{l.low: total, l.high: total}
		l.note("the nitrogen on record, %.0f kg/ha, covers the end of one season and the beginning of the next: taken as one year's", total)
		return
	}
	if lateKnown {
		l.scale(l.high, late)
	}
	if earlyKnown {
		l.scale(l.low, early)
	}
}

// share gives the part of their nitrogen that other seasons had given on the days of the season year for which in holds; not
// known where no other season tells. Seasons at an end of the log tell only where there are too few others.
func (l *seasonLog) share(year int, in func(dayOfYear int) bool) (share float64, known bool) {
	var part, all float64
	for _, g := range l.gifts {
		y := seasonYear(g.Day, l.south)
		if y == year || (y == l.low || y == l.high) && l.high-l.low > 2 {
			continue
		}
		all += g.KgHa
		if in(g.Day - yearStart(y, l.south)) {
			part += g.KgHa
		}
	}
	return part / all, all > 0
}

// scale brings a season of which the log holds a share to a whole one.
func (l *seasonLog) scale(year int, share float64) {
	const said = "the nitrogen of %s is on record for part of the year only"
	name := seasonName(year, l.south)
	switch {
	case share > asWhole:
	case share < tooLittle:
		delete(l.whole, year)
		as := "before"
		if year == l.low {
			as = "after"
		}
		l.note(said+": taken as in the season %s", name, as)
	default:
		l.note(said+": %.0f kg/ha on record are taken as %.0f %% of the year's", name, l.whole[year], math.Round(100*share))
		l.whole[year] /= share
	}
}

// nearest gives the nitrogen of the last season known up to a year, or else of the first after it, kg/ha. Should none be
// known, it is the log's total by its length in years.
func (l *seasonLog) nearest(year int) float64 {
	for y := min(year, l.high); y >= l.low; y-- {
		if v, ok := l.whole[y]; ok {
			return v
		}
	}
	for y := max(year, l.low); y <= l.high; y++ {
		if v, ok := l.whole[y]; ok {
			return v
		}
	}
	var sum float64
	for _, g := range l.gifts {
		sum += g.KgHa
	}
	const long = 365.25 // d a year
	return sum / math.Max(1, float64(l.gifts[len(l.gifts)-1].Day-l.gifts[0].Day)/long)
}
