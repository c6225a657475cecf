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
}

// fit draws the line by generalised least squares through the origin.
//
//	Â = (tᵀV⁻¹Y)/(tᵀV⁻¹t),  χ² = (Y − Ât)ᵀV⁻¹(Y − Ât)
//
// Y the organic matter formed since the first round, by round [kg/m²], t the years since it, V the covariance
// of Y from the draws. Two intervals that share a round have opposite errors from it; V carries that, so that
// the rounds between first and last are not counted twice. Where the rounds scatter more than V says, the
// uncertainty is widened by √(χ²/(n − 1)), never narrowed. Formation is taken as steady over the span.
// Source: Aitken 1936 (Proceedings of the Royal Society of Edinburgh 55:42-48); Birge 1932 (Physical Review
// 40:207-227) for the widening.
func fit(years, value []float64, draws [][]float64) line {
	n := len(value)
	t, y := mat.NewVecDense(n, years), mat.NewVecDense(n, value)
	v := covariance(value, draws)
	var chol mat.Cholesky
	if !chol.Factorize(v) {
		chol.Factorize(identity(n)) // nothing uncertain: least squares with equal weights
	}
	var vt mat.VecDense
	if err := chol.SolveVecTo(&vt, t); err != nil {
		chol.Factorize(identity(n))
		_ = chol.SolveVecTo(&vt, t)
	}
	norm := mat.Dot(t, &vt)
	l := line{weights: make([]float64, n), scatter: 1}
	for i := range l.weights {
		l.weights[i] = vt.AtVec(i) / norm
	}
	l.slope = l.at(value)
	if n > 1 && mat.Trace(v) > 0 {
		var rest, vr mat.VecDense
		rest.AddScaledVec(y, -l.slope, t)
		if err := chol.SolveVecTo(&vr, &rest); err == nil {
			l.scatter = max(1, math.Sqrt(mat.Dot(&rest, &vr)/float64(n-1)))
		}
	}
	return l
}

func (l line) at(formed []float64) float64 {
	var sum float64
	for i, w := range l.weights {
		sum += w * formed[i]
	}
	return sum
}

func covariance(value []float64, draws [][]float64) *mat.SymDense {
	n := len(value)
	v := mat.NewSymDense(n, nil)
	mean := make([]float64, n)
	count := 0
	for i := range draws {
		count = len(draws[i])
		for _, x := range draws[i] {
			mean[i] += x / float64(count)
		}
	}
	for i := range n {
		for j := i; j < n; j++ {
			var sum float64
			for d := range count {
				sum += (draws[i][d] - mean[i]) * (draws[j][d] - mean[j])
			}
			v.SetSym(i, j, sum/max(1, float64(count-1)))
		}
	}
	ridge := 1e-9 * mat.Trace(v) / float64(n) // keeps the factoring steady; far below any uncertainty
	for i := range n {
		v.SetSym(i, i, v.At(i, i)+ridge)
	}
	return v
}

func identity(n int) *mat.SymDense {
	v := mat.NewSymDense(n, nil)
	for i := range n {
		v.SetSym(i, i, 1)
	}
	return v
}
