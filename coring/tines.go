package coring

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Pattern is how holes stand to one another.
type Pattern int

// Square holes stand at the corners of rectangles; Triangular ones at the corners of equilateral triangles.
// Rows set off against one another at spacings along and across open the same share as Square.
const (
	Square Pattern = iota
	Triangular
)

// Tines is a set-up of round tines, hollow or solid.
type Tines struct {
	Diameter unit.Millimetres // inside for what a hollow tine removes, outside for what is disturbed
	Along    unit.Millimetres // spacing along the run; side of the triangle when Triangular
	Across   unit.Millimetres // spacing across the run; 0 means the same as Along
	Pattern  Pattern
	Passes   int              // 0 means 1
	Depth    unit.Millimetres // below the surface
}

// Open gives what the tines open.
//
//	rectangles: f = (π/4)·d²/(a·b)
//	triangles:  f = π·d²/(2·√3·a²)
//
// d the diameter [mm], a and b the spacings [mm], all above 0 and d no wider than the spacing.
// Depth and diameter are taken as set on the machine. Source: plane geometry; the shares of Ervin & Nichols
// 2010 (USGA Green Section Record 48(16)) follow from it.
func (t Tines) Open() (Opening, error) {
	t = t.filled()
	if err := t.check(); err != nil {
		return Opening{}, err
	}
	d, a, b := float64(t.Diameter), float64(t.Along), float64(t.Across)
	cell := a * b
	if t.Pattern == Triangular {
		cell = a * a * math.Sqrt(3) / 2
	}
	o := open(unit.Fraction(math.Pi/4*d*d/cell), t.Passes, t.Depth)
	if gap := math.Min(a, b) - d; gap < leastGap*d {
		o.Warnings = append(o.Warnings, fmt.Sprintf(
			"the gap between holes is %.1f mm, less than one diameter of %.1f mm (a working default, no source): turf may tear", gap, d))
	}
	return o, nil
}

func (t Tines) filled() Tines {
	if t.Across == 0 {
		t.Across = t.Along
	}
	if t.Passes == 0 {
		t.Passes = 1
	}
	return t
}

func (t Tines) check() error {
	switch {
	case !above(t.Diameter):
		return fmt.Errorf("area opened by tines: diameter is %g mm: give a diameter above 0 mm", float64(t.Diameter))
	case !above(t.Along) || !above(t.Across):
		return fmt.Errorf("area opened by tines: spacing is %g by %g mm: give spacings above 0 mm", float64(t.Along), float64(t.Across))
	case t.Pattern != Square && t.Pattern != Triangular:
		return fmt.Errorf("area opened by tines: pattern %d is unknown: use square or triangular", t.Pattern)
	case t.Pattern == Triangular && t.Across != t.Along:
		return fmt.Errorf("area opened by tines: a triangular pattern has one spacing, got %g and %g mm: give the side of the triangle, or square with the spacing of the rows", float64(t.Along), float64(t.Across))
	case t.Diameter > min(t.Along, t.Across):
		return fmt.Errorf("area opened by tines: diameter %g mm is wider than the spacing of %g mm: check both", float64(t.Diameter), float64(min(t.Along, t.Across)))
	}
	return checkRun("tines", t.Passes, t.Depth)
}

func checkRun(of string, passes int, depth unit.Millimetres) error {
	switch {
	case passes < 1 || passes > 20:
		return fmt.Errorf("area opened by %s: %d passes: give 1 to 20", of, passes)
	case !above(depth):
		return fmt.Errorf("area opened by %s: depth is %g mm: give a depth above 0 mm", of, float64(depth))
	case depth > 500:
		return fmt.Errorf("area opened by %s: depth is %g mm: give at most 500 mm", of, float64(depth))
	}
	return nil
}

func above(l unit.Millimetres) bool { return l > 0 && !math.IsInf(float64(l), 0) }
