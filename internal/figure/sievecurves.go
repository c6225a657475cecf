package figure

import (
	"math"
	"slices"
	"strings"
)

// SieveKind is what a sieve curve is of.
type SieveKind int

// Kinds of curve, in the order they are painted.
const (
	SieveEarlier  SieveKind = iota // ash of an earlier round
	SieveRoot                      // the original root zone
	SieveSand                      // a sand that is put on
	SieveOther                     // another sand
	SieveExpected                  // a blend that was reckoned
	SieveAsh                       // the newest ash, with its intervals
)

// SievePoint is percent finer than a size [mm]; Outer is its 90 % interval, zero where it is not drawn.
type SievePoint struct {
	MM float64
	Estimate
}

// SieveCurve is a sand with a name.
type SieveCurve struct {
	Name   string
	Kind   SieveKind
	Points []SievePoint
}

// SieveBand is what limits leave of percent finer than a size [mm].
type SieveBand struct{ MM, Low, High float64 }

// SieveCurves shows several sands on one picture: size across, each step to the right a factor, percent finer going up, with
// the band that limits leave. Fine is left. Each curve has its own stroke, named in the free corner on the right below.
type SieveCurves struct {
	Of            string // what is compared, "0–20 mm"
	Curves        []SieveCurve
	Band          []SieveBand
	BandName      string
	Width, Height float64 // 640 × 340 if zero; under 520 wide the names stand below the plot
}

// strokes gives the stroke of a kind of curve.
func (k SieveKind) stroke() Style {
	switch k {
	case SieveEarlier:
		return thin
	case SieveRoot:
		return sieveRoot
	case SieveSand:
		return sieveSand
	case SieveOther:
		return sieveOther
	case SieveExpected:
		return model
	}
	return fitLine
}

// Scene draws the curves.
func (c SieveCurves) Scene() *Scene {
	w, h := sized(c.Width, c.Height, box{640, 340}, box{280, 320})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: strings.TrimSpace("Sieve curves " + c.of())}
	s.Values = c.Table
	curves := c.usable()
	if len(curves) == 0 {
		return s.blank("nothing was sieved yet")
	}
	s.Label = s.Title + ": " + c.said(curves)
	s.Desc = "Percent by mass finer than each size; a curve further left is of finer sand."
	x, y := c.axes(curves, w, h)
	if c.keyBelow(w) {
		y.r0 -= c.rows(curves)*nameRow + 4
	}
	c.band(s, x, y)
	c.grid(s, x, y, curves)
	for k := SieveEarlier; k <= SieveAsh; k++ {
		for _, v := range curves {
			if v.Kind == k {
				c.curve(s, x, y, v)
			}
		}
	}
	c.key(s, x, y, curves)
	for _, v := range curves {
		if v.Kind == SieveAsh {
			for _, p := range v.Points {
				s.mark(number(p.Mid, 1), p.said(), x.at(math.Log10(p.MM))-5, y.at(p.Mid)-5, 10, 10)
			}
		}
	}
	return s
}

func (c SieveCurves) of() string {
	if c.Of == "" {
		return ""
	}
	return "of " + spoken(c.Of)
}

func (p SievePoint) said() string {
	return p.Estimate.said("%", 1) + " finer than " + bare(p.MM) + " mm"
}

func (c SieveCurves) said(curves []SieveCurve) string {
	words := make([]string, len(curves))
	for i, v := range curves {
		at := make([]string, len(v.Points))
		for k, p := range v.Points {
			at[k] = number(p.Mid, 0) + " % finer than " + bare(p.MM) + " mm"
		}
		words[i] = v.Name + ": " + strings.Join(at, ", ")
	}
	return strings.Join(words, "; ")
}

func (c SieveCurves) usable() []SieveCurve {
	var out []SieveCurve
	for _, v := range c.Curves {
		var pts []SievePoint
		for _, p := range v.Points {
			if p.MM > 1e-6 && p.MM < 1e6 && p.Mid >= 0 && p.Mid <= 100 {
				pts = append(pts, p)
			}
		}
		slices.SortStableFunc(pts, func(a, b SievePoint) int {
			switch {
			case a.MM < b.MM:
				return -1
			case a.MM > b.MM:
				return 1
			}
			return 0
		})
		if v.Points = pts; len(pts) > 1 {
			out = append(out, v)
		}
	}
	return out
}

func (c SieveCurves) axes(curves []SieveCurve, w, h float64) (x, y scale) {
	var e extent
	for _, v := range curves {
		for _, p := range v.Points {
			e.take(math.Log10(p.MM))
		}
	}
	if e.hi-e.lo < .3 {
		e.lo, e.hi = e.lo-.15, e.hi+.15
	}
	return scale{e.lo - .02, e.hi + .02, 44, w - 16}, scale{0, 100, h - 46, 14}
}

// grid draws percent upwards and the sizes of the sieves across.
func (c SieveCurves) grid(s *Scene, x, y scale, curves []SieveCurve) {
	for v := 0.0; v <= 100; v += 20 {
		st := grid
		if v == 0 {
			st = axis
		}
		s.line(x.r0, y.at(v), x.r1, y.at(v), st)
		s.text(x.r0-7, y.at(v)+4.5, number(v, 0), tick, End)
	}
	var sizes []float64
	for _, v := range curves {
		for _, p := range v.Points {
			sizes = append(sizes, p.MM)
		}
	}
	slices.Sort(sizes)
	last := math.Inf(-1)
	for _, d := range slices.Compact(sizes) {
		at := x.at(math.Log10(d))
		half := textWidth(bare(d), tick) / 2
		if at-half < last+6 {
			continue
		}
		s.line(at, y.r0, at, y.r0+4, axis)
		s.text(clamp(at, half, max(half, s.Width-half)), y.r0+18, bare(d), tick, Middle)
		last = at + half
	}
	s.text((x.r0+x.r1)/2, y.r0+39, "opening of the sieve, mm", wordQuiet, Middle)
}

// band draws what limits leave, as far as the axis goes.
func (c SieveCurves) band(s *Scene, x, y scale) {
	var top, foot []Point
	for _, b := range c.Band {
		if !(b.MM > 0) || !drawable(b.Low) || !drawable(b.High) || b.High < b.Low {
			continue
		}
		at := x.at(math.Log10(b.MM))
		top = append(top, Point{at, y.at(b.High)})
		foot = append(foot, Point{at, y.at(b.Low)})
	}
	if len(top) < 2 {
		return
	}
	slices.Reverse(foot)
	s.polygon(append(top, foot...), wanted)
}

func (c SieveCurves) curve(s *Scene, x, y scale, v SieveCurve) {
	pts := make([]Point, len(v.Points))
	for i, p := range v.Points {
		pts[i] = Point{x.at(math.Log10(p.MM)), y.at(p.Mid)}
		if v.Kind == SieveAsh {
			s.upright(pts[i].X, p.Outer, y, whisker)
		}
	}
	s.polyline(pts, v.Kind.stroke())
	if v.Kind == SieveAsh {
		for _, p := range pts {
			s.circle(p.X, p.Y, 3.4, dot)
		}
	}
}

const nameRow = 18.0

// keyBelow says whether the names stand under the plot: beside the curves there is no room for them in a narrow one.
func (c SieveCurves) keyBelow(w float64) bool { return w < 520 }

// rows is how many names the key has.
func (c SieveCurves) rows(curves []SieveCurve) float64 {
	n := len(curves)
	if c.BandName != "" && len(c.Band) > 1 {
		n++
	}
	return float64(n)
}

// key names the strokes: in the corner where no curve runs, or under the plot.
func (c SieveCurves) key(s *Scene, x, y scale, curves []SieveCurve) {
	const stroke = 30.0
	list := slices.Clone(curves)
	slices.SortStableFunc(list, func(a, b SieveCurve) int { return int(b.Kind) - int(a.Kind) })
	n := c.rows(curves)
	banded := n > float64(len(list))
	width := 0.0
	for _, v := range list {
		width = max(width, textWidth(v.Name, wordModel))
	}
	if banded {
		width = max(width, textWidth(c.BandName, word))
	}
	width = min(width, (x.r1-x.r0)*.55)
	left := x.r1 - width - stroke - 14
	at := y.r0 - 12 - (n-1)*nameRow
	if c.keyBelow(s.Width) {
		left, width = 8, s.Width-stroke-24
		at = s.Height - 8 - (n-1)*nameRow
	}
	for _, v := range list {
		s.line(left, at-4.5, left+stroke, at-4.5, v.Kind.stroke())
		if v.Kind == SieveAsh {
			s.circle(left+stroke/2, at-4.5, 3.4, dot)
		}
		st := word
		if v.Kind == SieveExpected {
			st = wordModel
		}
		s.add(Text{Style: st, X: left + stroke + 8, Y: at, Words: fitted(v.Name, st, width+4), Halo: true})
		at += nameRow
	}
	if banded {
		s.rect(left, at-11, stroke, 12, wanted)
		s.add(Text{Style: word, X: left + stroke + 8, Y: at, Words: fitted(c.BandName, word, width+4), Halo: true})
	}
}

// Table gives each point of each curve, and the band that limits leave.
func (c SieveCurves) Table() Table {
	out := newTable(strings.TrimSpace("Sieve curves "+c.of()), joined([]Column{wordColumn("Sand"), numberColumn("Opening", "mm")}, estimated("Finer by mass", "%", nineInTen)...)...)
	for _, v := range c.usable() {
		for _, p := range v.Points {
			out.row(joined([]Cell{cellOf(v.Name), numberIn(p.MM, 3)}, p.Estimate.cells(1)...)...)
		}
	}
	for _, b := range c.Band {
		if b.MM > 0 && drawable(b.Low) && drawable(b.High) {
			out.row(cellOf(c.BandName), numberIn(b.MM, 3), Cell{}, numberIn(b.Low, 1), numberIn(b.High, 1))
		}
	}
	return *out
}
