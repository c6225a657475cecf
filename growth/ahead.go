package growth

import "math"

// Count gives how many of the course's own years can be drawn.
func (c Climate) Count() int { return len(c.years) }

// Draw gives the weather of days to come, both included, as that of own years: pick says for each calendar year which
// of them, 0 to Count−1 (taken round the circle beyond). 29 February is the 28th where the own year has none. All of it is
// marked as filled. With no own year it is [Climate.Mean].
func (c Climate) Draw(from, until int, pick func(year int) int) Weather {
	n := len(c.years)
	if n == 0 {
		return c.Mean(from, until)
	}
	w := run(from, until)
	for begin := from; begin <= until; {
		year := yearOf(begin)
		start, end := yearStart(year, false), yearStart(year+1, false)
		own := c.years[((pick(year)%n)+n)%n]
		ownStart := yearStart(own, false)
		shift := yearStart(own+1, false) - ownStart - (end - start) // −1, 0 or 1: a leap day less or more
		for day := begin; day < end && day <= until; day++ {
			at := ownStart + day - start
			if day-start >= februaryEnds && shift != 0 {
				at += shift
			}
			mean, rain := c.at(at)
			if math.IsNaN(mean) {
				mean = c.across(at)
			}
			if math.IsNaN(rain) {
				rain = c.wet
			}
			w.Mean[day-from], w.Rain[day-from], w.Filled[day-from] = mean, rain, true
		}
		begin = end
	}
	return w
}

// februaryEnds is the place in the year, from 0, of 29 February, or of 1 March in a year without.
const februaryEnds = 59

// Mean gives what is usual on days to come, both included.
func (c Climate) Mean(from, until int) Weather {
	w := run(from, until)
	for i := range w.Mean {
		w.Mean[i], w.Rain[i], w.Filled[i] = c.usually(from+i), c.wet, true
	}
	return w
}
