package season

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Retained is what one sieve kept back, g; a sieve of 0 mm is the pan.
type Retained struct{ SieveMM, Grams float64 }

// GrainSize gives the grain size that a share of a material's mass passes, mm:
//
//	D_q = 10^( log d₀ + (q − p₀)/(p₁ − p₀) · (log d₁ − log d₀) )
//
// p percent passing the sieves d₀ and d₁ on either side [mm]; passing 0..1. ok is false where the curve does not reach so
// far: nothing is guessed beyond the sieves. Source: the log-linear rule of any text on sieving.
func GrainSize(sieves []Retained, passing float64) (mm float64, ok bool) {
	list := slices.Clone(sieves)
	slices.SortFunc(list, func(a, b Retained) int { return cmp.Compare(a.SieveMM, b.SieveMM) })
	var total float64
	for _, r := range list {
		if !(r.Grams >= 0 && r.SieveMM >= 0) {
			return 0, false
		}
		total += r.Grams
	}
	below := 0.0 // mass through the sieve
	lastMM, lastP := 0.0, math.NaN()
	for _, r := range list {
		p := below / total
		if r.SieveMM > 0 {
			if lastP <= passing && passing <= p {
				if p == lastP {
					return lastMM, true
				}
				return math.Pow(10, math.Log10(lastMM)+(passing-lastP)/(p-lastP)*(math.Log10(r.SieveMM)-math.Log10(lastMM))), true
			}
			lastMM, lastP = r.SieveMM, p
		}
		below += r.Grams
	}
	return 0, false
}

// alike is the ratio of middle grain sizes up to which two sands count as alike; a working default, no source.
const alike = 1.25

// CompareGrains says how the middle grain of a sand lies to that of what it is put on. on names the latter.
func CompareGrains(sand, under []Retained, on string) string {
	a, ok := GrainSize(sand, 0.5)
	if !ok {
		return ""
	}
	b, ok := GrainSize(under, 0.5)
	if !ok {
		return fmt.Sprintf("The sieves of %s do not reach its middle grain: it cannot be set beside the sand.", on)
	}
	how := "alike"
	switch {
	case a > b*alike:
		how = "the sand is coarser, ask whether it will work in"
	case a < b/alike:
		how = "the sand is finer, ask whether it will seal what lies under it"
	}
	return fmt.Sprintf("Half of the sand passes %.2f mm, half of %s %.2f mm: %s.", a, on, b, how)
}
