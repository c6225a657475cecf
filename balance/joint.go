package balance

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// line is the straight line through the organic matter made since the first round, as it stands at the last.
type line struct {
	weights []float64 // of each round after the first: slope = Σ w·Y
	slope   float64   // kg/m²/a
	scatter float64   // Birge ratio, 1 or more
	growth  float64   // standard uncertainty of the slope from years and seasons that differ [kg/m²/a]
	excess  float64   // and from rounds that scatter more than stated [kg/m²/a]
}

// fit draws the line by generalised least squares through the origin.
//
//	B̂ = (tᵀV⁻¹Y)/(tᵀV⁻¹t),  χ² = (Y − B̂t)ᵀV⁻¹(Y − B̂t),  V = Σ J·Jᵀ + W
//
// Y the organic matter made since the first round, by round [kg/m²], t the years since it, J what one standard
// uncertainty of each input does to Y, W the covariance of what grows more or less (Uncertainty.walk). B is the rate as
// it stands at the last round. Two intervals that share a round have opposite errors from it; V carries that, so that
// the rounds between first and last are not counted twice. What is wrong in every round alike (the reading of what
// sinks out, the decay) stays out of V: it must not choose the weights, and is carried by the draws. Where the rounds
// scatter more than V says, V is widened by χ²/(n − 1), never narrowed.
// Source: Aitken 1936 (Proceedings of the Royal Society of Edinburgh 55:42-48); Birge 1932 (Physical Review
// 40:207-227) for the widening; both from memory.
func fit(years, value []float64, noise *mat.SymDense, u Uncertainty) line {
	n := len(value)
	walk := u.walk(years)
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
	for i, w := range l.weights {
		l.slope += w * value[i]
	}
	w := mat.NewVecDense(n, l.weights)
	l.growth = math.Sqrt(mat.Inner(w, walk, w))
	if n > 1 && !sure {
		var rest mat.VecDense
		rest.AddScaledVec(y, -l.slope, t)
		l.scatter = max(1, math.Sqrt(mat.Dot(&rest, solve(&chol, &rest))/float64(n-1)))
		l.excess = math.Sqrt((l.scatter*l.scatter - 1) / norm)
	}
	return l
}

// walk gives the covariance of the organic matter made since the first round from years and seasons that differ.
//
//	W = g²·tᵢ + d²·(tᵢ·(T·tⱼ − tⱼ²/2) − tᵢ³/6) + h²·(cos 2π(tᵢ − tⱼ) − cos 2πtᵢ − cos 2πtⱼ + 1)    for tᵢ ≤ tⱼ
//
// t the years since the first round, T those to the last; g how far one year differs from another [kg/m²/√a]; d how far
// the rate of a year moves by the next [kg/m²/a/√a], seen from the last round: the earlier, the less it is like now, so
// later rounds count for more; h how far the sum departs from a straight line within a year [kg/m²], so that a round in
// spring counts for less beside rounds in autumn. Source: covariances of the integrals of a random walk seen from its
// end, and of a wave of one year with random phase; derived in docs/model/balance.md.
func (u Uncertainty) walk(years []float64) *mat.SymDense {
	n := len(years)
	end := years[n-1]
	g, d, h := float64(u.Growth), float64(u.Drift), float64(u.Season)
	wave := func(t float64) float64 { return math.Cos(2 * math.Pi * t) }
	v := mat.NewSymDense(n, nil)
	for i, a := range years {
		for j, b := range years[i:] {
			v.SetSym(i, i+j, g*g*a+d*d*(a*(end*b-b*b/2)-a*a*a/6)+h*h*(wave(a-b)-wave(a)-wave(b)+1))
		}
	}
	return v
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

// at gives the organic matter formed less decayed a year as it stands at the last round: the rate at which it is made
// less what then decays of the stock, which is in the last place.
func (l line) at(since []float64) float64 {
	var sum float64
	for i, w := range l.weights {
		sum += w * since[i]
	}
	return sum - since[len(l.weights)]
}

func identity(n int) *mat.SymDense {
	v := mat.NewSymDense(n, nil)
	for i := range n {
		v.SetSym(i, i, 1)
	}
	return v
}
