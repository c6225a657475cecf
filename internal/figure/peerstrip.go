package figure

import (
	"math"
	"strings"
)

// PeerLevel is one level of a distribution of courses: the OM [%] that the share P of them stays below.
type PeerLevel struct{ P, OM float64 }

// PeerStrip shows one course on the distribution of others: a pale band for the middle eight in ten, a darker one for the
// middle half, a stroke for the median, and the course as measured and as it stands after partial pooling. Single courses
// are never drawn. All strips of a page get the same Axis, so that layers compare.
type PeerStrip struct {
	Layer           string
	Peers           []PeerLevel // rising in P
	Measured, Level *Estimate
	Axis            Interval // what the strip spans; what it holds if zero
	Width, Height   float64  // 640 × 132 if zero
}

const stripTop, stripFoot = 34, 30

// Scene draws the strip.
func (p PeerStrip) Scene() *Scene {
	w, h := sized(p.Width, p.Height, box{640, 132}, box{leastWidth, 112})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "Organic matter at " + spoken(p.Layer) + " among other courses"}
	s.Values = p.Table
	peers := p.usable()
	if len(peers) == 0 {
		return s.blank("nothing is shown")
	}
	s.Label = s.Title + ": " + p.said(peers)
	s.Desc = "Bands: the middle eight and five in ten of the other courses. Whiskers hold 9 chances in 10."
	x := p.across(peers, w)
	top, foot := float64(stripTop), h-stripFoot
	p.bands(s, peers, x, top, foot)
	p.axis(s, x, foot, h)
	p.course(s, x, top, foot)
	for _, q := range peers {
		s.mark(number(q.OM, 1), q.said(), x.at(q.OM)-3, top, 6, 12)
	}
	return s
}

func (p PeerStrip) usable() []PeerLevel {
	var out []PeerLevel
	for _, q := range p.Peers {
		if drawable(q.OM) && q.P > 0 && q.P < 1 {
			out = append(out, q)
		}
	}
	return out
}

func (q PeerLevel) said() string {
	return number(q.P*100, 0) + " in 100 lie below " + number(q.OM, 1) + " %"
}

func (p PeerStrip) said(peers []PeerLevel) string {
	var words []string
	if p.Level != nil {
		words = append(words, "this course "+p.Level.said("%", 1))
	}
	if p.Measured != nil {
		words = append(words, "as measured "+p.Measured.said("%", 1))
	}
	for _, q := range peers {
		words = append(words, q.said())
	}
	return strings.Join(words, "; ")
}

func (p PeerStrip) across(peers []PeerLevel, w float64) scale {
	var e extent
	for _, q := range peers {
		e.take(q.OM)
	}
	for _, v := range []*Estimate{p.Measured, p.Level} {
		if v != nil {
			e.takeAll(*v)
		}
	}
	if p.Axis.known() {
		e.take(p.Axis.Low, p.Axis.High)
	}
	lo, hi := math.Floor(e.lo*2)/2, math.Ceil(e.hi*2)/2
	if hi-lo < 1 {
		lo, hi = lo-.5, hi+.5
	}
	if lo < 0 && e.lo >= 0 {
		lo = 0
	}
	right := 22.0
	if w >= 480 {
		right = 138 // the course’s name beside it
	}
	return scale{lo, hi, 14, w - right}
}

// at finds the level at a probability, if it is there.
func levelAt(peers []PeerLevel, p float64) (float64, bool) {
	for _, q := range peers {
		if math.Abs(q.P-p) < 1e-9 {
			return q.OM, true
		}
	}
	return 0, false
}

func (p PeerStrip) bands(s *Scene, peers []PeerLevel, x scale, top, foot float64) {
	for _, b := range []struct {
		low, high float64
		style     Style
		inset     float64
	}{{.1, .9, band90, 12}, {.25, .75, band50, 6}} {
		lo, ok := levelAt(peers, b.low)
		hi, also := levelAt(peers, b.high)
		if ok && also && x.at(hi) > x.at(lo) {
			s.rect(x.at(lo), top+b.inset, x.at(hi)-x.at(lo), foot-top-2*b.inset, b.style)
		}
	}
	if m, ok := levelAt(peers, .5); ok {
		s.line(x.at(m), top, x.at(m), foot, zero)
		words := "half lie below " + number(m, 1)
		half := textWidth(words, wordQuiet) / 2
		s.text(clamp(x.at(m), half, max(half, s.Width-half)), top-6, words, wordQuiet, Middle)
	}
}

func (p PeerStrip) axis(s *Scene, x scale, foot, h float64) {
	s.line(x.r0, foot, x.r1, foot, axis)
	each := step(x.d1-x.d0, max(2, int((x.r1-x.r0)/60)))
	d := decimals(each)
	for _, v := range ticks(x.d0, x.d1, each) {
		words := number(v, d)
		if v+each > x.d1+each*1e-6 {
			words += " %"
		}
		s.line(x.at(v), foot, x.at(v), foot+4, axis)
		half := textWidth(words, tick) / 2
		s.text(clamp(x.at(v), half, max(half, s.Width-half)), h-9, words, tick, Middle)
	}
}

// course draws the course as measured above and after pooling below.
func (p PeerStrip) course(s *Scene, x scale, top, foot float64) {
	upper, lower := top+(foot-top)*.3, top+(foot-top)*.7
	for _, e := range []struct {
		of           *Estimate
		y            float64
		thin, fat    Style
		dot, letters Style
		name         string
	}{{p.Measured, upper, whisker, thick, dot, word, "as measured"}, {p.Level, lower, mWhisker, mThick, mDotOpen, wordModel, "this course"}} {
		if e.of == nil || !drawable(e.of.Mid) {
			continue
		}
		s.across(e.y, e.of.Outer, x, e.thin)
		s.across(e.y, e.of.Inner, x, e.fat)
		s.circle(x.at(e.of.Mid), e.y, 4.8, e.dot)
		lo, hi := x.at(e.of.Mid), x.at(e.of.Mid)
		if e.of.Outer.known() {
			lo, hi = min(lo, x.at(e.of.Outer.Low)), max(hi, x.at(e.of.Outer.High))
		}
		words := e.name + ", " + number(e.of.Mid, 1) + " %"
		if s.Width < 480 {
			words = number(e.of.Mid, 1) + " %"
		}
		width := textWidth(words, e.letters)
		switch {
		case hi+9+width <= s.Width:
			s.add(Text{Style: e.letters, X: hi + 9, Y: e.y + 5, Words: words, Halo: true})
		case lo-9-width >= 0:
			s.add(Text{Style: e.letters, X: lo - 9, Y: e.y + 5, Words: words, Anchor: End, Halo: true})
		}
		s.mark(number(e.of.Mid, 1), e.name+": "+e.of.said("%", 1), lo-6, e.y-10, hi-lo+12, 20)
	}
}

// Table gives the levels of the other courses and the course among them.
func (p PeerStrip) Table() Table {
	out := newTable("Organic matter at "+p.Layer+" among other courses", joined([]Column{wordColumn("What"), numberColumn("Of 100 courses, below", "")}, estimated("OM", "%", nineInTen)...)...)
	for _, q := range p.usable() {
		out.row(cellOf("other courses"), numberIn(100*q.P, 0), numberIn(q.OM, 2), Cell{}, Cell{})
	}
	for _, e := range []struct {
		name string
		of   *Estimate
	}{{"this course, as measured", p.Measured}, {"this course, after pooling", p.Level}} {
		if e.of != nil {
			out.row(joined([]Cell{cellOf(e.name), {}}, e.of.cells(2)...)...)
		}
	}
	return *out
}
