package calibrate

import (
	"fmt"
	"slices"
	"testing"
)

func TestZZ(t *testing.T) {
	for _, p := range []plan{{greens: 4, years: 4, seed: 21, truth: drawPrior, ahead: 1}, {greens: 2, years: 5, seed: 26, truth: drawPrior, ahead: 1}, {greens: 9, years: 6, seed: 4}} {
		f := simulate(t, p).fit(t)
		for _, v := range [][2]float64{{1.2, 1.2}, {1.2, 2.5}, {1.2, 4}, {1, 2}, {1.5, 2.5}} {
			wide = v
			line := fmt.Sprint(v)
			for seed := range uint64(4) {
				sm, err := f.Sample(500, 4, seed, nil)
				if err != nil {
					t.Fatal(err)
				}
				e := slices.Clone(sm.Effective[:14])
				slices.Sort(e)
				line += fmt.Sprintf(" [%.0f %.0f of %d]", e[0], e[7], sm.Evaluated)
			}
			fmt.Println(line)
		}
	}
}
