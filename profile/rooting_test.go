package profile

import (
	"math"
	"testing"
)

// The series of the share of growth stays within what its comment says of the exponentials it stands for.
func TestSeriesOfRooting(t *testing.T) {
	const bound = 7.1e-13 // u⁶/720 at 0.028 is 6.7e-13, times exp(0.028)
	var most float64
	for _, reach := range []float64{1, 2.5, 4, 10} {
		for _, omega := range []float64{0, 0.2, 0.8} {
			s := Usual()
			s.DeepReach = reach
			p := Default()
			p[DeepShare] = omega
			c := NewColumn(s, 40, nil)
			if err := c.Start(p, s.cells()); err != nil {
				t.Fatal(err)
			}
			c.renew()
			for i := range c.edges[:c.n] {
				e := &c.edges[i]
				z := c.depth(e)
				for _, u := range []float64{-1, -0.5, -0.01, 0, 0.2, 1} {
					moved := z + u*near*p[RootDepth]
					x := (z - moved) / (reach * p[RootDepth])
					xx := x * x
					got := (e.c0 + e.c1*x) + xx*((e.c2+e.c3*x)+xx*(e.c4+e.c5*x))
					want := 1 - (1-omega)*math.Exp(-moved/p[RootDepth]) - omega*math.Exp(-moved/(reach*p[RootDepth]))
					most = max(most, math.Abs(got-want))
					if !(math.Abs(got-want) < bound) {
						t.Errorf("reach %g, share %g, %g mm moved to %g: %.17g, by exponentials %.17g", reach, omega, z, moved, got, want)
					}
				}
			}
		}
	}
	t.Logf("at most %.2g off", most)
}

func TestShortExponential(t *testing.T) {
	for i := -3000; i <= 3000; i++ {
		x := far * float64(i) / 3001
		if got, want := short(x), math.Exp(x); math.Abs(got/want-1) > 4.5e-16 {
			t.Errorf("exp(%g) is %.17g, want %.17g", x, got, want)
		}
	}
}
