package figure

import "strings"

// Effect is one change with its interval, in the unit of the picture.
type Effect struct {
	Name string
	Estimate
}

// Effects shows a few changes under one another against a line at no change.
type Effects struct {
	Title         string // what the picture is
	Unit          string // "g a point"
	Decimals      int
	Odds          string // how often the intervals hold, "19 in 20"; 9 in 10 if empty
	Effects       []Effect
	Width, Height float64 // 520 wide and as high as the rows need if zero
}

const effectRow, effectFoot = 34, 40

// Scene draws the rows.
func (f Effects) Scene() *Scene {
	var rows []Effect
	var e extent
	e.take(0)
	for _, r := range f.Effects {
		if drawable(r.Mid) {
			rows = append(rows, r)
			e.takeAll(r.Estimate)
		}
	}
	w, h := sized(f.Width, f.Height, box{520, effectRow*max(float64(len(rows)), 1.5) + effectFoot}, box{leastWidth, 80})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: f.Title}
	s.Values = f.Table
	if len(rows) == 0 {
		return s.blank("nothing to show")
	}
	d := min(max(f.Decimals, 0), 6)
	s.Desc = "The stroke is the interval; the line is no change."
	words := make([]string, len(rows))
	for i, r := range rows {
		words[i] = r.Name + ": " + r.said(f.Unit, d)
	}
	s.Label = f.Title + ". " + strings.Join(words, "; ")
	x := f.across(rows, e, w, d)
	each := step(max(x.d1-x.d0, 1e-6), max(2, int((x.r1-x.r0)/54)))
	foot := h - effectFoot + 4
	for _, v := range ticks(x.d0, x.d1, each) {
		s.line(x.at(v), 4, x.at(v), foot, grid)
		s.text(x.at(v), foot+17, number(v, decimals(each)), tick, Middle)
	}
	s.line(x.at(0), 2, x.at(0), foot, zero)
	s.text((x.r0+x.r1)/2, h-3, f.Unit, wordQuiet, Middle)
	for i, r := range rows {
		f.row(s, r, x, (foot-4)/float64(len(rows))*(float64(i)+.5)+4, d)
	}
	return s
}

func (f Effects) across(rows []Effect, e extent, w float64, d int) scale {
	names, values := 40.0, 20.0
	for _, r := range rows {
		names = max(names, textWidth(r.Name, word)+14)
		values = max(values, textWidth(number(r.Mid, d), wordModel)+14)
	}
	if e.hi == e.lo {
		e.lo, e.hi = -1, 1
	}
	air := (e.hi - e.lo) * .06
	left := min(names, w*.45)
	return scale{e.lo - air, e.hi + air, left, max(left+10, w-values)}
}

func (f Effects) row(s *Scene, r Effect, x scale, y float64, d int) {
	s.text(x.r0-12, y+5, fitted(r.Name, word, x.r0-12), word, End)
	s.across(y, r.Outer, x, mWhisker)
	s.circle(x.at(r.Mid), y, 4.6, mDotOpen)
	s.text(s.Width, y+5, number(r.Mid, d), wordModel, End)
	lo, hi := x.at(r.Mid), x.at(r.Mid)
	if r.Outer.known() {
		lo, hi = min(lo, x.at(r.Outer.Low)), max(hi, x.at(r.Outer.High))
	}
	s.mark(number(r.Mid, d), r.Name+": "+r.said(f.Unit, d), lo-6, y-12, hi-lo+12, 24)
}

// Table gives the effects in their order.
func (f Effects) Table() Table {
	odds := f.Odds
	if odds == "" {
		odds = nineInTen
	}
	out := newTable(f.Title, joined([]Column{wordColumn("Effect")}, estimated("Change", f.Unit, odds)...)...)
	for _, r := range f.Effects {
		if drawable(r.Mid) {
			out.row(joined([]Cell{cellOf(r.Name)}, r.Estimate.cells(finer(f.Decimals))...)...)
		}
	}
	return *out
}
