package growth

import (
	"fmt"
	"math"
)

// Observation is a day's weather as measured; NaN is not measured.
type Observation struct {
	Day            int     // days since 1970-01-01
	Min, Max, Rain float64 // °C, °C, mm
}

// mean gives the mean temperature as the middle of the day's range, NaN when either end is missing.
func (o Observation) mean() float64 {
	t := (o.Min + o.Max) / 2
	if math.IsInf(t, 0) {
		return math.NaN()
	}
	return t
}

// Weather is a run of days without gaps.
type Weather struct {
	First  int       // day of the first
	Mean   []float64 // air temperature, °C
	Rain   []float64 // mm
	Filled []bool    // temperature not measured that day
}

// Until gives the first day after the run.
func (w Weather) Until() int { return w.First + len(w.Mean) }

// run makes room for the days from..until.
func run(from, until int) Weather {
	n := max(until-from+1, 0)
	return Weather{First: from, Mean: make([]float64, n), Rain: make([]float64, n), Filled: make([]bool, n)}
}

// shortGap is the longest gap that is drawn straight across, d; working default, no source.
const shortGap = 3

// Fill makes a run without gaps from a day until another, both included. Gaps of up to 3 days are drawn straight
// across; longer ones, and days before or after the record, take the course's own mean of that time of year. Days
// without rain on record take the record's mean. It refuses the records that [ClimateOf] refuses.
func Fill(obs []Observation, from, until int) (Weather, error) {
	if until < from {
		return Weather{}, fmt.Errorf("weather: the run ends on %s, before it begins on %s", date(until), date(from))
	}
	c, err := ClimateOf(obs)
	if err != nil {
		return Weather{}, err
	}
	w := run(from, until)
	for i := range w.Mean {
		t, r := c.at(from + i)
		if math.IsNaN(t) {
			t, w.Filled[i] = c.across(from+i), true
		}
		if math.IsNaN(r) {
			r = c.wet
		}
		w.Mean[i], w.Rain[i] = t, r
	}
	return w, nil
}

// across draws straight across a short gap, and takes what is usual in a long one.
func (c *Climate) across(day int) float64 {
	a, b := day, day
	before, after := math.NaN(), math.NaN()
	for math.IsNaN(before) && day-a <= shortGap {
		a--
		before, _ = c.at(a)
	}
	for math.IsNaN(after) && b-day <= shortGap {
		b++
		after, _ = c.at(b)
	}
	if math.IsNaN(before) || math.IsNaN(after) || b-a-1 > shortGap {
		return c.usually(day)
	}
	return before + (after-before)*float64(day-a)/float64(b-a)
}
