package season

import (
	"errors"
	"fmt"
	"math"

	"underfoot/coring"
	"underfoot/profile"
	"underfoot/unit"
)

// Kind is what an operation does to a green, by the words of the log.
type Kind string

// The kinds of operation a plan may hold.
const (
	Topdress   Kind = "topdress"
	HollowCore Kind = "hollow_core"
	SolidTine  Kind = "solid_tine"
	Scarify    Kind = "scarify"
	InjectSand Kind = "inject_sand"
)

// Operation is one way of working on all greens of a course, as a plan may use it.
type Operation struct {
	ID   string // of the catalogue
	Name string
	Kind Kind

	Tines    coring.Tines  // hollow and solid tines
	Blades   coring.Blades // scarifying
	Depth    float64       // of tines, blades or injection, mm
	Fill     float64       // share of the opened volume that is filled with sand, 0..1: what goes together with opening
	SandLow  float64       // sand on the surface or injected, mm an event: least
	SandHigh float64       // and most

	Contract  float64 // money an event, contractor and machine hire
	Fuel      float64 // money an event
	Labour    float64 // hours an event and hectare of green
	Disturbed float64 // days the surface is not itself when growth is at its fullest
	AtHalf    float64 // the same at half of it; 0 for twice as many
	Growth    float64 // least growth index of the day it is done on, 0..1
	Spacing   int     // days from one event of this operation to the next
	Apart     int     // days from any other operation that opens the surface
	PerSeason int     // events in a season; 0 for no limit

	Source string // of its numbers
}

// opens says whether the operation opens the surface.
func (o *Operation) opens() bool { return o.Kind != Topdress && o.Kind != InjectSand }

// Opening gives what the operation's tines or blades open; ok is false when it opens nothing.
func (o *Operation) Opening() (opening coring.Opening, ok bool, err error) {
	switch o.Kind {
	case HollowCore, SolidTine:
		t := o.Tines
		t.Depth = unit.Millimetres(o.Depth)
		opening, err = t.Open()
	case Scarify:
		b := o.Blades
		b.Depth = unit.Millimetres(o.Depth)
		opening, err = b.Open()
	default:
		return opening, false, nil
	}
	return opening, err == nil, err
}

// SandMM gives all the sand of an event with so much on the surface, mm over the greens: what is spread or injected and what fills the
// holes.
func (o *Operation) SandMM(surface float64) float64 {
	if opening, ok, err := o.Opening(); ok && err == nil {
		return surface + float64(opening.Volume)*o.Fill
	}
	return surface
}

// Events gives what an event on a day does to a green. surface: sand spread or injected, mm; density of the sand [kg/m³].
func (o *Operation) Events(day int, surface, density float64) []profile.Event {
	sand := surface * density / 1000
	depth := profile.Usual().Depth
	if o.Kind == InjectSand {
		return []profile.Event{profile.Event{Day: day, Sand: sand, Bottom: o.Depth}.Within(depth)}
	}
	var list []profile.Event
	if opening, ok, err := o.Opening(); ok && err == nil {
		if o.Kind == SolidTine {
			if fill := float64(opening.Volume) * o.Fill * density / 1000; fill > 0 {
				list = append(list, profile.Event{Day: day, Sand: fill, Bottom: o.Depth}.Within(depth))
			}
		} else {
			list = append(list, profile.Event{Day: day, Opening: profile.Opening{Touched: float64(opening.Touched), Depth: math.Min(o.Depth, depth), Fill: o.Fill}})
		}
	}
	if sand > 0 {
		list = append(list, profile.Event{Day: day, Sand: sand})
	}
	return list
}

// slowest is the growth index below which recovery is not reckoned any slower; common practice, no source.
const slowest = 0.15

// DisturbedDays gives the days the surface is not itself after an event on a day of that growth index g, by those at full and at
// half growth:
//
//	days(g) = full · g^−k,  k = log₂(half/full)
//
// index [0..1], not reckoned below 0.15. Where the days at half growth are not given, recovery is growth: k is 1, half the growth takes
// twice as long. Ignored: that growth changes while the surface recovers. Common practice, no source.
func (o *Operation) DisturbedDays(index float64) float64 {
	g := math.Min(math.Max(index, slowest), 1)
	if o.AtHalf > 0 && o.Disturbed > 0 {
		return o.Disturbed * math.Pow(g, -math.Log2(o.AtHalf/o.Disturbed))
	}
	return o.Disturbed / g
}

// Check refuses an operation that cannot be done.
func (o *Operation) Check() error {
	at := fmt.Sprintf("operation %q", o.ID)
	if o.ID == "" {
		at = "operation without a name"
	}
	var errs []error
	within := func(what string, v, low, high float64, unit string) {
		if !(v >= low && v <= high) {
			errs = append(errs, fmt.Errorf("%s: %s is %g %s: allowed are %g to %g", at, what, v, unit, low, high))
		}
	}
	switch o.Kind {
	case Topdress, HollowCore, SolidTine, Scarify, InjectSand:
	default:
		errs = append(errs, fmt.Errorf("%s: kind is %q: allowed are topdress, hollow_core, solid_tine, scarify and inject_sand", at, o.Kind))
	}
	within("least sand", o.SandLow, 0, 20, "mm")
	within("most sand", o.SandHigh, o.SandLow, 20, "mm")
	within("share of the holes filled", o.Fill, 0, 1, "")
	within("depth", o.Depth, 0, 400, "mm")
	within("contract", o.Contract, 0, 1e7, "")
	within("fuel", o.Fuel, 0, 1e6, "")
	within("labour", o.Labour, 0, 1000, "h/ha")
	within("disturbed days", o.Disturbed, 0, 60, "d")
	within("disturbed days at half growth", o.AtHalf, 0, 120, "d")
	if o.AtHalf > 0 && !(o.AtHalf >= o.Disturbed && o.Disturbed > 0) {
		errs = append(errs, fmt.Errorf("%s: disturbed days are %g d at full and %g d at half growth: the surface recovers no faster when less grows", at, o.Disturbed, o.AtHalf))
	}
	within("least growth index", o.Growth, 0, 1, "")
	within("spacing", float64(o.Spacing), 1, 366, "d")
	within("distance to other work", float64(o.Apart), 0, 366, "d")
	within("events in a season", float64(o.PerSeason), 0, 100, "")
	if _, _, err := o.Opening(); err != nil && o.opens() {
		errs = append(errs, fmt.Errorf("%s: %w", at, err))
	}
	if (o.Kind == Topdress || o.Kind == InjectSand) && o.SandHigh == 0 {
		errs = append(errs, fmt.Errorf("%s: most sand is 0 mm: give what an event may put on", at))
	}
	return errors.Join(errs...)
}

// Usual is the built-in catalogue of ordinary operations. Its numbers are working defaults to be edited: common
// practice, no source, where nothing else is said.
func Usual() []Operation {
	const practice = "common practice, no source"
	tines := func(diameter, spacing unit.Millimetres) coring.Tines {
		return coring.Tines{Diameter: diameter, Along: spacing, Across: spacing, Passes: 1}
	}
	return []Operation{
		{
			ID: "light-dressing", Name: "light topdressing", Kind: Topdress, SandLow: 0.15, SandHigh: 0.5, Fuel: 15, Labour: 8,
			Disturbed: 0.5, Growth: 0.15, Spacing: 10, Source: "0.3 to 0.8 mm each 7 to 14 days in strong growth (regional update of a governing body 2018); costs and days " + practice,
		},
		{
			ID: "dressing", Name: "topdressing", Kind: Topdress, SandLow: 0.5, SandHigh: 1, Fuel: 18, Labour: 12,
			Disturbed: 2, Growth: 0.3, Spacing: 14, Source: practice,
		},
		{
			ID: "core-8", Name: "hollow tines 8 mm at 38 mm", Kind: HollowCore, Tines: tines(8, 38), Depth: 60, Fill: 0.85, SandLow: 0.5, SandHigh: 1.5,
			Contract: 900, Fuel: 60, Labour: 60, Disturbed: 7, Growth: 0.35, Spacing: 40, Apart: 21, PerSeason: 2, Source: practice,
		},
		{
			ID: "core-12", Name: "hollow tines 12 mm at 50 mm", Kind: HollowCore, Tines: tines(12, 50), Depth: 75, Fill: 0.85, SandLow: 0.5, SandHigh: 2,
			Contract: 1100, Fuel: 70, Labour: 80, Disturbed: 11, Growth: 0.4, Spacing: 60, Apart: 21, PerSeason: 2, Source: practice,
		},
		{
			ID: "core-12-tight", Name: "hollow tines 12 mm at 38 mm", Kind: HollowCore, Tines: tines(12, 38), Depth: 75, Fill: 0.85, SandLow: 0.5, SandHigh: 2,
			Contract: 1300, Fuel: 80, Labour: 100, Disturbed: 15, Growth: 0.4, Spacing: 60, Apart: 21, PerSeason: 2, Source: practice,
		},
		{
			ID: "solid-8", Name: "solid tines 8 mm at 50 mm", Kind: SolidTine, Tines: tines(8, 50), Depth: 100, Fill: 0.3, SandLow: 0.3, SandHigh: 1,
			Contract: 450, Fuel: 40, Labour: 30, Disturbed: 3, Growth: 0.25, Spacing: 28, Apart: 14, PerSeason: 3, Source: practice,
		},
		{
			ID: "scarify", Name: "scarifying 2 mm at 25 mm", Kind: Scarify, Blades: coring.Blades{Width: 2, Spacing: 25, Passes: 1}, Depth: 20, Fill: 0.5, SandLow: 0.5, SandHigh: 1.5,
			Contract: 700, Fuel: 40, Labour: 40, Disturbed: 9, Growth: 0.45, Spacing: 45, Apart: 21, PerSeason: 2, Source: practice,
		},
		{
			ID: "inject", Name: "sand injection to 60 mm", Kind: InjectSand, Depth: 60, SandLow: 1, SandHigh: 4,
			Contract: 2600, Fuel: 60, Labour: 40, Disturbed: 4, Growth: 0.2, Spacing: 60, Apart: 14, PerSeason: 1, Source: practice,
		},
	}
}
