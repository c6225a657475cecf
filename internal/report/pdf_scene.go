package report

import (
	"math"

	"underfoot/internal/figure"
)

// deskPaper is the tint of the screen in the looks of the figures; a report is on white.
const deskPaper = "#F3F6F5"

// lookOf is how a style is drawn in a report: as [figure.Style.Look] says, on white, with the lettering and hairlines of
// report.css.
func lookOf(s figure.Style) figure.Look {
	l := s.Look()
	if l.Fill == deskPaper {
		l.Fill = paperColour
	}
	if l.Stroke == deskPaper {
		l.Stroke = paperColour
	}
	switch s {
	case "tk", "lb2":
		l.Size = 11.5
	case "lb", "lbs", "lbm", "lbx":
		l.Size = 12
	case "snum":
		l.Size = 13
	case "gr":
		l.Stroke = "#D3DBD8"
	}
	return l
}

// canvas draws a scene with its upper left corner at x, y, k times its size.
type canvas struct {
	*press
	x, y, k float64
	scene   *figure.Scene
	inside  bool // strokes and areas are being cut to the picture
}

// scene draws a picture.
func (p *press) scene(s *figure.Scene, x, y, k float64) {
	if s == nil {
		return
	}
	c := canvas{press: p, x: x, y: y, k: k, scene: s}
	for _, part := range s.Parts {
		c.part(part)
	}
	c.leave()
	p.flush()
}

// enter begins to cut what is drawn to the picture; text stands outside of it.
func (c *canvas) enter() {
	if c.inside {
		return
	}
	c.inside = true
	c.op("q")
	if !c.scene.Overflow {
		c.rect(c.x, c.y, c.scene.Width*c.k, c.scene.Height*c.k)
		c.op("W")
		c.op("n")
	}
}

func (c *canvas) leave() {
	if c.inside {
		c.op("Q")
		c.inside = false
	}
}

func (c *canvas) place(x, y float64) (float64, float64) {
	return c.at(c.x+finite(x)*c.k, c.y+finite(y)*c.k)
}

func finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}

func (c *canvas) part(p figure.Part) {
	switch p := p.(type) {
	case figure.Line:
		c.shape(lookOf(p.Style), "", func() {
			c.move("m", figure.Point{X: p.X1, Y: p.Y1})
			c.move("l", figure.Point{X: p.X2, Y: p.Y2})
		}, p.X1, p.Y1, p.X2, p.Y2)
	case figure.Rect:
		w, h := max(0, finite(p.W)), max(0, finite(p.H))
		c.shape(lookOf(p.Style), p.Fill, func() { c.rect(c.x+finite(p.X)*c.k, c.y+finite(p.Y)*c.k, w*c.k, h*c.k) }, p.X, p.Y, p.X+w, p.Y+h)
	case figure.Circle:
		r := max(0, finite(p.R))
		c.shape(lookOf(p.Style), "", func() { c.circle(p.X, p.Y, r) }, p.X-r, p.Y-r, p.X+r, p.Y+r)
	case figure.Path:
		c.path(p)
	case figure.Text:
		c.words(p)
	case figure.Group:
		for _, q := range p.Parts {
			c.part(q)
		}
	}
}

// move writes a path operator with its points.
func (c *canvas) move(operator string, points ...figure.Point) {
	var out []float64
	for _, p := range points {
		x, y := c.place(p.X, p.Y)
		out = append(out, x, y)
	}
	c.op(operator, out...)
}

func (c *canvas) path(p figure.Path) {
	if len(p.Segs) == 0 {
		return
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range p.Segs {
		for _, q := range s.P[:pointsOf(s.Kind)] {
			x0, y0, x1, y1 = min(x0, q.X), min(y0, q.Y), max(x1, q.X), max(y1, q.Y)
		}
	}
	c.shape(lookOf(p.Style), p.Fill, func() {
		for _, s := range p.Segs {
			switch s.Kind {
			case figure.MoveTo:
				c.move("m", s.P[0])
			case figure.LineTo:
				c.move("l", s.P[0])
			case figure.CurveTo:
				c.move("c", s.P[0], s.P[1], s.P[2])
			case figure.Close:
				c.op("h")
			}
		}
	}, x0, y0, x1, y1)
}

// pointsOf counts the points of a segment.
func pointsOf(k figure.SegKind) int {
	switch k {
	case figure.Close:
		return 0
	case figure.CurveTo:
		return 3
	}
	return 1
}

// circle adds a circle to the path, four cubics of 4/3·tan(π/8) of the radius.
func (c *canvas) circle(x, y, r float64) {
	k := r * 4 / 3 * math.Tan(math.Pi/8)
	pt := func(x, y float64) figure.Point { return figure.Point{X: x, Y: y} }
	c.move("m", pt(x+r, y))
	c.move("c", pt(x+r, y+k), pt(x+k, y+r), pt(x, y+r))
	c.move("c", pt(x-k, y+r), pt(x-r, y+k), pt(x-r, y))
	c.move("c", pt(x-r, y-k), pt(x-k, y-r), pt(x, y-r))
	c.move("c", pt(x+k, y-r), pt(x+r, y-k), pt(x+r, y))
	c.op("h")
}

// shape fills and strokes a path as its look says; the box it lies in is where a texture is laid.
func (c *canvas) shape(l figure.Look, fill string, path func(), x0, y0, x1, y1 float64) {
	c.enter()
	if fill == "" {
		fill = l.Fill
	}
	clear := l.Opacity > 0 && l.Opacity < 1
	if clear {
		c.op("q")
		c.transparent(l.Opacity)
	}
	if l.Pattern != "" {
		c.op("q")
		path()
		c.op("W")
		c.op("n")
		c.texture(l.Pattern, x0, y0, x1, y1)
		c.op("Q")
		fill = ""
	}
	if fill != "" {
		c.colour("rg", fill)
	}
	if l.Stroke != "" && l.Width > 0 {
		c.pen(l)
	}
	switch {
	case fill != "" && l.Stroke != "":
		path()
		c.op("B")
	case fill != "":
		path()
		c.op("f")
	case l.Stroke != "":
		path()
		c.op("S")
	}
	if clear {
		c.op("Q")
	}
}

// pen sets colour, width, dashes and ends of strokes.
func (c *canvas) pen(l figure.Look) {
	c.colour("RG", l.Stroke)
	c.op("w", l.Width*c.k*ptPerPx)
	round := 0.0
	if l.Round {
		round = 1
	}
	c.op("J", round)
	c.op("j", round)
	c.raw.WriteByte('[')
	for _, d := range l.Dash {
		c.raw.WriteString(number(d*c.k*ptPerPx) + " ")
	}
	c.raw.WriteString("] 0 d\n")
}

// transparent chooses how much shows through what is drawn next. The library numbers its states of transparency as they are
// first asked for; asking writes one to the page, where the next takes its place at once.
func (c *canvas) transparent(opacity float64) {
	n, ok := c.clear[opacity]
	if !ok {
		c.pdf.SetAlpha(opacity, "Normal")
		c.pdf.SetAlpha(1, "Normal")
		n = len(c.clear) + 1
		if n > 1 {
			n++ // the second is that of no transparency
		}
		c.clear[opacity] = n
	}
	c.raw.WriteString("/GS" + number(float64(n)) + " gs\n")
}

// words sets a line of lettering; a halo is paper drawn round the letters before they are.
func (c *canvas) words(t figure.Text) {
	look := lookOf(t.Style)
	l := lettering{face: c.faces.sans, size: look.Size * c.k, colour: look.Fill}
	if look.Weight > 500 {
		l.face = c.faces.bold
	}
	if t.Fill != "" {
		l.colour = t.Fill
	}
	if l.size <= 0 {
		return
	}
	x, y := c.x+finite(t.X)*c.k, c.y+finite(t.Y)*c.k
	w := c.width(l, t.Words)
	switch t.Anchor {
	case figure.Middle:
		x -= w / 2
	case figure.End:
		x -= w
	}
	if t.Halo {
		c.enter()
		c.area(x-2, y-l.size*0.8, w+4, l.size*1.02, paperColour)
	}
	c.leave()
	c.say(x, y, l, t.Words)
}
