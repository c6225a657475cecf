package outline

// Halton is point i of the Halton sequence in the unit square, i ≥ 0: the radical inverses of i in base 2 and 3.
// Source: Robertson, Brown, McDonald & Jaksons, BAS: Balanced Acceptance Sampling of Natural Resources, Biometrics 69
// (2013) 776–784, section 2.
func Halton(i uint64) (x, y float64) { return inverse(i, 2), inverse(i, 3) }

// inverse mirrors the digits of i at the point: the radical inverse φ_b(i) = Σ d_k·b^(−k−1).
func inverse(i, base uint64) float64 {
	var v float64
	for share := 1 / float64(base); i > 0; i /= base {
		v += float64(i%base) * share
		share /= float64(base)
	}
	return v
}
