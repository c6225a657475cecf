package sampling

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"underfoot/internal/reference"
)

func TestDistributionsAgreeWithR(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/distribution.json") {
		var in struct {
			Fn                      string
			Q, P, DF, DF1, DF2, NCP float64
		}
		var want struct{ Value float64 }
		c.Decode(t, &in, &want)
		var got float64
		switch in.Fn {
		case "pt":
			got = studentT{in.DF, in.NCP}.below(in.Q)
		case "pf":
			got = fisherF{in.DF1, in.DF2, in.NCP}.below(in.Q)
		case "qt":
			got = studentT{in.DF, 0}.quantile(in.P)
		case "qf":
			got = fisherF{in.DF1, in.DF2, 0}.upper(1 - in.P)
		case "qchisq":
			got = chiSquaredQuantile(in.P, in.DF)
		default:
			t.Fatalf("%s: unknown function %q", c.ID, in.Fn)
		}
		c.Near(t, in.Fn, got, want.Value)
	}
}

func TestNoncentralT(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/noncentral_t.json") {
		var in struct{ Q, DF, NCP float64 }
		var want struct{ Value float64 }
		c.Decode(t, &in, &want)
		d := studentT{in.DF, in.NCP}
		c.Near(t, "below", d.below(in.Q), want.Value)
		if sum := d.below(in.Q) + d.above(in.Q); math.Abs(sum-1) > 1e-13 {
			t.Errorf("%s: below and above make %.17g", c.ID, sum)
		}
	}
}

func TestNoncentralF(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/noncentral_f.json") {
		var in struct{ F, M, N, Offset float64 }
		var want struct{ Below, Above float64 }
		c.Decode(t, &in, &want)
		d := fisherF{in.M, in.N, in.Offset}
		c.Near(t, "below", d.below(in.F), want.Below)
		c.Near(t, "above", d.above(in.F), want.Above)
	}
}

func TestTableOfT(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/t_table.json") {
		var in struct{ P, DF float64 }
		var want struct{ T float64 }
		c.Decode(t, &in, &want)
		c.Near(t, "t", studentT{in.DF, 0}.quantile(in.P), want.T)
	}
}

// A noncentral t squared is a noncentral F with 1 degree of freedom above; two roads that share no code must meet.
func TestTSquaredIsF(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		df := rapid.Float64Range(0.5, 500).Draw(t, "df")
		offset := rapid.Float64Range(0, 40).Draw(t, "offset")
		q := rapid.Float64Range(0.01, 80).Draw(t, "q")
		d := studentT{df, offset}
		both := d.above(q) + d.below(-q)
		f := fisherF{1, df, offset * offset}
		if want := f.above(q * q); math.Abs(both-want) > 2e-12*want+1e-280 {
			t.Fatalf("t: %.17g beyond ±%g, F: %.17g", both, q, want)
		}
		if sum := f.above(q*q) + f.below(q*q); math.Abs(sum-1) > 1e-12 {
			t.Fatalf("F: above and below make %.17g", sum)
		}
		if sum := d.above(q) + d.below(q); math.Abs(sum-1) > 1e-12 {
			t.Fatalf("t: above and below make %.17g", sum)
		}
	})
}

func TestQuantilesInvert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := math.Exp(rapid.Float64Range(-30, -0.01).Draw(t, "ln p"))
		df := math.Exp(rapid.Float64Range(-0.5, 20).Draw(t, "ln df"))
		d := studentT{df, 0}
		if got := d.above(d.upper(p)); math.Abs(got-p) > 1e-11*p {
			t.Fatalf("t: %.17g lies beyond the value that %.17g should", got, p)
		}
		f := fisherF{rapid.Float64Range(1, 40).Draw(t, "m"), min(df, 1e4), 0}
		if got := f.above(f.upper(p)); math.Abs(got-p) > 1e-11*p {
			t.Fatalf("F: %.17g lies beyond the value that %.17g should", got, p)
		}
	})
}
