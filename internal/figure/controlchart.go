package figure

import (
	"fmt"
	"math"
	"strings"
)

// BurnKind says how a burn on a control chart stands, and so how it is drawn.
type BurnKind int

// Kinds of burn.
const (
	Ordinary  BurnKind = iota // a dot
	Warned                    // an open dot: beyond two standard deviations, or drifting
	RunFailed                 // a crimson square: its run failed
	RunFreed                  // an open square: its run failed and was released
)

// Burn is one burn of a control material.
type Burn struct {
	Run   string
	Value float64 // organic matter, %
	Kind  BurnKind
	Now   bool // of the run that is looked at
}

// ControlChart shows the burns of a control material in order of time about the lines they are held against.
type ControlChart struct {
	Material      string
	Centre, SD    float64 // %; SD 0 leaves out the lines
	Own           bool    // the lines come from the burns themselves
	Burns         []Burn
	Width, Height float64 // 640 × 240 if zero
}

// mostBurns is how many burns are drawn: the latest.
const mostBurns = 40

// Scene draws the chart.
func (c ControlChart) Scene() *Scene {
	w, h := sized(c.Width, c.Height, box{640, 240}, box{leastWidth, leastHeight})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: strings.TrimSpace("Control chart of " + c.Material)}
	s.Values = c.Table
	burns := c.drawable()
	if len(burns) == 0 {
		return s.blank("no control burnt yet")
	}
	lines := c.SD > 0 && drawable(c.Centre) && drawable(c.SD)
	s.Label = s.Title + ", organic matter in %. " + c.said(burns, lines)
	if lines {
		s.Desc = "Band: two standard deviations either side of the centre; dotted: three. Filled square: the run failed; open square: released although it failed."
	}
	x, y := c.axes(burns, lines, w, h)
	if lines {
		c.lines(s, x, y)
	} else {
		d := decimals(step(y.d1-y.d0, 4))
		for _, v := range ticks(y.d0, y.d1, step(y.d1-y.d0, 4)) {
			s.line(x.r0, y.at(v), x.r1, y.at(v), grid)
			s.text(x.r0-7, y.at(v)+4.5, number(v, d), tick, End)
		}
	}
	c.burns(s, burns, x, y)
	c.names(s, burns, x, h-6)
	return s
}

func (c ControlChart) drawable() []Burn {
	var out []Burn
	for _, b := range c.Burns {
		if drawable(b.Value) {
			out = append(out, b)
		}
	}
	return out[max(0, len(out)-mostBurns):]
}

func (c ControlChart) said(burns []Burn, lines bool) string {
	words := make([]string, len(burns))
	for i, b := range burns {
		words[i] = b.said(c)
	}
	list := strings.Join(words, "; ")
	if !lines {
		return list
	}
	of := "accepted "
	if c.Own {
		of = "its own mean "
	}
	return fmt.Sprintf("%s%s, standard deviation %s. %s", of, number(c.Centre, 2), number(c.SD, 3), list)
}

func (b Burn) said(c ControlChart) string {
	s := b.Run + ": " + number(b.Value, 2) + " %"
	if c.SD > 0 && drawable(c.Centre) {
		s += ", " + signed((b.Value-c.Centre)/c.SD, 1) + " standard deviations"
	}
	switch b.Kind {
	case RunFailed:
		s += ", run failed"
	case RunFreed:
		s += ", run failed and was released"
	}
	return s
}

func (c ControlChart) axes(burns []Burn, lines bool, w, h float64) (x, y scale) {
	var e extent
	for _, b := range burns {
		e.take(b.Value)
	}
	if lines {
		e.take(c.Centre-3.3*c.SD, c.Centre+3.3*c.SD)
	}
	air := max((e.hi-e.lo)*.06, math.Abs(e.hi)*1e-9, 1e-6)
	left, right := min(44, w/5), min(76, w/4)
	return scale{-.6, float64(len(burns)) - .4, left, w - right}, scale{e.lo - air, e.hi + air, h - min(28, h/4), min(10, h/8)}
}

// lines draws centre, warning band and outer lines, with their values to the left and their names to the right.
func (c ControlChart) lines(s *Scene, x, y scale) {
	top, foot := y.at(c.Centre+2*c.SD), y.at(c.Centre-2*c.SD)
	s.rect(x.r0, top, x.r1-x.r0, foot-top, wanted)
	middle := "accepted"
	if c.Own {
		middle = "own mean"
	}
	for _, l := range []struct {
		z    float64
		name string
	}{{3, "+3 SD"}, {2, "+2"}, {0, middle}, {-2, "−2"}, {-3, "−3 SD"}} {
		v := c.Centre + l.z*c.SD
		st := grid
		switch l.z {
		case 0:
			st = axis
		case 3, -3:
			st = wantLine
		}
		s.line(x.r0, y.at(v), x.r1, y.at(v), st)
		s.text(x.r0-7, y.at(v)+4.5, number(v, 2), tick, End)
		s.text(x.r1+7, y.at(v)+4.5, l.name, tick, Start)
	}
}

func (c ControlChart) burns(s *Scene, burns []Burn, x, y scale) {
	joined := make([]Point, len(burns))
	for i, b := range burns {
		joined[i] = Point{x.at(float64(i)), y.at(b.Value)}
	}
	s.polyline(joined, thin)
	for i, b := range burns {
		p := joined[i]
		switch b.Kind {
		case RunFailed:
			s.rect(p.X-4.6, p.Y-4.6, 9.2, 9.2, stStop)
		case RunFreed:
			s.rect(p.X-4.2, p.Y-4.2, 8.4, 8.4, dotOpen)
		case Warned:
			s.circle(p.X, p.Y, 4.2, dotOpen)
		default:
			s.circle(p.X, p.Y, 3.4, dot)
		}
		s.mark(number(b.Value, 2), b.said(c), p.X-7, p.Y-7, 14, 14)
	}
}

// names writes the first, last and present run below the plot, where there is room.
func (c ControlChart) names(s *Scene, burns []Burn, x scale, foot float64) {
	first, last := burns[0].Run, burns[len(burns)-1].Run
	if last == first {
		last = ""
	}
	s.ends(x, foot, first, last)
}

// Table gives the burns that are drawn, with the lines they are held against.
func (c ControlChart) Table() Table {
	out := newTable(strings.TrimSpace("Control chart of "+c.Material), wordColumn("Run"), numberColumn("OM", "%"), numberColumn("From the centre", "standard deviations"),
		numberColumn("Centre", "%"), numberColumn("Standard deviation", "points"), wordColumn("Run stands"))
	lines := c.SD > 0 && drawable(c.Centre) && drawable(c.SD)
	for _, b := range c.drawable() {
		z, centre, sd := Cell{}, Cell{}, Cell{}
		if lines {
			z, centre, sd = numberIn((b.Value-c.Centre)/c.SD, 2), numberIn(c.Centre, 3), numberIn(c.SD, 3)
		}
		out.row(cellOf(b.Run), numberIn(b.Value, 3), z, centre, sd, cellOf(b.Kind.name()))
	}
	return *out
}

func (k BurnKind) name() string {
	switch k {
	case Warned:
		return "warned"
	case RunFailed:
		return "failed"
	case RunFreed:
		return "failed, released"
	}
	return "in order"
}
