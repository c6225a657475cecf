package coring

import (
	"fmt"

	"underfoot/unit"
)

// Blades is a set-up of blades that cut slits: scarifying or slitting.
type Blades struct {
	Width   unit.Millimetres // of the slit
	Spacing unit.Millimetres // between slits, middle to middle
	Passes  int              // 0 means 1
	Depth   unit.Millimetres // below the surface
}

// Open gives what the blades open.
//
//	f = w/s
//
// w the width of the slit [mm], s the spacing [mm], both above 0 and w narrower than s. The slit is taken to
// be as wide as the blade and straight-sided. Source: plane geometry.
func (b Blades) Open() (Opening, error) {
	if b.Passes == 0 {
		b.Passes = 1
	}
	switch {
	case !above(b.Width):
		return Opening{}, fmt.Errorf("area opened by blades: width is %g mm: give a width above 0 mm", float64(b.Width))
	case !above(b.Spacing):
		return Opening{}, fmt.Errorf("area opened by blades: spacing is %g mm: give a spacing above 0 mm", float64(b.Spacing))
	case b.Width >= b.Spacing:
		return Opening{}, fmt.Errorf("area opened by blades: width %g mm is not narrower than the spacing of %g mm: check both", float64(b.Width), float64(b.Spacing))
	}
	if err := checkRun("blades", b.Passes, b.Depth); err != nil {
		return Opening{}, err
	}
	return open(unit.Fraction(b.Width/b.Spacing), b.Passes, b.Depth), nil
}
