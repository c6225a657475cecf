package raster

import (
	"image"
	"image/color"
	"math"

	"golang.org/x/image/vector"

	"underfoot/internal/figure"
)

// canvas is what is drawn on: k dots to the CSS pixel, its origin at dx, dy.
type canvas struct {
	img       *image.NRGBA
	k, dx, dy float64
	faces     map[bool]*lettering // by whether it is bold
}

// point is a place in dots.
type point struct{ x, y float64 }

// outline is a run of points; a closed one ends where it began.
type outline struct {
	points []point
	closed bool
}

func (c *canvas) at(x, y float64) point { return point{finite(x)*c.k + c.dx, finite(y)*c.k + c.dy} }

func finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}

// part paints one primitive.
func (c *canvas) part(p figure.Part) error {
	switch p := p.(type) {
	case figure.Line:
		c.shape([]outline{{points: []point{c.at(p.X1, p.Y1), c.at(p.X2, p.Y2)}}}, p.Style.Look(), "")
	case figure.Rect:
		w, h := max(0, finite(p.W)), max(0, finite(p.H))
		c.shape([]outline{{closed: true, points: []point{c.at(p.X, p.Y), c.at(p.X+w, p.Y), c.at(p.X+w, p.Y+h), c.at(p.X, p.Y+h)}}}, p.Style.Look(), p.Fill)
	case figure.Circle:
		c.shape([]outline{circle(c.at(p.X, p.Y), max(0, finite(p.R))*c.k)}, p.Style.Look(), "")
	case figure.Path:
		c.shape(c.flattened(p.Segs), p.Style.Look(), p.Fill)
	case figure.Text:
		return c.text(p)
	case figure.Group:
		for _, q := range p.Parts {
			if err := c.part(q); err != nil {
				return err
			}
		}
	}
	return nil
}

// circle is a circle as 48 chords: within 0.02 dots of it at the radii that figures use.
func circle(m point, r float64) outline {
	const n = 48
	o := outline{closed: true}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		o.points = append(o.points, point{m.x + r*cos, m.y + r*sin})
	}
	return o
}

// flattened turns segments into runs of points.
func (c *canvas) flattened(segs []figure.Seg) []outline {
	var out []outline
	for _, s := range segs {
		if s.Kind == figure.MoveTo || len(out) == 0 {
			out = append(out, outline{})
		}
		o := &out[len(out)-1]
		switch s.Kind {
		case figure.MoveTo, figure.LineTo:
			o.points = append(o.points, c.at(s.P[0].X, s.P[0].Y))
		case figure.CurveTo:
			from := c.at(s.P[0].X, s.P[0].Y)
			if n := len(o.points); n > 0 {
				from = o.points[n-1]
			}
			o.points = append(o.points, cubic(from, c.at(s.P[0].X, s.P[0].Y), c.at(s.P[1].X, s.P[1].Y), c.at(s.P[2].X, s.P[2].Y))...)
		case figure.Close:
			o.closed = true
		}
	}
	return out
}

// cubic is a Bézier curve as 12 chords, without its beginning.
func cubic(a, b, d, e point) []point {
	const n = 12
	out := make([]point, n)
	for i := range n {
		t := float64(i+1) / n
		u := 1 - t
		out[i] = point{
			u*u*u*a.x + 3*u*u*t*b.x + 3*u*t*t*d.x + t*t*t*e.x,
			u*u*u*a.y + 3*u*u*t*b.y + 3*u*t*t*d.y + t*t*t*e.y,
		}
	}
	return out
}

// shape fills and strokes outlines as a look says; fillWith is a colour of the data that wins over it.
func (c *canvas) shape(list []outline, l figure.Look, fillWith string) {
	if fillWith == "" {
		fillWith = l.Fill
	}
	opacity := 1.0
	if l.Opacity > 0 && l.Opacity < 1 {
		opacity = l.Opacity
	}
	switch {
	case l.Pattern != "":
		c.paint(list, texture{name: l.Pattern, k: c.k, dx: c.dx, dy: c.dy, opacity: opacity})
	case fillWith != "":
		c.paint(list, plain(colourOf(fillWith), opacity))
	}
	if l.Stroke != "" && l.Width > 0 {
		dashes := make([]float64, len(l.Dash))
		for i, d := range l.Dash {
			dashes[i] = d * c.k
		}
		c.paint(stroked(list, l.Width*c.k, dashes, l.Round), plain(colourOf(l.Stroke), opacity))
	}
}

// plain is one colour, more or less opaque.
func plain(c color.NRGBA, opacity float64) image.Image {
	c.A = uint8(math.Round(255 * opacity))
	return image.NewUniform(c)
}

// paint fills outlines (non-zero winding) with a source, in the box they lie in.
func (c *canvas) paint(list []outline, src image.Image) {
	box := c.boxOf(list)
	if box.Empty() {
		return
	}
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	for _, o := range list {
		for i, p := range o.points {
			x, y := float32(p.x-float64(box.Min.X)), float32(p.y-float64(box.Min.Y))
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
	}
	r.Draw(c.img, box, src, box.Min)
}

// boxOf is the box of dots that the outlines touch, within the picture.
func (c *canvas) boxOf(list []outline) image.Rectangle {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, o := range list {
		for _, p := range o.points {
			x0, y0, x1, y1 = min(x0, p.x), min(y0, p.y), max(x1, p.x), max(y1, p.y)
		}
	}
	if !(x1 >= x0) {
		return image.Rectangle{}
	}
	clip := func(v float64) int { return int(max(-1e6, min(1e6, v))) }
	return image.Rect(clip(math.Floor(x0)), clip(math.Floor(y0)), clip(math.Ceil(x1))+1, clip(math.Ceil(y1))+1).Intersect(c.img.Bounds())
}
