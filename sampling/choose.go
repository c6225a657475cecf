package sampling

import (
	"fmt"
	"math/rand/v2"
)

// GreenGroup is a part of a course's greens that are more like each other: old and new ones, sun and shade.
type GreenGroup struct {
	Name   string
	Greens []string
}

// Choose draws n greens at random, the same for the same seed, with every green of a group as likely as any other of it.
// Several groups share the n by their sizes (Allocate with equal scatter and cost), and are taken in turn, so that the
// first greens of the answer come from all of them.
// Source: Fisher & Yates shuffle; Cochran, Sampling Techniques, 3rd ed. 1977, section 5.9, proportional allocation.
func Choose(n int, seed uint64, groups ...GreenGroup) ([]string, error) {
	total := 0
	for _, g := range groups {
		total += len(g.Greens)
	}
	if n < 1 || n > total {
		return nil, fmt.Errorf("choosing greens: %d of %s: choose at least 1, and no more than there are", n, count(total, "green"))
	}
	shares := []Share{{N: n}}
	if len(groups) > 1 {
		var strata []Stratum
		for _, g := range groups {
			strata = append(strata, Stratum{Name: g.Name, Size: len(g.Greens), SD: 1, Cost: 1})
		}
		var err error
		if shares, err = Allocate(n, strata); err != nil {
			return nil, fmt.Errorf("choosing greens: %w", err)
		}
	}
	chance := rand.New(rand.NewPCG(seed, 1))
	drawn := make([][]string, len(groups))
	for i, g := range groups {
		for _, k := range chance.Perm(len(g.Greens))[:shares[i].N] {
			drawn[i] = append(drawn[i], g.Greens[k])
		}
	}
	var out []string
	for turn := 0; len(out) < n; turn++ {
		for _, d := range drawn {
			if turn < len(d) {
				out = append(out, d[turn])
			}
		}
	}
	return out, nil
}
