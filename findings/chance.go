package findings

import (
	"fmt"
	"math"
)

// Chance gives a probability as a natural frequency in words and as dots of ten, counted in half
// dots (0 to 20). The words never say more than the dots.
//
//	0.83 → "8 in 10", 17 half dots    0.97 → "19 in 20 or better", 19    0.02 → "less than 1 in 20", 0
func Chance(p float64) (words string, halfDots int) {
	if math.IsNaN(p) {
		return "unknown", 0
	}
	p = min(1, max(0, p))
	halfDots = int(math.Floor(p*20 + 0.5))
	switch {
	case p >= 0.95:
		return "19 in 20 or better", halfDots
	case p < 0.05:
		return "less than 1 in 20", halfDots
	case halfDots == 1:
		return "1 in 20", halfDots
	}
	return fmt.Sprintf("%d in 10", halfDots/2), halfDots
}
