package sampling

import (
	"errors"
	"fmt"
	"math"

	"underfoot/unit"
)

// Layer is a depth interval below the surface.
type Layer struct{ Top, Bottom unit.Millimetres }

// String names it: "0–20 mm".
func (l Layer) String() string {
	return trimmed(float64(l.Top), 1) + "–" + trimmed(float64(l.Bottom), 1) + " mm"
}

// Round is the design of one sampling occasion: greens of which every layer is taken, greens of which only the uppermost
// is, and how their cores are cut.
type Round struct {
	Layers   []Layer // from the surface down; they may touch, not overlap
	Full     []string
	TopOnly  []string
	Cores    int              // in each composite
	Diameter unit.Millimetres // inner, of the corer
}

// DefaultRound is the round of common practice, no source: 5 cores a green, 3 greens for every layer and 3 more for the top
// layer only; 0–20, 20–40 and 40–60 mm, with a corer 20 mm wide, which makes 31 cm³ of a composite. Of fewer than 6
// greens the first 3 are taken in full. The greens are taken in the order given: choose them with Choose.
func DefaultRound(greens []string) Round {
	full := min(usualFull, len(greens))
	return Round{
		Layers: []Layer{{0, 20}, {20, 40}, {40, 60}}, Cores: usualCores, Diameter: usualDiameter,
		Full: greens[:full:full], TopOnly: greens[full:min(usualFull+usualTopOnly, len(greens))],
	}
}

// common practice, no source
const (
	usualCores                     = 5
	usualFull                      = 3
	usualTopOnly                   = 3
	usualDiameter unit.Millimetres = 20
)

// Limits of what a composite should hold to be weighed and burnt well: common practice, no source.
const (
	LeastVolume unit.CubicCentimetres = 30
	MostVolume  unit.CubicCentimetres = 150
)

// Greens are all greens of the round, those taken in full first.
func (r Round) Greens() []string { return append(append([]string{}, r.Full...), r.TopOnly...) }

// Of says how many greens a layer is taken of: all for the first, those taken in full for the others.
func (r Round) Of(layer int) int {
	if layer == 0 {
		return len(r.Full) + len(r.TopOnly)
	}
	return len(r.Full)
}

// Composites is how many there will be to burn.
func (r Round) Composites() int { return len(r.Full)*len(r.Layers) + len(r.TopOnly) }

// Check says what is wrong with the round, if anything.
func (r Round) Check() error {
	const doing = "round"
	switch {
	case len(r.Layers) == 0:
		return errors.New("round: no layers: give at least one by its depths")
	case len(r.Full)+len(r.TopOnly) == 0:
		return errors.New("round: no greens: choose at least one")
	case r.Cores < 1 || r.Cores > mostCores:
		return fmt.Errorf("%s: %s a green: allowed are 1 to %d", doing, count(r.Cores, "core"), mostCores)
	case !(r.Diameter >= 5 && r.Diameter <= 120):
		return fmt.Errorf("%s: corer of %g mm: allowed is an inner diameter of 5 to 120 mm", doing, r.Diameter)
	}
	for i, l := range r.Layers {
		if !(l.Top >= 0 && l.Bottom > l.Top && l.Bottom <= deepest) {
			return fmt.Errorf("%s: layer from %g to %g mm: the bottom lies deeper than the top, down to %g mm", doing, l.Top, l.Bottom, deepest)
		}
		if i > 0 && l.Top < r.Layers[i-1].Bottom {
			return fmt.Errorf("%s: %v begins above the end of %v: give layers from the surface down that do not overlap", doing, l, r.Layers[i-1])
		}
	}
	seen := map[string]bool{}
	for _, g := range r.Greens() {
		if seen[g] {
			return fmt.Errorf("%s: green %s is named twice: name it once, in full or for the top layer only", doing, g)
		}
		seen[g] = true
	}
	return nil
}

const (
	mostCores                  = 200
	deepest   unit.Millimetres = 2000
)

// Volume is what a composite of the layer holds, n·π·d²/4·h, with the corer's inner diameter d and the layer's thickness h.
func (r Round) Volume(l Layer) unit.CubicCentimetres {
	return unit.CubicCentimetres(float64(r.Cores)*coreArea(r.Diameter)*float64(l.Bottom-l.Top)) / 1000
}

// coreArea is the section of a core [mm²].
func coreArea(d unit.Millimetres) float64 { return math.Pi / 4 * float64(d) * float64(d) }

// VolumeAdvice says what to change where a composite of the layer holds less than 30 cm³ or more than 150 cm³, or "".
func (r Round) VolumeAdvice(l Layer) string {
	v, h := float64(r.Volume(l)), float64(l.Bottom-l.Top)
	per := coreArea(r.Diameter) * h / 1000 // one core [cm³]
	says := fmt.Sprintf("%v: %s of %s mm hold %s cm³, ", l, count(r.Cores, "core"), trimmed(float64(r.Diameter), 1), trimmed(v, 0))
	width := func(v float64) float64 { return math.Sqrt(v * 1000 / (float64(r.Cores) * h * math.Pi / 4)) }
	switch {
	case v < float64(LeastVolume):
		return says + fmt.Sprintf("less than %g cm³, little to weigh: take %s or more, or a corer of %s mm or wider.",
			LeastVolume, count(int(math.Ceil(float64(LeastVolume)/per-1e-9)), "core"), trimmed(math.Ceil(width(float64(LeastVolume))*2-1e-9)/2, 1))
	case v > float64(MostVolume):
		narrow := fmt.Sprintf("a corer of %s mm or narrower", trimmed(math.Floor(width(float64(MostVolume))*2+1e-9)/2, 1))
		if n := int(float64(MostVolume)/per + 1e-9); n >= 3 {
			narrow = fmt.Sprintf("%s at most, or %s", count(n, "core"), narrow)
		}
		return says + fmt.Sprintf("more than %g cm³, much to burn: take %s, or split the layer in two; or share the composite among crucibles.", MostVolume, narrow)
	}
	return ""
}

// RoundCost is what the round costs: visit + greens·green + cores·core + composites·determination.
// Source: as Cost.
func (p Prices) RoundCost(r Round) (float64, error) {
	if err := first(p.check(), r.Check()); err != nil {
		return 0, err
	}
	greens := float64(len(r.Full) + len(r.TopOnly))
	return p.Visit + greens*(p.Green+float64(r.Cores)*p.Core) + float64(r.Composites())*p.Determination, nil
}
