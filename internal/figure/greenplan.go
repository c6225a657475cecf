package figure

import (
	"fmt"
	"math"
	"strings"
)

// GreenPlan is a green from above: its outline, where cores are taken, and what they are measured from. Places are metres
// east and north.
type GreenPlan struct {
	Name   string
	Rings  [][]Point // closed; X is east and Y north [m]
	Cores  []Core    // in walking order
	Fixed  []Landmark
	Width  float64 // 340 if zero
	Height float64 // what the shape needs at that width, at most 420, if zero
}

// Core is where one core is taken.
type Core struct {
	Number int
	At     Point
	How    string // how it is found, in words
}

// Landmark is a thing beside a green that stays where it is.
type Landmark struct {
	Name string
	At   Point
}

// Scene draws the green with north up and a rule to scale.
func (g GreenPlan) Scene() *Scene {
	const pad, foot = 26, 34
	low, high := g.bounds()
	w, _ := sized(g.Width, 0, box{340, 300}, box{200, 160})
	east, north := high.X-low.X, high.Y-low.Y
	s := &Scene{Width: w, Height: 160, Class: "chart", Title: "Where cores are taken on " + g.Name}
	s.Values = g.Table
	if !drawable(east) || !drawable(north) || east <= 0 && north <= 0 {
		s.Label = "No outline and no place of a core is known of " + g.Name
		s.rect(.5, .5, w-1, s.Height-1, empty)
		s.text(w/2, s.Height/2, "no outline yet", wordQuiet, Middle)
		return s
	}
	least := 5.0 // a single place is drawn as if 5 m wide [m]
	unit := (w - 2*pad) / max(east, least)
	if tallest := length(g.Height, 420, 160) - 2*pad - foot; north*unit > tallest {
		unit = tallest / north
	}
	s.Height = math.Round(max(160, north*unit+2*pad+foot))
	left, bottom := (w-east*unit)/2, s.Height-foot-pad-(s.Height-2*pad-foot-north*unit)/2
	at := func(p Point) Point { return Point{left + (p.X-low.X)*unit, bottom - (p.Y-low.Y)*unit} }

	for _, r := range g.Rings {
		s.add(Path{Style: edge, Segs: segments(placed(r, at), true)})
	}
	var walk []Point
	for _, c := range g.Cores {
		walk = append(walk, at(c.At))
	}
	s.polyline(walk, thin)
	for _, l := range g.Fixed {
		p := at(l.At)
		s.add(stroke(zero, []float64{p.X - 5, p.Y, p.X + 5, p.Y}, []float64{p.X, p.Y - 5, p.X, p.Y + 5}))
		s.beside(p, l.Name, wordQuiet)
	}
	for i, c := range g.Cores {
		s.circle(walk[i].X, walk[i].Y, 4.5, dot)
		s.beside(walk[i], fmt.Sprint(c.Number), wordBold)
		how := fmt.Sprintf("core %d", c.Number)
		if c.How != "" {
			how += ": " + c.How
		}
		s.mark(fmt.Sprint(c.Number), how, walk[i].X-8, walk[i].Y-8, 16, 16)
	}
	s.ruler(unit)
	s.Label = g.said()
	return s
}

// beside writes words to the right of a point, or to its left near the edge.
func (s *Scene) beside(p Point, words string, st Style) {
	x, a := p.X+8, Start
	if x+textWidth(words, st) > s.Width-2 {
		x, a = p.X-8, End
	}
	s.add(Text{Style: st, X: x, Y: clamp(p.Y+4.5, 12, s.Height-2), Anchor: a, Words: words, Halo: true})
}

// ruler draws a round number of metres at the foot, and where north is.
func (s *Scene) ruler(unit float64) {
	metres := 1.0
	for _, m := range []float64{2, 5, 10, 20, 50, 100, 200, 500} {
		if m*unit <= s.Width/3 {
			metres = m
		}
	}
	y := s.Height - 12
	s.line(12, y, 12+metres*unit, y, zero)
	s.line(12, y-4, 12, y+4, zero)
	s.line(12+metres*unit, y-4, 12+metres*unit, y+4, zero)
	s.text(18+metres*unit, y+4.5, number(metres, 0)+" m", tick, Start)
	s.add(stroke(zero, []float64{s.Width - 30, y + 4, s.Width - 30, y - 14}, []float64{s.Width - 34, y - 8, s.Width - 30, y - 14, s.Width - 26, y - 8}))
	s.text(s.Width-22, y+4.5, "N", tick, Start)
}

func placed(points []Point, at func(Point) Point) []Point {
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = at(p)
	}
	return out
}

// bounds are the corners of the box around everything.
func (g GreenPlan) bounds() (low, high Point) {
	low, high = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	take := func(p Point) {
		low, high = Point{min(low.X, p.X), min(low.Y, p.Y)}, Point{max(high.X, p.X), max(high.Y, p.Y)}
	}
	for _, r := range g.Rings {
		for _, p := range r {
			take(p)
		}
	}
	for _, c := range g.Cores {
		take(c.At)
	}
	for _, l := range g.Fixed {
		take(l.At)
	}
	return low, high
}

// said is the picture in words.
func (g GreenPlan) said() string {
	var names []string
	for _, l := range g.Fixed {
		names = append(names, l.Name)
	}
	text := fmt.Sprintf("%s from above, north up, with %d places for cores", g.Name, len(g.Cores))
	if len(names) > 0 {
		text += ", measured from " + strings.Join(names, ", ")
	}
	return text
}

// Table gives the cores in walking order, then what stays where it is, then the corners of the outline.
func (g GreenPlan) Table() Table {
	out := newTable("Where cores are taken on "+g.Name, wordColumn("What"), numberColumn("East", "m"), numberColumn("North", "m"), wordColumn("How it is found"))
	place := func(what string, p Point, how string) {
		out.row(cellOf(what), numberIn(p.X, 2), numberIn(p.Y, 2), cellOf(how))
	}
	for _, c := range g.Cores {
		place(fmt.Sprintf("core %d", c.Number), c.At, c.How)
	}
	for _, l := range g.Fixed {
		place(l.Name, l.At, "")
	}
	for _, r := range g.Rings {
		for _, p := range r {
			place("corner of the outline", p, "")
		}
	}
	return *out
}
