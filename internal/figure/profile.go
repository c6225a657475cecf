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
}

// Scene draws the core.
func (p Profile) Scene() *Scene {
	w, h := sized(p.Width, p.Height, 150, 500)
	s := &Scene{Width: w, Height: h, Class: "chart", Title: "The profile"}
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

	c := core{x: 4, w: max(8, w-70), y: scale{from, to, 12, h - 8}}
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
		c.depths(s, p.Joined)
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
			c.frame(s, at, top)
		}
		at = bottom
		if !drawable(l.Mid) {
			c.frame(s, top, bottom)
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
		c.frame(s, at, c.y.d1)
	}
}

// frame draws a depth that was not measured.
func (c core) frame(s *Scene, top, bottom float64) {
	y0, y1 := c.y.at(top), c.y.at(bottom)
	s.rect(c.x, y0, c.w, y1-y0, notTaken)
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

// depths draws the scale beside the core: ticks at round depths, every second one longer, labels
// where they fit, the unit at the last.
func (c core) depths(s *Scene, joined bool) {
	span := c.y.d1 - c.y.d0
	room := c.y.r1 - c.y.r0
	each := step(span, max(1, min(12, int(room/12))))
	all := ticks(c.y.d0, c.y.d1, each)
	x := c.x + c.w + 8
	d := decimals(each)
	skip := 1
	if room/span*each < 22 {
		skip = int(math.Ceil(22 / (room / span * each)))
	}
	for _, v := range all {
		k := int(math.Round(v / each))
		long := k%skip == 0
		length := 7.0
		if long {
			length = 12
		}
		s.line(x, c.y.at(v), x+length, c.y.at(v), zero)
		if !long || joined && v == c.y.d1 {
			continue // the next piece of the core writes it
		}
		words := number(v, d)
		if v+each*float64(skip) > c.y.d1+each*1e-6 {
			words += " mm"
		}
		s.text(x+16, c.y.at(v)+4.5, words, tick, Start)
	}
}
