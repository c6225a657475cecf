package figure

import (
	"math"
)

// inkTurns is the organic matter [%] from which lettering on its colour is white: the dark letter
// is down to 4.6:1 there and falls below 4.5:1 (WCAG 2.2, 1.4.3) soon after. White begins at
// 3.6:1, which 1.4.3 allows for large text only; it passes 4.5:1 from about 5.9 % on. Between the
// two no plain ink reaches 4.5:1 on this scale. Common practice of this program, no source.
const inkTurns = 5.25

// omStops are the colours of organic matter at every half percent from 0 to 10 %: lajolla of the
// Scientific colour maps, reversed, so that bare sand is pale and peat is dark.
// Source: F. Crameri, Scientific colour maps, doi:10.5281/zenodo.1243862 (MIT licence).
var omStops = [21][3]uint8{
	{0xFF, 0xFE, 0xCB},
	{0xFD, 0xF3, 0xAB},
	{0xFA, 0xE5, 0x87},
	{0xF5, 0xD3, 0x69},
	{0xF1, 0xC1, 0x59},
	{0xED, 0xB1, 0x54},
	{0xEB, 0xA3, 0x53},
	{0xE8, 0x95, 0x52},
	{0xE5, 0x87, 0x51},
	{0xE2, 0x79, 0x50},
	{0xDD, 0x69, 0x4F},
	{0xD5, 0x5A, 0x4D},
	{0xC4, 0x4E, 0x4A},
	{0xAD, 0x47, 0x46},
	{0x94, 0x41, 0x3E},
	{0x7B, 0x3B, 0x34},
	{0x65, 0x33, 0x29},
	{0x51, 0x2D, 0x1E},
	{0x40, 0x27, 0x16},
	{0x32, 0x22, 0x0F},
	{0x26, 0x1E, 0x08},
}

// OMColour gives the colour of an organic matter content as "#RRGGBB": between neighbouring
// half-percent stops it is linear in sRGB. percent [% of oven-dry mass] is clamped to 0..10 and
// the scale is never stretched to the data, so that 6 % is the same colour everywhere. NaN is
// drawn as 0 %; draw a value that is missing as a dashed frame instead.
func OMColour(percent float64) string {
	at := 2 * clamp(percent, 0, 10)
	if math.IsNaN(at) {
		at = 0
	}
	i := min(int(at), len(omStops)-2)
	t := at - float64(i)
	var c [3]uint8
	for k := range c {
		a, b := float64(omStops[i][k]), float64(omStops[i+1][k])
		c[k] = uint8(math.RoundToEven(a + (b-a)*t))
	}
	const digits = "0123456789ABCDEF"
	out := [7]byte{'#'}
	for k, v := range c {
		out[1+2*k], out[2+2*k] = digits[v>>4], digits[v&15]
	}
	return string(out[:])
}

// OMInk gives the colour of lettering that stands on OMColour(percent): dark on pale, white from
// 5.25 % up.
func OMInk(percent float64) string {
	if percent >= inkTurns {
		return "#FFFFFF"
	}
	return ink
}
