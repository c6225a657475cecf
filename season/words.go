package season

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"underfoot/balance"
	"underfoot/findings"
)

// number prints a value with so many decimals, thousands parted by commas, minus as U+2212 and no minus zero.
func number(x float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	whole, rest, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if rest != "" {
		whole += "." + rest
	}
	if x < 0 && strings.Trim(s, "0.") != "" {
		return "−" + whole
	}
	return whole
}

// about prints the middle of an estimate with its interval: "5.4 mm (4.5 to 6.5 mm)".
func about(e balance.Estimate, decimals int, what string) string {
	return fmt.Sprintf("%s %s (%s to %s %s)", number(e.Q50, decimals), what, number(e.Q05, decimals), number(e.Q95, decimals), what)
}

// tonnes prints tonnes whole from ten upwards.
func tonnes(e balance.Estimate) string {
	if e.Q95 < 10 {
		return about(e, 1, "t")
	}
	return about(e, 0, "t")
}

// chance prints a chance as a natural frequency.
func chance(p float64) string {
	words, _ := findings.Chance(p)
	return words
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
