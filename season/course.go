package season

import (
	"fmt"
	"math"

	"underfoot/coring"
	"underfoot/unit"
)

// Course is what advice needs to know of a course. Fields at zero take the working default beside them;
// the defaults have no source.
type Course struct {
	Surface         string                   // what is dressed, in the plural; "greens"
	Area            unit.SquareMetres        // of all of them together; 0 when it is not known, and nothing is then said in tonnes
	SandDensity     unit.KgPerM3             // dry bulk density of the chosen sand; 1550 kg/m³
	SandWater       unit.Fraction            // water by mass of dry sand, as delivered
	Months          float64                  // in which the greens can be dressed; 7
	LargestDressing unit.Millimetres         // on a closed surface; 0.5 mm
	Coring          coring.Tines             // the course's own last set-up; 12 mm tines at 50 by 50 mm, 60 mm deep
	Filled          unit.Fraction            // of the holes; 0.8
	Nitrogen        unit.KilogramsPerHectare // of last year; 0 when not known
	Goal            Goal
	Bands           []Band // wanted by the manager, by layer; none by default
}

// Goal is how far and how fast to move when no band is given. Working defaults, no source; editable.
type Goal struct {
	Lower float64 // times the present organic matter; 0.85
	Raise float64 // 1.10
	Years float64 // seasons to get there; 2
}

// Band is what the manager wants a layer to hold once there is a direction.
type Band struct {
	Top, Bottom unit.Millimetres
	Low, High   unit.Fraction
}

const (
	daysPerMonth = 365.25 / 12
	leastDaysOff = 7.0 // days between dressings at the closest; working default, no source
)

func (c Course) filled() Course {
	if c.Surface == "" {
		c.Surface = "greens"
	}
	if c.SandDensity == 0 {
		c.SandDensity = 1550
	}
	if c.Months == 0 {
		c.Months = 7
	}
	if c.LargestDressing == 0 {
		c.LargestDressing = 0.5
	}
	if c.Coring == (coring.Tines{}) {
		c.Coring = coring.Tines{Diameter: 12, Along: 50, Across: 50, Depth: 60}
	}
	if c.Filled == 0 {
		c.Filled = 0.8
	}
	if c.Goal.Lower == 0 {
		c.Goal.Lower = 0.85
	}
	if c.Goal.Raise == 0 {
		c.Goal.Raise = 1.10
	}
	if c.Goal.Years == 0 {
		c.Goal.Years = 2
	}
	return c
}

func (c Course) check() error {
	switch {
	case !(c.Area >= 0) || math.IsInf(float64(c.Area), 0):
		return fmt.Errorf("advice: the greens cover %g m²: give their area, above 0, or 0 when it is not known", float64(c.Area))
	case !(c.SandDensity > 0) || math.IsInf(float64(c.SandDensity), 0):
		return fmt.Errorf("advice: bulk density of the sand is %g kg/m³: give one above 0, about 1500 to 1700", float64(c.SandDensity))
	case !(c.SandWater >= 0 && c.SandWater < 0.5):
		return fmt.Errorf("advice: the sand holds %g %% water: give 0 or more and less than 50 %%", float64(c.SandWater.Percent()))
	case !(c.Months > 0 && c.Months <= 12):
		return fmt.Errorf("advice: a season of %g months: give more than 0 and at most 12", c.Months)
	case !(c.LargestDressing > 0 && c.LargestDressing <= 10):
		return fmt.Errorf("advice: largest dressing is %g mm: give more than 0 and at most 10 mm", float64(c.LargestDressing))
	case !(c.Nitrogen >= 0) || math.IsInf(float64(c.Nitrogen), 0):
		return fmt.Errorf("advice: nitrogen is %g kg/ha: give 0 or more", float64(c.Nitrogen))
	case !(c.Goal.Lower > 0 && c.Goal.Lower < 1):
		return fmt.Errorf("advice: lowering aims at %g times the organic matter: give more than 0 and less than 1", c.Goal.Lower)
	case !(c.Goal.Raise > 1 && c.Goal.Raise < 3):
		return fmt.Errorf("advice: raising aims at %g times the organic matter: give more than 1 and less than 3", c.Goal.Raise)
	case !(c.Goal.Years > 0 && c.Goal.Years <= 20):
		return fmt.Errorf("advice: %g seasons to get there: give more than 0 and at most 20", c.Goal.Years)
	}
	for _, b := range c.Bands {
		if !(b.Low >= 0 && b.High > b.Low && b.High < 1) {
			return fmt.Errorf("advice: band of %g–%g mm is %g to %g %%: give a low below the high, both from 0 to 100 %%", float64(b.Top), float64(b.Bottom), float64(b.Low.Percent()), float64(b.High.Percent()))
		}
	}
	return nil
}

func (c Course) band(top, bottom unit.Millimetres) (Band, bool) {
	for _, b := range c.Bands {
		if b.Top == top && b.Bottom == bottom {
			return b, true
		}
	}
	return Band{}, false
}
