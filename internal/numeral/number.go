// Package numeral writes numbers as people read them: thousands set off, a true minus, ranges in words. Pages and report
// share it, so that a number looks the same on both.
package numeral

import (
	"math"
	"strconv"
	"strings"
)

// Minus is the sign of a negative number; the hyphen is no minus.
const Minus = "\u2212"

// Num writes a number with so many decimals, thousands set off, and a true minus; a dash for what is no number. A value
// that rounds to nothing has no sign.
func Num(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, rest, found := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if found {
		whole += "." + rest
	}
	if v < 0 && strings.Trim(s, "0.") != "" {
		return Minus + whole
	}
	return whole
}

// Signed writes a number with its sign, plus too.
func Signed(v float64, decimals int) string {
	s := Num(v, decimals)
	if v > 0 && !math.IsInf(v, 0) && strings.Trim(s, "0.,") != "" {
		return "+" + s
	}
	return s
}

// Span writes a range for a sentence: "0.32 to 0.72".
func Span(low, high float64, decimals int) string {
	return Num(low, decimals) + " to " + Num(high, decimals)
}

// SignedSpan writes a range of changes that may go either way: "−0.19 to +0.03".
func SignedSpan(low, high float64, decimals int) string {
	if low >= 0 {
		return Span(low, high, decimals)
	}
	return Signed(low, decimals) + " to " + Signed(high, decimals)
}

// Mass writes a mass to three figures or so.
func Mass(t float64) string {
	switch a := math.Abs(t); {
	case a >= 100:
		return Num(t, 0)
	case a >= 1:
		return Num(t, 1)
	}
	return Num(t, 2)
}
