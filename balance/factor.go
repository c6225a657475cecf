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
	FromGrowth   Origin = "years that grow more or less"
	FromDecay    Origin = "decay that follows the stock"
	FromScatter  Origin = "rounds that scatter more than stated"
	FromModel    Origin = "profile as the rounds let the model know it"
	FromAhead    Origin = "years to come as the model foresees them"
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

// ones are multipliers that change nothing.
func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}
