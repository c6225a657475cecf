package raster

import (
	"fmt"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"underfoot/internal/figure"
	"underfoot/internal/typeface"
)

// lettering is a face that can be drawn.
type lettering struct {
	face *typeface.Face
	font *sfnt.Font
	buf  sfnt.Buffer
}

// haloWidth is how much paper is painted about letters that stand on lines [CSS px], as on the page.
const haloWidth = 6

// heavy is the weight from which the bold face is taken.
const heavy = 500

// face gives the regular or the bold face.
func (c *canvas) face(bold bool) (*lettering, error) {
	if l := c.faces[bold]; l != nil {
		return l, nil
	}
	load := typeface.Sans
	if bold {
		load = typeface.SansBold
	}
	f, err := load()
	if err != nil {
		return nil, err
	}
	font, err := sfnt.Parse(f.Font)
	if err != nil {
		return nil, fmt.Errorf("face %s: %w", f.Name, err)
	}
	l := &lettering{face: f, font: font}
	c.faces[bold] = l
	return l, nil
}

// text sets a line of lettering; its halo is paper stroked round the letters before they are filled.
func (c *canvas) text(t figure.Text) error {
	look := t.Style.Look()
	if look.Size <= 0 || t.Words == "" {
		return nil
	}
	l, err := c.face(look.Weight > heavy)
	if err != nil {
		return err
	}
	words, _ := l.face.Shown(t.Words)
	size := look.Size * c.k
	start := c.at(t.X, t.Y)
	switch wide := l.face.Width(words) * size; t.Anchor {
	case figure.Middle:
		start.x -= wide / 2
	case figure.End:
		start.x -= wide
	}
	var glyphs []outline
	for _, r := range words {
		g, err := l.glyph(r, size, start)
		if err != nil {
			return err
		}
		glyphs = append(glyphs, g...)
		start.x += l.face.Width(string(r)) * size
	}
	if t.Halo {
		c.paint(stroked(glyphs, haloWidth*c.k, nil, true), plain(colourOf(figure.Paper), 1))
	}
	colour := look.Fill
	if t.Fill != "" {
		colour = t.Fill
	}
	c.paint(glyphs, plain(colourOf(colour), 1))
	return nil
}

// glyph gives the outlines of a letter whose baseline begins at a place.
func (l *lettering) glyph(r rune, size float64, from point) ([]outline, error) {
	const fine = 64 // outlines are read at a size of whole dots and scaled, so that they are the same at every size
	i, err := l.font.GlyphIndex(&l.buf, r)
	if err != nil {
		return nil, fmt.Errorf("letter %q: %w", r, err)
	}
	segs, err := l.font.LoadGlyph(&l.buf, i, fixed.I(fine*16), nil)
	if err != nil {
		return nil, fmt.Errorf("letter %q: %w", r, err)
	}
	k := size / (fine * 16) / 64
	at := func(p fixed.Point26_6) point { return point{from.x + float64(p.X)*k, from.y + float64(p.Y)*k} }
	var out []outline
	for _, s := range segs {
		if s.Op == sfnt.SegmentOpMoveTo {
			out = append(out, outline{closed: true})
		}
		o := &out[len(out)-1]
		switch s.Op {
		case sfnt.SegmentOpMoveTo, sfnt.SegmentOpLineTo:
			o.points = append(o.points, at(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a, b, d := o.points[len(o.points)-1], at(s.Args[0]), at(s.Args[1])
			o.points = append(o.points, cubic(a, along(a, b, 2./3), along(d, b, 2./3), d)...)
		case sfnt.SegmentOpCubeTo:
			o.points = append(o.points, cubic(o.points[len(o.points)-1], at(s.Args[0]), at(s.Args[1]), at(s.Args[2]))...)
		}
	}
	return out, nil
}
