package coring

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Limits at which a set-up is still possible but worth a word. Working defaults, no source; the idea that
// closely set double passes tear turf and heal slowly is Ervin & Nichols 2010 (USGA Green Section Record 48(16)).
const (
	mostPerEvent = 0.15 // share of the surface opened in one event; working default, no source
	leastGap     = 1.0  // gap between holes, in hole diameters; working default, no source
)

// Opening is what one event opens.
type Opening struct {
	PerPass  unit.Fraction    // share of the surface in one pass
	Passes   int              // passes of the event
	Counted  unit.Fraction    // passes added up, as programmes report it
	Touched  unit.Fraction    // share opened at least once, passes falling at random
	Depth    unit.Millimetres // below the surface
	Volume   unit.LitresPerM2 // holes or slits, overlap counted once
	Warnings []string         // possible, but worth a word
}

// Counted adds up the shares of passes as programmes report them.
//
//	f = Σ fᵢ
//
// fᵢ [0..1]. Overlap is ignored, so the sum can pass 1.
func Counted(passes ...unit.Fraction) unit.Fraction {
	var sum unit.Fraction
	for _, f := range passes {
		sum += f
	}
	return sum
}

// Touched gives the share of the surface opened at least once when passes fall at random on one another.
//
//	f = 1 − Π(1 − fᵢ)
//
// fᵢ [0..1]. A machine that keeps register between passes can hit more, or less, new ground.
// Source: the union of independent events; any text on probability.
func Touched(passes ...unit.Fraction) unit.Fraction {
	left := 1.0
	for _, f := range passes {
		left *= 1 - float64(f)
	}
	return unit.Fraction(1 - left)
}

// open puts passes together; volume is v = f·z with the touched share.
func open(perPass unit.Fraction, passes int, depth unit.Millimetres) Opening {
	o := Opening{
		PerPass: perPass,
		Passes:  passes,
		Counted: perPass * unit.Fraction(passes),
		Touched: unit.Fraction(1 - math.Pow(1-float64(perPass), float64(passes))),
		Depth:   depth,
	}
	o.Volume = unit.LitresPerM2(float64(o.Touched) * float64(depth)) // 1 mm·m²/m² = 1 L/m²
	if o.Counted > mostPerEvent {
		o.Warnings = append(o.Warnings, fmt.Sprintf(
			"one event opens %.1f %% of the surface, more than %.0f %% (a working default, no source): expect slow healing",
			o.Counted.Percent(), unit.Fraction(mostPerEvent).Percent()))
	}
	return o
}

// SandToFill gives the sand that fills what was opened.
//
//	m = v·ρ·e
//
// v [L/m²], ρ the sand's dry bulk density [kg/m³], e the share of the volume that is filled [0..1].
// Holes are seldom brim-full: 0.6 to 0.9 is a working default, no source.
func (o Opening) SandToFill(density unit.KgPerM3, filled unit.Fraction) (unit.KgPerM2, error) {
	if !(density > 0) || math.IsInf(float64(density), 0) {
		return 0, fmt.Errorf("sand to fill: bulk density of the sand is %g kg/m³: give one above 0, about 1500 to 1700", float64(density))
	}
	if !(filled >= 0 && filled <= 1) {
		return 0, fmt.Errorf("sand to fill: filled share is %g: give a number from 0 to 1", float64(filled))
	}
	return unit.KgPerM2(float64(o.Volume) / 1000 * float64(density) * float64(filled)), nil
}
