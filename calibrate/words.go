package calibrate

import (
	"math"

	"underfoot/profile"
)

// Learnt says what the rounds decided about one unknown of the course.
type Learnt struct {
	Unknown  profile.Unknown
	Prior    Range
	After    Range
	Decided  float64 // 0: still the prior, 1: the rounds alone
	Surprise float64 // how far the rounds moved it, in standard deviations of the prior
}

// Range is a median and where 9 in 10 lie, in the unit of the unknown.
type Range struct{ Q05, Q50, Q95 float64 }

func rangeOf(s profile.Scale, mean, sd float64) Range {
	const z = 1.6448536269514722 // normal 95 % point
	return Range{s.Value(mean - z*sd), s.Value(mean), s.Value(mean + z*sd)}
}

// Learnt goes through the unknowns of the course.
func (f *Fit) Learnt() []Learnt {
	var list []Learnt
	for u, e := range profile.Table {
		before, after := math.Sqrt(f.Prior.Cov.At(u, u)), math.Sqrt(f.Cov.At(u, u))
		list = append(list, Learnt{
			Unknown: profile.Unknown(u), Prior: rangeOf(e.Scale, f.Prior.Mean[u], before), After: rangeOf(e.Scale, f.Mode[u], after),
			Decided: math.Max(0, 1-after*after/(before*before)), Surprise: (f.Mode[u] - f.Prior.Mean[u]) / before,
		})
	}
	return list
}

// Word says in words who decided.
func (l Learnt) Word() string {
	switch {
	case l.Decided >= 0.75:
		return "the rounds decided"
	case l.Decided >= 0.35:
		return "half and half"
	}
	return "still the prior"
}

// Entry gives the table's entry of the unknown.
func (l Learnt) Entry() profile.Entry { return profile.Table[l.Unknown] }
