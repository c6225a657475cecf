package balance

import "math"

// Estimate is a quantity with what the propagated uncertainties make of it.
type Estimate struct {
	Value         float64 // from the inputs as given
	Mean, SD      float64 // of the draws
	Q05, Q50, Q95 float64 // quantiles of the draws; 9 in 10 lie from Q05 to Q95
}

// Times gives the estimate in another unit.
func (e Estimate) Times(k float64) Estimate {
	s := Estimate{Value: e.Value * k, Mean: e.Mean * k, SD: e.SD * math.Abs(k), Q05: e.Q05 * k, Q50: e.Q50 * k, Q95: e.Q95 * k}
	if k < 0 {
		s.Q05, s.Q95 = s.Q95, s.Q05
	}
	return s
}

// summarise turns draws into an estimate; scratch is overwritten and must be as long as draws.
func summarise(value float64, draws, scratch []float64) Estimate {
	e := Estimate{Value: value, Mean: value, Q05: value, Q50: value, Q95: value}
	if len(draws) == 0 {
		return e
	}
	var sum, sq float64
	for _, x := range draws {
		sum += x - value // shifted by the value: no loss of digits
		sq += (x - value) * (x - value)
	}
	n := float64(len(draws))
	e.Mean = value + sum/n
	e.SD = math.Sqrt(max(0, (sq-sum*sum/n)/max(1, n-1)))
	copy(scratch, draws)
	// Taken in this order each selection only has to look at the part left of or right of the one before.
	last := len(scratch) - 1
	mid, low, high := index(0.5, last), index(0.05, last), index(0.95, last)
	e.Q50 = selectAt(scratch, 0, last, mid)
	e.Q05 = selectAt(scratch, 0, mid, low)
	e.Q95 = selectAt(scratch, mid, last, high)
	return e
}

func index(p float64, last int) int { return int(math.Round(p * float64(last))) }

// selectAt puts the k-th smallest of x[lo..hi] in its place and gives it: Hoare 1961 (Communications of the
// ACM 4:321-322), pivot the median of three.
func selectAt(x []float64, lo, hi, k int) float64 {
	for hi > lo {
		pivot := median3(x[lo], x[(lo+hi)/2], x[hi])
		i, j := lo, hi
		for i <= j {
			for x[i] < pivot {
				i++
			}
			for x[j] > pivot {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return x[k]
		}
	}
	return x[k]
}

func median3(a, b, c float64) float64 {
	return max(min(a, b), min(max(a, b), c))
}

// share gives the part of the draws for which ok holds.
func share(draws []float64, ok func(float64) bool) float64 {
	if len(draws) == 0 {
		return 0
	}
	var n int
	for _, x := range draws {
		if ok(x) {
			n++
		}
	}
	return float64(n) / float64(len(draws))
}
