package mixed

import (
	"fmt"
	"math"
	"testing"
)

// Small designs with little between the levels end on a boundary more often than not, and on ridges beside it. The search must end
// where the slope is zero, and no start of other tests may find anything lower.
func TestSearchEndsAtAMinimumThatNoOtherStartBetters(t *testing.T) {
	for _, c := range []struct {
		p     sketch
		seeds []uint64
	}{
		{sketch{rows: 24, columns: 2, levels: []int{4}, sizes: []int{2}}, []uint64{3, 13, 41, 133}},
		{sketch{rows: 20, columns: 1, levels: []int{2}, sizes: []int{3}, weights: true}, []uint64{19, 85, 127}},
		{sketch{rows: 40, columns: 2, levels: []int{6}, sizes: []int{3}}, []uint64{5, 6, 7, 8}},
		{sketch{rows: 60, columns: 2, levels: []int{6, 5}, sizes: []int{2, 1}}, []uint64{1, 2, 3}},
		{sketch{rows: 60, columns: 2, levels: []int{6, 5}, sizes: []int{2, 2}, known: true}, []uint64{1, 2, 3}},
	} {
		for _, seed := range c.seeds {
			c.p.seed = seed
			d := c.p.design()
			for i := range d.Y {
				if seed%2 == 1 { // little between the levels
					d.Y[i] = d.Y[i]*0.2 + 3*math.Sin(float64(i*i)*1.7+float64(seed))
				}
			}
			t.Run(fmt.Sprintf("%+v", c.p), func(t *testing.T) {
				f := fitted(t, d, Options{})
				if len(f.Warnings) > 0 && !f.Singular {
					t.Errorf("warnings of a fit that is not singular: %v", f.Warnings)
				}
				e := f.equations
				p, _ := e.look(f.at)
				for i, g := range p.gradient {
					if f.free[i] && math.Abs(g) > 1e-5 {
						t.Errorf("slope in parameter %d: %g", i, g)
					}
				}
				for other := range uint64(8) {
					m, ok := e.search(e.place(100*seed+other), all(len(f.at)))
					if ok && m.value < f.value-1e-7 {
						t.Errorf("%.10g is below %.10g, from start %d", m.value, f.value, other)
					}
				}
			})
		}
	}
}
