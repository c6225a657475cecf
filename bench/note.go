package bench

import (
	"fmt"
	"slices"
)

// Note is an assumption a result rests on because something was not known; String says it in a sentence.
type Note interface {
	fmt.Stringer
	note()
}

// ResolutionAssumed notes that the balance resolution was not written down.
type ResolutionAssumed struct{ Crucibles []string }

// IgnitionUnknown notes that the furnace temperature was not written down.
type IgnitionUnknown struct{ Crucibles []string }

// DensityEstimated notes that the density is not a measurement, and what was missing.
type DensityEstimated struct{ MassMissing, CoresMissing bool }

// UncertaintyUnknown notes a reported result without a standard deviation.
type UncertaintyUnknown struct{}

func (ResolutionAssumed) note()  {}
func (IgnitionUnknown) note()    {}
func (DensityEstimated) note()   {}
func (UncertaintyUnknown) note() {}

func (n ResolutionAssumed) String() string {
	return fmt.Sprintf("balance resolution not written down%s: %s g assumed", of(n.Crucibles), number(float64(DefaultResolution)))
}

func (n IgnitionUnknown) String() string {
	return fmt.Sprintf("furnace temperature not written down%s: 440 ± 40 °C could not be checked", of(n.Crucibles))
}

func (n DensityEstimated) String() string {
	missing := "dry mass is"
	switch {
	case n.MassMissing && n.CoresMissing:
		missing = "dry mass and the number and diameter of the cores are"
	case n.CoresMissing:
		missing = "number and diameter of the cores are"
	}
	return "density and stocks are estimated from the organic matter, not measured, because the " + missing + " not known"
}

func (UncertaintyUnknown) String() string {
	return "the laboratory gave no standard deviation: the uncertainty of the organic matter is not known, and that of the stocks counts only what else is uncertain"
}

// ignitionNotes says what single crucibles left open, each thing once.
func ignitionNotes(crucibles []Crucible) []Note {
	names := func(lacks func(Crucible) bool) (out []string, any bool) {
		for _, c := range crucibles {
			if lacks(c) {
				out, any = append(out, c.Name), true
			}
		}
		slices.Sort(out)
		return out, any
	}
	var notes []Note
	if who, any := names(func(c Crucible) bool { return c.Resolution == nil }); any {
		notes = append(notes, ResolutionAssumed{who})
	}
	if who, any := names(func(c Crucible) bool { return c.AshTemperature == nil }); any {
		notes = append(notes, IgnitionUnknown{who})
	}
	return notes
}
