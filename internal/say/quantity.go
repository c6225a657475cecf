package say

import (
	"math"

	"underfoot/unit"
)

// quantity pairs a metric unit with the one that stands for it in US customary units.
type quantity struct {
	metric, us string
	per        float64 // US units a metric unit
	offset     float64 // US reading of metric zero, above 0 only for temperature
	asked      bool    // said only where the style is asked: words with it may mean what an instrument read
}

// quantities are the units that are said differently, the longer name before one that it begins with. Factors come from
// package unit, where they follow from exact definitions; the litre and the degree are here.
//
// Bench masses in g, volumes in cm³, shares in % and sieve openings in µm are read in metric units by both.
var quantities = []quantity{
	{"kg/m²", "lb/1000 ft²", float64(unit.KgPerM2(1).PoundsPer1000Ft2()), 0, false},
	{"kg/m³", "lb/ft³", float64(unit.KgPerM3(1).PoundsPerFt3()), 0, false},
	{"kg/ha", "lb/1000 ft²", float64(unit.KilogramsPerHectare(1).KgPerM2().PoundsPer1000Ft2()), 0, false},
	{"h/ha", "h/acre", 43_560 / float64(unit.SquareMetres(10_000).SquareFeet()), 0, false},
	{"t/ha", "lb/1000 ft²", float64(unit.KilogramsPerHectare(1000).KgPerM2().PoundsPer1000Ft2()), 0, false},
	{"g/m²", "lb/1000 ft²", float64(unit.KgPerM2(0.001).PoundsPer1000Ft2()), 0, false},
	{"L/100 m²", "qt/1000 ft²", litresInQuarts * float64(unit.SquareFeet(1000).SquareMetres()) / 100, 0, false},
	{"mm/h", "in/h", float64(unit.Millimetres(1).Inches()), 0, true},
	{"mm", "in", float64(unit.Millimetres(1).Inches()), 0, false},
	{"m²", "ft²", float64(unit.SquareMetres(1).SquareFeet()), 0, false},
	{"m³", "yd³", float64(unit.CubicMetres(1).CubicYards()), 0, false},
	{"kg", "lb", poundsInKilogram, 0, false},
	{"°C", "°F", 1.8, 32, false}, // exact: NIST SP 811, appendix B.8
	{"ha", "acres", float64(unit.SquareMetres(10_000).SquareFeet()) / 43_560, 0, false},
	{"m", "ft", 1000 * float64(unit.Millimetres(1).Inches()) / 12, 0, true},
	{"L", "ft³", 27 * float64(unit.CubicMetres(0.001).CubicYards()), 0, true},
	{"a tonne", "a ton", 2000 * 0.45359237 / 1000, 0, false},
	{"t", "tons", poundsInKilogram * 1000 / 2000, 0, false},
}

const (
	poundsInKilogram = 1 / 0.45359237  // exact: NIST SP 811, appendix B.8
	litresInQuarts   = 1 / 0.946352946 // US liquid quart, exact: 57.75 in³, NIST Handbook 44, appendix C
	slack            = 0.05            // most that rounding may move a reading, as a share of it
	mostDecimals     = 6               // of a reading
	inputFigures     = 12              // significant figures of a typed number once converted
)

// find returns the pair of a metric unit.
func find(metric string) (quantity, bool) {
	for _, q := range quantities {
		if q.metric == metric {
			return q, true
		}
	}
	return quantity{}, false
}

// Unit names the unit in which a quantity of the metric unit is said.
func (s Style) Unit(metric string) string {
	if q, ok := find(metric); ok && s.Units == US {
		return q.us
	}
	return metric
}

// Value converts a number of a metric unit to the unit in which it is said, without rounding. A figure that draws to
// scale is given these.
func (s Style) Value(v float64, metric string) float64 {
	if q, ok := find(metric); ok && s.Units == US {
		return v*q.per + q.offset
	}
	return v
}

// decimalsOf is how many decimals the US reading of a metric number with d decimals has: as many as bring its last place
// nearest to the last place of the metric one, so that conversion adds no precision.
func (q quantity) decimalsOf(d int) int { return d + int(math.Round(-math.Log10(q.per))) }

// read rounds the converted value of a metric reading v with d decimals. Where few figures would move it by more than a
// twentieth it keeps one or two places more: 1 mm is 0.04 in, not 0.0.
func (q quantity) read(v float64, d int) (float64, int) {
	x, to := v*q.per+q.offset, q.decimalsOf(d)
	if q.offset != 0 {
		to = d
	}
	for ; to < mostDecimals; to++ {
		if r := round(x, to); math.Abs(r-x) <= slack*math.Abs(x) {
			break
		}
	}
	return round(x, to), max(to, 0)
}

// round rounds to decimals; a negative number rounds to tens and hundreds.
func round(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p) / p
}
