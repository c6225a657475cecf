package growth

import (
	"fmt"
	"math"
)

// Clipping is the volume of clippings taken off since the entry before.
type Clipping struct {
	Day         int     // days since 1970-01-01
	Litres100M2 float64 // L/100 m²
}

const (
	trust      = 0.7  // how far a volume is followed: it is known to 15–20 %, a month's growth from temperature to about 30 % (common practice, no source)
	follows    = 0.65 // part of clippings that follows nitrogen, to set them against the weather; working default
	longestDue = 60   // d since the entry before; after longer than that a volume is taken to be of the last
	covered    = 35   // d
	farthest   = 3.0  // times: the most a volume may move growth
)

// sizes gives the correction of growth from clippings, 1 on days without:
//
//	size = (V / (v̄ · Σ Shape·((1−b) + b·Nitrogen)))^0.7
//
// V the volume of an interval, the sum over its days, v̄ the course's own mean ratio of the two (geometric), so that
// clippings say which times grew more than temperature and nitrogen tell, whatever share of them the boxes caught.
func (d Drive) sizes(list []Clipping) (size []float64, notes []string) {
	size = make([]float64, len(d.Shape))
	for i := range size {
		size[i] = 1
	}
	type interval struct {
		from, until int // until not in it
		log         float64
	}
	var known []interval
	var sum float64
	long := 0
	for i, c := range list {
		from := c.Day - 30
		if i > 0 {
			from = list[i-1].Day + 1
			if c.Day-list[i-1].Day > longestDue {
				from = c.Day - covered + 1
				long++
			}
		}
		from, until := max(from, d.First), min(c.Day+1, d.First+len(d.Shape))
		var grown float64
		for day := from; day < until; day++ {
			grown += d.plain(day)
		}
		if c.Litres100M2 <= 0 || grown <= 1e-6 {
			continue
		}
		log := math.Log(c.Litres100M2 / grown)
		known = append(known, interval{from, until, log})
		sum += log
	}
	for _, k := range known {
		f := math.Exp(trust * (k.log - sum/float64(len(known))))
		f = math.Min(math.Max(f, 1/farthest), farthest)
		for day := k.from; day < k.until; day++ {
			size[day-d.First] = f
		}
	}
	if long > 0 {
		notes = append(notes, fmt.Sprintf("%d clipping entries follow the one before by more than %d days: each is taken to be of its last %d", long, longestDue, covered))
	}
	return size, notes
}

// plain is the growth of a day by temperature and nitrogen alone.
func (d Drive) plain(day int) float64 {
	i := day - d.First
	return d.Shape[i] * (1 - follows + follows*d.Nitrogen[i])
}
