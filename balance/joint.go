package balance

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// line is the straight line through the organic matter formed since the first round.
type line struct {
	weights []float64 // of each round after the first: slope = Σ w·Y
	slope   float64   // kg/m²/a
	scatter float64   // Birge ratio, 1 or more
	growth  float64   // standard uncertainty of the slope from years that differ [kg/m²/a]
}

// fit draws the line by generalised least squares through the origin.
//
//	Â = (tᵀV⁻¹Y)/(tᵀV⁻¹t),  χ² = (Y − Ât)ᵀV⁻¹(Y − Ât)
//	V = Σ J·Jᵀ + g²·min(tᵢ, tⱼ)
//
// Y the organic matter formed since the first round, by round [kg/m²], t the years since it, J what one standard
// uncertainty of each input does to Y, g how far one year's formation differs from another's [kg/m²/√a]. Two
// intervals that share a round have opposite errors from it; V carries that, so that the rounds between first
// and last are not counted twice. What is wrong in every round alike (the reading of what sinks out) stays out of
// V: it must not choose the weights, and is carried by the draws. Where the rounds scatter more than V says, the
// uncertainty is widened by √(χ²/(n − 1)), never narrowed. Formation is taken as steady but for g.
// Source: Aitken 1936 (Proceedings of the Royal Society of Edinburgh 55:42-48); Birge 1932 (Physical Review
// 40:207-227) for the widening; both from memory.
func fit(years, value []float64, noise *mat.SymDense, growth float64) line {
	n := len(value)
	walk := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			walk.SetSym(i, j, growth*growth*math.Min(years[i], years[j]))
		}
	}
	v := mat.NewSymDense(n, nil)
	v.AddSym(noise, walk)
	var chol mat.Cholesky
	sure := !chol.Factorize(v)
	if sure { // nothing uncertain: least squares with equal weights
		chol.Factorize(identity(n))
	}
	t, y := mat.NewVecDense(n, years), mat.NewVecDense(n, value)
	vt := solve(&chol, t)
	norm := mat.Dot(t, vt)
	l := line{weights: make([]float64, n), scatter: 1}
	for i := range l.weights {
		l.weights[i] = vt.AtVec(i) / norm
	}
	l.slope = l.at(value)
	w := mat.NewVecDense(n, l.weights)
	l.growth = math.Sqrt(mat.Inner(w, walk, w))
	if n > 1 && !sure {
		var rest mat.VecDense
		rest.AddScaledVec(y, -l.slope, t)
		l.scatter = max(1, math.Sqrt(mat.Dot(&rest, solve(&chol, &rest))/float64(n-1)))
	}
	return l
}

// solve gives V⁻¹b. A badly conditioned V still gives its answer; Factorize has refused a singular one.
func solve(chol *mat.Cholesky, b mat.Vector) *mat.VecDense {
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, b); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			panic(err) // shapes differ: a fault of this file
		}
	}
	return &x
}

// at gives the slope of one course of events.
func (l line) at(formed []float64) float64 {
	var sum float64
	for i, w := range l.weights {
		sum += w * formed[i]
	}
	return sum
}

func identity(n int) *mat.SymDense {
	v := mat.NewSymDense(n, nil)
	for i := range n {
		v.SetSym(i, i, 1)
	}
	return v
}
