package mixed

import (
	"math"
	"strconv"
)

// tens are the powers of ten that a float64 holds exactly.
var tens = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// parseNumber reads a decimal number, correctly rounded. Where digits and power of ten are both exact in a float64, one
// division or multiplication rounds correctly (Clinger 1990, "How to read floating point numbers accurately", PLDI '90,
// section 3); the others go to strconv.
func parseNumber(cell []byte) (float64, bool) {
	i, negative := 0, false
	if len(cell) > 0 && (cell[0] == '-' || cell[0] == '+') {
		i, negative = 1, cell[0] == '-'
	}
	var digits uint64
	some, point, after, read := false, false, 0, 0
	for ; i < len(cell); i++ {
		c := cell[i]
		if c == '.' {
			if point {
				return 0, false
			}
			point = true
			continue
		}
		if c < '0' || c > '9' {
			return slowNumber(cell)
		}
		some = true
		if read > 0 || c != '0' {
			if read++; read > 18 {
				return slowNumber(cell)
			}
		}
		digits = digits*10 + uint64(c-'0')
		if point {
			after++
		}
	}
	if !some {
		return 0, false
	}
	if digits > 1<<53 || after >= len(tens) {
		return slowNumber(cell)
	}
	v := float64(digits) / tens[after]
	if negative {
		v = -v
	}
	return v, true
}

// slowNumber reads numbers of many digits, with a power of ten, or infinite.
func slowNumber(cell []byte) (float64, bool) {
	switch string(cell) {
	case "Inf", "+Inf", "inf", "+inf":
		return math.Inf(1), true
	case "-Inf", "-inf":
		return math.Inf(-1), true
	}
	for _, c := range cell {
		switch {
		case c >= '0' && c <= '9' || c == '.' || c == '-' || c == '+' || c == 'e' || c == 'E':
		default:
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(string(cell), 64)
	if err != nil && !math.IsInf(v, 0) { // too large is infinite, as it is in R
		return 0, false
	}
	return v, true
}
