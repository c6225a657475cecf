package bench

import (
	"errors"
	"fmt"
	"math"

	"underfoot/unit"
)

// Layer is a depth interval below the surface, 0 ≤ Top < Bottom [mm].
type Layer struct {
	Top, Bottom unit.Millimetres
}

// Thickness is Bottom − Top.
func (l Layer) Thickness() unit.Millimetres { return l.Bottom - l.Top }

func (l Layer) String() string {
	return number(float64(l.Top)) + "–" + number(float64(l.Bottom)) + " mm"
}

// deepestLayer [mm] catches a wrong unit, nothing else: common practice, no source.
const deepestLayer unit.Millimetres = 2000

func (l Layer) check() error {
	if l.Top >= 0 && l.Top < l.Bottom && l.Bottom <= deepestLayer {
		return nil
	}
	return fmt.Errorf("layer %s: give a top of 0 or more and a bottom below it, down to %s mm", l, number(float64(deepestLayer)))
}

// Cores are the round plugs of one composite, all taken with one corer.
type Cores struct {
	Count    int
	Diameter unit.Millimetres // inner diameter of the corer
}

// Limits that catch a wrong unit: common practice, no source.
const (
	mostCores   int              = 10_000
	widestCorer unit.Millimetres = 500
)

func (c Cores) check() error {
	var errs []error
	if c.Count < 1 || c.Count > mostCores {
		errs = append(errs, fmt.Errorf("%d cores: give a number from 1 to %d, or leave it out if it is not known", c.Count, mostCores))
	}
	if !(c.Diameter > 0 && c.Diameter <= widestCorer) {
		errs = append(errs, fmt.Errorf("corer diameter %s mm: give millimetres above 0 and up to %s, or leave it out if it is not known",
			number(float64(c.Diameter)), number(float64(widestCorer))))
	}
	return errors.Join(errs...)
}

// Area gives the surface the cores were cut from, A = n·π·d²/4 [m²].
func (c Cores) Area() (unit.SquareMetres, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	return c.area(), nil
}

func (c Cores) area() unit.SquareMetres {
	d := c.Diameter.Metres()
	return unit.SquareMetres(float64(c.Count) * math.Pi * d * d / 4)
}

// Volume gives the volume of a layer cut from the cores, V = n·π·d²/4·(z_b − z_t) [cm³]. Cores that broke,
// bent or were squeezed on the way are not noticed. Source: geometry of a cylinder.
func (c Cores) Volume(l Layer) (unit.CubicCentimetres, error) {
	if err := errors.Join(c.check(), l.check()); err != nil {
		return 0, err
	}
	return c.volume(l), nil
}

func (c Cores) volume(l Layer) unit.CubicCentimetres {
	return unit.CubicCentimetres(float64(c.area()) * l.Thickness().Metres() * 1e6)
}

// CoresFor gives the smallest number of cores of a diameter that yields at least a volume from a layer.
func CoresFor(least unit.CubicCentimetres, diameter unit.Millimetres, l Layer) (int, error) {
	one, err := Cores{Count: 1, Diameter: diameter}.Volume(l)
	if err != nil {
		return 0, err
	}
	n := math.Ceil(float64(least/one) * (1 - 1e-12)) // a whole number stays whole despite rounding
	if !(least > 0) || n > float64(mostCores) {
		return 0, fmt.Errorf("cores for %s cm³: give a volume above 0 that no more than %d cores can hold", number(float64(least)), mostCores)
	}
	return int(n), nil
}
