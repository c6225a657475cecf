package sieve

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Distance is how far one curve lies from another, over the sizes both reach.
type Distance struct {
	From, To unit.Millimetres // sizes compared [mm]
	// Shift is how much coarser the first is, the mean over all grains, in octaves (1 = twice the size); negative for finer:
	//
	//	s = −∫ (P_a − P_b)/100 d log₂ d
	Shift, ShiftSD float64
	// Apart is the same without sign, ∫ |P_a − P_b|/100 d log₂ d: curves that cross are apart though neither is coarser.
	Apart, ApartSD float64
	// Gap is the largest difference of percent passing at a sieve, P_a − P_b, at GapAt.
	Gap, GapSD unit.Percent
	GapAt      unit.Millimetres
	// Differs says that at some sieve the difference is beyond what repeated sievings of one material show in 95 of 100
	// comparisons, all sieves taken together (Bonferroni).
	Differs bool
}

// Apart sets two curves side by side. Passing is read at the sieves of both, on straight lines over log size. The standard
// deviations are of the two sievings alone: not of how well the samples stand for what they were taken from. Source: closed
// form (the area between two distributions, first Wasserstein distance over log₂ size); JCGM 100:2008, 5.1.2.
func Apart(a, b *Curve) (Distance, error) {
	sizes := commonSizes([]Part{{a, 1}, {b, 1}})
	if len(sizes) < 2 {
		return Distance{}, fmt.Errorf("comparing curves: they share %d of the two sizes needed: sieve both on one stack", len(sizes))
	}
	d := Distance{From: unit.Millimetres(sizes[0]), To: unit.Millimetres(sizes[len(sizes)-1])}
	diff := make([]float64, len(sizes))
	worst := 0.0
	for i, size := range sizes {
		pa, _ := a.Passing(unit.Millimetres(size))
		pb, _ := b.Passing(unit.Millimetres(size))
		diff[i] = float64(pa - pb)
		u := math.Hypot(a.spread(a.below(size)), b.spread(b.below(size)))
		if math.Abs(diff[i]) > math.Abs(float64(d.Gap)) {
			d.Gap, d.GapSD, d.GapAt = unit.Percent(diff[i]), unit.Percent(u), unit.Millimetres(size)
		}
		if u > 0 {
			worst = max(worst, math.Abs(diff[i])/u)
		} else if math.Abs(diff[i]) > reached {
			worst = math.Inf(1)
		}
	}
	d.Differs = worst > math.Sqrt2*math.Erfinv(1-0.05/float64(len(sizes)))
	whole, bare := weights(sizes, diff)
	for i, w := range whole {
		d.Shift -= w * diff[i]
	}
	d.Apart = area(sizes, diff)
	d.ShiftSD = math.Hypot(a.along(sizes, whole), b.along(sizes, whole))
	d.ApartSD = math.Hypot(a.along(sizes, bare), b.along(sizes, bare))
	return d, nil
}

// weights are what the difference at each size counts in the area, with and without the sign of the difference [octaves per
// point].
func weights(sizes, diff []float64) (whole, bare []float64) {
	whole, bare = make([]float64, len(sizes)), make([]float64, len(sizes))
	for i := 1; i < len(sizes); i++ {
		half := math.Log2(sizes[i]/sizes[i-1]) / 200
		whole[i-1] += half
		whole[i] += half
	}
	for i, w := range whole {
		bare[i] = math.Copysign(w, diff[i])
	}
	return whole, bare
}

// area is ∫ |P_a − P_b|/100 d log₂ d, exact for straight pieces.
func area(sizes, diff []float64) float64 {
	sum := 0.0
	for i := 1; i < len(sizes); i++ {
		w := math.Log2(sizes[i]/sizes[i-1]) / 100
		x, y := diff[i-1], diff[i]
		if x*y >= 0 {
			sum += w * math.Abs(x+y) / 2
		} else {
			sum += w * (x*x + y*y) / (2 * (math.Abs(x) + math.Abs(y)))
		}
	}
	return sum
}

// along is the standard deviation of Σ w_i·P(d_i).
func (c *Curve) along(sizes, weights []float64) float64 {
	a := make([]float64, len(c.share))
	for i, d := range sizes {
		for j, v := range c.below(d) {
			a[j] += weights[i] * v
		}
	}
	return c.spread(a)
}

// Words says a distance in plain words. a and b name what was compared.
func (d Distance) Words(a, b string) string {
	if !d.Differs {
		return fmt.Sprintf("%s and %s cannot be told apart by sieving.", capital(a), b)
	}
	more := "more"
	if d.Gap < 0 {
		more = "less"
	}
	gap := fmt.Sprintf("%.0f points %s of it pass %g mm (± %.0f)", math.Abs(float64(d.Gap)), more, float64(d.GapAt), z95*float64(d.GapSD))
	if math.Abs(d.Shift) < z95*d.ShiftSD {
		return fmt.Sprintf("%s has another spread of sizes than %s, neither coarser nor finer on the whole: %s.", capital(a), b, gap)
	}
	size := "coarser"
	if d.Shift < 0 {
		size = "finer"
	}
	share := 100 * math.Abs(math.Exp2(d.Shift)-1)
	lo, hi := 100*math.Abs(math.Exp2(math.Abs(d.Shift)-z95*d.ShiftSD)-1), 100*math.Abs(math.Exp2(math.Abs(d.Shift)+z95*d.ShiftSD)-1)
	if d.Shift < 0 {
		lo, hi = 100*(1-math.Exp2(-(math.Abs(d.Shift)-z95*d.ShiftSD))), 100*(1-math.Exp2(-(math.Abs(d.Shift)+z95*d.ShiftSD)))
	}
	return fmt.Sprintf("%s is %s than %s: its grains are %.0f %% (%.0f to %.0f %%) %s on the mean, and %s.", capital(a), size, b, share, lo, hi,
		map[bool]string{true: "smaller", false: "larger"}[d.Shift < 0], gap)
}

// capital makes the first letter of a sentence a capital.
func capital(s string) string {
	if s != "" && s[0] >= 'a' && s[0] <= 'z' {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}
