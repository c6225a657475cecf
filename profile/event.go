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
		return fmt.Errorf("%s is %g %s: allowed are %g to %g %s", what, v, unit, low, high, unit)
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
	own  bool // sand makes a parcel of its own
	Event
}

type sight struct{ look, at int } // at: in the list it was asked for by

// NewTrack lays a green's work, in the order it was done on each day, and the sights onto the looks of a forcing.
func NewTrack(s Settings, looks []int, work []Event, sights []Sight) (*Track, error) {
	t := &Track{edges: s.cells(), spans: sights}
	var laid float64
	parcels := s.parcels()
	fresh := true
	var depths reach
	for i, e := range work {
		look, ok := find(looks, e.Day)
		if !ok {
			continue // before the start or after the end
		}
		if err := e.Check(s.Depth); err != nil {
			return nil, fmt.Errorf("work %d of a green: %w", i+1, err)
		}
		o := op{look: look, Event: e}
		if e.Sand > 0 && e.Bottom == 0 {
			mm := e.Sand / s.SandDensity * 1000
			if fresh || laid >= s.Join {
				o.own, laid = true, 0
				parcels++
			}
			fresh = false
			laid += mm
		}
		t.ops = append(t.ops, o)
		depths.work(e, s)
	}
	for i := 1; i < len(t.ops); i++ {
		if t.ops[i].look < t.ops[i-1].look {
			return nil, fmt.Errorf("work of a green: entry %d is dated before the one above it", i+1)
		}
	}
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
	t.room, t.reach = parcels, depths.depth()
	slices.SortStableFunc(t.sights, func(a, b sight) int { return a.look - b.look })
	return t, nil
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
