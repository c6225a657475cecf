package calibrate

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// Learn gives the prior for the next course of a kind from what the rounds of others said: the courses' unknowns are taken to
// scatter normally about a common mean, each on its own scale, and mean and scatter are estimated with base as what
// is known before any course: part of its variance is scatter between courses, worth a few courses, the rest is how well their mean is
// known, so that a course before any other has just base. Courses: one [Evidence] each.
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
		within = 0.7 // of the base's variance is taken for scatter between courses, before any is known; working default
	)
	n := int(profile.Unknowns)
	var hyper mat.Cholesky
	known := mat.NewSymDense(n, nil)
	known.ScaleSym(1-within, base.Cov)
	if !hyper.Factorize(known) {
		return base, errors.New("learning from courses: the base's covariance is not positive definite")
	}
	var hyperPrecision mat.SymDense
	if err := hyper.InverseTo(&hyperPrecision); err != nil {
		return base, fmt.Errorf("learning from courses: %w", err)
	}
	scatter := make([]float64, n) // variances
	for j := range n {
		scatter[j] = within * base.Cov.At(j, j)
	}
	var mean []float64
	var meanCov *mat.SymDense
	k := float64(len(courses))
	for range rounds {
		var squares []float64
		var err error
		if mean, meanCov, squares, err = common(base.Mean[:], &hyperPrecision, scatter, courses); err != nil {
			return base, err
		}
		for j := range n {
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
	if len(courses) == 1 {
		out.Source = "the rounds of 1 other course"
	}
	return out, nil
}

// common gives the courses' common mean and how well it is known when they scatter about it with these variances, and the expected
// sum of squares of the courses about it by unknown. With C = (I_c + S⁻¹)⁻¹ for the information I_c of a course and the scatter S,
// what a course says of the mean is S⁻¹ − S⁻¹·C·S⁻¹: nothing of an unknown its rounds say nothing of.
func common(before []float64, precision *mat.SymDense, scatter []float64, courses []Evidence) (mean []float64, cov *mat.SymDense, squares []float64, err error) {
	n := len(before)
	a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	a.CopySym(precision)
	b.MulVec(precision, mat.NewVecDense(n, before))
	alone, nought := make([]*mat.SymDense, len(courses)), make([]float64, n)
	own := make([][]float64, len(courses)) // C·l: the course were its mean 0
	for c, e := range courses {
		if own[c], alone[c], err = e.given(nought, scatter); err != nil {
			return nil, nil, nil, err
		}
		for i := range n {
			b.SetVec(i, b.AtVec(i)+own[c][i]/scatter[i])
			a.SetSym(i, i, a.At(i, i)+1/scatter[i])
			for j := i; j < n; j++ {
				a.SetSym(i, j, a.At(i, j)-alone[c].At(i, j)/(scatter[i]*scatter[j]))
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return nil, nil, nil, errors.New("learning from courses: the mean is not determined")
	}
	m, cov := mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
	if err = errors.Join(chol.SolveVecTo(m, b), chol.InverseTo(cov)); err != nil {
		return nil, nil, nil, fmt.Errorf("learning from courses: %w", err)
	}
	mean, squares = m.RawVector().Data, make([]float64, n)
	back := mat.NewDense(n, n, nil) // I − C·S⁻¹: what the course leaves of the mean in its distance from it
	var part mat.Dense
	for c := range courses {
		for i := range n {
			for j := range n {
				back.Set(i, j, -alone[c].At(i, j)/scatter[j])
			}
			back.Set(i, i, 1+back.At(i, i))
		}
		part.Mul(back, cov)
		for i := range n {
			off := own[c][i] - mat.Dot(back.RowView(i), m)
			squares[i] += off*off + alone[c].At(i, i) + mat.Dot(part.RowView(i), back.RowView(i))
		}
	}
	return mean, cov, squares, nil
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
