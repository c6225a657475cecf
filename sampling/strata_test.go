package sampling

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot/internal/reference"
)

func TestAllocate(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/strata.json") {
		var in struct {
			N        int
			Size     []int
			SD, Cost []float64
		}
		var want struct{ Share []float64 }
		c.Decode(t, &in, &want)
		var strata []Stratum
		for i := range in.Size {
			strata = append(strata, Stratum{Size: in.Size[i], SD: in.SD[i], Cost: in.Cost[i]})
		}
		shares, err := Allocate(in.N, strata)
		fatal(t, err)
		for i, s := range shares {
			c.Near(t, fmt.Sprint("share of stratum ", i+1), s.Exact, want.Share[i])
		}
	}
}

func TestAllocateWhole(t *testing.T) {
	for name, c := range map[string]struct {
		n      int
		strata []Stratum
		want   []int
	}{
		"largest remainder":    {20, []Stratum{{"a", 600, 0.6, 1}, {"b", 400, 1, 1}, {"c", 500, 0.8, 1}}, []int{6, 7, 7}},
		"with cost":            {20, []Stratum{{"a", 600, 0.6, 1}, {"b", 400, 1, 1}, {"c", 500, 0.8, 4}}, []int{8, 8, 4}},
		"two at least":         {10, []Stratum{{"a", 1000, 1, 1}, {"b", 10, 1, 1}, {"c", 10, 1, 1}}, []int{6, 2, 2}},
		"size at most":         {12, []Stratum{{"a", 3, 50, 1}, {"b", 100, 1, 1}, {"c", 50, 1, 1}}, []int{3, 6, 3}},
		"both bounds":          {9, []Stratum{{"a", 3, 50, 1}, {"b", 100, 1, 1}, {"c", 1, 1, 1}, {"d", 8, 0, 1}}, []int{3, 3, 1, 2}},
		"all of them":          {7, []Stratum{{"a", 3, 1, 1}, {"b", 4, 1, 1}}, []int{3, 4}},
		"rest without scatter": {8, []Stratum{{"a", 2, 1, 1}, {"b", 9, 0, 1}, {"c", 9, 0, 1}}, []int{2, 3, 3}},
	} {
		shares, err := Allocate(c.n, c.strata)
		fatal(t, err)
		var got []int
		for _, s := range shares {
			got = append(got, s.N)
		}
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: (-want +got)\n%s", name, d)
		}
	}
}

// Every sample is given out, no bound is passed, and no single sample would do more good in another stratum by more than
// the rounding of one allows.
func TestAllocateKeepsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		strata := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Stratum {
			return Stratum{
				Size: rapid.IntRange(1, 60).Draw(t, "size"), SD: rapid.SampledFrom([]float64{0, 0.1, 1, 7}).Draw(t, "sd"),
				Cost: rapid.Float64Range(0.1, 10).Draw(t, "cost"),
			}
		}), 1, 7).Draw(t, "strata")
		strata[0].SD = 1
		least, most := 0, 0
		for _, s := range strata {
			least, most = least+s.least(), most+s.Size
		}
		n := rapid.IntRange(least, most).Draw(t, "n")
		shares, err := Allocate(n, strata)
		if err != nil {
			t.Fatal(err)
		}
		sum, exact := 0, 0.0
		for i, s := range shares {
			sum, exact = sum+s.N, exact+s.Exact
			if s.N < strata[i].least() || s.N > strata[i].Size {
				t.Fatalf("stratum %d of %d got %d", i+1, strata[i].Size, s.N)
			}
		}
		if sum != n || math.Abs(exact-float64(n)) > 1e-9 {
			t.Fatalf("%d samples became %d, %g before rounding", n, sum, exact)
		}
		weight := func(i int) float64 { return float64(strata[i].Size) * strata[i].SD / math.Sqrt(strata[i].Cost) }
		for i, a := range shares {
			for j, b := range shares {
				// Per unit of weight i has two samples more than it needs to match j, and both are free to move.
				if a.N-1 > strata[i].least() && b.N < strata[j].Size && float64(a.N-1)*weight(j) > float64(b.N+1)*weight(i)*(1+1e-9) {
					t.Fatalf("stratum %d has %d, stratum %d has %d: %v", i+1, a.N, j+1, b.N, strata)
				}
			}
		}
	})
}

func TestAllocateRefuses(t *testing.T) {
	const doing = "sharing samples among strata: "
	for want, c := range map[string]struct {
		n      int
		strata []Stratum
	}{
		doing + "no strata: give at least one":                                {5, nil},
		doing + "old: size 0: give at least 1":                                {5, []Stratum{{"old", 0, 1, 1}}},
		doing + "stratum 1: scatter NaN: give a number of 0 or more":          {5, []Stratum{{"", 9, math.NaN(), 1}}},
		doing + "old: cost 0: give a number above 0":                          {5, []Stratum{{"old", 9, 1, 0}}},
		doing + "no stratum varies: one sample in each would tell everything": {5, []Stratum{{"old", 9, 0, 1}}},
		doing + "3 samples for 2 strata: take at least 4":                     {3, []Stratum{{"old", 9, 1, 1}, {"new", 9, 1, 1}}},
		doing + "20 samples from strata of 18 all together: take 18 at most":  {20, []Stratum{{"old", 9, 1, 1}, {"new", 9, 1, 1}}},
		doing + "1 sample for 1 stratum: take at least 2":                     {1, []Stratum{{"old", 9, 1, 1}}},
	} {
		_, err := Allocate(c.n, c.strata)
		wantError(t, err, want)
	}
}
