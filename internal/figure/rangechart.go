package figure

import (
	"strings"
)

// PairRange is how far the two burns of one composite stand apart.
type PairRange struct {
	Name   string  // of composite and run
	Points float64 // points of organic matter
	Now    bool    // of the run that is looked at
}

// RangeChart shows the ranges of composites burnt twice, in order of time, below their upper limit.
type RangeChart struct {
	Pairs         []PairRange
	Mean, Upper   float64 // of the ranges; 0 leaves out the lines
	Width, Height float64 // 640 × 200 if zero
}

// Scene draws a stem for each pair.
func (c RangeChart) Scene() *Scene {
	w, h := sized(c.Width, c.Height, box{640, 200}, box{leastWidth, leastHeight})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "Composites burnt twice, difference in points of organic matter"}
	s.Values = c.Table
	var pairs []PairRange
	var e extent
	e.take(0)
	for _, p := range c.Pairs {
		if drawable(p.Points) && p.Points >= 0 {
			pairs = append(pairs, p)
			e.take(p.Points)
		}
	}
	if len(pairs) == 0 {
		return s.blank("no composite burnt twice yet")
	}
	pairs = pairs[max(0, len(pairs)-mostBurns):]
	lines := c.Upper > 0 && drawable(c.Upper) && drawable(c.Mean)
	if lines {
		e.take(c.Upper * 1.05)
	}
	words := make([]string, len(pairs))
	for i, p := range pairs {
		words[i] = p.said()
	}
	s.Label = s.Title + ". " + strings.Join(words, "; ")
	if lines {
		s.Label += ". Mean " + number(c.Mean, 2) + ", upper limit " + number(c.Upper, 2)
	}
	left, right := min(44, w/5), min(92, w/4)
	x := scale{-.6, float64(len(pairs)) - .4, left, w - right}
	y := scale{0, max(e.hi, 1e-6), h - min(28, h/4), min(10, h/8)}
	each := step(y.d1, 4)
	for _, v := range ticks(0, y.d1, each) {
		st := grid
		if v == 0 {
			st = axis
		}
		s.line(x.r0, y.at(v), x.r1, y.at(v), st)
		s.text(x.r0-7, y.at(v)+4.5, number(v, decimals(each)), tick, End)
	}
	if lines {
		s.line(x.r0, y.at(c.Upper), x.r1, y.at(c.Upper), wantLine)
		s.text(x.r1+7, y.at(c.Upper)+4.5, "limit "+number(c.Upper, 2), tick, Start)
		s.line(x.r0, y.at(c.Mean), x.r1, y.at(c.Mean), thin)
		s.text(x.r1+7, y.at(c.Mean)+4.5, "mean "+number(c.Mean, 2), tick, Start)
	}
	for i, p := range pairs {
		px, py := x.at(float64(i)), y.at(p.Points)
		s.line(px, y.r0, px, py, whisker)
		if lines && p.Points > c.Upper {
			s.circle(px, py, 4.2, dotOpen)
		} else {
			s.circle(px, py, 3.4, dot)
		}
		s.mark(number(p.Points, 2), p.said(), px-7, py-7, 14, y.r0-py+7)
	}
	last := ""
	if len(pairs) > 1 {
		last = pairs[len(pairs)-1].Name
	}
	s.ends(x, h-6, pairs[0].Name, last)
	return s
}

func (p PairRange) said() string { return p.Name + ": " + number(p.Points, 2) + " apart" }

// Table gives the pairs that are drawn, with the lines they are held against.
func (c RangeChart) Table() Table {
	out := newTable("Composites burnt twice", wordColumn("Composite, run"), numberColumn("Apart", "points of OM"), numberColumn("Mean", "points of OM"), numberColumn("Upper limit", "points of OM"))
	mean, upper := Cell{}, Cell{}
	if c.Upper > 0 && drawable(c.Upper) && drawable(c.Mean) {
		mean, upper = numberIn(c.Mean, 3), numberIn(c.Upper, 3)
	}
	var pairs []PairRange
	for _, p := range c.Pairs {
		if drawable(p.Points) && p.Points >= 0 {
			pairs = append(pairs, p)
		}
	}
	for _, p := range pairs[max(0, len(pairs)-mostBurns):] {
		out.row(cellOf(p.Name), numberIn(p.Points, 3), mean, upper)
	}
	return *out
}
