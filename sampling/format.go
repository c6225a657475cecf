package sampling

import (
	"math"
	"strconv"
	"strings"
)

// upTo prints a precision that must not promise too much: rounded up to two decimals, three below 0.1, without
// trailing zeros.
func upTo(v float64) string {
	decimals := 2
	if math.Abs(v) < 0.1 {
		decimals = 3
	}
	scale := math.Pow(10, float64(decimals))
	return trimmed(math.Ceil(v*scale-1e-9)/scale, decimals)
}

// trimmed prints a number with at most so many decimals: 0.4, 12, −0.25.
func trimmed(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if v < 0 && s != "0" {
		return "−" + s
	}
	return s
}

// count prints a number of things with its noun: "1 green", "3 greens".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}

// cases prints a chance as a share of cases: "8 of 10", "19 of 20", "85 of 100".
func cases(p float64) string {
	for _, of := range []float64{10, 20, 100, 1000} {
		if n := math.Round(p * of); math.Abs(n-p*of) < 1e-9*of {
			return trimmed(n, 0) + " of " + trimmed(of, 0) + " cases"
		}
	}
	return trimmed(100*p, 1) + " of 100 cases"
}
