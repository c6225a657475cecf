package findings

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Kind is what a reading measures.
type Kind string

// Kinds of readings. Firmness and soil water decide a direction; the others inform.
const (
	FirmnessGmax Kind = "firmness_gmax"        // peak deceleration of a drop hammer, g; higher is firmer
	FirmnessMM   Kind = "firmness_mm"          // penetration depth, mm; higher is softer
	Moisture     Kind = "moisture_vwc_percent" // soil water, % by volume
	SpeedFt      Kind = "speed_ft"             // green speed, ft
	SpeedM       Kind = "speed_m"              // green speed, m
	Infiltration Kind = "infiltration_mm_h"    // infiltration, mm/h
)

// Reading is one measurement on the surface of one green on one day.
type Reading struct {
	Green string
	Date  time.Time
	Kind  Kind
	Value float64 // in the unit of its kind
}

// Target is the band the manager wants for one kind of reading, in some months of the year.
type Target struct {
	Kind               Kind
	Low, High          float64 // in the unit of the kind; infinite where that side is open
	FromMonth, ToMonth int     // 1 to 12, both included; from > to runs over the new year; 0 and 0 the whole year
}

// fewDays is how many reading days a season needs to stand for itself; with fewer, the season before
// speaks where it has them (common practice, no source).
const fewDays = 3

// dayMean is the mean over greens of one day's readings of one kind.
type dayMean struct {
	date  time.Time
	value float64
}

// checkReadings refuses what no arithmetic can use.
func checkReadings(readings []Reading, targets []Target) error {
	seen := map[Kind]bool{}
	for _, t := range targets {
		switch {
		case !known(t.Kind):
			return fmt.Errorf("target %q: no such kind of reading: allowed are %s", t.Kind, kindList())
		case seen[t.Kind]:
			return fmt.Errorf("target %s: given twice: keep one", t.Kind)
		case math.IsInf(t.Low, -1) && math.IsInf(t.High, 1):
			return fmt.Errorf("target %s: neither low nor high: give at least one of them", t.Kind)
		case !(t.Low < t.High):
			return fmt.Errorf("target %s: low %g is not below high %g: swap or correct them", t.Kind, t.Low, t.High)
		case t.FromMonth < 0 || t.FromMonth > 12 || t.ToMonth < 0 || t.ToMonth > 12 || (t.FromMonth == 0) != (t.ToMonth == 0):
			return fmt.Errorf("target %s: months %d to %d: allowed are 1 to 12, or both 0 for the whole year", t.Kind, t.FromMonth, t.ToMonth)
		}
		seen[t.Kind] = true
	}
	for _, r := range readings {
		switch {
		case !known(r.Kind):
			return fmt.Errorf("reading of %q on green %q: no such kind: allowed are %s", r.Kind, r.Green, kindList())
		case r.Date.IsZero():
			return fmt.Errorf("reading of %s on green %q: no date: give the day it was read", r.Kind, r.Green)
		case math.IsNaN(r.Value) || math.IsInf(r.Value, 0):
			return fmt.Errorf("reading of %s on green %q of %s: %g is not a number to reckon with: correct or drop it", r.Kind, r.Green, day(r.Date), r.Value)
		}
	}
	return nil
}

// contains reports whether a date falls in the target's months.
func (t Target) contains(d time.Time) bool {
	m := int(d.Month())
	switch {
	case t.FromMonth == 0:
		return true
	case t.FromMonth <= t.ToMonth:
		return m >= t.FromMonth && m <= t.ToMonth
	}
	return m >= t.FromMonth || m <= t.ToMonth
}

// season is the year in which the target's season that holds the date began.
func (t Target) season(d time.Time) int {
	if t.FromMonth > t.ToMonth && int(d.Month()) <= t.ToMonth {
		return d.Year() - 1
	}
	return d.Year()
}

// seasonName is how people name it: "2025", or "2025/26" over a new year.
func (t Target) seasonName(year int) string {
	if t.FromMonth > t.ToMonth {
		return fmt.Sprintf("%d/%02d", year, (year+1)%100)
	}
	return fmt.Sprint(year)
}

// lastSeason gives the day means of the last season with readings up to asOf. A season that has only
// just begun (fewer than fewDays days) gives way to the one before, if that has them.
func (t Target) lastSeason(readings []Reading, asOf time.Time) (year int, in []Reading, days []dayMean) {
	seasons := map[int][]Reading{}
	last := math.MinInt
	for _, r := range readings {
		if r.Kind != t.Kind || r.Date.After(asOf) || !t.contains(r.Date) {
			continue
		}
		y := t.season(r.Date)
		seasons[y] = append(seasons[y], r)
		last = max(last, y)
	}
	if len(seasons) == 0 {
		return 0, nil, nil
	}
	days = dayMeans(seasons[last])
	if len(days) < fewDays {
		if before := dayMeans(seasons[last-1]); len(before) >= fewDays {
			return last - 1, seasons[last-1], before
		}
	}
	return last, seasons[last], days
}

// dayMeans averages over greens within each day: greens share the day's weather, so days, not
// greens, are the evidence about a season.
func dayMeans(readings []Reading) []dayMean {
	type sum struct {
		date  time.Time
		total float64
		n     int
	}
	by := map[string]*sum{}
	for _, r := range readings {
		k := r.Date.Format(time.DateOnly)
		if by[k] == nil {
			by[k] = &sum{date: r.Date}
		}
		by[k].total += r.Value
		by[k].n++
	}
	out := make([]dayMean, 0, len(by))
	for _, s := range by {
		out = append(out, dayMean{s.date, s.total / float64(s.n)})
	}
	slices.SortFunc(out, func(a, b dayMean) int { return a.date.Compare(b.date) })
	return out
}
