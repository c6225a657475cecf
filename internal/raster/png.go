package raster

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"underfoot/internal/figure"
)

// Scale is how many dots a CSS pixel is wide in a picture to take away: sharp on paper and on dense screens.
const Scale = 2

// margin is paper around the drawing [CSS px].
const margin = 12

// mostDots bounds the area of a picture; no figure comes near it.
const mostDots = 64 << 20

// PNG draws the scene on paper, scale dots to the CSS pixel, with a margin of 12 px. It fails where the picture would have no
// dots or more than 64 million.
func PNG(s *figure.Scene, scale float64) ([]byte, error) {
	c, err := draw(s, scale)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestCompression}
	if err := enc.Encode(&b, c.img); err != nil {
		return nil, fmt.Errorf("draw %q as PNG: %w", s.Title, err)
	}
	return b.Bytes(), nil
}

func draw(s *figure.Scene, scale float64) (*canvas, error) {
	w, h := math.Ceil((s.Width+2*margin)*scale), math.Ceil((s.Height+s.Head+2*margin)*scale)
	if !(w >= 1) || !(h >= 1) || w*h > mostDots {
		return nil, fmt.Errorf("draw %q as PNG: %g × %g dots cannot be drawn: at least 1 each and at most %d in all", s.Title, w, h, mostDots)
	}
	c := &canvas{img: image.NewNRGBA(image.Rect(0, 0, int(w), int(h))), k: scale, dx: margin * scale, dy: (margin + s.Head) * scale}
	c.faces = map[bool]*lettering{}
	fill(c.img, c.img.Bounds(), colourOf(figure.Paper))
	for _, p := range s.Parts {
		if err := c.part(p); err != nil {
			return nil, fmt.Errorf("draw %q as PNG: %w", s.Title, err)
		}
	}
	return c, nil
}

func fill(img *image.NRGBA, r image.Rectangle, c color.NRGBA) {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			img.SetNRGBA(x, y, c)
		}
	}
}

// colourOf reads "#RRGGBB"; anything else is black.
func colourOf(s string) color.NRGBA {
	c := color.NRGBA{A: 255}
	if len(s) == 7 && s[0] == '#' {
		fmt.Sscanf(s[1:], "%02x%02x%02x", &c.R, &c.G, &c.B)
	}
	return c
}
