package balance

import "math"

// Origin is where an uncertainty comes from; the budget is kept by it.
type Origin string

// The origins of uncertainty in the account.
const (
	FromCores    Origin = "cores and laboratory"
	FromDensity  Origin = "bulk density"
	FromSand     Origin = "record of sand"
	FromArea     Origin = "area opened by tines and blades"
	FromBackfill Origin = "sand placed in holes"
	FromBottom   Origin = "organic matter of what sinks out of the layer"
)

// factor is one uncertain input as a multiplier with mean 1: log-normal, so that no draw turns negative.
type factor struct {
	u      float64 // relative standard uncertainty
	sigma  float64 // of its logarithm: σ² = ln(1 + u²)
	origin Origin
}

func newFactor(u float64, from Origin) factor {
	return factor{u: u, sigma: math.Sqrt(math.Log1p(u * u)), origin: from}
}

// values are the multipliers of one draw and their logarithms.
type values struct{ times, log []float64 }

func ones(n int) values {
	v := values{make([]float64, n), make([]float64, n)}
	for i := range v.times {
		v.times[i] = 1
	}
	return v
}

// set gives factor i one multiplier.
func (v values) set(i int, times float64) { v.times[i], v.log[i] = times, math.Log(times) }
