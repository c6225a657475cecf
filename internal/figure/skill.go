package figure

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// SkillPoint is one round that was left out: what it measured with its interval, and what the model had predicted for it.
type SkillPoint struct {
	At                  time.Time
	Measured, Predicted Estimate
}

// SkillLayer is the rounds left out of one layer.
type SkillLayer struct {
	Name   string // "0–20 mm"
	Points []SkillPoint
}

// Skill sets predicted against measured organic matter for rounds the model had not seen: each with its two intervals beside
// the line on which both are the same. A filled mark is one whose measured value lies outside of its predicted interval.
type Skill struct {
	Layers        []SkillLayer
	Width, Height float64 // 420 wide and a little higher if zero
}

// Scene draws the scatter.
func (k Skill) Scene() *Scene {
	w, _ := sized(k.Width, 0, box{420, 0}, box{240, 0})
	w, h := sized(k.Width, k.Height, box{420, w + 72}, box{240, 220})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: w <= 480, Title: "Predicted against measured organic matter"}
	s.Values = k.Table
	layers := k.usable()
	if len(layers) == 0 {
		return s.blank("no round left out yet: it needs at least two rounds")
	}
	sc := scored(layers)
	s.Label = s.Title + ". " + sc.said() + ". " + said(layers)
	s.Desc = "Across: measured. Up: predicted without that round. On the line both are the same. Strokes hold 9 chances in 10; a filled mark is a round outside of its predicted interval."
	top := k.keys(s, layers, sc)
	x, y := k.axes(layers, w, h, top)
	k.grid(s, x, y)
	k.same(s, layers, x, y)
	for i, l := range layers {
		for _, p := range l.Points {
			px, py := x.at(p.Measured.Mid), y.at(p.Predicted.Mid)
			s.upright(px, p.Predicted.Outer, y, mWhisker)
			s.across(py, p.Measured.Outer, x, whisker)
			skillMark(s, i, px, py, p.missed())
		}
	}
	for _, l := range layers {
		for _, p := range l.Points {
			px, py := x.at(p.Measured.Mid), y.at(p.Predicted.Mid)
			s.mark(number(p.Predicted.Mid, 1), p.said(l.Name), px-8, py-8, 16, 16)
		}
	}
	return s
}

func (k Skill) usable() []SkillLayer {
	var out []SkillLayer
	for _, l := range k.Layers {
		var pts []SkillPoint
		for _, p := range l.Points {
			if drawable(p.Measured.Mid) && drawable(p.Predicted.Mid) {
				pts = append(pts, p)
			}
		}
		if l.Points = pts; len(pts) > 0 {
			out = append(out, l)
		}
	}
	return out
}

// missed tells whether the measured value lies outside of its predicted interval.
func (p SkillPoint) missed() bool {
	return p.Predicted.Outer.known() && (p.Measured.Mid < p.Predicted.Outer.Low || p.Measured.Mid > p.Predicted.Outer.High)
}

func (p SkillPoint) said(layer string) string {
	words := spoken(layer)
	if datable(p.At) {
		words += ", " + p.At.Format("Jan 2006")
	}
	words += ": predicted " + p.Predicted.said("%", 1) + ", measured " + p.Measured.said("%", 1)
	if p.missed() {
		words += ", outside"
	}
	return words
}

func said(layers []SkillLayer) string {
	var words []string
	for _, l := range layers {
		for _, p := range l.Points {
			words = append(words, p.said(l.Name))
		}
	}
	const most = 24
	if n := len(words); n > most {
		words = append(words[:most:most], "and "+strconv.Itoa(n-most)+" more")
	}
	return strings.Join(words, "; ")
}

// score is how well the predictions did.
type score struct {
	n, judged, held int
	rms             float64 // root mean square of predicted − measured [points]
}

func scored(layers []SkillLayer) score {
	var sc score
	sum := 0.0
	for _, l := range layers {
		for _, p := range l.Points {
			sc.n++
			sum += (p.Predicted.Mid - p.Measured.Mid) * (p.Predicted.Mid - p.Measured.Mid)
			if p.Predicted.Outer.known() {
				sc.judged++
				if !p.missed() {
					sc.held++
				}
			}
		}
	}
	sc.rms = math.Sqrt(sum / float64(sc.n))
	return sc
}

func (sc score) said() string {
	words := "typical miss " + number(sc.rms, 2) + " points"
	if sc.judged > 0 {
		words = strconv.Itoa(sc.held) + " of " + strconv.Itoa(sc.judged) + " within their 9-in-10 range, " + words
	}
	return words
}

// keys says the score and names the marks of the layers.
func (k Skill) keys(s *Scene, layers []SkillLayer, sc score) float64 {
	y := 14.0
	for _, l := range wrapped(sc.said(), wordBold, s.Width) {
		s.text(0, y, l, wordBold, Start)
		y += 17
	}
	row := keyRow{s: s, y: y + 6}
	for i, l := range layers {
		row.add(l.Name, func(x, y float64) { skillMark(s, i, x+6, y-4.5, false) })
	}
	return row.y + 36
}

// skillMark draws the mark of a layer: dot, square, diamond, triangle, and again.
func skillMark(s *Scene, i int, x, y float64, filled bool) {
	st := mDotOpen
	if filled {
		st = mDot
	}
	const r = 4.4
	switch i % 4 {
	case 0:
		s.circle(x, y, r, st)
	case 1:
		s.rect(x-r+.4, y-r+.4, 2*r-.8, 2*r-.8, st)
	case 2:
		s.polygon([]Point{{x, y - r - 1.2}, {x + r + 1.2, y}, {x, y + r + 1.2}, {x - r - 1.2, y}}, st)
	default:
		s.polygon([]Point{{x, y - r - .8}, {x + r + .8, y + r - .6}, {x - r - .8, y + r - .6}}, st)
	}
}

// axes gives both axes the same span, on a square where there is room.
func (k Skill) axes(layers []SkillLayer, w, h, top float64) (x, y scale) {
	var e extent
	for _, l := range layers {
		for _, p := range l.Points {
			e.takeAll(p.Measured)
			e.takeAll(p.Predicted)
		}
	}
	each := step(max(e.hi-e.lo, 1), 6)
	lo, hi := math.Floor(e.lo/each)*each, math.Ceil(e.hi/each)*each
	if hi <= lo {
		lo, hi = lo-each, hi+each
	}
	if lo < 0 && e.lo >= 0 {
		lo = 0
	}
	left, foot := 34.0, h-46
	size := min(w-left-12, foot-top)
	return scale{lo, hi, left, left + size}, scale{lo, hi, foot, foot - size}
}

func (k Skill) grid(s *Scene, x, y scale) {
	each := step(x.d1-x.d0, max(2, int((x.r1-x.r0)/44)))
	d := decimals(each)
	for _, v := range ticks(x.d0, x.d1, each) {
		s.line(x.r0, y.at(v), x.r1, y.at(v), grid)
		s.line(x.at(v), y.r0, x.at(v), y.r1, grid)
		s.text(x.r0-7, y.at(v)+4.5, number(v, d), tick, End)
		s.text(x.at(v), y.r0+17, number(v, d), tick, Middle)
	}
	s.line(x.r0, y.r0, x.r1, y.r0, axis)
	s.line(x.r0, y.r0, x.r0, y.r1, axis)
	s.line(x.r0, y.r0, x.r1, y.r1, wantLine)
	s.text(0, y.r1-12, fitted("predicted, %", wordModel, s.Width), wordModel, Start)
	words := fitted("measured, %", wordBold, s.Width)
	s.text(x.r1, s.Height-8, words, wordBold, End)
}

// same names the line on which both are the same, below it, where no stroke of a round crosses the words.
func (k Skill) same(s *Scene, layers []SkillLayer, x, y scale) {
	if x.r1-x.r0 <= 200 {
		return
	}
	var taken []nook
	for _, l := range layers {
		for _, p := range l.Points {
			px, py := x.at(p.Measured.Mid), y.at(p.Predicted.Mid)
			box := nook{px - 8, py - 8, 16, 16}
			taken = append(taken, box)
			if i := p.Predicted.Outer; i.known() {
				taken = append(taken, nook{px - 4, y.at(i.High) - 4, 8, y.at(i.Low) - y.at(i.High) + 8})
			}
			if i := p.Measured.Outer; i.known() {
				taken = append(taken, nook{x.at(i.Low) - 4, py - 4, x.at(i.High) - x.at(i.Low) + 8, 8})
			}
		}
	}
	const words = "as predicted"
	w := textWidth(words, wordQuiet)
	for _, f := range []float64{.72, .62, .5, .4, .3, .2, .1} {
		left, top := x.r0+f*(x.r1-x.r0)+10, y.r0+f*(y.r1-y.r0)+6
		if box := (nook{left, top, w, 15}); left+w <= x.r1-2 && top+15 <= y.r0-2 && !box.meetsAny(taken) {
			s.add(Text{Style: wordQuiet, X: left, Y: top + 12, Words: words, Halo: true})
			return
		}
	}
}

// Table gives the rounds that were left out.
func (k Skill) Table() Table {
	out := newTable("Predicted against measured organic matter", wordColumn("Layer"), wordColumn("Day"))
	out.columns(estimated("Predicted", "%", nineInTen)...)
	out.columns(estimated("Measured", "%", nineInTen)...)
	for _, l := range k.usable() {
		for _, p := range l.Points {
			out.row(joined(joined([]Cell{cellOf(l.Name), dayIn(p.At)}, p.Predicted.cells(2)...), p.Measured.cells(2)...)...)
		}
	}
	return *out
}
