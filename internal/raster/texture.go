package raster

import (
	"image"
	"image/color"
	"math"
)

// texture is one of the textures of the figures, as figure.Patterns draws them, at every dot: sand is stipple, coring upright
// tines, decay diagonal, growth blades. It is as wide as the plane.
type texture struct {
	name      string
	k, dx, dy float64
	opacity   float64
}

// ColorModel is that of colours that are not multiplied by how opaque they are.
func (t texture) ColorModel() color.Model { return color.NRGBAModel }

// Bounds is the whole plane.
func (t texture) Bounds() image.Rectangle { return image.Rect(-1e9, -1e9, 1e9, 1e9) }

// At is the colour of a dot, mixed from nine places in it.
func (t texture) At(x, y int) color.Color {
	ground, mark := t.colours()
	hits := 0
	for i := range 3 {
		for j := range 3 {
			px := (float64(x) + (float64(i)+.5)/3 - t.dx) / t.k
			py := (float64(y) + (float64(j)+.5)/3 - t.dy) / t.k
			if t.marked(px, py) {
				hits++
			}
		}
	}
	mix := func(a, b uint8) uint8 {
		return uint8(math.Round((float64(a)*float64(9-hits) + float64(b)*float64(hits)) / 9))
	}
	return color.NRGBA{mix(ground.R, mark.R), mix(ground.G, mark.G), mix(ground.B, mark.B), uint8(math.Round(255 * t.opacity))}
}

func (t texture) colours() (ground, mark color.NRGBA) {
	switch t.name {
	case "sand":
		return colourOf("#F6F0C4"), colourOf("#77713F")
	case "blade":
		return colourOf("#CFE2D4"), colourOf("#2E6B48")
	case "decay":
		return colourOf("#F3F6F5"), colourOf("#5A6964")
	}
	return colourOf("#F3F6F5"), colourOf("#13211D")
}

// specks are the middles and radii of the stipple in its square of 9 px.
var specks = [...][3]float64{{1.6, 1.8, .95}, {6.2, 3.4, .8}, {3.4, 6.2, .9}, {7.9, 7.6, .75}}

// marked says whether a place [CSS px] is in a mark of the texture.
func (t texture) marked(x, y float64) bool {
	switch t.name {
	case "sand":
		u, v := wrap(x, 9), wrap(y, 9)
		for _, s := range specks {
			if math.Hypot(u-s[0], v-s[1]) <= s[2] {
				return true
			}
		}
	case "tine":
		return math.Abs(wrap(x, 6)-3) <= .8
	case "decay":
		return math.Abs(wrap((x-y)/math.Sqrt2+3, 6)-3) <= .6
	case "blade":
		u, v := wrap(x, 6), wrap(y, 6)
		return v >= 1.5 && math.Abs(math.Abs(u-3)-(v-1.5)/3) <= .6
	}
	return false
}

func wrap(v, by float64) float64 { return v - by*math.Floor(v/by) }
