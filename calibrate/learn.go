package calibrate

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// Learn gives the prior for the next course of a kind from what the rounds of others said: the courses' unknowns are taken to
// scatter normally about a common mean, each on its own scale, and mean and scatter are estimated with base as what
// is known before any course (its mean with its own width, its scatter worth a few courses). Courses: one
// [Evidence] each.
//
// The estimate is by expectation and maximisation. The prior that comes out has the mean's own uncertainty in it and is never
// wider than base.
func Learn(base Prior, courses []Evidence) (Prior, error) {
	if len(courses) == 0 {
		return base, nil
	}
	const (
		rounds = 60
		worth  = 4.0 // courses the base's scatter is worth; working default
		within = 0.7 // of the base's variance that is taken for scatter between courses, before any is known; working default
	)
	n := int(profile.Unknowns)
	var hyper mat.Cholesky
	if !hyper.Factorize(base.Cov) {
		return base, errors.New("learning from courses: the base's covariance is not positive definite")
	}
	var hyperPrecision mat.SymDense
	if err := hyper.InverseTo(&hyperPrecision); err != nil {
		return base, fmt.Errorf("learning from courses: %w", err)
	}
	mean := append([]float64(nil), base.Mean[:]...)
	scatter := make([]float64, n) // variances
	for j := range n {
		scatter[j] = within * base.Cov.At(j, j)
	}
	var meanCov mat.SymDense
	k := float64(len(courses))
	for range rounds {
		// expectation: each course's unknowns given mean and scatter
		sums, squares := make([]float64, n), make([]float64, n)
		for _, e := range courses {
			x, cov, err := e.given(mean, scatter)
			if err != nil {
				return base, err
			}
			for j := range n {
				sums[j] += x[j]
				squares[j] += (x[j]-mean[j])*(x[j]-mean[j]) + cov.At(j, j)
			}
		}
		// maximisation
		a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		a.CopySym(&hyperPrecision)
		for i := range n {
			v := sums[i] / scatter[i]
			for j := range n {
				v += hyperPrecision.At(i, j) * base.Mean[j]
			}
			b.SetVec(i, v)
			a.SetSym(i, i, a.At(i, i)+k/scatter[i])
		}
		var chol mat.Cholesky
		if !chol.Factorize(a) {
			return base, errors.New("learning from courses: the mean is not determined")
		}
		var m mat.VecDense
		if err := chol.SolveVecTo(&m, b); err != nil {
			return base, fmt.Errorf("learning from courses: %w", err)
		}
		if err := chol.InverseTo(&meanCov); err != nil {
			return base, fmt.Errorf("learning from courses: %w", err)
		}
		for j := range n {
			mean[j] = m.AtVec(j)
			scatter[j] = (worth*within*base.Cov.At(j, j) + squares[j]) / (worth + k)
		}
	}
	out := base
	copy(out.Mean[:], mean)
	out.Cov = mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := meanCov.At(i, j)
			if i == j {
				v = min(v+scatter[i], base.Cov.At(i, i))
			}
			out.Cov.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(out.Cov) {
		return base, errors.New("learning from courses: the prior learnt is not positive definite")
	}
	out.Courses = len(courses)
	out.Source = fmt.Sprintf("the rounds of %d other courses", len(courses))
	return out, nil
}

// given is the mean and covariance of a course's unknowns under a normal prior of independent unknowns.
func (e Evidence) given(mean, variance []float64) ([]float64, *mat.SymDense, error) {
	n := len(mean)
	a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	a.CopySym(e.Information)
	for j := range n {
		a.SetSym(j, j, a.At(j, j)+1/variance[j])
		b.SetVec(j, e.Linear[j]+mean[j]/variance[j])
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return nil, nil, errors.New("learning from courses: a course's evidence is not positive")
	}
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, b); err != nil {
		return nil, nil, fmt.Errorf("learning from courses: %w", err)
	}
	cov := mat.NewSymDense(n, nil)
	if err := chol.InverseTo(cov); err != nil {
		return nil, nil, fmt.Errorf("learning from courses: %w", err)
	}
	return x.RawVector().Data, cov, nil
}
