package season

import (
	"math"
	"testing"
)

// The words are those of package findings: one chance reads the same everywhere.
func TestChanceInWords(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want string
	}{
		{0, "less than 1 in 20"},
		{0.049, "less than 1 in 20"},
		{0.05, "1 in 20"},
		{0.5, "5 in 10"},
		{0.84, "8 in 10"},
		{0.949, "9 in 10"},
		{0.95, "19 in 20 or better"},
		{1, "19 in 20 or better"},
		{math.NaN(), "unknown"},
	} {
		if got := chance(c.p); got != c.want {
			t.Errorf("%g: %s, want %s", c.p, got, c.want)
		}
	}
}

func TestNumbersInWords(t *testing.T) {
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{
		{0, 1, "0.0"}, {-0.04, 1, "0.0"}, {-0.06, 1, "−0.1"}, {9400, 0, "9,400"}, {1234567.8, 1, "1,234,567.8"}, {999.96, 1, "1,000.0"}, {12, 0, "12"},
	} {
		if got := number(c.x, c.decimals); got != c.want {
			t.Errorf("%g: %s, want %s", c.x, got, c.want)
		}
	}
}
