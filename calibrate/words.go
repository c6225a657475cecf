package calibrate

import (
	"fmt"
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

// Misfit is how a round's layer lies beside the model.
type Misfit struct {
	Round    string
	Day      int
	Layer    Layer
	N        int     // composites
	Measured float64 // their geometric mean, mass fraction
	Expected float64 // what the model makes of the same greens
	Z        float64 // the difference over what scatter and discrepancy explain
}

// odd is from where on a round is said not to fit: 1 in 100 by chance.
const odd = 2.576

// Odd says whether the round does not fit.
func (m Misfit) Odd() bool { return math.Abs(m.Z) > odd }

// Sentence says it in words.
func (m Misfit) Sentence() string {
	side := "above"
	if m.Measured < m.Expected {
		side = "below"
	}
	return fmt.Sprintf("%s, %g–%g mm: measured %.1f %%, %.1f points %s what the model makes of the other rounds and the log (%.1f times what scatter explains)",
		m.Round, m.Layer.Top, m.Layer.Bottom, 100*m.Measured, 100*math.Abs(m.Measured-m.Expected), side, math.Abs(m.Z))
}

// Misfits goes through the rounds and layers in the order they were measured.
func (f *Fit) Misfits() ([]Misfit, error) {
	p := f.problem
	if err := p.run(f.Mode); err != nil {
		return nil, err
	}
	list := make([]Misfit, len(p.blocks))
	weight := make([]float64, len(p.blocks))
	for i, b := range p.blocks {
		list[i] = Misfit{Round: b.round, Day: b.day, Layer: f.Layers[b.layer]}
	}
	for i := range p.rows {
		r := &p.rows[i]
		if r.mass {
			continue
		}
		m := &list[r.block]
		sd := f.Spreads.Composite[r.group]
		w := 1 / (sd*sd*r.thin + r.extra)
		m.N++
		weight[r.block] += w
		m.Measured += w * (r.value + sd*sd*r.thin/2)
		m.Expected += w * math.Log(p.greens[r.green].out.Seen[r.sight].OM())
	}
	for i := range list {
		m := &list[i]
		a, b := m.Measured/weight[i], m.Expected/weight[i]
		m.Z = (a - b) / math.Sqrt(1/weight[i]+f.Spreads.Discrepancy*f.Spreads.Discrepancy)
		m.Measured, m.Expected = math.Exp(a), math.Exp(b)
	}
	return list, nil
}

// Entry gives the table's entry of the unknown.
func (l Learnt) Entry() profile.Entry { return profile.Table[l.Unknown] }
