package growth

import (
	"fmt"
	"math"
	"slices"
)

// Climate is the weather a course has had, and what is usual there at a time of year.
type Climate struct {
	first int
	since int        // first day that counts for what is usual
	mean  []float64  // °C, by day from first, NaN where not measured
	rain  []float64  // mm, likewise
	usual [5]float64 // °C: mean, then cosine and sine of one and of two turns a year
	wet   float64    // mean rain of a day, mm
	years []int      // calendar years measured nearly whole
}

const (
	leastDays = 300 // d measured that a climate can be told from; working default, no source
	wholeYear = 346 // d measured, 95 %, that make a year one's own; working default, no source

	// widestHole is the longest part of the year, d, that may lie unmeasured in every year. The usual temperature there is drawn
	// by the harmonics alone: with one year of Seattle 2012–2015 it was off by 3.1 °C (root mean square, 5.2 °C at worst) over
	// 90 days, by 4.7 °C (10.8 °C) over 150 days, where a measured time of year is off by 2.7 °C.
	widestHole = 90

	// normalYears is how many years back from the last day measured count for what is usual: climate moves. 30 years are the
	// standard of climatological normals (WMO Guidelines on the Calculation of Climate Normals, WMO-No. 1203, 2017; from memory).
	normalYears = 30

	longestRecord = 400 // years; the oldest thermometers are not
)

// ClimateOf takes a record in, in any order; of a day measured twice the last counts. Daily means are (lowest + highest)/2;
// what is usual at a time of year is two harmonics through them by least squares. It refuses a record of fewer than 300
// days with a temperature, and one that leaves more than 90 days on end of the year unmeasured in every year. Of a longer record the last 30 years count.
func ClimateOf(obs []Observation) (Climate, error) {
	var c Climate
	if len(obs) == 0 {
		return c, fmt.Errorf("weather: there is none: bring in daily lowest and highest temperatures of a station near the course")
	}
	low, high := obs[0].Day, obs[0].Day
	for _, o := range obs {
		low, high = min(low, o.Day), max(high, o.Day)
	}
	if high-low > longestRecord*366 {
		return c, fmt.Errorf("weather: the record spans %d years, from %s to %s: %d at most", (high-low)/365, date(low), date(high), longestRecord)
	}
	c.first = low
	c.mean, c.rain = blank(high-low+1), blank(high-low+1)
	for _, o := range obs {
		if t := o.mean(); !math.IsNaN(t) {
			c.mean[o.Day-low] = t
		}
		if !math.IsNaN(o.Rain) && !math.IsInf(o.Rain, 0) {
			c.rain[o.Day-low] = o.Rain
		}
	}
	if err := c.cover(); err != nil {
		return Climate{}, err
	}
	return c, c.harmonics()
}

func blank(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = math.NaN()
	}
	return v
}

// cover looks at what of the year is measured.
func (c *Climate) cover() error {
	measured, rained := 0, 0
	perYear := map[int]int{}
	var ofYear [365]bool // 29 February counts as the 28th
	c.since = c.normalsBegin()
	for i := c.since - c.first; i < len(c.mean); i++ {
		t := c.mean[i]
		if !math.IsNaN(t) {
			measured++
			at := onDay(c.first + i)
			perYear[at.Year()]++
			ofYear[plainYearDay(at)] = true
		}
		if r := c.rain[i]; !math.IsNaN(r) {
			c.wet += r
			rained++
		}
	}
	if measured < leastDays {
		return fmt.Errorf("weather: only %d days have a lowest and a highest temperature: %d are needed to tell a year by", measured, leastDays)
	}
	if begin, n := widest(ofYear[:]); n > widestHole {
		from := yearStart(plainYear, false)
		return fmt.Errorf("weather: no year has temperatures between %s and %s: at most %d days on end of the time of year may be without any",
			monthDay(from+begin), monthDay(from+(begin+n-1)%365), widestHole)
	}
	if rained > 0 {
		c.wet /= float64(rained)
	}
	for y, n := range perYear {
		if n >= wholeYear {
			c.years = append(c.years, y)
		}
	}
	slices.Sort(c.years)
	return nil
}

// normalsBegin gives the day 30 years before the last day with a temperature, or the record's first.
func (c *Climate) normalsBegin() int {
	last := len(c.mean) - 1
	for last > 0 && math.IsNaN(c.mean[last]) {
		last--
	}
	return max(c.first, int(onDay(c.first+last).AddDate(-normalYears, 0, 1).Unix()/86400))
}

// widest gives where the longest run of false begins on the circle, and its length.
func widest(circle []bool) (begin, length int) {
	n, at := 0, 0
	for i := range 2 * len(circle) {
		if circle[i%len(circle)] {
			n = 0
			continue
		}
		if n == 0 {
			at = i % len(circle)
		}
		if n++; n > length && n <= len(circle) {
			begin, length = at, n
		}
	}
	return begin, length
}

// at gives what was measured on a day, NaN outside the record.
func (c *Climate) at(day int) (mean, rain float64) {
	if i := day - c.first; i >= 0 && i < len(c.mean) {
		return c.mean[i], c.rain[i]
	}
	return math.NaN(), math.NaN()
}
