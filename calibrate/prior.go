package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// Spread is the prior of a standard deviation: about SD, worth so many observations (a scaled inverse chi-square
// distribution of its square).
type Spread struct {
	SD    float64
	Worth float64
}

// update gives the standard deviation after n observations whose squares are expected to sum to sum.
func (s Spread) update(sum, n float64) float64 {
	return math.Sqrt((s.Worth*s.SD*s.SD + sum) / (s.Worth + n))
}

// Prior is what is taken before any round of the course.
type Prior struct {
	Mean [profile.Unknowns]float64 // places on the scales of [profile.Table]
	Cov  *mat.SymDense             // of those places

	GreenGrowth  Spread                   // between greens of a course, ln
	GreenSurface Spread                   // the same for the first surface value, ln
	Composite    func(top float64) Spread // scatter of a composite of 5 cores about its green, ln
	Discrepancy  Spread                   // of model and greens that a round shares, ln
	Mass         Spread                   // of the dry mass of a composite, ln
	Corer        float64                  // standard deviation of the mass all composites share, ln

	Courses int    // that taught it, 0 for the built-in one
	Source  string // in words
}

// Usual gives the prior of the table of unknowns. The spreads are working defaults: single cores scatter by a third
// or more of the mean at the surface (common practice, no source), so a composite of five by 0.33/√5.
func Usual() Prior {
	p := Prior{
		GreenGrowth: Spread{0.15, 8}, GreenSurface: Spread{0.15, 8},
		Composite: func(top float64) Spread {
			if top < 10 {
				return Spread{0.33 / math.Sqrt(usualCores), 12}
			}
			return Spread{0.25 / math.Sqrt(usualCores), 12}
		},
		Discrepancy: Spread{0.03, 10}, Mass: Spread{0.07, 10}, Corer: 0.04,
		Source: "the built-in table of ranges",
	}
	p.Cov = mat.NewSymDense(int(profile.Unknowns), nil)
	for i, e := range profile.Table {
		p.Mean[i] = e.Scale.Of(e.Middle)
		p.Cov.SetSym(i, i, e.Spread*e.Spread)
	}
	return p
}
