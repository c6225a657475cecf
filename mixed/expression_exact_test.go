package mixed

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// A column and what rounding took from it are, together, the value in rational arithmetic to 30 digits.
func TestWhatRoundingTook(t *testing.T) {
	x, z := []float64{-6.860120914, .1, 3, 1e5, -.7}, []float64{1.1, -.3, 7, 11, 1e-3}
	f := NewFrame()
	if err := errorsOf(f.Numbers("y", []float64{1, 2, 3, 4, 5}), f.Numbers("x", x), f.Numbers("z", z)); err != nil {
		t.Fatal(err)
	}
	d, err := parsed(t, "y ~ I(x^10) + I((x - 0.1)^3/z) + x:z + I(-x*z + 2)").Design(f, DesignOptions{})
	if err != nil {
		t.Fatal(err)
	}
	r := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	times := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	want := map[string]func(x, z float64) *big.Rat{
		"I(x^10)": func(x, _ float64) *big.Rat {
			out := r(1)
			for range 10 {
				out = times(out, r(x))
			}
			return out
		},
		"I((x - 0.1)^3/z)": func(x, z float64) *big.Rat {
			v := new(big.Rat).Sub(r(x), r(.1))
			return new(big.Rat).Quo(times(times(v, v), v), r(z))
		},
		"x:z":           func(x, z float64) *big.Rat { return times(r(x), r(z)) },
		"I(-x * z + 2)": func(x, z float64) *big.Rat { return new(big.Rat).Sub(r(2), times(r(x), r(z))) },
	}
	for j, name := range d.Names {
		exact, ok := want[name]
		if !ok {
			if name != "(Intercept)" || d.lost(j) != nil {
				t.Errorf("column %s: lost %v", name, d.lost(j))
			}
			continue
		}
		lost := d.lost(j)
		if lost == nil {
			t.Errorf("column %s lost nothing", name)
			continue
		}
		for i := range x {
			w := exact(x[i], z[i])
			off, _ := new(big.Rat).Sub(new(big.Rat).Add(r(d.Columns[j][i]), r(lost[i])), w).Float64()
			size, _ := w.Float64()
			if math.Abs(off) > 1e-30*math.Abs(size) {
				t.Errorf("%s, row %d: %v off %v", name, i+1, off, size)
			}
		}
	}
}

// Plain columns, factors and functions that no product gives have nothing beyond.
func TestNothingBeyondPlainColumns(t *testing.T) {
	d, err := parsed(t, "y ~ x*f + log(x) + factor(n)").Design(table(t, small), DesignOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if d.Coding.beyond != nil {
		t.Errorf("got %v", d.Coding.beyond)
	}
}

// Whole powers are correctly rounded.
func TestWholePowersAreCorrectlyRounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1000, 1000).Draw(t, "x")
		n := rapid.IntRange(2, 12).Draw(t, "n")
		want := new(big.Rat).SetInt64(1)
		for range n {
			want.Mul(want, new(big.Rat).SetFloat64(x))
		}
		w, _ := want.Float64()
		if got := power(x, float64(n)); got != w && math.Abs(w) > 1e-250 {
			t.Fatalf("%v^%d is %v, want %v", x, n, got, w)
		}
	})
	for _, c := range []struct{ a, b, want float64 }{{2, .5, math.Sqrt2}, {0, 0, 1}, {1e200, 2, math.Inf(1)}, {-2, 3, -8}, {2, -2, .25}} {
		if got := power(c.a, c.b); got != c.want {
			t.Errorf("%v^%v is %v, want %v", c.a, c.b, got, c.want)
		}
	}
	if !math.IsNaN(power(math.NaN(), 0)) {
		t.Error("a missing value to the power 0 is known")
	}
}
