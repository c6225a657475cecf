package sieve

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// Curve is percent by mass finer than each size. It is made by [Sheet.Curve], [FromPassing], [Blend] or [Mean].
type Curve struct {
	Mass     unit.Grams     // recovered [g]; 0 where only percent are known
	Loss     *unit.Fraction // of the start mass, negative when more came out; nil where there is no start mass
	Warnings []string
	Notes    []string

	sizes   []float64 // openings [mm], ascending
	share   []float64 // % of mass by class: below sizes[0], between neighbours, on the coarsest
	sd      []float64 // standard deviation of each share [points]
	passing []float64 // % finer than each of sizes
	repeat  Repeatability
}

// Point is a point of a curve.
type Point struct {
	Size    unit.Millimetres
	Passing unit.Percent
}

// FromPassing makes a curve of percent passing, as a specification or a supplier prints it. Sizes in mm above 0, each once;
// passing 0..100 and never falling with size. There is no mass and no loss to check.
func FromPassing(points []Point) (*Curve, error) {
	list := slices.Clone(points)
	slices.SortStableFunc(list, func(a, b Point) int { return cmp.Compare(a.Size, b.Size) })
	if len(list) == 0 {
		return nil, fmt.Errorf("percent passing: no size: give at least one")
	}
	c := &Curve{repeat: DefaultRepeatability()}
	last := 0.0
	for i, p := range list {
		switch {
		case !(p.Size >= finest && p.Size <= coarsest):
			return nil, fmt.Errorf("percent passing: a size of %g mm: give %g to %g mm", float64(p.Size), float64(finest), float64(coarsest))
		case i > 0 && list[i-1].Size == p.Size:
			return nil, fmt.Errorf("percent passing: the size %g mm is there twice: give it once", float64(p.Size))
		case !(p.Passing >= 0 && p.Passing <= 100):
			return nil, fmt.Errorf("percent passing: %g %% passing %g mm: give 0 to 100 %%", float64(p.Passing), float64(p.Size))
		case float64(p.Passing) < last:
			return nil, fmt.Errorf("percent passing: %g %% passing %g mm but %g %% passing the finer %g mm: what passes cannot fall as the sieve opens; are these percent retained?",
				float64(p.Passing), float64(p.Size), last, float64(list[i-1].Size))
		}
		c.sizes = append(c.sizes, float64(p.Size))
		c.share = append(c.share, float64(p.Passing)-last)
		last = float64(p.Passing)
	}
	c.share = append(c.share, 100-last)
	c.settle()
	for i, p := range list { // as given, not as summed
		c.passing[i] = float64(p.Passing)
	}
	return c, nil
}

// settle fills in what follows from sizes and shares.
func (c *Curve) settle() {
	sum := 0.0
	c.passing = make([]float64, len(c.sizes))
	for i := range c.sizes {
		sum += c.share[i]
		c.passing[i] = min(100, sum)
		if c.share[len(c.sizes)] == 0 && i == len(c.sizes)-1 {
			c.passing[i] = 100
		}
	}
	if c.sd == nil {
		c.sd = make([]float64, len(c.share))
		for i, p := range c.share {
			c.sd[i] = c.repeat.sd(p)
		}
	}
}

// Points gives the curve at the sieves that were used, the coarsest first.
func (c *Curve) Points() []Point {
	out := make([]Point, len(c.sizes))
	for i := range c.sizes {
		j := len(c.sizes) - 1 - i
		out[i] = Point{unit.Millimetres(c.sizes[j]), unit.Percent(c.passing[j])}
	}
	return out
}

// Finest and Coarsest are the smallest and largest sieve used.
func (c *Curve) Finest() unit.Millimetres { return unit.Millimetres(c.sizes[0]) }

// Coarsest is the largest sieve used.
func (c *Curve) Coarsest() unit.Millimetres { return unit.Millimetres(c.sizes[len(c.sizes)-1]) }

// Passing is the percent finer than a size [mm]: as found on a sieve of that size, on a straight line over log size
// between two. Beyond the sieves it is known only where nothing lies there: 100 above a coarsest sieve that kept nothing, 0
// below a finest that let nothing pass.
func (c *Curve) Passing(size unit.Millimetres) (unit.Percent, bool) {
	d := float64(size)
	n := len(c.sizes)
	switch {
	case math.IsNaN(d):
		return 0, false
	case d < c.sizes[0]:
		return 0, c.share[0] == 0
	case d > c.sizes[n-1]:
		return 100, c.share[n] == 0
	}
	i, on := slices.BinarySearch(c.sizes, d)
	if on {
		return unit.Percent(c.passing[i]), true
	}
	t := math.Log(d/c.sizes[i-1]) / math.Log(c.sizes[i]/c.sizes[i-1])
	return unit.Percent(c.passing[i-1] + t*(c.passing[i]-c.passing[i-1])), true
}

// below gives how much of each class lies below a size, 0..1; a class cut by the size counts by log size.
func (c *Curve) below(size float64) []float64 {
	out := make([]float64, len(c.share))
	for i := range out {
		out[i] = c.part(i, size)
	}
	return out
}

// part is how much of class i lies below a size, 0..1.
func (c *Curve) part(i int, size float64) float64 {
	switch n := len(c.sizes); {
	case i < n && c.sizes[i] <= size:
		return 1
	case i > 0 && i < n && c.sizes[i-1] < size:
		return math.Log(size/c.sizes[i-1]) / math.Log(c.sizes[i]/c.sizes[i-1])
	case i == n && math.IsInf(size, 1):
		return 1
	}
	return 0
}

// spread is the standard deviation of Σ a_j·p_j, the shares p_j being independent before they are made to sum to 100:
//
//	u² = Σ (a_j − Σ a_k·p_k/100)²·u_j²
//
// Source: law of propagation, JCGM 100:2008, 5.1.2, with the constraint written in.
func (c *Curve) spread(a []float64) float64 {
	mean := 0.0
	for j, p := range c.share {
		mean += a[j] * p / 100
	}
	v := 0.0
	for j, u := range c.sd {
		v += (a[j] - mean) * (a[j] - mean) * u * u
	}
	return math.Sqrt(v)
}

// Between is the percent coarser than one size and finer than another [mm], with its standard deviation; ok is false where
// the curve does not reach so far. from 0 means everything finer, to +Inf everything coarser.
func (c *Curve) Between(from, to unit.Millimetres) (share, sd unit.Percent, ok bool) {
	lo, hi := unit.Percent(0), unit.Percent(100)
	if !math.IsInf(float64(to), 1) {
		if hi, ok = c.Passing(to); !ok {
			return 0, 0, false
		}
	}
	if from > 0 {
		if lo, ok = c.Passing(from); !ok {
			return 0, 0, false
		}
	}
	var few [32]float64 // most stacks are shorter
	a := few[:0]
	for i := range c.share {
		a = append(a, c.part(i, float64(to))-c.part(i, float64(from)))
	}
	return max(0, hi-lo), unit.Percent(c.spread(a)), true
}
