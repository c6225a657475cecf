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
	trust       = 0.7  // how far a volume is followed: it is known to 15–20 %, a month's growth from temperature to about 30 % (common practice, no source)
	follows     = 0.65 // part of clippings that follows nitrogen, to set them against the weather; working default
	longestDue  = 60   // d since the entry before; after longer than that a volume is taken to be of the last
	covered     = 35   // d
	firstCovers = 31   // d that the first entry is taken to be of
	leastGrown  = 1e-6 // d of full growth under which a volume says nothing of size
	farthest    = 3.0  // times: the most a volume may move growth
)

// interval is the days a volume was grown on, and how it stands to what temperature and nitrogen tell.
type interval struct {
	from, until int // until not in it
	log         float64
}

// sizes gives the correction of growth from clippings, 1 on days without:
//
//	size = (V / (v̄ · Σ Shape·((1−b) + b·Nitrogen)))^0.7
//
// V the volume of an interval, the sum over its days, v̄ the course's own mean ratio of the two (geometric), so that
// clippings say which times grew more than temperature and nitrogen tell, whatever share of them the boxes caught. list: by
// day. Volumes that reach beyond the run are left out: what grew there is not known.
func (d Drive) sizes(list []Clipping) (size []float64, notes []string) {
	size = make([]float64, len(d.Shape))
	for i := range size {
		size[i] = 1
	}
	known, long := d.intervals(list)
	var mean float64
	for _, k := range known {
		mean += k.log / float64(len(known))
	}
	for _, k := range known {
		f := math.Exp(trust * (k.log - mean))
		f = math.Min(math.Max(f, 1/farthest), farthest)
		for day := k.from; day < k.until; day++ {
			size[day-d.First] = f
		}
	}
	switch {
	case long == 1:
		notes = append(notes, fmt.Sprintf("1 clipping entry follows the one before by more than %d days: it is taken to be of its last %d", longestDue, covered))
	case long > 1:
		notes = append(notes, fmt.Sprintf("%d clipping entries follow the one before by more than %d days: each is taken to be of its last %d", long, longestDue, covered))
	}
	return size, notes
}

// intervals takes the entries for the days they cover; long counts those that follow the one before after too long.
func (d Drive) intervals(list []Clipping) (known []interval, long int) {
	for i := 0; i < len(list); {
		day, volume := list[i].Day, 0.0
		from := day - firstCovers + 1
		if i > 0 {
			from = list[i-1].Day + 1
			if day-list[i-1].Day > longestDue {
				from = day - covered + 1
				long++
			}
		}
		for ; i < len(list) && list[i].Day == day; i++ { // several of a day were taken off together
			volume += list[i].Litres100M2
		}
		if volume == 0 || from < d.First || day >= d.First+len(d.Shape) {
			continue
		}
		var grown float64
		for at := from; at <= day; at++ {
			grown += d.plain(at)
		}
		if grown > leastGrown {
			known = append(known, interval{from, day + 1, math.Log(volume / grown)})
		}
	}
	return known, long
}

// plain is the growth of a day by temperature and nitrogen alone.
func (d Drive) plain(day int) float64 {
	i := day - d.First
	return d.Shape[i] * (1 - follows + follows*d.Nitrogen[i])
}
