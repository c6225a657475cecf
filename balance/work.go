package balance

import (
	"fmt"
	"math"
	"time"

	"underfoot/unit"
)

// Sand is sand put on or into the greens on one day, mean of the course, in dry mass.
type Sand struct {
	At     time.Time
	Amount unit.KgPerM2
	// Top and Bottom are the depths it was placed between, spread evenly; both 0 for the surface.
	// Backfill of holes belongs to Coring, not here.
	Top, Bottom unit.Millimetres
}

// Coring is one event that opened the surface with tines or blades.
type Coring struct {
	At       time.Time
	Touched  unit.Fraction    // share of the surface opened at least once
	Depth    unit.Millimetres // reached by tines or blades
	Removed  bool             // what was cut was taken away: hollow tines or blades, cores not put back
	Backfill unit.KgPerM2     // sand brushed into the holes, dry mass
}

// Uncertainty is how far the record of work, and the reading of it, may be wrong: relative standard uncertainties.
// All are editable; the defaults are common practice, no source.
type Uncertainty struct {
	SandYear  unit.Fraction // the spreader's setting: one factor for all surface sand of a calendar year
	SandEvent unit.Fraction // each dressing by itself
	Area      unit.Fraction // share of the surface that an event touched
	Backfill  unit.Fraction // sand placed in holes, or injected, by event
	// Organic matter of what crosses a layer's bottom, read from the layers on both sides of it, from the
	// two above it, or from the only layer measured.
	Between, Beyond, Alone unit.Fraction
	Growth                 unit.KgPerM2  // how far the organic matter made in one year differs from another's
	Drift                  unit.KgPerM2  // how far the rate of a year may have moved by the next, a year
	Season                 unit.KgPerM2  // how far the organic matter made departs from a straight line within a year
	Decay                  unit.Fraction // of History.Decay
}

// DefaultUncertainty gives the working defaults; common practice, no source.
func DefaultUncertainty() Uncertainty {
	return Uncertainty{
		SandYear: 0.10, SandEvent: 0.10, Area: 0.15, Backfill: 0.20,
		Between: 0.20, Beyond: 0.25, Alone: 0.30,
		Growth: 0.05, Drift: 0.05, Season: 0.12, Decay: 0.4,
	}
}

func (u Uncertainty) check() error {
	for _, f := range []unit.Fraction{u.SandYear, u.SandEvent, u.Area, u.Backfill, u.Between, u.Beyond, u.Alone, u.Decay} {
		if !(f >= 0 && f <= 1) {
			return fmt.Errorf("uncertainty of the record of work is %g: give relative standard uncertainties from 0 to 1", float64(f))
		}
	}
	for _, g := range []unit.KgPerM2{u.Growth, u.Drift, u.Season} {
		if !(g >= 0 && g <= 10) {
			return fmt.Errorf("uncertainty of a year's growth is %g kg/m²: give a number from 0 to 10", float64(g))
		}
	}
	return nil
}

func (s Sand) check() error {
	switch {
	case !(s.Amount >= 0) || math.IsInf(float64(s.Amount), 0):
		return fmt.Errorf("sand on %s: amount is %g kg/m²: give 0 or more", day(s.At), float64(s.Amount))
	case s.surface():
		return nil
	case !(s.Top >= 0 && s.Bottom > s.Top) || math.IsInf(float64(s.Bottom), 0):
		return fmt.Errorf("sand on %s: placed between %g and %g mm: the bottom must lie below the top", day(s.At), float64(s.Top), float64(s.Bottom))
	}
	return nil
}

func (s Sand) surface() bool { return s.Top == 0 && s.Bottom == 0 }

func (c Coring) check() error {
	switch {
	case !(c.Touched >= 0 && c.Touched < 1):
		return fmt.Errorf("coring on %s: share of the surface is %g: give 0 or more and less than 1", day(c.At), float64(c.Touched))
	case !(c.Depth > 0) || math.IsInf(float64(c.Depth), 0):
		return fmt.Errorf("coring on %s: depth is %g mm: give a depth above 0 mm", day(c.At), float64(c.Depth))
	case !(c.Backfill >= 0) || math.IsInf(float64(c.Backfill), 0):
		return fmt.Errorf("coring on %s: backfill is %g kg/m²: give 0 or more", day(c.At), float64(c.Backfill))
	}
	return nil
}

func day(t time.Time) string { return t.Format("2006-01-02") }
