package figure

import (
	"math"
	"sort"
	"strings"
	"time"
)

// Followed is the material of a layer in one round: where it lay [mm] and what it held [%].
type Followed struct {
	At          time.Time
	Top, Bottom float64
	Estimate
}

// Views sets the two views of one layer's change beside one another: what lay at a fixed depth in each round (ink,
// measured), and the material that lay there in the first round, followed down (blue, modelled). The panel spans four points
// like that of a trend, so that slopes compare.
type Views struct {
	Layer         string
	Fixed         []Round
	Material      []Followed
	Width, Height float64 // 432 × 210 if zero
}

// Scene draws the panel.
func (v Views) Scene() *Scene {
	w, h := sized(v.Width, v.Height, box{432, 210}, box{leastWidth, 120})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "Organic matter at " + spoken(v.Layer) + " and in the material that lay there"}
	s.Values = v.Table
	fixed, material := usable(v.Fixed), v.usable()
	if len(fixed)+len(material) == 0 {
		return s.blank("nothing to compare yet")
	}
	s.Label = s.Title + ". " + v.said(fixed, material)
	s.Desc = "Filled dots: at fixed depth. Open dots: the material, followed. Whiskers hold 9 chances in 10."
	all := append([]Round{}, fixed...)
	for _, m := range material {
		all = append(all, Round{At: m.At, Estimate: m.Estimate, Kind: Modelled})
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].At.Before(all[b].At) })
	x, y, wide := v.axes(all, w, h)
	s.omGrid(x, y, wide)
	v.lines(s, x, y, fixed, material)
	s.timeAxis(yearTicks(times(all), x), h-6)
	v.labels(s, x, y, fixed, material)
	s.roundMarks(fixed, x, y)
	for _, m := range material {
		px := x.at(seconds(m.At)) + aside
		top, foot := reachOf(m.Estimate, y)
		s.mark(number(m.Mid, 1), m.words(), px-6, top-6, 12, foot-top+12)
	}
	return s
}

// aside is how far the material stands beside the measured dot, so that neither hides the other [px].
const aside = 7

func (v Views) usable() []Followed {
	var out []Followed
	for _, m := range v.Material {
		if datable(m.At) && drawable(m.Mid) && drawable(m.Top) && drawable(m.Bottom) {
			out = append(out, m)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].At.Before(out[b].At) })
	return out
}

func (m Followed) where() string { return number(m.Top, 0) + "–" + number(m.Bottom, 0) + " mm" }

func (m Followed) words() string {
	return m.At.Format("Jan 2006") + ", material then at " + spoken(m.where()) + ": " + m.Estimate.said("%", 1)
}

func (v Views) said(fixed []Round, material []Followed) string {
	words := make([]string, len(material))
	for i, m := range material {
		words[i] = m.words()
	}
	var parts []string
	if len(fixed) > 0 {
		parts = append(parts, "At fixed depth: "+roundsSaid(fixed))
	}
	if len(words) > 0 {
		parts = append(parts, "Followed: "+strings.Join(words, "; "))
	}
	return strings.Join(parts, ". ")
}

func (v Views) axes(all []Round, w, h float64) (x, y scale, wide float64) {
	right, left := min(104, w/3), min(30, w/5)
	d0, d1 := seconds(all[0].At)-.3*year, seconds(all[len(all)-1].At)+.3*year
	if d1-d0 < year {
		d0, d1 = d0-year, d1+year
	}
	lo, wide := level(all)
	return scale{d0, d1, left, w - right}, scale{lo, lo + wide*panelSpan, h - min(24, h/4), min(10, h/8)}, wide
}

func (v Views) lines(s *Scene, x, y scale, fixed []Round, material []Followed) {
	var pts []Point
	for _, r := range fixed {
		if r.Kind != Held {
			pts = append(pts, Point{x.at(seconds(r.At)), y.at(r.Mid)})
		}
	}
	s.polyline(pts, thin)
	pts = nil
	for _, m := range material {
		px := x.at(seconds(m.At)) + aside
		pts = append(pts, Point{px, y.at(m.Mid)})
		s.upright(px, m.Outer, y, mWhisker)
	}
	s.polyline(pts, model)
	s.rounds(fixed, x, y)
	for _, p := range pts {
		s.circle(p.X, p.Y, 4.4, mDotOpen)
	}
}

// labels names both views at their ends.
func (v Views) labels(s *Scene, x, y scale, fixed []Round, material []Followed) {
	var out []endLabel
	if n := len(fixed); n > 0 && fixed[n-1].Kind != Held {
		out = append(out, endLabel{y.at(fixed[n-1].Mid), wordBold, number(fixed[n-1].Mid, 1) + " %", "at fixed depth"})
	}
	if n := len(material); n > 0 {
		out = append(out, endLabel{y.at(material[n-1].Mid), wordModel, number(material[n-1].Mid, 1) + " %", "at " + material[n-1].where()})
	}
	s.endLabels(x.r1+2, y.r1, y.r0, out)
}

func reachOf(e Estimate, y scale) (top, foot float64) {
	top, foot = y.at(e.Mid), y.at(e.Mid)
	if e.Outer.known() {
		top, foot = math.Min(top, y.at(e.Outer.High)), math.Max(foot, y.at(e.Outer.Low))
	}
	return top, foot
}

// Table gives both views, round by round.
func (v Views) Table() Table {
	out := newTable("Organic matter at "+v.Layer+" and in the material that lay there", wordColumn("What"), wordColumn("Day"))
	out.columns(estimated("OM", "%", nineInTen)...)
	out.columns(numberColumn("Lies from", "mm"), numberColumn("Lies to", "mm"))
	rounds := newTable("")
	for _, r := range usable(v.Fixed) {
		rounds.round(r)
	}
	for _, row := range rounds.Rows {
		row[0] = cellOf("fixed depth, " + row[0].text)
		out.row(append(row, Cell{}, Cell{})...)
	}
	for _, m := range v.usable() {
		out.row(append(joined([]Cell{cellOf("material, followed"), dayIn(m.At)}, m.Estimate.cells(2)...), numberIn(m.Top, 1), numberIn(m.Bottom, 1))...)
	}
	return *out
}
