package sieve

import (
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// Part is a material of a blend.
type Part struct {
	Curve *Curve
	Mass  float64 // dry, in any unit all share, 0 or more
}

// Blend is the curve of materials mixed by mass:
//
//	P = Σ w_k·P_k,   w_k = m_k/Σ m
//
// at every size any of them was sieved at and all of them reach. Source: closed form, conservation of mass in every class.
// Errors of the parts are taken to be independent.
func Blend(parts ...Part) (*Curve, error) {
	var total float64
	var used []Part
	for i, p := range parts {
		switch {
		case !(p.Mass >= 0) || math.IsInf(p.Mass, 0):
			return nil, fmt.Errorf("blending: part %d has a mass of %g: give 0 or more", i+1, p.Mass)
		case p.Mass == 0:
			continue
		case p.Curve == nil:
			return nil, fmt.Errorf("blending: part %d has no curve: sieve it, or leave it out", i+1)
		}
		total += p.Mass
		used = append(used, p)
	}
	if len(used) == 0 {
		return nil, fmt.Errorf("blending: no part has a mass above 0")
	}
	if math.IsInf(total, 0) {
		return nil, fmt.Errorf("blending: the masses are too large to sum: give them in a larger unit")
	}
	sizes := commonSizes(used)
	if len(sizes) == 0 {
		return nil, fmt.Errorf("blending: the sieves of the parts have no size in common: sieve them on one stack")
	}
	out := &Curve{repeat: used[0].Curve.repeat, sizes: sizes, share: make([]float64, len(sizes)+1), sd: make([]float64, len(sizes)+1)}
	for _, p := range used {
		w := p.Mass / total
		shares, sds := p.Curve.recut(sizes)
		for i := range out.share {
			out.share[i] += w * shares[i]
			out.sd[i] = math.Hypot(out.sd[i], w*sds[i])
		}
	}
	out.settle()
	return out, nil
}

// commonSizes are all sizes of the parts that every part reaches.
func commonSizes(parts []Part) []float64 {
	var all []float64
	for _, p := range parts {
		all = append(all, p.Curve.sizes...)
	}
	slices.Sort(all)
	all = slices.Compact(all)
	return slices.DeleteFunc(all, func(d float64) bool {
		return slices.ContainsFunc(parts, func(p Part) bool {
			_, ok := p.Curve.Passing(unit.Millimetres(d))
			return !ok
		})
	})
}

// recut gives the shares of a curve between other sizes, all of which it reaches, with the standard deviation of each as an
// independent class.
func (c *Curve) recut(sizes []float64) (shares, sds []float64) {
	last := make([]float64, len(c.share))
	lastP := 0.0
	for i := 0; i <= len(sizes); i++ {
		p := unit.Percent(100)
		now := make([]float64, len(c.share))
		if i < len(sizes) {
			p, _ = c.Passing(unit.Millimetres(sizes[i]))
			now = c.below(sizes[i])
		} else {
			for j := range now {
				now[j] = 1
			}
		}
		v := 0.0
		for j := range now {
			a := (now[j] - last[j]) * c.sd[j]
			v += a * a
		}
		shares, sds = append(shares, max(0, float64(p)-lastP)), append(sds, math.Sqrt(v))
		last, lastP = now, float64(p)
	}
	return shares, sds
}

// Mean is the curve of several composites taken together, each with the same weight.
func Mean(curves ...*Curve) (*Curve, error) {
	parts := make([]Part, len(curves))
	for i, c := range curves {
		parts[i] = Part{c, 1}
	}
	return Blend(parts...)
}

// ByVolume is the mass share of the first of two materials mixed by volume:
//
//	w = v₁·ρ₁/(v₁·ρ₁ + v₂·ρ₂)
//
// volumes in any unit, dry bulk densities [kg/m³], above 0.
func ByVolume(v1 float64, d1 unit.KgPerM3, v2 float64, d2 unit.KgPerM3) (unit.Fraction, error) {
	a, b := v1*float64(d1), v2*float64(d2)
	if !(a >= 0 && b >= 0 && a+b > 0) || math.IsInf(a+b, 0) {
		return 0, fmt.Errorf("blending by volume: %g of %g kg/m³ and %g of %g kg/m³: give volumes of 0 or more, not both 0, and densities above 0", v1, float64(d1), v2, float64(d2))
	}
	return unit.Fraction(a / (a + b)), nil
}

// ShareFor is the mass share of the first of two materials at which their blend has p percent of what the first has p1 and
// the second p2 percent of: w = (p − p2)/(p1 − p2). ok is false where no share from 0 to 1 does.
func ShareFor(p, p1, p2 unit.Percent) (w unit.Fraction, ok bool) {
	w = unit.Fraction((p - p2) / (p1 - p2))
	return w, w >= 0 && w <= 1
}
