package figure

import (
	"math"
	"strings"
)

// Green is one green in the dot plot: this round’s measurement, its level over all rounds after
// shrinkage towards the course, or both [%]. StandsOut is for a green that differs from the course
// beyond its interval.
type Green struct {
	Name            string // "green 9"
	Measured, Level *Estimate
	StandsOut       bool
}

// Greens shows the greens of a course side by side, each with its interval, against the mean of the
// course; those that stand out are named in bold with their value. Greens are drawn in the order
// given.
type Greens struct {
	Layer         string // "0–20 mm"
	Greens        []Green
	Course        float64 // mean of the course [%]; NaN leaves the line out
	Width, Height float64 // 500 wide and as high as the greens need if zero
}

const greensHead, greensFoot = 30, 30

// Scene draws the dot plot.
func (g Greens) Scene() *Scene {
	greens := g.usable()
	row := g.row(greens)
	usualH := greensHead + greensFoot + row*math.Max(float64(len(greens)), 2)
	w, h := sized(g.Width, g.Height, box{500, usualH}, box{160, 80})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "Organic matter at " + spoken(g.Layer) + " by green"}
	s.Values = g.Table
	if len(greens) == 0 {
		return s.blank("no green measured yet")
	}
	g.words(s, greens)
	row = max(2, (h-greensHead-greensFoot)/float64(len(greens)))

	x := g.across(greens, w)
	g.axis(s, x, h)
	for i, z := range greens {
		z.draw(s, x, greensHead+row*(float64(i)+.5), row)
	}
	g.keys(s, greens, x, row)
	return s
}

func (g Greens) usable() []Green {
	var out []Green
	for _, z := range g.Greens {
		if z.Measured != nil && !drawable(z.Measured.Mid) {
			z.Measured = nil
		}
		if z.Level != nil && !drawable(z.Level.Mid) {
			z.Level = nil
		}
		if z.Measured != nil || z.Level != nil {
			out = append(out, z)
		}
	}
	return out
}

// row gives the height of a green: two lines where any has both.
func (g Greens) row(greens []Green) float64 {
	for _, z := range greens {
		if z.both() {
			return 38
		}
	}
	return 24
}

func (z Green) both() bool { return z.Measured != nil && z.Level != nil }

// main gives the estimate the green is judged by: its level where there is one.
func (z Green) main() Estimate {
	if z.Level != nil {
		return *z.Level
	}
	return *z.Measured
}

func (z Green) said() string {
	s := z.Name + ": " + z.main().said("%", 1)
	if z.both() {
		s += ", this round " + number(z.Measured.Mid, 1) + " %"
	}
	if z.StandsOut {
		s += ", stands out"
	}
	return s
}

func (g Greens) words(s *Scene, greens []Green) {
	words := make([]string, len(greens))
	for i, z := range greens {
		words[i] = z.said()
	}
	course := ""
	if drawable(g.Course) {
		course = ", course " + number(g.Course, 1) + " %"
	}
	s.Label = s.Title + course + ". " + strings.Join(words, "; ")
	s.Desc = "Whiskers hold 9 chances in 10. Black is measured, blue the level over all rounds."
}

func (g Greens) across(greens []Green, w float64) scale {
	var e extent
	names := 40.0
	for _, z := range greens {
		names = max(names, textWidth(z.Name, wordBold)+20)
		for _, v := range []*Estimate{z.Measured, z.Level} {
			if v != nil {
				e.takeAll(*v)
			}
		}
	}
	e.take(g.Course)
	each := step(max(e.hi-e.lo, 2), 6)
	lo, hi := math.Floor(e.lo/each)*each, math.Ceil(e.hi/each)*each
	if hi-lo < 2*each {
		lo, hi = lo-each, hi+each
	}
	if lo < 0 && e.lo >= 0 {
		lo = 0
	}
	left := min(names, w/2)
	return scale{lo, hi, left, max(left+10, w-min(64, w/6))}
}

func (g Greens) axis(s *Scene, x scale, h float64) {
	each := step(max(x.d1-x.d0, 1e-3), 6)
	d := decimals(each)
	for _, v := range ticks(x.d0, x.d1, each) {
		s.line(x.at(v), greensHead-6, x.at(v), h-greensFoot, grid)
		words := number(v, d)
		if v+each > x.d1+each*1e-6 {
			words += " %"
		}
		s.text(x.at(v), h-10, words, tick, Middle)
	}
	if drawable(g.Course) {
		s.line(x.at(g.Course), greensHead-8, x.at(g.Course), h-greensFoot, wantLine)
		words := "course, " + number(g.Course, 1)
		half := textWidth(words, wordQuiet) / 2
		s.text(clamp(x.at(g.Course), half, s.Width-half), greensHead-14, words, wordQuiet, Middle)
	}
}

func (z Green) draw(s *Scene, x scale, y, row float64) {
	name := word
	if z.StandsOut {
		name = wordBold
	}
	s.text(x.r0-16, y+5, fitted(z.Name, name, x.r0-16), name, End)
	ym, yl := y, y
	if z.both() {
		ym, yl = y-min(6.5, row/5), y+min(6.5, row/5)
	}
	r := min(4.6, max(1.5, row/4))
	if m := z.Measured; m != nil {
		s.across(ym, m.Outer, x, whisker)
		s.across(ym, m.Inner, x, thick)
		s.circle(x.at(m.Mid), ym, r, dot)
	}
	if l := z.Level; l != nil {
		s.across(yl, l.Outer, x, mWhisker)
		s.across(yl, l.Inner, x, mThick)
		s.circle(x.at(l.Mid), yl, r, mDotOpen)
	}
	if z.Level != nil {
		ym = yl
	}
	z.value(s, x, ym)
	lo, hi := z.reach(x)
	s.mark(number(z.main().Mid, 1), z.said(), lo-6, y-row/2, hi-lo+12, row)
}

// reach gives the pixels the green’s strokes run between.
func (z Green) reach(x scale) (lo, hi float64) {
	var e extent
	for _, v := range []*Estimate{z.Measured, z.Level} {
		if v != nil {
			e.takeAll(*v)
		}
	}
	return x.at(e.lo), x.at(e.hi)
}

// value writes the number of a green that stands out, at the end of the stroke it is judged by.
func (z Green) value(s *Scene, x scale, y float64) {
	if !z.StandsOut {
		return
	}
	words, st, e := number(z.main().Mid, 1)+" %", wordBold, z.main()
	if z.Level != nil {
		st = wordModel
	}
	end := x.at(e.Mid)
	if e.Outer.known() {
		end = max(end, x.at(e.Outer.High))
	}
	if end+9+textWidth(words, st) > s.Width {
		return // no room: the words of the mark hold it
	}
	s.add(Text{Style: st, X: end + 9, Y: y + 5, Words: words, Halo: true})
}

// keys names the two estimates at the first green that has both and does not carry its value.
func (g Greens) keys(s *Scene, greens []Green, x scale, row float64) {
	end := func(e Estimate) float64 {
		v := e.Mid
		if e.Outer.known() {
			v = max(v, e.Outer.High)
		}
		return min(x.at(v)+7, s.Width-textWidth("this round", wordModel))
	}
	for i, z := range greens {
		if z.both() && !z.StandsOut && row >= 32 {
			y := greensHead + row*(float64(i)+.5)
			s.add(Text{Style: word, X: end(*z.Measured), Y: y - 2, Words: "this round", Halo: true})
			s.add(Text{Style: wordModel, X: end(*z.Level), Y: y + 13, Words: "all rounds", Halo: true})
			return
		}
	}
}

// Table gives the greens in their order, with what is known of each.
func (g Greens) Table() Table {
	out := newTable("Organic matter at "+g.Layer+" by green", wordColumn("Green"))
	out.columns(estimated("This round", "%", nineInTen)...)
	out.columns(estimated("All rounds", "%", nineInTen)...)
	out.columns(wordColumn("Stands out"))
	for _, z := range g.usable() {
		row := joined(joined([]Cell{cellOf(z.Name)}, cellsOf(z.Measured, 2)...), cellsOf(z.Level, 2)...)
		stands := "no"
		if z.StandsOut {
			stands = "yes"
		}
		out.row(append(row, cellOf(stands))...)
	}
	if drawable(g.Course) {
		out.row(cellOf("course"), numberIn(g.Course, 2), Cell{}, Cell{}, Cell{}, Cell{}, Cell{}, Cell{})
	}
	return *out
}
