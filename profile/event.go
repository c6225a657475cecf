package profile

import (
	"fmt"
	"math"
	"slices"
)

// Event is one piece of work on a green. Exactly one of its parts does something: sand on the surface, an opening, or
// sand between two depths.
type Event struct {
	Day     int     // days since 1970-01-01
	Sand    float64 // kg/m², dry: on the surface, or between Top and Bottom when Bottom is above 0
	Top     float64 // mm
	Bottom  float64 // mm
	Opening Opening
}

// Check refuses work that no column could bear.
func (e Event) Check(columnDepth float64) error {
	g := e.Opening
	within := func(what string, v, low, high float64, unit string) error {
		if v >= low && v <= high {
			return nil
		}
		return fmt.Errorf("%s is %s: allowed are %g to %s", what, said(v, unit), low, said(high, unit))
	}
	for _, err := range []error{
		within("sand", e.Sand, 0, 200, "kg/m²"),
		within("share of the surface opened", g.Touched, 0, most, ""),
		within("depth of tines or blades", g.Depth, 0, columnDepth, "mm"),
		within("share of the holes filled", g.Fill, 0, 1, ""),
		within("depth sand is placed from", e.Top, 0, columnDepth, "mm"),
		within("depth sand is placed to", e.Bottom, 0, columnDepth, "mm"),
	} {
		if err != nil {
			return err
		}
	}
	if g.Touched > 0 && e.Sand > 0 {
		return fmt.Errorf("%g kg/m² of sand and an opening of %g in one entry: give sand for the holes as the share filled, and other sand as an entry of its own", e.Sand, g.Touched)
	}
	if e.Bottom > 0 && e.Bottom <= e.Top {
		return fmt.Errorf("sand is placed from %g to %g mm: the second has to be deeper", e.Top, e.Bottom)
	}
	return nil
}

// Sight is a look at what lies between two depths on a day, after that day's work.
type Sight struct {
	Day         int
	Top, Bottom float64 // mm
}

// Track is what happens to one green, ready to be run again and again.
type Track struct {
	ops    []op
	sights []sight
	spans  []Sight
	edges  []float64
	room   int
	reach  float64 // nothing is asked for below, mm
}

type op struct {
	look int
	Event
}

type sight struct{ look, at int } // at: in the list it was asked for by

// NewTrack lays a green's work, in the order it was done on each day, and the sights onto the looks of a forcing. Work
// before the first look and after the last is left out. Dressings that follow one another on a day are worked in
// together, so neither their order nor how they are split matters.
func NewTrack(s Settings, looks []int, work []Event, sights []Sight) (*Track, error) {
	t := &Track{edges: s.cells(), spans: sights}
	var depths reach
	last := 0
	for i, e := range work {
		if len(looks) == 0 || e.Day < looks[0] || e.Day > looks[len(looks)-1] {
			continue
		}
		if err := e.Check(s.Depth); err != nil {
			return nil, fmt.Errorf("work %d of a green: %w", i+1, err)
		}
		look, ok := find(looks, e.Day)
		if !ok {
			return nil, fmt.Errorf("work %d of a green: day %d is not among the days looked at", i+1, e.Day)
		}
		if look < last {
			return nil, fmt.Errorf("work %d of a green is dated before the one above it: sort it by day", i+1)
		}
		last = look
		depths.work(e, s)
		if n := len(t.ops); n > 0 && t.ops[n-1].look == look && t.ops[n-1].dressing() && e.dressing() {
			t.ops[n-1].Sand += e.Sand
			continue
		}
		t.ops = append(t.ops, op{look: look, Event: e})
	}
	t.room = s.parcels() + t.dressings(s)
	for i, v := range sights {
		look, ok := find(looks, v.Day)
		if !ok {
			return nil, fmt.Errorf("sight %d: day %d is not among the days looked at", i+1, v.Day)
		}
		if !(v.Top >= 0 && v.Bottom > v.Top && v.Bottom <= s.Depth) {
			return nil, fmt.Errorf("sight %d: %g to %g mm: give depths from 0 to %g mm, the second deeper", i+1, v.Top, v.Bottom, s.Depth)
		}
		t.sights = append(t.sights, sight{look, i})
		depths.at(v.Bottom)
	}
	t.reach = depths.depth()
	slices.SortStableFunc(t.sights, func(a, b sight) int { return a.look - b.look })
	return t, nil
}

// dressing says whether an event is sand on the surface.
func (e Event) dressing() bool { return e.Sand > 0 && e.Bottom == 0 && e.Opening.Touched == 0 }

// dressings gives how many parcels the dressings make at most.
func (t *Track) dressings(s Settings) int {
	var c Column
	parcels := 0
	for _, o := range t.ops {
		if o.dressing() && c.own(o.Sand, s) {
			parcels++
		}
	}
	return parcels
}

// find gives the look of a day.
func find(looks []int, day int) (int, bool) {
	lo, hi := 0, len(looks)
	for lo < hi {
		m := (lo + hi) / 2
		if looks[m] < day {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return lo, lo < len(looks) && looks[lo] == day
}

// Looks gives the days a course has to be looked at from its start until its end: those named and so many between
// that no step is longer than s.Step.
func (s Settings) Looks(start, end int, named ...int) []int {
	days := map[int]bool{start: true, end: true}
	for _, d := range named {
		if d >= start && d <= end {
			days[d] = true
		}
	}
	var looks []int
	last := start
	for d := start; d <= end; d++ {
		if !days[d] {
			continue
		}
		if steps := int(math.Ceil(float64(d-last) / float64(s.Step))); steps > 1 {
			for j := 1; j < steps; j++ {
				looks = append(looks, last+(d-last)*j/steps)
			}
		}
		looks = append(looks, d)
		last = d
	}
	return looks
}

// Within gives the part of the work that lies in a column of a depth [mm]: what goes deeper happens below all that is
// looked at.
func (e Event) Within(depth float64) Event {
	e.Opening.Depth = math.Min(e.Opening.Depth, depth)
	if e.Bottom > depth {
		if e.Top >= depth {
			return Event{Day: e.Day}
		}
		e.Sand *= (depth - e.Top) / (e.Bottom - e.Top)
		e.Bottom = depth
	}
	return e
}
