package findings

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"underfoot/mixed"
)

// equations are Henderson's mixed-model equations of a fit, kept so that they can be solved again for other
// variances. The random effects are u = Λ·v with v of unit variance, so that a variance of zero is no obstacle.
//
//	M = [X'R⁻¹X        X'R⁻¹ZΛ      ]    −2 log L = Σ log R_i + log|M| + y'R⁻¹y − b'M⁻¹b + (n − p)·log 2π
//	    [Λ'Z'R⁻¹X   Λ'Z'R⁻¹ZΛ + I  ]    b = [X'R⁻¹y; Λ'Z'R⁻¹y]
//
// Source: Henderson, Biometrics 31:423–447, 1975; the likelihood as in Bates et al., J. Stat. Softw. 67(1), 2015 (both
// from memory).
type equations struct {
	d     *mixed.Design
	keep  []int // columns of the fixed effects that were fitted
	first []int // of each term, where its effects start among the unknowns
	size  int
}

func newEquations(d *mixed.Design, f *mixed.Fitted) *equations {
	e := &equations{d: d}
	for k, name := range d.Names {
		if slices.Contains(f.Names, name) {
			e.keep = append(e.keep, k)
		}
	}
	e.size = len(e.keep)
	for _, t := range d.Terms {
		e.first = append(e.first, e.size)
		e.size += len(t.Levels) * len(t.Names)
	}
	return e
}

// variances are the free parameters of a fit: the factor of each term's covariance, lower triangle by columns [points],
// and at the end the residual standard deviation [points].
type variances []float64

func variancesOf(d *mixed.Design, f *mixed.Fitted) variances {
	v := append(variances(slices.Clone(f.Theta)), f.Sigma)
	if d.KnownSD == nil { // the factor is relative to the residual
		for i := range f.Theta {
			v[i] *= f.Sigma
		}
	}
	return v
}

func (v variances) sigma() float64 { return v[len(v)-1] }

// solved are the equations at one set of variances.
type solved struct {
	chol      mat.Cholesky
	unknowns  mat.VecDense // β and v
	criterion float64      // −2 log of the restricted likelihood, without its constant
}

func (e *equations) solve(v variances) (*solved, bool) {
	m, b := mat.NewSymDense(e.size, nil), mat.NewVecDense(e.size, nil)
	index, value := make([]int, 0, 16), make([]float64, 0, 16)
	s := &solved{}
	for i, y := range e.d.Y {
		r := v.sigma() * v.sigma() / e.d.Weights[i]
		if e.d.KnownSD != nil {
			r += e.d.KnownSD[i] * e.d.KnownSD[i]
		}
		if !(r > 0) {
			return nil, false
		}
		index, value = e.row(i, v, index[:0], value[:0])
		s.criterion += math.Log(r) + y*y/r
		for a, ia := range index {
			b.SetVec(ia, b.AtVec(ia)+value[a]*y/r)
			for c := a; c < len(index); c++ {
				m.SetSym(ia, index[c], m.At(ia, index[c])+value[a]*value[c]/r)
			}
		}
	}
	for k := len(e.keep); k < e.size; k++ {
		m.SetSym(k, k, m.At(k, k)+1)
	}
	if !s.chol.Factorize(m) || s.chol.SolveVecTo(&s.unknowns, b) != nil {
		return nil, false
	}
	s.criterion += s.chol.LogDet() - mat.Dot(&s.unknowns, b)
	return s, true
}

// row gives the entries of one row of [X ZΛ].
func (e *equations) row(i int, v variances, index []int, value []float64) ([]int, []float64) {
	for k, c := range e.keep {
		index, value = append(index, k), append(value, e.d.Columns[c][i])
	}
	at := 0
	for t, term := range e.d.Terms {
		k := len(term.Names)
		base := e.first[t] + int(term.Level[i])*k
		for c := range k {
			var sum float64
			for r := c; r < k; r++ {
				z := 1.0
				if term.Z[r] != nil {
					z = term.Z[r][i]
				}
				sum += z * v[at]
				at++
			}
			index, value = append(index, base+c), append(value, sum)
		}
	}
	return index, value
}

// combination is a weighted sum of fixed and random effects: Σ fixed·β + Σ random·u.
type combination struct {
	fixed  []float64   // a weight for each column of the design
	random [][]float64 // for each term, a weight for each level and effect, effects of a level together
}

// weights turns a combination into weights on the unknowns β and v.
func (e *equations) weights(c combination, v variances) *mat.VecDense {
	w := mat.NewVecDense(e.size, nil)
	for k, col := range e.keep {
		w.SetVec(k, c.fixed[col])
	}
	start := 0
	for t, term := range e.d.Terms {
		k := len(term.Names)
		for level := range term.Levels {
			at := start
			for col := range k {
				var sum float64
				for r := col; r < k; r++ {
					sum += c.random[t][level*k+r] * v[at]
					at++
				}
				w.SetVec(e.first[t]+level*k+col, sum)
			}
		}
		start += k * (k + 1) / 2
	}
	return w
}

// covariance gives best linear unbiased predictions of combinations, ŵ_a = w_a'M⁻¹b, and the covariances of their
// errors, w_a'M⁻¹w_b, at the given variances.
func (e *equations) covariance(cs []combination, v variances) (values []float64, cov *mat.SymDense, ok bool) {
	s, ok := e.solve(v)
	if !ok {
		return nil, nil, false
	}
	cov = mat.NewSymDense(len(cs), nil)
	var solved []*mat.VecDense
	for a, c := range cs {
		w := e.weights(c, v)
		x := &mat.VecDense{}
		if s.chol.SolveVecTo(x, w) != nil {
			return nil, nil, false
		}
		values, solved = append(values, mat.Dot(w, &s.unknowns)), append(solved, x)
		for b := range a + 1 {
			cov.SetSym(b, a, mat.Dot(solved[b], w))
		}
	}
	return values, cov, true
}

// degrees gives the degrees of freedom behind the variance of a combination's error, by Satterthwaite:
//
//	ν = 2·V²/(g'Ag)    g = ∂V/∂φ    A = 2·(∂²(−2 log L)/∂φ²)⁻¹
//
// φ are the variances that are not zero; derivatives by central differences. For fixed effects it is what the engine
// gives; here the combination may hold random effects too. Ignored: that the weights of the combination move with φ.
// Source: Giesbrecht & Burns, Biometrics 41:477–486, 1985; Kuznetsova et al., J. Stat. Softw. 82(13), 2017 (from memory).
func (e *equations) degrees(c combination, v variances) (df float64, ok bool) {
	var free []int
	var largest float64
	for _, x := range v {
		largest = max(largest, math.Abs(x))
	}
	for i, x := range v {
		if math.Abs(x) > 1e-5*largest {
			free = append(free, i)
		}
	}
	at := func(i int, h float64, j int, k float64) variances {
		w := slices.Clone(v)
		w[free[i]] *= 1 + h
		w[free[j]] *= 1 + k
		return w
	}
	const h = 1e-3 // relative step
	criterion := func(w variances) float64 {
		s, good := e.solve(w)
		if !good {
			ok = false
			return 0
		}
		return s.criterion
	}
	variance := func(w variances) float64 {
		_, cov, good := e.covariance([]combination{c}, w)
		if !good {
			ok = false
			return 0
		}
		return cov.At(0, 0)
	}
	if len(e.d.Terms) == 0 && e.d.KnownSD == nil { // nothing but the residual: exact
		return float64(len(e.d.Y) - len(e.keep)), true
	}
	ok = true
	n := len(free)
	base, v0 := criterion(v), variance(v)
	g, hess := make([]float64, n), mat.NewSymDense(max(n, 1), nil)
	for i := range n {
		up, down := at(i, h, i, 0), at(i, -h, i, 0)
		g[i] = (variance(up) - variance(down)) / (2 * h)
		hess.SetSym(i, i, (criterion(up)-2*base+criterion(down))/(h*h))
		for j := range i {
			d := criterion(at(i, h, j, h)) - criterion(at(i, h, j, -h)) - criterion(at(i, -h, j, h)) + criterion(at(i, -h, j, -h))
			hess.SetSym(i, j, d/(4*h*h))
		}
	}
	var eigen mat.EigenSym
	if !ok || n == 0 || !eigen.Factorize(hess, true) {
		return 0, false
	}
	var axes mat.Dense
	eigen.VectorsTo(&axes)
	var spread float64 // g'Ag over the axes on which the likelihood has a top
	for l, lambda := range eigen.Values(nil) {
		if lambda <= 1e-6 {
			continue
		}
		var along float64
		for i := range n {
			along += g[i] * axes.At(i, l)
		}
		spread += 2 * along * along / lambda
	}
	return 2 * v0 * v0 / spread, spread > 0 && v0 > 0
}
