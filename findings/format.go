package findings

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// minus is the sign of a negative number on a page (U+2212).
const minus = "−"

// number prints a value with the given number of decimals and a true minus; never "−0.0".
func number(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if v < 0 && strings.Trim(s, "0.") != "" {
		return minus + s
	}
	return s
}

// signed is number with a plus in front of what is above zero.
func signed(v float64, decimals int) string {
	s := number(v, decimals)
	if v > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

// span prints an interval, "0.32 to 0.72"; where it holds zero both ends carry their sign.
func span(low, high float64, decimals int) string {
	if low < 0 && high > 0 {
		return signed(low, decimals) + " to " + signed(high, decimals)
	}
	return number(low, decimals) + " to " + number(high, decimals)
}

// bare prints a limit as it was given: 95, 10.5.
func bare(v float64) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', -1, 64)
	if v < 0 {
		return minus + s
	}
	return s
}

// count prints a number of things with its noun: "1 round", "3 rounds".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// day prints a date as people say it: "7 Nov 2025".
func day(t time.Time) string { return t.Format("2 Jan 2006") }
