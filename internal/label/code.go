package label

import (
	"errors"
	"fmt"
	"image/color"
	"unicode/utf8"

	"github.com/boombuler/barcode/qr"
)

const (
	// quiet is the white border of a QR code in modules (ISO/IEC 18004:2015, 9.1).
	quiet = 4
	// leastModule is the smallest square of a code in mm that a phone reads from a creased bag: four dots of a printer with
	// 300 dots an inch are 0.34 mm. Common practice, no source.
	leastModule = 0.3
	// goodModule is the square in mm above which the better error correction is worth its larger code. Common practice,
	// no source.
	goodModule = 0.5
	// longestText is how much a code takes in bytes; far less fits on a label.
	longestText = 1000
)

// code is a QR code as squares, true for dark.
type code [][]bool

// encode makes the code of a text that fits a square of side mm with its white border.
func encode(text string, side float64) (code, error) {
	if text == "" {
		return nil, errors.New("the sample has no name")
	}
	if len(text) > longestText || !utf8.ValidString(text) {
		return nil, fmt.Errorf("the text of %d bytes is too long for a code: %d are allowed", len(text), longestText)
	}
	better, err := modules(text, qr.M)
	if err == nil && better.module(side) >= goodModule {
		return better, nil
	}
	c, err := modules(text, qr.L)
	if err != nil {
		return nil, err
	}
	if m := c.module(side); m < leastModule {
		return nil, fmt.Errorf("its code has %d squares a side, on %s mm that is %.2f mm each and %s mm are needed to be read: take larger labels, or let the code hold the sample’s name only",
			len(c), short(side), m, short(leastModule))
	}
	return c, nil
}

// module is the side of a square in mm when the code with its border takes side mm.
func (c code) module(side float64) float64 { return side / float64(len(c)+2*quiet) }

func modules(text string, level qr.ErrorCorrectionLevel) (code, error) {
	b, err := qr.Encode(text, level, qr.Auto)
	if err != nil {
		return nil, fmt.Errorf("its text does not fit a code: %w", err)
	}
	n := b.Bounds().Dx()
	c := make(code, n)
	for y := range c {
		c[y] = make([]bool, n)
		for x := range c[y] {
			c[y][x] = color.GrayModel.Convert(b.At(x, y)).(color.Gray).Y < 128
		}
	}
	return c, nil
}

// draw puts the code with its white border into a square of side mm, as one path: adjoining squares leave no seam.
func (c code) draw(p *press, x, y, side float64) {
	m := c.module(side)
	x, y = x+quiet*m, y+quiet*m
	p.SetFillColor(0, 0, 0)
	for row := range c {
		for from := 0; from < len(c); from++ {
			to := from
			for to < len(c) && c[row][to] {
				to++
			}
			if to == from {
				continue
			}
			p.MoveTo(x+float64(from)*m, y+float64(row)*m)
			p.LineTo(x+float64(to)*m, y+float64(row)*m)
			p.LineTo(x+float64(to)*m, y+float64(row+1)*m)
			p.LineTo(x+float64(from)*m, y+float64(row+1)*m)
			p.ClosePath()
			from = to
		}
	}
	p.DrawPath("F")
}
