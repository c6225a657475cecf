package bench

import (
	"math"
	"strconv"
	"strings"

	"underfoot/unit"
)

// show writes a mass to the step of the balance it was read from, for example "29.10 g".
func (c Crucible) show(m unit.Grams) string {
	decimals := int(math.Ceil(-math.Log10(float64(c.resolution())) - 1e-9))
	return minus(strconv.FormatFloat(float64(m), 'f', min(max(decimals, 0), 6), 64)) + " g"
}

// number writes a number as short as it can be without losing any of it.
func number(v float64) string { return minus(strconv.FormatFloat(v, 'f', -1, 64)) }

// rounded writes a number to three significant digits and never with an exponent.
func rounded(v float64) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return number(v)
	}
	scientific := strconv.FormatFloat(v, 'e', 2, 64) // d.dde±xx
	_, exponent, _ := strings.Cut(scientific, "e")
	power, _ := strconv.Atoi(exponent)              // always a whole number, as FormatFloat writes it
	digits, _ := strconv.ParseFloat(scientific, 64) // likewise
	return minus(strconv.FormatFloat(digits, 'f', max(0, 2-power), 64))
}

// minus sets the true minus sign.
func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// fixed writes a number to a number of decimals.
func fixed(v float64, decimals int) string { return minus(strconv.FormatFloat(v, 'f', decimals, 64)) }
