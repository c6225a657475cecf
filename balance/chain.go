package balance

import (
	"fmt"
	"sort"

	"underfoot/unit"
)

// cut is one layer of the chain from the surface down that the account is kept for.
type cut struct{ top, bottom unit.Millimetres }

func (c cut) middle() float64 { return float64(c.top+c.bottom) / 2 }

// checkRounds refuses rounds that cannot be read, and gives them in order of time with layers top first.
func checkRounds(rounds []Round) ([]Round, error) {
	out := make([]Round, len(rounds))
	copy(out, rounds)
	sort.SliceStable(out, func(i, j int) bool { return out[i].At.Before(out[j].At) })
	for i, r := range out {
		if r.At.IsZero() {
			return nil, fmt.Errorf("balance: round %q has no date: give the date of its cores", r.Label)
		}
		if i > 0 && r.At.Equal(out[i-1].At) {
			return nil, fmt.Errorf("balance: rounds %q and %q are both on %s: join them into one", out[i-1].Label, r.Label, day(r.At))
		}
		layers := make([]Layer, len(r.Layers))
		copy(layers, r.Layers)
		sort.SliceStable(layers, func(a, b int) bool { return layers[a].Top < layers[b].Top })
		for k, l := range layers {
			if err := l.check(); err != nil {
				return nil, fmt.Errorf("balance: round %q: %w", r.Label, err)
			}
			if k > 0 && l.Top < layers[k-1].Bottom {
				return nil, fmt.Errorf("balance: round %q: layers %s and %s overlap: keep one of them", r.Label, layers[k-1].name(), l.name())
			}
		}
		out[i].Layers = layers
	}
	return out, nil
}

// chain finds the layers that touch from the surface down: at each depth the one most rounds have, the
// newest round deciding a tie.
func chain(rounds []Round) []cut {
	var cuts []cut
	at := unit.Millimetres(0)
	for {
		votes := map[unit.Millimetres]int{}
		var best unit.Millimetres
		for _, r := range rounds {
			for _, l := range r.Layers {
				if l.Top != at {
					continue
				}
				votes[l.Bottom]++
				if votes[l.Bottom] >= votes[best] {
					best = l.Bottom
				}
			}
		}
		if best == 0 {
			return cuts
		}
		cuts = append(cuts, cut{at, best})
		at = best
	}
}

// reach counts the layers of the chain a round has, unbroken from the surface down.
func reach(r Round, cuts []cut) int {
	for k, c := range cuts {
		if _, ok := find(r, c); !ok {
			return k
		}
	}
	return len(cuts)
}

func find(r Round, c cut) (Layer, bool) {
	for _, l := range r.Layers {
		if l.Top == c.top && l.Bottom == c.bottom {
			return l, true
		}
	}
	return Layer{}, false
}

// leftOut says which measured layers cannot enter the account, and why.
func leftOut(rounds []Round, cuts []cut) []string {
	var out []string
	for _, r := range rounds {
		n := reach(r, cuts)
		for _, l := range r.Layers {
			k := indexOf(cuts, l)
			switch {
			case k < 0 && l.Top == 0:
				out = append(out, fmt.Sprintf("round %s: %s is left out: the other rounds cut %s", r.Label, l.name(), span(cuts[0].top, cuts[0].bottom)))
			case k < 0:
				out = append(out, fmt.Sprintf("round %s: %s is left out: it does not join on to the layers above it as the rounds cut them", r.Label, l.name()))
			case k >= n:
				out = append(out, fmt.Sprintf("round %s: no account of %s: %s above it was not measured", r.Label, l.name(), span(cuts[n].top, cuts[n].bottom)))
			}
		}
	}
	return out
}

func indexOf(cuts []cut, l Layer) int {
	for k, c := range cuts {
		if l.Top == c.top && l.Bottom == c.bottom {
			return k
		}
	}
	return -1
}
