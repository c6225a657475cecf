package growth

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Observation is a day's weather as measured; NaN is not measured.
type Observation struct {
	Day            int     // days since 1970-01-01
	Min, Max, Rain float64 // °C, °C, mm
}

// mean gives the mean temperature as the middle of the day's range, NaN when either end is missing.
func (o Observation) mean() float64 { return (o.Min + o.Max) / 2 }

// Weather is a run of days without gaps.
type Weather struct {
	First  int       // day of the first
	Mean   []float64 // air temperature, °C
	Rain   []float64 // mm
	Filled []bool    // temperature not measured that day
}

// Until gives the first day after the run.
func (w Weather) Until() int { return w.First + len(w.Mean) }

const (
	leastDays = 300 // measured days a climate can be told from; working default
	shortGap  = 3   // d, drawn straight across; working default
)

// Fill makes a run without gaps from a day until another, both included. Gaps of up to 3 days are drawn straight
// across; longer ones, and days before or after the record, take the course's own mean of that time of year. It
// refuses a record of fewer than 300 days with a temperature.
func Fill(obs []Observation, from, until int) (Weather, error) {
	if until < from {
		return Weather{}, fmt.Errorf("weather: the run ends before it begins")
	}
	c, err := ClimateOf(obs)
	if err != nil {
		return Weather{}, err
	}
	return c.fill(from, until), nil
}

// Climate is the weather a course has had, and what is usual there at a time of year.
type Climate struct {
	first int
	mean  []float64 // by day from first, NaN where not measured
	rain  []float64
	usual [5]float64 // a0 + Σ ak·cos + bk·sin of the time of year, two harmonics
	wet   float64    // mean rain of a day, mm
	years []int      // calendar years measured nearly whole
}

// ClimateOf takes a record in, in any order; of a day given twice the last counts.
func ClimateOf(obs []Observation) (Climate, error) {
	var c Climate
	if len(obs) == 0 {
		return c, fmt.Errorf("weather: there is none: bring in daily lowest and highest temperatures of a station near the course")
	}
	low, high := obs[0].Day, obs[0].Day
	for _, o := range obs {
		low, high = min(low, o.Day), max(high, o.Day)
	}
	if high-low > 366*200 {
		return c, fmt.Errorf("weather: the record spans %d years: 200 at most", (high-low)/365)
	}
	c.first = low
	c.mean, c.rain = blank(high-low+1), blank(high-low+1)
	for _, o := range obs {
		c.mean[o.Day-low], c.rain[o.Day-low] = o.mean(), o.Rain
	}
	measured, wet, rained := 0, 0.0, 0
	perYear := map[int]int{}
	for i, t := range c.mean {
		if !math.IsNaN(t) {
			measured++
			perYear[yearOf(low+i)]++
		}
		if r := c.rain[i]; !math.IsNaN(r) {
			wet += r
			rained++
		}
	}
	if measured < leastDays {
		return c, fmt.Errorf("weather: only %d days have a lowest and a highest temperature: %d are needed to tell a year by", measured, leastDays)
	}
	if rained > 0 {
		c.wet = wet / float64(rained)
	}
	for y, n := range perYear {
		if n >= 346 { // 95 % of a year
			c.years = append(c.years, y)
		}
	}
	slices.Sort(c.years)
	return c, c.harmonics()
}

func blank(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = math.NaN()
	}
	return v
}

func yearOf(day int) int { return time.Unix(int64(day)*86400, 0).UTC().Year() }

// basis gives the harmonics of the time of year of a day.
func basis(day int) [5]float64 {
	x := 2 * math.Pi * float64(day) / 365.25
	return [5]float64{1, math.Cos(x), math.Sin(x), math.Cos(2 * x), math.Sin(2 * x)}
}

// harmonics fits the usual temperature of a time of year by least squares.
func (c *Climate) harmonics() error {
	var a [5][6]float64
	for i, t := range c.mean {
		if math.IsNaN(t) {
			continue
		}
		b := basis(c.first + i)
		for j := range 5 {
			for k := range 5 {
				a[j][k] += b[j] * b[k]
			}
			a[j][5] += b[j] * t
		}
	}
	for j := range 5 { // Gauss–Jordan with the largest pivot
		p := j
		for r := j; r < 5; r++ {
			if math.Abs(a[r][j]) > math.Abs(a[p][j]) {
				p = r
			}
		}
		a[j], a[p] = a[p], a[j]
		if math.Abs(a[j][j]) < 1e-6 {
			return fmt.Errorf("weather: the days measured lie too close together in the year to tell the rest by")
		}
		for r := range 5 {
			if r == j {
				continue
			}
			f := a[r][j] / a[j][j]
			for k := j; k < 6; k++ {
				a[r][k] -= f * a[j][k]
			}
		}
	}
	for j := range 5 {
		c.usual[j] = a[j][5] / a[j][j]
	}
	return nil
}

// usually gives the usual temperature of a day's time of year.
func (c *Climate) usually(day int) float64 {
	var t float64
	for j, b := range basis(day) {
		t += c.usual[j] * b
	}
	return t
}

// at gives what was measured on a day, NaN outside the record.
func (c *Climate) at(day int) (mean, rain float64) {
	if i := day - c.first; i >= 0 && i < len(c.mean) {
		return c.mean[i], c.rain[i]
	}
	return math.NaN(), math.NaN()
}

// fill makes a run without gaps.
func (c *Climate) fill(from, until int) Weather {
	w := Weather{First: from}
	for d := from; d <= until; d++ {
		t, r := c.at(d)
		filled := math.IsNaN(t)
		if filled {
			t = c.across(d)
		}
		if math.IsNaN(r) {
			r = c.wet
		}
		w.Mean, w.Rain, w.Filled = append(w.Mean, t), append(w.Rain, r), append(w.Filled, filled)
	}
	return w
}

// across draws straight across a short gap, and takes what is usual in a long one.
func (c *Climate) across(day int) float64 {
	a, b := day, day
	var before, after float64
	for before = math.NaN(); math.IsNaN(before) && day-a <= shortGap; {
		a--
		before, _ = c.at(a)
	}
	for after = math.NaN(); math.IsNaN(after) && b-day <= shortGap; {
		b++
		after, _ = c.at(b)
	}
	if math.IsNaN(before) || math.IsNaN(after) || b-a-1 > shortGap {
		return c.usually(day)
	}
	return before + (after-before)*float64(day-a)/float64(b-a)
}

// Count gives how many of the course's own years can be drawn.
func (c Climate) Count() int { return len(c.years) }

// Draw gives the weather of days to come, both included, as that of own years: pick says for each calendar year which
// of them, 0 to Count−1. 29 February is the 28th where the own year has none. All of it is marked as filled.
func (c Climate) Draw(from, until int, pick func(year int) int) Weather {
	own := map[int]int{}
	return c.ahead(from, until, func(day int) (float64, float64) {
		t := time.Unix(int64(day)*86400, 0).UTC()
		y, ok := own[t.Year()]
		if !ok {
			y = c.years[((pick(t.Year())%len(c.years))+len(c.years))%len(c.years)]
			own[t.Year()] = y
		}
		d := t.Day()
		if t.Month() == time.February && d == 29 {
			d = 28
		}
		at := int(time.Date(y, t.Month(), d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
		mean, rain := c.at(at)
		if math.IsNaN(mean) {
			mean = c.across(at)
		}
		return mean, rain
	})
}

// Mean gives what is usual on days to come, both included.
func (c Climate) Mean(from, until int) Weather {
	return c.ahead(from, until, func(day int) (float64, float64) { return c.usually(day), c.wet })
}

func (c *Climate) ahead(from, until int, on func(day int) (mean, rain float64)) Weather {
	w := Weather{First: from}
	for d := from; d <= until; d++ {
		t, r := on(d)
		if math.IsNaN(r) {
			r = c.wet
		}
		w.Mean, w.Rain, w.Filled = append(w.Mean, t), append(w.Rain, r), append(w.Filled, true)
	}
	return w
}
