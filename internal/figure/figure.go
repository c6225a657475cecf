// Package figure turns results into pictures: deterministic SVG for a page, from a scene that a
// print writer can draw as well.
//
// Each picture is a small struct of plain numbers, times and words (Trend, Profile, Readings,
// SandNeed, Greens, SandSeason, Budget, Spark, SandBar, Views, PeerStrip, Power, Effects, Residuals, SieveCurves, and of the profile model
// Burial, Forecast, BalanceBars, PriorPosterior, Skill) with a Scene method; the small marks that stand in a line of text are
// functions (DepthGlyph, Odds, DirectionIcon, StateMark, WorkGlyph).
// A Scene is a list of primitives with resolved geometry in pixels and a Style each; Scene.SVG
// writes it. The package never sees a record, and draws the same bytes for the same input.
//
// How the pictures look:
//   - ink is measured, blue is modelled, warm colour is organic matter and nothing else;
//   - a whisker is the 90 % interval and its thick part the 50 % interval;
//   - a filled dot is measured or outside what is wanted, an open dot is modelled or within it;
//   - what cannot be drawn is a dashed frame with words, never a broken path.
//
// A page that holds figures must link base.css and the rules of Stylesheet, and hold Patterns once.
package figure

import (
	"math"
	"time"
)

// Interval is a range from Low to High. The zero Interval means that no interval is known.
type Interval struct{ Low, High float64 }

// known tells whether the interval can be drawn.
func (i Interval) known() bool {
	return drawable(i.Low) && drawable(i.High) && i.Low <= i.High && i != Interval{}
}

// Estimate is a value with its uncertainty: Outer is the 90 % interval, Inner the 50 % interval.
type Estimate struct {
	Mid          float64
	Outer, Inner Interval
}

// drawableLimit bounds the numbers a figure draws; beyond it a value is treated as missing, because
// no quantity of this trade comes near it and sums of it would overflow.
const drawableLimit = 1e9

// drawable tells whether v is a number that can stand in a figure.
func drawable(v float64) bool { return !math.IsNaN(v) && math.Abs(v) <= drawableLimit }

// datable tells whether t can stand on a time axis. The years kept are those of sampling rounds
// with room to spare; a zero or garbled time is treated as missing.
func datable(t time.Time) bool { return t.Year() >= 1900 && t.Year() <= 2200 }

// box is a size in pixels.
type box struct{ w, h float64 }

// The least size of a figure with axes: below it nothing could be read.
const leastWidth, leastHeight = 160, 64

// sized gives the wanted size of a figure, or its usual size where none (or nonsense) is wanted,
// and never less than the least.
func sized(w, h float64, usual, least box) (float64, float64) {
	return length(w, usual.w, least.w), length(h, usual.h, least.h)
}

func length(v, usual, least float64) float64 {
	if math.IsNaN(v) || v <= 0 {
		v = usual
	}
	return clamp(v, least, 4000)
}
