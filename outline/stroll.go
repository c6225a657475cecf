package outline

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Share is a place as shares of a green's length, from its front to its back, and of its width there, from its left edge.
type Share struct{ Along, Across float64 }

// margin is kept free at each end of length and width (common practice, no source).
const margin = 0.1

// Stroll gives places for cores on a green whose outline nobody knows, as shares of its length and width, in walking order
// from the front to the back. They are points of a Halton sequence from a random start, so they are spread as evenly as
// those of Spread would be on a rectangle; a tenth is kept free along every edge. count is 1 to 200.
// Source: as Spread.
func Stroll(count int, seed uint64) ([]Share, error) {
	if count < 1 || count > mostPlaces {
		return nil, fmt.Errorf("walk over a green: %d cores: allowed are 1 to %d", count, mostPlaces)
	}
	chance := rand.New(rand.NewPCG(seed, 0))
	u, v := chance.Uint64N(starts), chance.Uint64N(starts)
	out := make([]Share, count)
	for i := range out {
		out[i] = Share{
			Along:  margin + (1-2*margin)*inverse(u+uint64(i), 2),
			Across: margin + (1-2*margin)*inverse(v+uint64(i), 3),
		}
	}
	slices.SortStableFunc(out, func(a, b Share) int { return cmp.Compare(a.Along, b.Along) })
	return out, nil
}

// String says the place: "7 tenths of the way from front to back, 3 tenths of the width from the left".
func (s Share) String() string {
	return fmt.Sprintf("%s of the way from front to back, %s of the width from the left", tenths(s.Along), tenths(s.Across))
}

func tenths(v float64) string {
	n := math.Round(v * 10)
	switch n {
	case 1:
		return "1 tenth"
	case 5:
		return "half"
	}
	return fmt.Sprintf("%.0f tenths", n)
}
