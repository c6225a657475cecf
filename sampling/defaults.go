package sampling

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Parameter is one number that planning starts from until a course's own takes its place.
type Parameter struct {
	Name, Symbol, Unit string
	Default, Low, High float64
	Source             string
}

const noSource = "common practice, no source"

// The defaults. Scatter is given as standard deviations, because that is how people think of it.
const (
	coreShare      = 1.0 / 3 // of the mean: single cores at the surface
	greenShare     = 0.1     // of the mean
	greenTimeShare = 0.04    // of the mean
	roundShare     = 0.04    // of the mean
	slopeSD        = 0.05    // points/year
	laboratoryRSD  = 0.02    // of the mean, where the mean is 5 %
)

// Parameters lists all of them.
func Parameters() []Parameter {
	return []Parameter{
		{"scatter of single cores of a green", "σ_c", "share of the mean", coreShare, 0.1, 0.6, noSource + "; single cores scatter by a third or more of the mean at the surface"},
		{"scatter between greens", "σ_g", "share of the mean", greenShare, 0.02, 0.3, noSource},
		{"scatter of a green in time about its own line", "σ_gt", "share of the mean", greenTimeShare, 0, 0.15, noSource},
		{"scatter of rounds, all greens alike", "σ_r", "share of the mean", roundShare, 0, 0.15, noSource + "; 0.2 points on a mean of 5 %"},
		{"scatter between the slopes of greens", "σ_b", "points/year", slopeSD, 0, 0.3, noSource},
		{
			"scatter of determinations", "σ_l", "share of the mean", laboratoryRSD, 0.005, 0.05,
			"AOAC International, Official Methods of Analysis, Appendix F: between laboratories 2·C^−0.15 % = 3.1 % at a mass fraction C of 0.05, within one usually half to two thirds of that",
		},
		{"visit", "p_v", "money/round", 150, 0, 1000, noSource},
		{"green", "p_g", "money/green", 8, 0, 100, noSource},
		{"core", "p_c", "money/core", 1, 0, 20, noSource},
		{"determination", "p_l", "money/determination", 12, 0, 100, noSource},
		{"cores a green", "k", "cores", 5, 3, 23, noSource + "; 30 to 150 cm³ in a composite are 5 to 23 cores 20 mm wide and 20 mm deep; Schmid, Gaussoin & Gaussoin 2014, Applied Turfgrass Science, took 3"},
		{"determinations a green", "m", "determinations", 1, 1, 3, noSource + "; composites are burnt whole"},
		{"greens a round", "g", "greens", 6, 3, 18, noSource + "; 3 greens for every layer and 3 more for the top layer"},
		{"chance of crying change where there is none", "α", "chance", 0.05, 0.001, 0.2, noSource},
		{"chance of seeing what is there", "1 − β", "chance", 0.8, 0.5, 0.99, noSource},
	}
}

// DefaultComponents are the components of a layer that holds mean [% of oven-dry mass, above 0 to 100] organic matter, for
// a course that has none of its own yet: shares of the mean squared, as in Parameters.
func DefaultComponents(mean unit.Percent) (Components, error) {
	m := float64(mean)
	if !(m > 0 && m <= 100) {
		return Components{}, fmt.Errorf("default components: organic matter of %g %%: give one above 0 and up to 100 %%", m)
	}
	return Components{
		Green: squared(greenShare * m), GreenTime: squared(greenTimeShare * m), Round: squared(roundShare * m),
		GreenSlope: squared(slopeSD), Core: squared(coreShare * m), Laboratory: squared(laboratoryRSD * m),
	}, nil
}

func squared(v float64) float64 { return math.Pow(v, 2) }

// DefaultPrices are those of Parameters, in whatever money the course is run in.
func DefaultPrices() Prices {
	at := bySymbol()
	return Prices{Visit: at["p_v"].Default, Green: at["p_g"].Default, Core: at["p_c"].Default, Determination: at["p_l"].Default}
}

// DefaultDesign is the round of Parameters on a course of so many greens [0 where not known], all of them where there are
// fewer than it asks for.
func DefaultDesign(onCourse int) Design {
	at := bySymbol()
	d := Design{OnCourse: onCourse, Greens: int(at["g"].Default), Cores: int(at["k"].Default), Determinations: int(at["m"].Default)}
	if onCourse > 0 {
		d.Greens = min(d.Greens, onCourse)
	}
	return d
}

// DefaultLimits are the limits of Parameters for a course of so many greens [0 where not known].
func DefaultLimits(onCourse int) Limits {
	at := bySymbol()
	limits := Limits{OnCourse: onCourse, Greens: at["g"].limits(), Cores: at["k"].limits(), Determinations: at["m"].limits()}
	if onCourse > 0 {
		limits.Greens.High = onCourse
		limits.Greens.Low = min(limits.Greens.Low, onCourse)
	}
	return limits
}

func (p Parameter) limits() Range { return Range{int(p.Low), int(p.High)} }

func bySymbol() map[string]Parameter {
	at := map[string]Parameter{}
	for _, p := range Parameters() {
		at[p.Symbol] = p
	}
	return at
}
