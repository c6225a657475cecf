package numeral

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// What is written is the number to its decimals, once the thousands marks and the sign are taken back.
func FuzzNum(f *testing.F) {
	for _, v := range []float64{0, -0.004, 0.005, 1234567.891, -999.9996, 1e21, math.MaxFloat64, math.Inf(1), math.NaN(), math.SmallestNonzeroFloat64} {
		f.Add(v, uint8(2))
	}
	f.Fuzz(func(t *testing.T, v float64, d uint8) {
		decimals := int(d % 16)
		s := Num(v, decimals)
		if math.IsNaN(v) || math.IsInf(v, 0) {
			if s != "–" || Signed(v, decimals) != "–" {
				t.Fatalf("%v is written %q and %q", v, s, Signed(v, decimals))
			}
			return
		}
		back := func(s string) float64 {
			plain := strings.ReplaceAll(strings.ReplaceAll(strings.TrimPrefix(s, "+"), ",", ""), Minus, "-")
			x, err := strconv.ParseFloat(plain, 64)
			if err != nil {
				t.Fatalf("%v is written %q: %v", v, s, err)
			}
			return x
		}
		want, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64)
		if got := back(s); got != want {
			t.Fatalf("%v is written %q, which is %v", v, s, got)
		}
		if got := back(Signed(v, decimals)); got != want {
			t.Fatalf("%v is written %q with its sign, which is %v", v, Signed(v, decimals), got)
		}
		whole, rest, _ := strings.Cut(strings.TrimPrefix(s, Minus), ".")
		if len(rest) != decimals {
			t.Fatalf("%v is written %q with %d decimals", v, s, len(rest))
		}
		for i, part := range strings.Split(whole, ",") {
			if len(part) > 3 || i > 0 && len(part) != 3 {
				t.Fatalf("%v is written %q", v, s)
			}
		}
		if strings.HasPrefix(s, Minus) && want == 0 || strings.ContainsAny(s, "-e+") {
			t.Fatalf("%v is written %q", v, s)
		}
		Mass(v)
		SignedSpan(v, v+1, decimals)
	})
}
