package calibrate

import (
	"fmt"
	"math"
	"slices"

	"underfoot/profile"
)

// Effect is what a change of plan does to a layer on a day, the mean of all greens: the difference in mass fraction,
// run by run with the same draws.
type Effect struct {
	Layer  Layer
	Day    int
	Change Estimate
}

// Compare foretells a base and a changed plan with the same draws and gives the differences by day and layer.
func (e *Ensemble) Compare(base, changed Ask) ([]Effect, error) {
	a, err := e.Forecast(base)
	if err != nil {
		return nil, err
	}
	b, err := e.Forecast(changed)
	if err != nil {
		return nil, err
	}
	return Effects(a, b)
}

// Effects gives the differences of two forecasts of the same days, layers and draws.
func Effects(a, b *Forecast) ([]Effect, error) {
	if !slices.Equal(a.Days, b.Days) || !slices.Equal(a.Layers, b.Layers) || a.Members() != b.Members() {
		return nil, fmt.Errorf("comparing forecasts: they are not of the same days, layers and members")
	}
	var list []Effect
	for d, day := range a.Days {
		for l, layer := range a.Layers {
			x, y := a.Draws(-1, d, l), b.Draws(-1, d, l)
			diff := make([]float64, len(x))
			for i := range x {
				diff[i] = y[i] - x[i]
			}
			list = append(list, Effect{layer, day, Sum(diff)})
		}
	}
	return list, nil
}

// Spreadings gives a plan with so much more sand a year [kg/m²], put on with every dressing after a day in proportion to what is
// spread there already; where nothing is spread it goes on on the days given.
func Spreadings(work []profile.Event, after, until int, more float64, days []int) []profile.Event {
	years := float64(until-after) / 365.25
	var planned float64
	for _, e := range work {
		if e.Day > after && e.Day <= until && e.Bottom == 0 && e.Opening.Touched == 0 {
			planned += e.Sand
		}
	}
	out := slices.Clone(work)
	if planned > 0 {
		share := more * years / planned
		for i := range out {
			if e := &out[i]; e.Day > after && e.Day <= until && e.Bottom == 0 && e.Opening.Touched == 0 {
				e.Sand = math.Max(e.Sand*(1+share), 0)
			}
		}
		return out
	}
	if more <= 0 || len(days) == 0 {
		return out
	}
	for _, d := range days {
		out = append(out, profile.Event{Day: d, Sand: more * years / float64(len(days))})
	}
	slices.SortStableFunc(out, func(a, b profile.Event) int { return a.Day - b.Day })
	return out
}

// Holding is the sand a year that brings a layer back, at the end of the time looked at, to what it holds now.
type Holding struct {
	Layer    Layer
	Sand     Estimate // kg/m² a year
	Possible float64  // share of the runs in which sand on the surface can hold it at all
}

// Hold works out the sand a year [kg/m², the same in every plan of the greens] that holds each layer from a day until another: by secant
// from the plan and the plan with more sand, run by run, in 1/f, for a layer that is fed A of organic matter and S of sand a
// year comes to f = A/(A + S). now: forecast at the day; base, more: forecasts of the last
// day; rate: what the plan puts on a year; step: how much more the other does [kg/m² a year].
func Hold(now, base, more *Forecast, rate, step float64) []Holding {
	var list []Holding
	for l, layer := range base.Layers {
		a, b, c := now.Draws(-1, len(now.Days)-1, l), base.Draws(-1, len(base.Days)-1, l), more.Draws(-1, len(more.Days)-1, l)
		var sand []float64
		for i := range a {
			slope := (c[i] - b[i]) / step
			if slope >= -1e-6 { // less than 0.0001 points a kg/m²: sand on top does not reach the layer in this time
				continue
			}
			sand = append(sand, math.Max(rate+step*(1/a[i]-1/b[i])/(1/c[i]-1/b[i]), 0))
		}
		h := Holding{Layer: layer, Possible: float64(len(sand)) / float64(len(a))}
		if len(sand) > 1 {
			h.Sand = Sum(sand)
		}
		list = append(list, h)
	}
	return list
}
