package bench

import (
	"errors"
	"fmt"
	"math"

	"underfoot/unit"
)

// Pair is a composite burnt twice.
type Pair struct {
	Name          string // of the composite; may be blank
	First, Second unit.Percent
}

// Range is how far the two stand apart.
func (p Pair) Range() unit.Percent { return unit.Percent(math.Abs(float64(p.First - p.Second))) }

// Constants of the range chart for two, exact for a normal distribution: d2 = 2/√π and d3 = √(2 − 4/π) are mean and
// standard deviation of the range of two; D4 = 1 + 3·d3/d2, D3 = 0, A2 = 3/(d2·√2). Printed 1.128, 3.267 and 1.880 in
// tables of control chart constants (ISO 7870-2:2013, from memory).
const (
	rangeMean = 2 / math.SqrtPi
	rangeSD   = 0.8525024664274213 // √(2 − 4/π)
	rangeD4   = 1 + 3*rangeSD/rangeMean
	rangeA2   = 3 / (rangeMean * math.Sqrt2)
)

// leastPairs is the fewest pairs from which limits are drawn that a new pair is held against: common practice, no
// source; twenty are better.
const leastPairs = 8

// Duplicates is what the pairs of a bench say together.
type Duplicates struct {
	Pairs         int
	SD            unit.Percent // standard deviation of one burn, from the squares
	SDOfRange     unit.Percent // the same from the mean range
	MeanRange     unit.Percent
	Upper         unit.Percent // upper control limit of a range
	Repeatability unit.Percent // limit: two burns of one composite differ by more once in 20
	Mean          unit.Percent // organic matter of all burns, for HorRat
}

// RangeOf gives scatter and limits from composites burnt twice.
//
//	s = √(Σd²/(2n))                  JCGM 100:2008, H.3.6 (pooled estimate), with n pairs
//	R̄ = Σ|d|/n, s = R̄/d2, UCL = D4·R̄, LCL = 0     Shewhart range chart of two (ISO 7870-2:2013)
//	r = 1.96·√2·s = 2.77·s           repeatability limit (ISO 5725-6)
//
// Values in % of oven-dry mass, from a hair below 0 to 100. That pairs share one standard deviation is taken for granted.
func RangeOf(pairs []Pair) (Duplicates, error) {
	out := Duplicates{Pairs: len(pairs)}
	if len(pairs) == 0 {
		return out, errors.New("duplicates: no pair: burn one composite in ten twice")
	}
	var squares, ranges, sum float64
	for _, p := range pairs {
		if !(p.First > -100 && p.First <= 100) || !(p.Second > -100 && p.Second <= 100) {
			return out, fmt.Errorf("duplicates%s: %s and %s %%: give percent of oven-dry mass, 0 to 100", named(p.Name), number(float64(p.First)), number(float64(p.Second)))
		}
		d := float64(p.Range())
		squares += d * d
		ranges += d
		sum += float64(p.First + p.Second)
	}
	n := float64(len(pairs))
	out.SD = unit.Percent(math.Sqrt(squares / (2 * n)))
	out.MeanRange = unit.Percent(ranges / n)
	out.SDOfRange = out.MeanRange / unit.Percent(rangeMean)
	out.Upper = unit.Percent(rangeD4) * out.MeanRange
	out.Repeatability = unit.Percent(1.959964*math.Sqrt2) * out.SD
	out.Mean = unit.Percent(sum / (2 * n))
	return out, nil
}

func named(s string) string {
	if s == "" {
		return ""
	}
	return " of " + s
}

// HorRat sets the scatter of the pairs beside Horwitz's prediction; ok is false where the mean is not above zero.
func (d Duplicates) HorRat() (ratio float64, ok bool) {
	if d.Mean <= 0 {
		return 0, false
	}
	ratio, err := HorRat(100*d.SD/d.Mean, d.Mean.Fraction())
	return ratio, err == nil
}

// Judged says whether there are pairs enough to hold a new one against.
func (d Duplicates) Judged() bool { return d.Pairs >= leastPairs }
