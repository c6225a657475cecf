package sieve

import (
	"fmt"
	"math"
)

// Dated is a curve of a round.
type Dated struct {
	Year  float64 // such as 2024.8
	Curve *Curve
}

// Drift is how a sequence of curves moves against a reference.
type Drift struct {
	Steps []Distance // of each curve from the reference, in the order given
	// Slope of the shift [octaves a year], its standard error and the chance that the material becomes finer.
	Slope, SE float64
	Finer     float64
	Rounds    int
	Sieves    bool // the scatter about the line is no more than that of sieving
}

// Follow fits a straight line to the shift of each curve from a reference, weighted by the variance of sieving:
//
//	b = Σ w(t − t̄)s/Σ w(t − t̄)²,   se = √(1/Σ w(t − t̄)²)·max(1, √(χ²/ν))
//
// The reference has one error for all of them and is left out of the weights, as it moves no slope. At least two years;
// with two only the error of sieving is known. Source: weighted least squares with known variances; the factor is Birge's
// ratio (Birge 1932, Physical Review 40:207), from memory.
func Follow(reference *Curve, rounds []Dated) (*Drift, error) {
	d := &Drift{Rounds: len(rounds), Sieves: true}
	var sw, st, ss float64
	w, s := make([]float64, len(rounds)), make([]float64, len(rounds))
	for i, r := range rounds {
		if math.IsNaN(r.Year) || math.Abs(r.Year) > 1e6 {
			return nil, fmt.Errorf("following sieve curves: year %g: give a year", r.Year)
		}
		step, err := Apart(r.Curve, reference)
		if err != nil {
			return nil, err
		}
		d.Steps = append(d.Steps, step)
		own := math.Sqrt(max(0, step.ShiftSD*step.ShiftSD-reference.shiftVariance(r.Curve)))
		w[i], s[i] = 1/math.Max(own*own, 1e-12), step.Shift
		sw += w[i]
		st += w[i] * r.Year
		ss += w[i] * s[i]
	}
	if len(rounds) < 2 {
		return d, nil
	}
	tm, sm := st/sw, ss/sw
	var tt, ts float64
	for i, r := range rounds {
		tt += w[i] * (r.Year - tm) * (r.Year - tm)
		ts += w[i] * (r.Year - tm) * (s[i] - sm)
	}
	if !(tt > 1e-6*sw) { // less than a thousandth of a year apart
		return nil, fmt.Errorf("following sieve curves: all %d are of one date: there is nothing to follow", len(rounds))
	}
	d.Slope, d.SE = ts/tt, math.Sqrt(1/tt)
	if n := len(rounds) - 2; n > 0 {
		chi := 0.0
		for i, r := range rounds {
			e := s[i] - sm - d.Slope*(r.Year-tm)
			chi += w[i] * e * e
		}
		if f := math.Sqrt(chi / float64(n)); f > 1 {
			d.SE *= f
			d.Sieves = f < 2
		}
	}
	d.Finer = chance(d.Slope, d.SE, 0)
	return d, nil
}

// shiftVariance is what the errors of c put into the variance of its shift from another curve.
func (c *Curve) shiftVariance(other *Curve) float64 {
	sizes := commonSizes([]Part{{c, 1}, {other, 1}})
	whole, _ := weights(sizes, make([]float64, len(sizes)))
	u := c.along(sizes, whole)
	return u * u
}

// Words says the drift of what is named in plain words.
func (d *Drift) Words(what string) string {
	percent := 100 * (math.Exp2(d.Slope) - 1)
	lo, hi := 100*(math.Exp2(d.Slope-z95*d.SE)-1), 100*(math.Exp2(d.Slope+z95*d.SE)-1)
	switch {
	case d.Rounds == 0:
		return capital(what) + " was never sieved: whether it drifts is not known."
	case d.Rounds == 1:
		return capital(what) + " was sieved in one round only: whether it drifts cannot be said before the next."
	case d.Finer >= sure:
		return fmt.Sprintf("%s is becoming finer, by %.1f %% of grain size a year (%.1f to %.1f %%, 19 times in 20).", capital(what), -percent, -hi, -lo)
	case d.Finer <= 1-sure:
		return fmt.Sprintf("%s is becoming coarser, by %.1f %% of grain size a year (%.1f to %.1f %%, 19 times in 20).", capital(what), percent, lo, hi)
	}
	return fmt.Sprintf("%s shows no drift that these %d rounds could see: %s a year, %s to %s.", capital(what), d.Rounds, signed(percent), signed(lo), signed(hi))
}

// signed prints a percentage with its sign.
func signed(v float64) string {
	if v < 0 {
		return fmt.Sprintf("−%.1f %%", -v)
	}
	return fmt.Sprintf("+%.1f %%", v)
}
