package figure

import (
	"math"
	"sort"
	"strconv"
	"strings"
)

// Layer is one measured layer of the profile: depths in mm below the surface, organic matter in %.
// A layer whose Mid is NaN was not measured and is drawn as a dashed frame.
type Layer struct {
	Top, Bottom float64
	Estimate
}

// Profile is the core: depth down to scale, each measured layer a block in the colour of its organic matter with
// its value. Blocks, not a gradient: within a layer nothing was measured. Depths between layers stay
// dashed.
//
// Joined draws no room above and below, for a piece of the core that continues in the next row;
// Plain leaves out depth scale, turf and values, for a list.
type Profile struct {
	Layers        []Layer
	From, To      float64 // depths shown [mm]; the layers’ own if both are zero
	Joined, Plain bool
	Width, Height float64 // 150 × 500 if zero
	Measure       Measure // of the depths as they are read
}

// Scene draws the core.
func (p Profile) Scene() *Scene {
	least := box{120, 48}
	if p.Plain {
		least = box{12, 24}
	}
	w, h := sized(p.Width, p.Height, box{150, 500}, least)
	s := &Scene{Width: w, Height: h, Class: "chart", Title: "The profile"}
	s.Values = p.Table
	if p.Joined {
		s.Class, s.Overflow = "chart core-seg", true
	}
	layers := p.usable()
	from, to := p.window(layers)
	if !(to > from) {
		return s.blank("no layer measured yet")
	}
	s.Label = profileSaid(layers)
	s.Desc = "Depth goes down; colour is organic matter from 0 to 10 %, the same scale everywhere."

	c := core{x: 4, w: max(8, w-80), y: scale{from, to, 12, h - 8}}
	switch {
	case p.Plain:
		c = core{x: 1, w: w - 2, y: scale{from, to, 1, h - 1}}
	case p.Joined:
		c.y.r0, c.y.r1 = 0, h
	}
	c.blocks(s, layers, !p.Plain)
	c.walls(s, from <= 0)
	if !p.Plain {
		if from <= 0 {
			c.turf(s)
		}
		core{c.x, c.w, scale{p.Measure.of(c.y.d0), p.Measure.of(c.y.d1), c.y.r0, c.y.r1}}.depths(s, p.Joined, p.Measure.unit())
	}
	if p.Plain {
		s.Marks = nil
	}
	return s
}

// usable keeps the layers that have a depth, sorted, each starting no higher than the one above ends.
func (p Profile) usable() []Layer {
	var out []Layer
	for _, l := range p.Layers {
		if drawable(l.Top) && drawable(l.Bottom) && l.Bottom > l.Top {
			out = append(out, l)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].Top < out[b].Top })
	return out
}

// window gives the depths shown. Without a wish they run from the surface to the deepest layer.
func (p Profile) window(layers []Layer) (from, to float64) {
	if drawable(p.From) && drawable(p.To) && p.To > p.From {
		return p.From, p.To
	}
	for _, l := range layers {
		from, to = min(from, l.Top), max(to, l.Bottom)
	}
	return from, to
}

func (l Layer) depths() string {
	return strconv.FormatFloat(l.Top, 'f', -1, 64) + "–" + strconv.FormatFloat(l.Bottom, 'f', -1, 64) + " mm"
}

func (l Layer) said() string {
	if !drawable(l.Mid) {
		return l.depths() + ": not measured"
	}
	return l.depths() + ": " + l.Estimate.said("%", 1)
}

func profileSaid(layers []Layer) string {
	words := make([]string, len(layers))
	for i, l := range layers {
		words[i] = spoken(l.said())
	}
	return "Organic matter by depth. " + strings.Join(words, "; ")
}

// core is where the soil is drawn.
type core struct {
	x, w float64
	y    scale
}

func (c core) blocks(s *Scene, layers []Layer, words bool) {
	at := c.y.d0
	for _, l := range layers {
		top, bottom := max(l.Top, at), min(l.Bottom, c.y.d1)
		if bottom <= top {
			continue
		}
		if top > at {
			c.frame(s, at, top, words)
		}
		at = bottom
		if !drawable(l.Mid) {
			c.frame(s, top, bottom, words)
			continue
		}
		y0, y1 := c.y.at(top), c.y.at(bottom)
		s.add(Rect{Style: block, X: c.x, Y: y0, W: c.w, H: y1 - y0, Fill: OMColour(l.Mid)})
		v := number(l.Mid, 1)
		if words && y1-y0 >= 18 && textWidth(v, blockWord) < c.w {
			s.add(Text{Style: blockWord, X: c.x + c.w/2, Y: (y0+y1)/2 + 5, Anchor: Middle, Words: v, Fill: OMInk(l.Mid)})
		}
		s.mark(v, l.said(), c.x, y0, c.w, y1-y0)
	}
	if at < c.y.d1 {
		c.frame(s, at, c.y.d1, words)
	}
}

// frame draws a depth that was not measured, and says so where the words fit.
func (c core) frame(s *Scene, top, bottom float64, words bool) {
	y0, y1 := c.y.at(top), c.y.at(bottom)
	s.rect(c.x, y0, c.w, y1-y0, notTaken)
	if words && y1-y0 >= 40 && c.w >= 66 {
		s.text(c.x+c.w/2, (y0+y1)/2-4, "not", wordQuiet, Middle)
		s.text(c.x+c.w/2, (y0+y1)/2+12, "measured", wordQuiet, Middle)
	}
}

func (c core) walls(s *Scene, surface bool) {
	s.line(c.x, c.y.r0, c.x, c.y.r1, edge)
	s.line(c.x+c.w, c.y.r0, c.x+c.w, c.y.r1, edge)
	if surface {
		s.line(c.x, c.y.r0, c.x+c.w, c.y.r0, edge)
	}
}

// turf draws blades on the surface, the same ones each time.
func (c core) turf(s *Scene) {
	p := Path{Style: turf}
	seed := uint32(4)
	next := func(lo, hi float64) float64 {
		seed = seed*1664525 + 1013904223 // Numerical Recipes’ quick generator, from memory: looks only
		return lo + (hi-lo)*float64(seed>>8)/float64(1<<24)
	}
	n := min(int((c.w-2)/3.5), 200)
	for k := range n {
		x, y := c.x+1+float64(k)*3.5, c.y.r0
		high, lean := next(5, 9), next(-2.2, 2.2)
		p.Segs = append(p.Segs,
			Seg{Kind: MoveTo, P: [3]Point{{x, y}}},
			Seg{Kind: CurveTo, P: [3]Point{{x + lean/3, y - high/3}, {x + 2*lean/3, y - 2*high/3}, {x + lean, y - high}}})
	}
	s.add(p)
}

// depths draws the scale beside the core: small ticks, longer ones with their depth, the unit at
// the last. In a joined piece the lower end is left to the next piece.
func (c core) depths(s *Scene, joined bool, unit string) {
	small, large := c.graduation()
	d := decimals(small)
	x := c.x + c.w + 8
	for _, v := range ticks(c.y.d0, c.y.d1, small) {
		if k := v / large; math.Abs(k-math.Round(k)) > 1e-6 {
			s.line(x, c.y.at(v), x+7, c.y.at(v), zero)
			continue
		}
		s.line(x, c.y.at(v), x+12, c.y.at(v), zero)
		switch last := v+large > c.y.d1+large*1e-6; {
		case joined && v > c.y.d1-small/2:
		case last && !joined:
			s.text(x+16, c.y.at(v)+4.5, number(v, d)+" "+unit, tick, Start)
		default:
			s.text(x+16, c.y.at(v)+4.5, number(v, d), tick, Start)
		}
	}
}

// graduation chooses the depths between small and large ticks [mm], so that ticks stand 16 px and
// labels 34 px apart or more.
func (c core) graduation() (small, large float64) {
	if !(c.y.d1-c.y.d0 > 1e-9) { // depths so close that converting them leaves nothing between
		return 1, 1
	}
	perMM := (c.y.r1 - c.y.r0) / (c.y.d1 - c.y.d0)
	for base := math.Pow(10, math.Floor(math.Log10(c.y.d1-c.y.d0))-2); ; base *= 10 {
		for _, g := range [][2]float64{{1, 2}, {1, 5}, {5, 10}, {5, 20}} {
			small, large = g[0]*base, g[1]*base
			if small*perMM >= 16 && large*perMM >= 34 || large > c.y.d1-c.y.d0 {
				return small, large
			}
		}
	}
}

// Table gives the layers from the surface down.
func (p Profile) Table() Table {
	out := newTable("Organic matter by depth", joined([]Column{numberColumn("From", "mm"), numberColumn("To", "mm")}, estimated("OM", "%", nineInTen)...)...)
	for _, l := range p.usable() {
		out.row(joined([]Cell{numberIn(l.Top, 1), numberIn(l.Bottom, 1)}, l.Estimate.cells(2)...)...)
	}
	return *out
}
