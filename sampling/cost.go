package sampling

import (
	"fmt"
	"math"
)

// Prices say what sampling costs, in any one currency.
type Prices struct {
	Visit         float64 // a round, whatever is sampled: the way there, laying out, writing up
	Green         float64 // a green: walking there, marking, bagging
	Core          float64 // a core
	Determination float64 // a determination in the laboratory, preparation included
}

// Cost is what one round of the design costs,
//
//	visit + greens·(green + determination·determinations) + greens·cores·core
//
// with determinations·cores in place of determinations where cores are burnt singly.
// Source: linear cost function as in Cochran, Sampling Techniques, 3rd ed. 1977, ch. 10, with a fixed part.
func (p Prices) Cost(d Design) (float64, error) {
	if err := first(p.check(), d.check()); err != nil {
		return 0, err
	}
	return p.cost(d), nil
}

func (p Prices) cost(d Design) float64 {
	determinations := float64(d.Determinations)
	if d.Singly {
		determinations *= float64(d.Cores)
	}
	return p.Visit + float64(d.Greens)*(p.Green+p.Determination*determinations+p.Core*float64(d.Cores))
}

func (p Prices) check() error {
	for _, v := range []struct {
		name  string
		value float64
	}{{"visit", p.Visit}, {"green", p.Green}, {"core", p.Core}, {"determination", p.Determination}} {
		if !(v.value >= 0 && v.value <= largest) {
			return fmt.Errorf("prices: %s %g: give a number of 0 or more", v.name, v.value)
		}
	}
	return nil
}

// BestCores is the number of cores a green, not rounded, that gives the mean of a course the least variance for its money,
// or costs the least for its variance:
//
//	k = √(σ_c²/σ_b² · c_green/c_core)
//
// between is the variance of what is paid for once a green (greens, their scatter in time, laboratory) [points², > 0],
// cores the variance between cores [points², ≥ 0]; perGreen [≥ 0] the cost of a green with its determinations, perCore
// [> 0] that of a core.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 10, optimum subsampling.
func BestCores(between, cores, perGreen, perCore float64) (float64, error) {
	const doing = "best number of cores"
	if err := first(positive(doing, "variance between greens", between), positive(doing, "cost of a core", perCore)); err != nil {
		return 0, err
	}
	for _, v := range []struct {
		name  string
		value float64
	}{{"variance between cores", cores}, {"cost of a green", perGreen}} {
		if !(v.value >= 0) || math.IsInf(v.value, 1) {
			return 0, fmt.Errorf("%s: %s %g: give a number of 0 or more", doing, v.name, v.value)
		}
	}
	return math.Sqrt(cores / between * perGreen / perCore), nil
}
