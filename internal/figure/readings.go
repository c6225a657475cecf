package figure

import (
	"math"
	"sort"
	"strings"
	"time"
)

// Reading is the mean of one reading day, with what is known of its uncertainty.
type Reading struct {
	At time.Time
	Estimate
}

// Readings is the small panel of one quantity of the surface: the mean of each reading day against
// the wanted band. A filled dot lies outside what is wanted. A bound that is not set is infinite;
// a nil Wanted draws all days open.
type Readings struct {
	Name, Unit    string // "Firmness", "g"
	Decimals      int
	Days          []Reading
	Wanted        *Interval
	Width, Height float64 // 246 × 136 if zero
}

// Scene draws the panel.
func (r Readings) Scene() *Scene {
	w, h := sized(r.Width, r.Height, box{246, 136}, box{leastWidth, leastHeight})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: r.Name}
	s.Values = r.Table
	days := r.usable()
	if len(days) == 0 {
		return s.blank("no reading yet")
	}
	s.Label = r.said(days)
	s.Desc = "Filled dots lie outside what is wanted."
	d := min(max(r.Decimals, 0), 6)

	y, marks := r.levels(days, h)
	left := 12.0
	for _, v := range marks {
		left = max(left, textWidth(number(v, d), tick)+9)
	}
	left = min(left, w/3)
	t0, t1 := days[0].At, days[len(days)-1].At
	air := max((seconds(t1)-seconds(t0))*.05, 3*day)
	x := scale{seconds(t0) - air, seconds(t1) + air, left, w - 6}

	r.band(s, x, y)
	s.line(x.r0, y.r0, x.r1, y.r0, axis)
	r.levelLabels(s, x, y, marks, d)
	pts := make([]Point, len(days))
	for i, p := range days {
		pts[i] = Point{x.at(seconds(p.At)), y.at(p.Mid)}
		s.upright(pts[i].X, p.Outer, y, whisker)
	}
	s.polyline(pts, thin)
	for i, p := range days {
		st := dotOpen
		if r.outside(p.Mid) {
			st = dot
		}
		s.circle(pts[i].X, pts[i].Y, 4.2, st)
		s.mark(number(p.Mid, d), r.daySaid(p, d), pts[i].X-5, pts[i].Y-5, 10, 10)
	}
	s.timeAxis(monthTicks(t0, t1, x, max(2, int(w/70))), h-7)
	return s
}

func (r Readings) usable() []Reading {
	var out []Reading
	for _, p := range r.Days {
		if datable(p.At) && drawable(p.Mid) {
			out = append(out, p)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].At.Before(out[b].At) })
	return out
}

// bounds gives the bounds that are set.
func (r Readings) bounds() []float64 {
	if r.Wanted == nil {
		return nil
	}
	var out []float64
	for _, v := range []float64{r.Wanted.Low, r.Wanted.High} {
		if drawable(v) {
			out = append(out, v)
		}
	}
	return out
}

func (r Readings) outside(v float64) bool {
	return r.Wanted != nil && (v < r.Wanted.Low || v > r.Wanted.High)
}

func (r Readings) wantedSaid(d int) string {
	switch b := r.bounds(); {
	case len(b) == 2:
		return "wanted " + Interval{b[0], b[1]}.prose(d)
	case len(b) == 0:
		return "nothing wanted is stated"
	case drawable(r.Wanted.Low):
		return "wanted at least " + number(b[0], d)
	default:
		return "wanted at most " + number(b[0], d)
	}
}

func (r Readings) daySaid(p Reading, d int) string {
	v := strings.TrimSpace(number(p.Mid, d) + " " + r.Unit)
	if p.Outer.known() {
		v = p.said(r.Unit, d)
	}
	s := p.At.Format("2 Jan") + ": " + v
	if r.outside(p.Mid) {
		s += ", outside"
	}
	return s
}

func (r Readings) said(days []Reading) string {
	d := min(max(r.Decimals, 0), 6)
	words := make([]string, len(days))
	for i, p := range days {
		words[i] = r.daySaid(p, d)
	}
	return r.Name + ", " + r.wantedSaid(d) + ". " + strings.Join(words, "; ")
}

// levels gives the vertical scale, with air, and the values that are labelled on it: the bounds of
// the band, or round numbers where there are none.
func (r Readings) levels(days []Reading, h float64) (scale, []float64) {
	var e extent
	for _, p := range days {
		e.takeAll(p.Estimate)
	}
	e.take(r.bounds()...)
	air := (e.hi - e.lo) * .18
	if air == 0 {
		air = max(math.Abs(e.hi)*.1, 1)
	}
	y := scale{e.lo - air, e.hi + air, h - min(26, h/4), min(10, h/8)}
	if b := r.bounds(); len(b) > 0 {
		return y, b
	}
	return y, ticks(y.d0, y.d1, step(y.d1-y.d0, 3))
}

func (r Readings) band(s *Scene, x, y scale) {
	if len(r.bounds()) == 0 {
		return
	}
	top, foot := y.at(r.Wanted.High), y.at(r.Wanted.Low)
	if !(foot > top) {
		return
	}
	s.rect(x.r0, top, x.r1-x.r0, foot-top, wanted)
}

func (r Readings) levelLabels(s *Scene, x, y scale, marks []float64, d int) {
	at, size := make([]float64, len(marks)), make([]float64, len(marks))
	for i, v := range marks {
		at[i], size[i] = y.at(v), 14
	}
	for i, p := range spread(at, size, 0, y.r0) {
		s.text(x.r0-6, p+4.5, number(marks[i], d), tick, End)
	}
}

// Table gives the days; bounds that are set stand beside each, so that a spreadsheet can draw them.
func (r Readings) Table() Table {
	d := finer(r.Decimals)
	out := newTable(r.Name, joined([]Column{wordColumn("Day")}, estimated(r.Name, r.Unit, nineInTen)...)...)
	out.columns(numberColumn("Wanted from", r.Unit), numberColumn("Wanted to", r.Unit))
	low, high := Cell{}, Cell{}
	if r.Wanted != nil {
		low, high = numberIn(r.Wanted.Low, d), numberIn(r.Wanted.High, d)
	}
	for _, p := range r.usable() {
		out.row(append(joined([]Cell{dayIn(p.At)}, p.Estimate.cells(d)...), low, high)...)
	}
	return *out
}
