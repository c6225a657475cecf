package figure

import (
	"math"
	"strings"
)

// PowerPoint is what a design of one size could see: the smallest visible change, or the half width, at X years or greens.
type PowerPoint struct{ X, Y float64 }

// PowerCurve is one design as it grows.
type PowerCurve struct {
	Name   string
	Points []PowerPoint // rising in X
	Chosen bool         // the design that was asked for
}

// Power shows what more sampling brings: curves that fall towards what is wanted, each named at its end, with the design that
// was asked for as a dot. What lies far above what is wanted is cut off: it says only that nothing can be seen.
type Power struct {
	XName         string  // "years of sampling"
	Unit          string  // "points a year"
	Across        string  // one step of X in words, "year"
	Wanted        float64 // 0 leaves the line out
	Curves        []PowerCurve
	At            PowerPoint // the design that was asked for; drawn where X is above 0
	Likely        Interval   // where At could lie as well
	Width, Height float64    // 640 × 260 if zero
}

const powerRight = 150

// Scene draws the curves.
func (p Power) Scene() *Scene {
	w, h := sized(p.Width, p.Height, box{640, 260}, box{240, 140})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "What sampling can see, by " + p.XName}
	s.Values = p.Table
	curves := p.usable()
	if len(curves) == 0 {
		return s.blank("no design can tell a change from chance here")
	}
	s.Label = s.Title + ": " + p.said(curves)
	s.Desc = "Lower is better. The dashed line is what is wanted."
	x, y := p.axes(curves, w, h)
	p.grid(s, x, y, h)
	var labels []endLabel
	for _, c := range curves {
		st, lt := thin, wordQuiet
		if c.Chosen {
			st, lt = model, wordModel
		}
		pts := clipped(c.Points, x, y)
		s.polyline(pts, st)
		if n := len(pts); n > 0 {
			first, then := half(c.Name, lt, s.Width-x.r1-14)
			labels = append(labels, endLabel{pts[n-1].Y, lt, first, then})
		}
	}
	if p.Wanted > 0 && y.holds(p.Wanted) {
		s.line(x.r0, y.at(p.Wanted), x.r1, y.at(p.Wanted), wantLine)
		words := "wanted, " + p.value(p.Wanted)
		if textWidth(words, word) > .6*(x.r1-x.r0) {
			words = "wanted" // how much stands on the axis
		}
		s.add(Text{Style: word, X: x.r1 - 4, Y: y.at(p.Wanted) - 6, Anchor: End, Words: words, Halo: true})
	}
	p.asked(s, x, y)
	s.endLabels(x.r1+10, y.r1, y.r0+6, labels)
	for _, c := range curves {
		if !c.Chosen {
			continue
		}
		for _, q := range c.Points {
			if y.holds(q.Y) && x.holds(q.X) {
				s.mark(upwards(q.Y), p.point(q), x.at(q.X)-5, y.at(q.Y)-5, 10, 10)
			}
		}
	}
	return s
}

func (p Power) value(v float64) string { return bare(v) + " " + p.Unit }

func (p Power) point(q PowerPoint) string {
	name := p.Across
	if q.X != 1 {
		name += "s"
	}
	return number(q.X, 0) + " " + name + ": " + upwards(q.Y) + " " + p.Unit
}

func (p Power) said(curves []PowerCurve) string {
	var words []string
	for _, c := range curves {
		var at []string
		for _, q := range c.Points {
			at = append(at, p.point(q))
		}
		words = append(words, c.Name+": "+strings.Join(at, ", "))
	}
	return strings.Join(words, "; ")
}

func (p Power) usable() []PowerCurve {
	var out []PowerCurve
	for _, c := range p.Curves {
		var pts []PowerPoint
		for _, q := range c.Points {
			if drawable(q.X) && drawable(q.Y) && q.Y >= 0 {
				pts = append(pts, q)
			}
		}
		if c.Points = pts; len(pts) > 1 {
			out = append(out, c)
		}
	}
	return out
}

// axes leaves what is far above the wanted precision outside.
func (p Power) axes(curves []PowerCurve, w, h float64) (x, y scale) {
	var ex, ey, end extent
	for _, c := range curves {
		for _, q := range c.Points {
			ex.take(q.X)
			ey.take(q.Y)
		}
		end.take(c.Points[len(c.Points)-1].Y)
	}
	top := 3 * end.hi
	if p.Wanted > 0 && drawable(p.Wanted) {
		top = max(1.6*end.hi, 3*p.Wanted)
	}
	if p.At.X > 0 && drawable(p.At.Y) {
		top = max(top, 1.25*p.At.Y)
	}
	top = min(top, ey.hi*1.05)
	if p.Wanted > 0 && drawable(p.Wanted) {
		top = max(top, 1.2*p.Wanted)
	}
	if !(top > 0) {
		top = 1
	}
	right := min(powerRight, w*.4)
	if ex.hi == ex.lo {
		ex.hi++
	}
	return scale{ex.lo, ex.hi, 44, w - right}, scale{0, top, h - 44, 10}
}

func (p Power) grid(s *Scene, x, y scale, h float64) {
	each := step(y.d1, 4)
	for i, v := range ticks(0, y.d1, each) {
		st := grid
		if i == 0 {
			st = axis
		}
		s.line(x.r0, y.at(v), x.r1, y.at(v), st)
		s.text(x.r0-7, y.at(v)+4.5, number(v, decimals(each)), tick, End)
	}
	across := max(1, step(x.d1-x.d0, max(2, int((x.r1-x.r0)/44))))
	for _, v := range ticks(x.d0, x.d1, across) {
		s.text(x.at(v), y.r0+18, number(v, 0), tick, Middle)
	}
	s.text((x.r0+x.r1)/2, h-7, p.XName, wordQuiet, Middle)
}

// asked draws the design that was asked for.
func (p Power) asked(s *Scene, x, y scale) {
	if !(p.At.X > 0) || !drawable(p.At.Y) || !x.holds(p.At.X) || !y.holds(p.At.Y) {
		return
	}
	s.upright(x.at(p.At.X), p.Likely, y, mWhisker)
	s.circle(x.at(p.At.X), y.at(p.At.Y), 5, mDotOpen)
	s.add(Text{Style: wordModel, X: x.at(p.At.X) + 9, Y: y.at(p.At.Y) - 8, Words: upwards(p.At.Y), Halo: true})
}

// clipped turns a curve into pixels and cuts it where it enters the panel.
func clipped(pts []PowerPoint, x, y scale) []Point {
	var out []Point
	for i, q := range pts {
		if q.Y > y.d1 {
			continue
		}
		if i > 0 && pts[i-1].Y > y.d1 {
			before := pts[i-1]
			f := (before.Y - y.d1) / (before.Y - q.Y)
			out = append(out, Point{x.at(before.X + f*(q.X-before.X)), y.r1})
		}
		out = append(out, Point{x.at(q.X), y.at(q.Y)})
	}
	return out
}

// half breaks a name after a comma where it does not fit one line.
func half(name string, st Style, width float64) (first, then string) {
	if textWidth(name, st) <= width {
		return name, ""
	}
	if a, b, ok := strings.Cut(name, ", "); ok {
		return a + ",", b
	}
	lines := wrapped(name, st, width)
	if len(lines) > 1 {
		return lines[0], strings.Join(lines[1:], " ")
	}
	return name, ""
}

// upwards writes a precision with two decimals, rounded up so that it does not promise too much.
func upwards(v float64) string { return number(math.Ceil(v*100-1e-9)/100, 2) }

// bare writes a number with as few decimals as it needs, at most 3.
func bare(v float64) string {
	d := 0
	for d < 3 && math.Abs(v-math.Round(v*math.Pow10(d))/math.Pow10(d)) > 1e-9 {
		d++
	}
	return number(v, d)
}

// Table gives each curve by its points, the design that was asked for, and what is wanted.
func (p Power) Table() Table {
	out := newTable("What sampling can see, by "+p.XName, joined([]Column{wordColumn("Design"), numberColumn(p.XName, "")}, estimated("Smallest change seen", p.Unit, nineInTen)...)...)
	for _, c := range p.usable() {
		for _, q := range c.Points {
			out.row(cellOf(c.Name), numberIn(q.X, 0), numberIn(q.Y, 3), Cell{}, Cell{})
		}
	}
	if p.At.X > 0 && drawable(p.At.Y) {
		e := Estimate{Mid: p.At.Y, Outer: p.Likely}
		out.row(joined([]Cell{cellOf("asked for"), numberIn(p.At.X, 0)}, e.cells(3)...)...)
	}
	if p.Wanted > 0 {
		out.row(cellOf("wanted"), Cell{}, numberIn(p.Wanted, 3), Cell{}, Cell{})
	}
	return *out
}
