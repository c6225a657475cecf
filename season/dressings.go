package season

import (
	"math"

	"underfoot/unit"
)

// Dressings is the year's surface sand in portions the surface can take.
type Dressings struct {
	Count int
	Each  unit.Millimetres
	Every int              // days
	Rest  unit.Millimetres // a year that does not fit: into open holes
}

// dress splits a year's sand into dressings no larger than the course allows and no closer than a week.
func dress(total unit.Millimetres, c Course) Dressings {
	if total <= 0 {
		return Dressings{}
	}
	days := c.Months * daysPerMonth
	most := max(1, int(days/leastDaysOff))
	n := int(math.Ceil(float64(total/c.LargestDressing) - 1e-9))
	d := Dressings{Count: n, Each: total / unit.Millimetres(n)}
	if n > most {
		d = Dressings{Count: most, Each: c.LargestDressing, Rest: total - c.LargestDressing*unit.Millimetres(most)}
	}
	d.Every = int(math.Round(days / float64(d.Count)))
	return d
}
