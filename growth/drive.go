package growth

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Input is what the growth of a course follows from.
type Input struct {
	Weather   Weather
	Habit     Habit
	Nitrogen  []Gift     // in any order
	Clippings []Clipping // in any order
	South     bool       // southern half of the earth: the season year runs from July to June
}

// Drive is the daily driving of growth and decay. Temp and Filled are those of the weather it was made from, not copies.
type Drive struct {
	First    int
	Temp     []float64 // °C
	Shape    []float64 // growth potential by temperature, 0..1
	Nitrogen []float64 // the season's nitrogen over Reference; 1 where nobody wrote any down
	Size     []float64 // correction from clippings; 1 where there are none
	Filled   []bool    // temperature filled in
	Notes    []string  // in words: what was filled in or assumed
}

// NewDrive works the driving out for every day of the weather.
func NewDrive(in Input) (Drive, error) {
	w := in.Weather
	if err := in.check(); err != nil {
		return Drive{}, err
	}
	d := Drive{First: w.First, Temp: w.Mean, Filled: w.Filled, Shape: make([]float64, len(w.Mean))}
	filled := 0
	for i, t := range w.Mean {
		d.Shape[i] = Potential(t, in.Habit)
		if w.Filled[i] {
			filled++
		}
	}
	if filled > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%d of %d days of weather are filled in", filled, len(w.Mean)))
	}
	gifts := slices.Clone(in.Nitrogen)
	slices.SortStableFunc(gifts, func(a, b Gift) int { return cmp.Compare(a.Day, b.Day) })
	var notes []string
	d.Nitrogen, notes = seasons(gifts, w.First, w.Until(), in.South)
	d.Notes = append(d.Notes, notes...)
	clippings := slices.Clone(in.Clippings)
	slices.SortStableFunc(clippings, func(a, b Clipping) int { return cmp.Compare(a.Day, b.Day) })
	d.Size, notes = d.sizes(clippings)
	d.Notes = append(d.Notes, notes...)
	return d, nil
}

// check refuses what growth cannot be told from.
func (in Input) check() error {
	w := in.Weather
	if len(w.Mean) == 0 {
		return fmt.Errorf("growth: there is no weather")
	}
	if len(w.Filled) != len(w.Mean) {
		return fmt.Errorf("growth: %d days of weather with %d marks of what is filled in: one for each day", len(w.Mean), len(w.Filled))
	}
	for i, t := range w.Mean {
		if math.IsNaN(t) || math.IsInf(t, 0) {
			return fmt.Errorf("growth: %s has no temperature: fill the gaps of the weather first", date(w.First+i))
		}
	}
	for _, g := range in.Nitrogen {
		if !(g.KgHa >= 0 && g.KgHa < math.Inf(1)) {
			return fmt.Errorf("growth: nitrogen of %s: %g kg/ha: 0 or more", date(g.Day), g.KgHa)
		}
	}
	for _, c := range in.Clippings {
		if !(c.Litres100M2 >= 0 && c.Litres100M2 < math.Inf(1)) {
			return fmt.Errorf("growth: clippings of %s: %g L/100 m²: 0 or more", date(c.Day), c.Litres100M2)
		}
	}
	return nil
}

// Index gives the growth index of a day, 0 outside the run:
//
//	Shape · Size · ((1−share) + share·Nitrogen)
//
// share: the part of growth that follows nitrogen, 0..1.
func (d Drive) Index(day int, share float64) float64 {
	i := day - d.First
	if i < 0 || i >= len(d.Shape) {
		return 0
	}
	return d.Shape[i] * d.Size[i] * (1 - share + share*d.Nitrogen[i])
}
