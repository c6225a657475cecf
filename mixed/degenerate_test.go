package mixed_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"underfoot/mixed"

	"pgregory.net/rapid"
)

// numbers drawn are few, so that columns repeat, vanish and add up, and now and then absurd.
var drawn = rapid.SampledFrom([]float64{0, 0, 1, 1, 1, 2, -1, 0.1, 3, 0.5, 1e-9, 1e9, 2020, 1e-170, 1e170, math.NaN(), math.Inf(1)})

var plain = rapid.SampledFrom([]float64{0, 0, 1, 1, 1, 2, -1, 0.1, 3, 0.5, -2.25, 7})

func numbers(t *rapid.T, n int, name string) []float64 {
	from := plain
	if rapid.IntRange(0, 9).Draw(t, name+" wild") == 0 {
		from = drawn
	}
	return rapid.SliceOfN(from, n, n).Draw(t, name)
}

// anyDesign is a small design of any kind: too few rows, columns that say nothing, levels without rows, terms that say the same.
func anyDesign(t *rapid.T) *mixed.Design {
	n := rapid.IntRange(0, 14).Draw(t, "rows")
	d := &mixed.Design{Response: "y", Y: numbers(t, n, "y")}
	for j := range rapid.IntRange(0, 3).Draw(t, "columns") {
		d.Columns = append(d.Columns, numbers(t, n, "column"))
		d.Names = append(d.Names, fmt.Sprint("x", j))
	}
	for range rapid.IntRange(0, 3).Draw(t, "terms") {
		term := mixed.Term{Group: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "group")}
		levels := rapid.IntRange(0, 5).Draw(t, "levels")
		for l := range levels {
			term.Levels = append(term.Levels, fmt.Sprint("l", l))
		}
		term.Level = rapid.SliceOfN(rapid.Int32Range(0, int32(max(0, levels-1))), n, n).Draw(t, "level")
		for j := range rapid.IntRange(0, 3).Draw(t, "effects") {
			var z []float64
			if j > 0 {
				z = numbers(t, n, "z")
			}
			term.Names, term.Z = append(term.Names, fmt.Sprint("z", j)), append(term.Z, z)
		}
		d.Terms = append(d.Terms, term)
	}
	if rapid.IntRange(0, 3).Draw(t, "weights") == 0 {
		d.Weights = rapid.SliceOfN(rapid.SampledFrom([]float64{1, 1, 2, 0.1, 1e6}), n, n).Draw(t, "weight")
	}
	if rapid.IntRange(0, 3).Draw(t, "known") == 0 {
		d.KnownSD = rapid.SliceOfN(rapid.SampledFrom([]float64{0, 0.1, 1, 5}), n, n).Draw(t, "known deviation")
	}
	return d
}

// Whatever the numbers, a fit ends in figures or in a sentence, and so does everything asked of it.
func TestAnyDesignEndsInFiguresOrASentence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDesign(t)
		f, err := mixed.Fit(d, mixed.Options{ML: rapid.Bool().Draw(t, "ml")})
		if err != nil {
			sentence(t, err, "fit: ")
			return
		}
		for j, name := range f.Names {
			if math.IsNaN(f.Beta[j]) || math.IsInf(f.Beta[j], 0) || !(f.SE[j] >= 0) || math.IsInf(f.SE[j], 0) {
				t.Fatalf("%s: %g ± %g", name, f.Beta[j], f.SE[j])
			}
		}
		if math.IsNaN(f.Criterion) || math.IsInf(f.Criterion, 1) || !(f.Sigma >= 0) || math.IsInf(f.Sigma, 0) {
			t.Fatalf("criterion %g, sigma %g", f.Criterion, f.Sigma)
		}
		for _, c := range f.Components {
			if !(c.SD >= 0) || math.IsInf(c.SD, 0) || math.Abs(c.Correlation) > 1 {
				t.Fatalf("component %+v", c)
			}
		}
		for _, m := range f.Modes() {
			if math.IsNaN(m.Estimate) || !(m.SD >= 0) || !(m.PredictionSE >= 0) {
				t.Fatalf("mode %+v", m)
			}
		}
		if len(f.Residuals()) != len(d.Y) || len(f.FittedValues()) != len(d.Y) {
			t.Fatal("a residual for each row is wanted")
		}
		for _, method := range []mixed.DF{mixed.Satterthwaite, mixed.KenwardRoger} {
			estimates, err := f.Coefficients(method)
			if err != nil {
				sentence(t, err, "degrees of freedom")
			}
			for _, e := range estimates {
				if e.Lower95 > e.Value || e.Upper95 < e.Value {
					t.Fatalf("%v: %+v", method, e)
				}
			}
		}
		intervals, err := f.Intervals(0.9)
		if err != nil {
			sentence(t, err, "profile interval")
		}
		for _, v := range intervals {
			if v.Lower > v.Estimate || v.Upper < v.Estimate {
				t.Fatalf("interval %+v", v)
			}
		}
		row := mixed.At{X: make([]float64, len(d.Names))}
		for _, term := range d.Terms {
			row.Level, row.Z = append(row.Level, -1), append(row.Z, make([]float64, len(term.Names)))
		}
		if _, err := f.Predict([]mixed.At{row}); err != nil {
			t.Fatal(err)
		}
	})
}

func sentence(t *rapid.T, err error, start string) {
	t.Helper()
	if m := err.Error(); !strings.HasPrefix(m, start) || strings.Contains(m, "failed to") || strings.HasSuffix(m, ".") {
		t.Fatalf("%q is no sentence of the house that starts with %q", m, start)
	}
}
