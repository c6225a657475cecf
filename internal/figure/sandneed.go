package figure

import (
	"math"
	"strings"
)

// Season is the sand of one season [mm]: what was put on, and what holding would have needed if
// that is known.
type Season struct {
	Name    string // "2025"
	Applied float64
	Needed  *Estimate
}

// SandNeed shows sand season by season: a stippled bar for what was put on, beside it a dot with
// its 90 % whisker for what holding needed. NeededNote and AppliedNote are second lines of the
// labels at the end ("57 t in 2025"); the needed one defaults to "to hold (4.5–6.5)".
type SandNeed struct {
	Seasons                 []Season
	NeededNote, AppliedNote string
	Width, Height           float64 // 588 × 236 if zero
	Measure                 Measure
}

// Scene draws the bars.
func (n SandNeed) Scene() *Scene {
	w, h := sized(n.Width, n.Height, box{588, 236}, box{240, 64})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "Sand put on and sand needed to hold, " + n.Measure.unit() + " a season"}
	s.Values = n.Table
	seasons := n.usable()
	if len(seasons) == 0 {
		return s.blank("no sand entered yet")
	}
	words := make([]string, len(seasons))
	for i, z := range seasons {
		words[i] = z.said(n.Measure)
	}
	s.Label = s.Title + ". " + strings.Join(words, "; ")
	s.Desc = "Bars: put on. Dots: needed, whiskers hold 9 chances in 10."

	y := n.heights(seasons, h)
	x := scale{-.5, float64(len(seasons)) - .5, 30, max(40, w-126)}
	s.amounts(x, y)
	slot := (x.r1 - x.r0) / float64(len(seasons))
	var names []timeTick
	for i, z := range seasons {
		z.draw(s, x.at(float64(i)), slot, y, n.Measure)
		names = append(names, timeTick{x.at(float64(i)), z.Name})
	}
	s.timeAxis(thinned(names, false), h-8)
	n.ends(s, seasons[len(seasons)-1], x, y)
	return s
}

func (n SandNeed) usable() []Season {
	var out []Season
	for _, z := range n.Seasons {
		if !drawable(z.Applied) || z.Applied < 0 {
			z.Applied = 0
		}
		if z.Needed != nil && !drawable(z.Needed.Mid) {
			z.Needed = nil
		}
		z.Applied, z.Needed = n.Measure.of(z.Applied), n.Measure.estimate(z.Needed)
		out = append(out, z)
	}
	return out
}

// said says a season whose numbers are in the measure already.
func (z Season) said(m Measure) string {
	s := z.Name + ": " + number(z.Applied, m.places(1)) + " " + m.unit() + " put on, "
	if z.Needed == nil {
		return s + "need not known"
	}
	return s + z.Needed.said(m.unit(), m.places(1)) + " needed"
}

func (n SandNeed) heights(seasons []Season, h float64) scale {
	e := extent{some: true}
	for _, z := range seasons {
		e.take(z.Applied)
		if z.Needed != nil {
			e.takeAll(*z.Needed)
		}
	}
	top := max(e.hi, n.Measure.of(1))
	each := step(top-min(e.lo, 0), 4)
	return scale{math.Floor(e.lo/each) * each, math.Ceil(top/each) * each, h - min(28, h/4), min(16, h/8)}
}

// amounts draws the lines and labels of a vertical scale of amounts.
func (s *Scene) amounts(x, y scale) {
	each := step(y.d1-y.d0, 4)
	d := decimals(each)
	for _, v := range ticks(y.d0, y.d1, each) {
		st := grid
		if math.Abs(v) < each/2 {
			st = zero
		}
		s.line(x.r0, y.at(v), x.r1, y.at(v), st)
		s.text(x.r0-7, y.at(v)+4.5, number(v, d), tick, End)
	}
}

func (z Season) draw(s *Scene, x, slot float64, y scale, m Measure) {
	bw := min(42, slot*.42)
	bx, nx := x-slot*.1, x+slot*.1+bw/2
	foot, top := y.at(0), y.at(z.Applied)
	if foot > top {
		s.rect(bx-bw/2, top, bw, foot-top, sandBar)
	}
	v := number(z.Applied, m.places(1))
	if textWidth(v, wordBold) <= slot {
		s.add(Text{Style: wordBold, X: bx, Y: top - 6, Anchor: Middle, Words: v, Halo: true})
	}
	high := top
	if z.Needed != nil {
		s.upright(nx, z.Needed.Outer, y, mWhisker)
		s.upright(nx, z.Needed.Inner, y, mThick)
		s.circle(nx, y.at(z.Needed.Mid), 5, mDotOpen)
		high = min(high, y.at(z.Needed.Mid), y.at(max(z.Needed.Mid, z.Needed.Outer.High)))
	}
	s.mark(v, z.said(m), bx-bw/2, high-4, nx+6-(bx-bw/2), foot-high+4)
}

func (n SandNeed) ends(s *Scene, last Season, x, y scale) {
	var l []endLabel
	if e := last.Needed; e != nil {
		note := n.NeededNote
		if note == "" {
			note = "to hold"
			if e.Outer.known() {
				note += " (" + e.Outer.terse(n.Measure.places(1)) + ")"
			}
		}
		l = append(l, endLabel{y.at(e.Mid), wordModel, number(e.Mid, n.Measure.places(1)) + " needed", note})
	}
	l = append(l, endLabel{(y.at(last.Applied) + y.at(0)) / 2, wordBold, number(last.Applied, n.Measure.places(1)) + " put on", n.AppliedNote})
	s.endLabels(x.r1+6, y.r1-8, y.r0+16, l)
}

// Table gives the seasons.
func (n SandNeed) Table() Table {
	n.Measure = Measure{} // a file of numbers is metric
	out := newTable("Sand put on and sand needed to hold", joined([]Column{wordColumn("Season"), numberColumn("Put on", "mm")}, estimated("Needed", "mm", nineInTen)...)...)
	for _, z := range n.usable() {
		out.row(joined([]Cell{cellOf(z.Name), numberIn(z.Applied, 2)}, cellsOf(z.Needed, 2)...)...)
	}
	return *out
}
