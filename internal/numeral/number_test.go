package numeral

import (
	"math"
	"testing"
)

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Num(10189, 0), "10,189"},
		{Num(1234567.891, 2), "1,234,567.89"},
		{Num(-0.04, 1), "0.0"},
		{Num(-0.06, 1), Minus + "0.1"},
		{Num(math.NaN(), 1), "–"},
		{Num(math.Inf(1), 1), "–"},
		{Signed(0.55, 2), "+0.55"},
		{Signed(0.001, 2), "0.00"},
		{Signed(-2, 0), Minus + "2"},
		{Span(0.32, 0.72, 2), "0.32 to 0.72"},
		{SignedSpan(-0.19, 0.03, 2), Minus + "0.19 to +0.03"},
		{SignedSpan(0.3, 0.8, 1), "0.3 to 0.8"},
		{Mass(136.9), "137"},
		{Mass(59.04), "59.0"},
		{Mass(0.253), "0.25"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
