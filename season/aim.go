package season

import (
	"fmt"
	"slices"

	"underfoot/calibrate"
)

// Wanted is the band a layer has to lie in on a day, as mass fraction, the mean of all greens.
type Wanted struct {
	Layer     calibrate.Layer
	Low, High float64
	Day       int
}

// Caps are limits a plan keeps to; 0 is no limit.
type Caps struct {
	SandMM    float64 // mm of sand a season, all of it
	Money     float64 // for the whole plan
	Disturbed float64 // days a season
	CrewHours float64 // h a week
}

// Aim is what a plan is for.
type Aim struct {
	Wanted      []Wanted
	OnTheWay    []Wanted // earlier days on which a layer must not stray: part of the probability, not of what is aimed at
	Probability float64  // that all of it is so, 0..1
	Caps        Caps
	DayWorth    float64 // money one disturbed day is reckoned at when plans are weighed against one another
}

// Check refuses an aim that says nothing or contradicts itself.
func (g *Aim) Check(until int) error {
	if len(g.Wanted) == 0 {
		return fmt.Errorf("season: no band is wanted: say where a layer has to lie, or let the direction say it")
	}
	if !(g.Probability > 0 && g.Probability < 1) {
		return fmt.Errorf("season: the probability is %g: give a number between 0 and 1", g.Probability)
	}
	for _, w := range slices.Concat(g.Wanted, g.OnTheWay) {
		if !(w.Low >= 0 && w.High > w.Low && w.High <= 1) {
			return fmt.Errorf("season: the band of %g–%g mm is %g to %g %%: give a low below the high, both from 0 to 100 %%", w.Layer.Top, w.Layer.Bottom, 100*w.Low, 100*w.High)
		}
		if w.Day > until {
			return fmt.Errorf("season: the band of %g–%g mm is wanted on a day after the last one planned for", w.Layer.Top, w.Layer.Bottom)
		}
	}
	for _, v := range []float64{g.Caps.SandMM, g.Caps.Money, g.Caps.Disturbed, g.Caps.CrewHours, g.DayWorth} {
		if !(v >= 0) {
			return fmt.Errorf("season: a limit is %g: give 0 for none, or more", v)
		}
	}
	return nil
}
