package sampling

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Stratum is a part of what is sampled that is more alike than the whole: old and new greens, sun and shade.
type Stratum struct {
	Name string
	Size int     // units it has: greens, or places that a core can be taken from
	SD   float64 // scatter between them [points]
	Cost float64 // of a sample there
}

// Share is how many samples a stratum gets.
type Share struct {
	Name  string
	Exact float64 // by the formula, neither rounded nor bounded
	N     int     // whole: 2 at least, its size at most, all together as many as asked for
}

// fewest is the least number of samples that shows a stratum's own scatter.
const fewest = 2

// Allocate shares n samples among strata so that the mean of the whole has the least variance for its money:
//
//	n_h = n·(N_h S_h/√c_h)/Σ(N_i S_i/√c_i)
//
// which is Neyman's allocation where all costs are equal. Whole numbers by largest remainder, with at least 2 samples in a
// stratum (1 in a stratum of 1) and at most its size; what a bound takes or gives is shared by the formula among the rest.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 5, eq. 5.23 and 5.26 (numbers from memory), section 5.8 for
// strata sampled whole.
func Allocate(n int, strata []Stratum) ([]Share, error) {
	if err := checkStrata(n, strata); err != nil {
		return nil, err
	}
	weight := make([]float64, len(strata))
	var total float64
	for i, s := range strata {
		weight[i] = float64(s.Size) * s.SD / math.Sqrt(s.Cost)
		total += weight[i]
	}
	shares := make([]Share, len(strata))
	for i, s := range strata {
		shares[i] = Share{Name: s.Name, Exact: float64(n) * weight[i] / total}
	}
	bounded(n, weight, strata, shares)
	return shares, nil
}

// bounded gives each stratum its whole number. Those that the formula would put beyond a bound are set to it, the worse
// side first, and the rest shared anew.
func bounded(n int, weight []float64, strata []Stratum, shares []Share) {
	var free []int
	for i := range strata {
		free = append(free, i)
	}
	left := n
	for {
		var total float64
		for _, i := range free {
			total += weight[i]
		}
		share := func(i int) float64 {
			if total == 0 { // only strata without scatter are left
				return float64(left) / float64(len(free))
			}
			return float64(left) * weight[i] / total
		}
		// Setting all on one side at once is right where that side's bounds weigh more: then what is freed or taken keeps
		// them beyond their bound.
		var low, high []int
		var lack, excess float64
		for _, i := range free {
			if v := share(i); v < float64(strata[i].least()) {
				low, lack = append(low, i), lack+float64(strata[i].least())-v
			} else if v > float64(strata[i].Size) {
				high, excess = append(high, i), excess+v-float64(strata[i].Size)
			}
		}
		if len(low)+len(high) == 0 {
			round(left, free, share, shares)
			return
		}
		fixed, bound := low, Stratum.least
		if excess > lack {
			fixed, bound = high, func(s Stratum) int { return s.Size }
		}
		for _, i := range fixed {
			shares[i].N = bound(strata[i])
			left -= shares[i].N
		}
		free = slices.DeleteFunc(free, func(i int) bool { return slices.Contains(fixed, i) })
	}
}

// round makes whole numbers of the shares by largest remainder; the larger share, then the earlier stratum, wins a tie.
// Rounding down or up cannot pass a bound, because bounds are whole.
func round(left int, free []int, share func(int) float64, shares []Share) {
	for _, i := range free {
		shares[i].N = int(math.Floor(share(i) + 1e-9))
		left -= shares[i].N
	}
	order := slices.Clone(free)
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(share(b)-float64(shares[b].N), share(a)-float64(shares[a].N)), cmp.Compare(share(b), share(a)))
	})
	for _, i := range order {
		if left <= 0 {
			return
		}
		shares[i].N++
		left--
	}
}

func (s Stratum) least() int { return min(fewest, s.Size) }

func checkStrata(n int, strata []Stratum) error {
	const doing = "sharing samples among strata"
	if len(strata) == 0 {
		return errors.New("sharing samples among strata: no strata: give at least one")
	}
	least, most, scatter := 0, 0, 0.0
	for i, s := range strata {
		name := cmp.Or(s.Name, fmt.Sprint("stratum ", i+1))
		switch {
		case s.Size < 1:
			return fmt.Errorf("%s: %s: size %d: give at least 1", doing, name, s.Size)
		case !(s.SD >= 0) || math.IsInf(s.SD, 1):
			return fmt.Errorf("%s: %s: scatter %g: give a number of 0 or more", doing, name, s.SD)
		case !(s.Cost > 0) || math.IsInf(s.Cost, 1):
			return fmt.Errorf("%s: %s: cost %g: give a number above 0", doing, name, s.Cost)
		}
		least, most, scatter = least+s.least(), most+s.Size, scatter+s.SD
	}
	switch {
	case scatter == 0:
		return errors.New("sharing samples among strata: no stratum varies: one sample in each would tell everything")
	case n < least:
		return fmt.Errorf("%s: %s for %s: take at least %d", doing, count(n, "sample"), countStrata(len(strata)), least)
	case n > most:
		return fmt.Errorf("%s: %s from strata of %d all together: take %d at most", doing, count(n, "sample"), most, most)
	}
	return nil
}

func countStrata(n int) string {
	if n == 1 {
		return "1 stratum"
	}
	return fmt.Sprintf("%d strata", n)
}
