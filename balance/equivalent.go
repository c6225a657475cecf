package balance

import (
	"fmt"
	"sort"

	"underfoot/unit"
)

// Equivalent reads organic mass at the same mineral mass instead of the same depth, so that a profile that
// was loosened, pressed or dressed is compared with itself.
//
// Source: Wendt & Hauser 2013 (European Journal of Soil Science 64:58-65); mineral mass as the ruler after
// von Haden, Yang & DeLucia 2020 (Global Change Biology, doi 10.1111/gcb.15124).
type Equivalent struct {
	mineral, organic []float64 // cumulative from the surface [kg/m²], starting at 0
	slope            []float64 // dO/dM at each point
}

// Cumulate builds the curve of organic against mineral mass from the layers of one round, top first.
func Cumulate(layers []Layer) (Equivalent, error) {
	e := Equivalent{mineral: []float64{0}, organic: []float64{0}}
	var at unit.Millimetres
	for _, l := range layers {
		if err := l.check(); err != nil {
			return Equivalent{}, fmt.Errorf("cumulative mass: %w", err)
		}
		if l.Top != at {
			return Equivalent{}, fmt.Errorf("cumulative mass: layer %s does not start at %g mm: layers must touch from the surface down", l.name(), float64(at))
		}
		at = l.Bottom
		n := len(e.mineral) - 1
		e.mineral = append(e.mineral, e.mineral[n]+float64(l.Mineral()))
		e.organic = append(e.organic, e.organic[n]+float64(l.Organic()))
	}
	if len(layers) == 0 {
		return Equivalent{}, fmt.Errorf("cumulative mass: no layers: give at least one from the surface down")
	}
	e.slope = pchipSlopes(e.mineral, e.organic)
	return e, nil
}

// Mineral gives the mineral mass sampled, from the surface to the bottom of the last layer.
func (e Equivalent) Mineral() unit.KgPerM2 { return unit.KgPerM2(e.mineral[len(e.mineral)-1]) }

// Linear reads the organic mass above a mineral mass along straight lines between layer bottoms.
// Mineral mass beyond the sampled profile is refused.
func (e Equivalent) Linear(mineral unit.KgPerM2) (unit.KgPerM2, error) {
	i, err := e.interval(mineral)
	if err != nil {
		return 0, err
	}
	t := (float64(mineral) - e.mineral[i]) / (e.mineral[i+1] - e.mineral[i])
	return unit.KgPerM2(e.organic[i] + t*(e.organic[i+1]-e.organic[i])), nil
}

// Monotone reads the organic mass above a mineral mass along the monotone cubic through the layer bottoms.
// Mineral mass beyond the sampled profile is refused. Source: Fritsch & Butland 1984 (SIAM Journal on
// Scientific and Statistical Computing 5:300-304); end slopes by the three-point formula.
func (e Equivalent) Monotone(mineral unit.KgPerM2) (unit.KgPerM2, error) {
	i, err := e.interval(mineral)
	if err != nil {
		return 0, err
	}
	h := e.mineral[i+1] - e.mineral[i]
	t := (float64(mineral) - e.mineral[i]) / h
	// Cubic Hermite form on one interval.
	y := (1+2*t)*(1-t)*(1-t)*e.organic[i] + t*(1-t)*(1-t)*h*e.slope[i] +
		t*t*(3-2*t)*e.organic[i+1] + t*t*(t-1)*h*e.slope[i+1]
	return unit.KgPerM2(y), nil
}

func (e Equivalent) interval(mineral unit.KgPerM2) (int, error) {
	m := float64(mineral)
	last := e.mineral[len(e.mineral)-1]
	if !(m >= 0 && m <= last*(1+1e-12)) {
		return 0, fmt.Errorf("organic mass at equal mineral mass: %.2f kg/m² of mineral is outside the %.2f kg/m² sampled: sample at least as much deeper as sand was added", m, last)
	}
	i := sort.SearchFloat64s(e.mineral, m) - 1
	return min(max(i, 0), len(e.mineral)-2), nil
}

// pchipSlopes gives the slopes of the monotone cubic: a weighted harmonic mean inside, three points at the ends.
func pchipSlopes(x, y []float64) []float64 {
	n := len(x)
	h, d := make([]float64, n-1), make([]float64, n-1)
	for i := range h {
		h[i] = x[i+1] - x[i]
		d[i] = (y[i+1] - y[i]) / h[i]
	}
	s := make([]float64, n)
	if n == 2 {
		s[0], s[1] = d[0], d[0]
		return s
	}
	for i := 1; i < n-1; i++ {
		if d[i-1]*d[i] > 0 {
			w1, w2 := 2*h[i]+h[i-1], h[i]+2*h[i-1]
			s[i] = (w1 + w2) / (w1/d[i-1] + w2/d[i])
		}
	}
	s[0] = pchipEnd(h[0], h[1], d[0], d[1])
	s[n-1] = pchipEnd(h[n-2], h[n-3], d[n-2], d[n-3])
	return s
}

// pchipEnd is the three-point end slope, held so that the curve stays monotone.
func pchipEnd(h0, h1, d0, d1 float64) float64 {
	s := ((2*h0+h1)*d0 - h0*d1) / (h0 + h1)
	switch {
	case s*d0 <= 0:
		return 0
	case d0*d1 <= 0 && s*s > 9*d0*d0:
		return 3 * d0
	}
	return s
}

// EquivalentThickness gives the thickness below the sampled depth that makes up a missing soil mass.
//
//	T = (M_equiv − M)/ρ
//
// M_equiv the mass to reach and M the mass sampled [kg/m²], ρ the bulk density just below [kg/m³], above 0.
// Source: Ellert & Bettany 1995 (Canadian Journal of Soil Science 75:529-538), from memory.
func EquivalentThickness(reach, sampled unit.KgPerM2, below unit.KgPerM3) (unit.Millimetres, error) {
	if !(below > 0) {
		return 0, fmt.Errorf("thickness of equal mass: bulk density below is %g kg/m³: give one above 0", float64(below))
	}
	return (reach - sampled).Depth(below), nil
}

// ReferenceMineral gives the mineral mass at the second date that holds the same material as a mineral mass
// at the first.
//
//	M_ref₂ = M_ref₁ + S − Rₘ
//
// S sand put on, Rₘ mineral taken out between the dates [kg/m²]. Without it, equal mass on a dressed green
// compares different material. Source: derived in docs/model/balance.md.
func ReferenceMineral(first, sand, removed unit.KgPerM2) unit.KgPerM2 { return first + sand - removed }
