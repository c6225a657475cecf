package figure

import (
	"fmt"
	"strings"
	"time"
)

// YearWork is one piece of work on the ribbon of a year.
type YearWork struct {
	At     time.Time
	SandMM float64 // on the surface or injected
	Opens  bool    // the surface
	Name   string
}

// YearSpan is a stretch of days, both included.
type YearSpan struct{ From, Until time.Time }

// SeasonYear shows the time of a plan as ribbons, a calendar year below the other: how growth usually goes, the days on
// which nothing is done, and the work, sand as bars and openings as tines.
type SeasonYear struct {
	From, Until   time.Time
	Growth        []float64 // index of an ordinary year by week from From on, 0..1
	Work          []YearWork
	Closed        []YearSpan
	Tournaments   []time.Time
	Width, Height float64 // 1264 wide and 132 a year if zero
}

const (
	ribbonHead, ribbonFoot, ribbonLeft = 20, 24, 52
	longestRibbon                      = 6 // years
)

// Scene draws the ribbons.
func (f SeasonYear) Scene() *Scene {
	s := &Scene{Class: "chart", Title: "The time of the plan, week by week"}
	s.Values = f.Table
	if !datable(f.From) || !datable(f.Until) || !f.From.Before(f.Until) || f.Until.Year()-f.From.Year() >= longestRibbon {
		s.Width, s.Height = sized(f.Width, f.Height, box{1264, 132}, box{240, 100})
		return s.blank("no time to plan for")
	}
	first := f.first()
	n := f.Until.Year() - first + 1
	s.Width, s.Height = sized(f.Width, f.Height, box{1264, float64(132*n + 22)}, box{240, float64(80*n + 22)})
	s.Shrink = s.Width <= 480
	f.words(s)
	f.keys(s)
	const top = 26.0
	high := (s.Height - top) / float64(n)
	for i := range n {
		f.year(s, first+i, top+float64(i)*high, high)
	}
	return s
}

// first is the first year that is drawn: one of which little is left and in which nothing is done is left out.
func (f SeasonYear) first() int {
	year := f.From.Year()
	if year == f.Until.Year() || time.Date(year+1, 1, 1, 0, 0, 0, 0, time.UTC).Sub(f.From) > 60*24*time.Hour {
		return year
	}
	for _, w := range f.Work {
		if datable(w.At) && w.At.Year() == year {
			return year
		}
	}
	return year + 1
}

// year draws one ribbon.
func (f SeasonYear) year(s *Scene, year int, top, high float64) {
	begin, end := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(year+1, 1, 1, 0, 0, 0, 0, time.UTC)
	x := scale{seconds(begin), seconds(end), ribbonLeft, s.Width - 2}
	y := scale{0, 1, top + high - ribbonFoot, top + ribbonHead}
	s.text(0, y.r0-2, fmt.Sprint(year), wordBold, Start)
	block := func(from, until time.Time) {
		a, b := x.at(max(seconds(from), x.d0)), x.at(min(seconds(until), x.d1))
		if b > a {
			s.rect(a, y.r1, b-a, y.r0-y.r1, wanted)
		}
	}
	block(begin, f.From)
	block(f.Until.AddDate(0, 0, 1), end)
	for _, c := range f.Closed {
		if datable(c.From) && datable(c.Until) {
			block(c.From, c.Until.AddDate(0, 0, 1))
		}
	}
	var line []Point
	for i, v := range f.Growth {
		if t := seconds(f.From) + float64(i)*7*day; x.holds(t) && drawable(v) {
			line = append(line, Point{tenths(x.at(t)), tenths(y.at(v))})
		}
	}
	s.polyline(simplified(line), turf)
	s.line(x.r0, y.r0, x.r1, y.r0, axis)
	for _, t := range f.Tournaments {
		if datable(t) && x.holds(seconds(t)) {
			s.line(x.at(seconds(t)), y.r1, x.at(seconds(t)), y.r0, wantLine)
		}
	}
	f.work(s, x, y)
	s.timeAxis(monthTicks(begin, end.AddDate(0, 0, -1), x, max(2, int((x.r1-x.r0)/40))), y.r0+17)
}

// work draws the bars and tines of one ribbon.
func (f SeasonYear) work(s *Scene, x, y scale) {
	var e extent
	e.take(1)
	for _, w := range f.Work {
		e.take(w.SandMM)
	}
	bar := scale{0, e.hi, y.r0, y.r1 + 14}
	for _, w := range f.Work {
		if !datable(w.At) || !drawable(w.SandMM) || w.SandMM < 0 || seconds(w.At) < x.d0 || seconds(w.At) >= x.d1 {
			continue
		}
		px := clamp(x.at(seconds(w.At)), x.r0+4, x.r1-4)
		head := bar.at(w.SandMM)
		if w.Opens {
			s.rect(px-4, head-12, 8, 12, tineBar)
		}
		if w.SandMM > 0 {
			s.rect(px-3.5, head, 7, y.r0-head, sandBar)
		}
		s.mark(number(w.SandMM, 2), w.said(), px-5, head-12, 10, y.r0-head+12)
	}
}

func (w YearWork) said() string {
	return fmt.Sprintf("%s: %s, %s mm of sand", w.At.Format("2 Jan 2006"), w.Name, number(w.SandMM, 2))
}

func (f SeasonYear) words(s *Scene) {
	list := []string{fmt.Sprintf("%d pieces of work", len(f.Work))}
	for _, w := range f.Work {
		if datable(w.At) && drawable(w.SandMM) {
			list = append(list, w.said())
		}
	}
	s.Label = s.Title + ". " + strings.Join(list, "; ")
	s.Desc = "Green: growth in an ordinary year. Bars: sand. Tines: the surface is opened. Grey: closed, or outside the plan."
}

// keys names what is drawn.
func (f SeasonYear) keys(s *Scene) {
	k := keyRow{s: s, y: burialRow - 6}
	if len(f.Growth) > 0 {
		k.add("growth", func(x, y float64) { s.line(x, y-4.5, x+12, y-4.5, turf) })
	}
	k.add("sand", func(x, y float64) { s.rect(x+2, y-11, 7, 13, sandBar) })
	k.add("opened", func(x, y float64) { s.rect(x+2, y-11, 8, 13, tineBar) })
	if len(f.Tournaments) > 0 {
		k.add("tournament", func(x, y float64) { s.line(x+5, y-12, x+5, y+2, wantLine) })
	}
	k.add("no work", func(x, y float64) { s.rect(x, y-11, 12, 13, wanted) })
}

// Table gives the work, the days without it and the tournaments, and growth by week.
func (f SeasonYear) Table() Table {
	out := newTable("The time of the plan", wordColumn("From"), wordColumn("Until"), wordColumn("What"), numberColumn("Sand", "mm"), wordColumn("Opens the surface"), numberColumn("Growth index", "0 to 1"))
	work := workTable(f.Work, func(w YearWork) bool { return datable(w.At) && drawable(w.SandMM) && w.SandMM >= 0 })
	for _, r := range work.Rows {
		out.row(r[0], r[0], r[1], r[2], r[3], Cell{})
	}
	for _, c := range f.Closed {
		out.row(dayIn(c.From), dayIn(c.Until), cellOf("no work"), Cell{}, Cell{}, Cell{})
	}
	for _, t := range f.Tournaments {
		out.row(dayIn(t), dayIn(t), cellOf("tournament"), Cell{}, Cell{}, Cell{})
	}
	for i, v := range f.Growth {
		if from := f.From.AddDate(0, 0, 7*i); drawable(v) {
			out.row(dayIn(from), dayIn(from.AddDate(0, 0, 6)), cellOf("growth in an ordinary year"), Cell{}, Cell{}, numberIn(v, 2))
		}
	}
	return *out
}
