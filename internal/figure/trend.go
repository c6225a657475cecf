package figure

import (
	"math"
	"sort"
	"strings"
	"time"
)

// RoundKind says how a round stands, and so how it is drawn.
type RoundKind int

// Kinds of round.
const (
	Measured RoundKind = iota // a filled dot
	Modelled                  // an open dot
	Released                  // an open square: released although its run failed
	Held                      // a crimson square without a value
)

// Round is the organic matter of one layer at one sampling round [%].
type Round struct {
	At time.Time
	Estimate
	Kind RoundKind
}

// FitPoint is one point of the fitted line and its 90 % band [%].
type FitPoint struct {
	At             time.Time
	Mid, Low, High float64
}

// Trend is the panel of one layer: rounds with whiskers, the fitted line in its band, the last
// value at the end. Every panel spans four points of organic matter, so that slopes compare even
// where levels differ; a panel whose dots lie further apart spans eight (or sixteen …) and says so.
// A whisker that leaves the panel is cut at its edge; its numbers are in the words.
type Trend struct {
	Layer         string // "0–20 mm"
	Rounds        []Round
	Fit           []FitPoint
	Width, Height float64 // 432 × 160 if zero
}

// Scene draws the panel.
func (t Trend) Scene() *Scene {
	w, h := sized(t.Width, t.Height, box{432, 160}, box{leastWidth, leastHeight})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "Organic matter at " + spoken(t.Layer)}
	s.Values = t.Table
	rounds := usable(t.Rounds)
	if len(rounds) == 0 {
		return s.blank("no round measured yet")
	}
	s.Label = s.Title + " by round: " + roundsSaid(rounds)
	s.Desc = "Whiskers and band hold 9 chances in 10, the thick part 5 in 10."

	x, y, wide := t.axes(rounds, w, h)
	s.omGrid(x, y, wide)
	t.fitted(s, x, y)
	s.rounds(rounds, x, y)
	s.timeAxis(yearTicks(times(rounds), x), h-6)
	s.lastValue(rounds, x, y)
	s.roundMarks(rounds, x, y)
	return s
}

// usable keeps the rounds that can be drawn, in order of time.
func usable(all []Round) []Round {
	var out []Round
	for _, r := range all {
		if datable(r.At) && (r.Kind == Held || drawable(r.Mid)) {
			out = append(out, r)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].At.Before(out[b].At) })
	return out
}

func times(rounds []Round) []time.Time {
	out := make([]time.Time, len(rounds))
	for i, r := range rounds {
		out[i] = r.At
	}
	return out
}

func (r Round) said() string {
	switch r.Kind {
	case Held:
		return r.At.Format("Jan 2006") + ": held, no value"
	case Released:
		return r.At.Format("Jan 2006") + ": " + r.Estimate.said("%", 1) + ", released although its run failed"
	}
	return r.At.Format("Jan 2006") + ": " + r.Estimate.said("%", 1)
}

func roundsSaid(rounds []Round) string {
	words := make([]string, len(rounds))
	for i, r := range rounds {
		words[i] = r.said()
	}
	return strings.Join(words, "; ")
}

// panelSpan is how much organic matter a panel spans [points]: common practice of this program,
// wide enough for the rounds of one layer of a green.
const panelSpan = 4

// axes places the panel: time across with a third of a year of air, organic matter up. wide is how
// many times the usual span was needed.
func (t Trend) axes(rounds []Round, w, h float64) (x, y scale, wide float64) {
	right := min(62, w/3)
	left := min(30, w/5)
	d0, d1 := seconds(rounds[0].At)-.3*year, seconds(rounds[len(rounds)-1].At)+.3*year
	if len(rounds) == 1 {
		d0, d1 = d0-year, d1+year
	}
	for _, f := range t.Fit {
		if f.known() {
			d0, d1 = min(d0, seconds(f.At)), max(d1, seconds(f.At))
		}
	}
	lo, wide := level(rounds)
	return scale{d0, d1, left, w - right}, scale{lo, lo + wide*panelSpan, h - min(24, h/4), min(10, h/8)}, wide
}

// level chooses where the panel starts: the whole percent that centres what is drawn, as far as all
// dots stay inside, and not below 0 unless a dot is.
func level(rounds []Round) (lo, wide float64) {
	var dots, all extent
	for _, r := range rounds {
		if r.Kind != Held {
			dots.take(r.Mid)
			all.takeAll(r.Estimate)
		}
	}
	if !dots.some {
		return 0, 1
	}
	for wide = 1.0; wide*panelSpan-wide < dots.hi-dots.lo; wide *= 2 {
		continue
	}
	span := wide * panelSpan
	lo = math.Round((all.lo+all.hi-span)/2/wide) * wide
	if lo > dots.lo || lo+span < dots.hi {
		lo = math.Floor((dots.lo+dots.hi-span)/2/wide+.5) * wide
	}
	if lo < 0 && dots.lo >= 0 {
		lo = 0
	}
	return lo, wide
}

// omGrid draws the percent lines of a panel.
func (s *Scene) omGrid(x, y scale, wide float64) {
	each := wide
	if (y.r0-y.r1)/panelSpan < 18 {
		each *= 2
	}
	for i, v := range ticks(y.d0, y.d1, each) {
		st := grid
		if i == 0 {
			st = axis
		}
		s.line(x.r0, y.at(v), x.r1, y.at(v), st)
		s.text(x.r0-7, y.at(v)+4.5, number(v, 0), tick, End)
	}
	if wide > 1 {
		words := "spans " + number(wide*panelSpan, 0) + " points, not 4"
		s.add(Text{Style: wordQuiet, X: x.r0 + 4, Y: y.r1 + 11, Words: words, Halo: true})
	}
}

func (f FitPoint) known() bool { return datable(f.At) && drawable(f.Mid) }

// fitted draws the fitted line and, where it is known, its band.
func (t Trend) fitted(s *Scene, x, y scale) {
	var mid, up, down []Point
	for _, f := range t.Fit {
		if !f.known() {
			continue
		}
		px := x.at(seconds(f.At))
		mid = append(mid, Point{px, y.at(f.Mid)})
		if drawable(f.Low) && drawable(f.High) && f.Low < f.High {
			up = append(up, Point{px, y.at(f.High)})
			down = append(down, Point{px, y.at(f.Low)})
		}
	}
	s.polygon(ring(up, down), fitBand)
	s.polyline(mid, fitLine)
}

// ring joins an upper and a lower edge to the outline of a band.
func ring(up, down []Point) []Point {
	out := make([]Point, 0, len(up)+len(down))
	out = append(out, up...)
	for i := len(down) - 1; i >= 0; i-- {
		out = append(out, down[i])
	}
	return out
}

// rounds draws whiskers, thick parts and dots.
func (s *Scene) rounds(rounds []Round, x, y scale) {
	for _, r := range rounds {
		px := x.at(seconds(r.At))
		if r.Kind == Held {
			s.rect(px-5, (y.r0+y.r1)/2-5, 10, 10, held)
			continue
		}
		thin, fat := whisker, thick
		if r.Kind == Modelled {
			thin, fat = mWhisker, mThick
		}
		s.upright(px, r.Outer, y, thin)
		s.upright(px, r.Inner, y, fat)
		switch r.Kind {
		case Modelled:
			s.circle(px, y.at(r.Mid), 4.4, mDotOpen)
		case Released:
			s.rect(px-4.2, y.at(r.Mid)-4.2, 8.4, 8.4, dotOpen)
		default:
			s.circle(px, y.at(r.Mid), 4.4, dot)
		}
	}
}

// upright draws an interval as a vertical stroke, if it is known and has any length.
func (s *Scene) upright(x float64, i Interval, y scale, st Style) {
	if i.known() && y.at(i.Low) != y.at(i.High) {
		s.line(x, y.at(i.Low), x, y.at(i.High), st)
	}
}

// across draws an interval as a horizontal stroke.
func (s *Scene) across(y float64, i Interval, x scale, st Style) {
	if i.known() && x.at(i.Low) != x.at(i.High) {
		s.line(x.at(i.Low), y, x.at(i.High), y, st)
	}
}

// lastValue writes the last value beside its dot.
func (s *Scene) lastValue(rounds []Round, x, y scale) {
	last := rounds[len(rounds)-1]
	at, words, st := y.at(last.Mid), number(last.Mid, 1)+" %", wordBold
	if last.Kind == Held {
		at, words, st = (y.r0+y.r1)/2, "held", wordStop
	}
	s.add(Text{Style: st, X: x.at(seconds(last.At)) + 11, Y: at + 5, Words: words, Halo: true})
}

// roundMarks adds the values to show.
func (s *Scene) roundMarks(rounds []Round, x, y scale) {
	for _, r := range rounds {
		px := x.at(seconds(r.At))
		if r.Kind == Held {
			s.mark("held", r.said(), px-6, (y.r0+y.r1)/2-6, 12, 12)
			continue
		}
		top, foot := y.at(r.Mid), y.at(r.Mid)
		if r.Outer.known() {
			top, foot = min(top, y.at(r.Outer.High)), max(foot, y.at(r.Outer.Low))
		}
		s.mark(number(r.Mid, 1), r.said(), px-6, top-6, 12, foot-top+12)
	}
}

// Table gives the rounds, and the fitted line by its points.
func (t Trend) Table() Table {
	out := newTable("Organic matter at "+t.Layer, joined([]Column{wordColumn("What"), wordColumn("Day")}, estimated("OM", "%", nineInTen)...)...)
	for _, r := range usable(t.Rounds) {
		out.round(r)
	}
	for _, f := range t.Fit {
		if f.known() {
			e := Estimate{Mid: f.Mid, Outer: Interval{f.Low, f.High}}
			out.row(joined([]Cell{cellOf("fitted line"), dayIn(f.At)}, e.cells(2)...)...)
		}
	}
	return *out
}

// round adds a round; one that is held has no value.
func (t *Table) round(r Round) {
	e := r.Estimate
	if r.Kind == Held {
		e = Estimate{Mid: math.NaN()}
	}
	t.row(joined([]Cell{cellOf(r.Kind.name()), dayIn(r.At)}, e.cells(2)...)...)
}

func (k RoundKind) name() string {
	switch k {
	case Modelled:
		return "modelled"
	case Released:
		return "measured, released although its run failed"
	case Held:
		return "held"
	}
	return "measured"
}
