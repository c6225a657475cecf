package figure

import (
	"fmt"
	"strings"
	"time"
)

// PlanStrip is a plan in one line of a table: its work over the whole time of the plan, sand as bars, openings as tines,
// with growth behind. Strips of the same days and the same Most can be compared.
type PlanStrip struct {
	From, Until   time.Time
	Growth        []float64 // index by week from From on, 0..1
	Work          []YearWork
	Most          float64 // sand of the highest bar [mm]; that of the work, or 1, if more
	Width, Height float64 // 260 × 46 if zero
}

// Scene draws the strip.
func (f PlanStrip) Scene() *Scene {
	s := &Scene{Class: "strip", Title: "The work of the plan"}
	s.Values = f.Table
	s.Width, s.Height = sized(f.Width, f.Height, box{260, 46}, box{120, 30})
	if !datable(f.From) || !datable(f.Until) || !f.From.Before(f.Until) {
		s.Label = s.Title + ": no time to plan for"
		return s
	}
	x := scale{seconds(f.From), seconds(f.Until.AddDate(0, 0, 1)), 3, s.Width - 3}
	foot := s.Height - 2
	var e extent
	e.take(1)
	if drawable(f.Most) {
		e.take(f.Most)
	}
	list := []string{fmt.Sprintf("%d pieces of work", len(f.Work))}
	for _, w := range f.Work {
		if f.draws(w) {
			e.take(w.SandMM)
			list = append(list, w.said())
		}
	}
	s.Label = s.Title + ". " + strings.Join(list, "; ")
	var line []Point
	y := scale{0, 1, foot, s.Height * 0.45}
	for i, v := range f.Growth {
		if t := seconds(f.From) + float64(i)*7*day; x.holds(t) && drawable(v) {
			line = append(line, Point{tenths(x.at(t)), tenths(y.at(clamp(v, 0, 1)))})
		}
	}
	s.polyline(simplified(line), turf)
	for year := f.From.Year() + 1; year <= f.Until.Year(); year++ {
		at := x.at(seconds(time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)))
		s.line(at, 2, at, foot, wantLine)
	}
	s.line(x.r0, foot, x.r1, foot, axis)
	bar := scale{0, e.hi, foot, 12}
	for _, w := range f.Work {
		if !f.draws(w) {
			continue
		}
		px := clamp(x.at(seconds(w.At)), x.r0+3, x.r1-3)
		head := bar.at(w.SandMM)
		if w.Opens {
			s.rect(px-3, head-10, 6, 10, tineBar)
		}
		if w.SandMM > 0 {
			s.rect(px-2, head, 4, foot-head, sandBar)
		}
	}
	return s
}

func (f PlanStrip) draws(w YearWork) bool {
	return datable(w.At) && drawable(w.SandMM) && w.SandMM >= 0 && !w.At.Before(f.From) && !w.At.After(f.Until)
}

// Table gives the work of the plan.
func (f PlanStrip) Table() Table { return workTable(f.Work, f.draws) }

// workTable gives the pieces of work that are drawn.
func workTable(list []YearWork, drawn func(YearWork) bool) Table {
	out := newTable("The work of the plan", wordColumn("Day"), wordColumn("Work"), numberColumn("Sand", "mm"), wordColumn("Opens the surface"))
	for _, w := range list {
		if !drawn(w) {
			continue
		}
		opens := "no"
		if w.Opens {
			opens = "yes"
		}
		out.row(dayIn(w.At), cellOf(w.Name), numberIn(w.SandMM, 2), cellOf(opens))
	}
	return *out
}
