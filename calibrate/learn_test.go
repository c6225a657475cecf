package calibrate

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// With the scatter given, mean and courses are jointly normal: what common says must be what one large system of all of them says.
func TestCommonMeanIsThatOfTheJointNormal(t *testing.T) {
	n := int(profile.Unknowns)
	var courses []Evidence
	for seed := range uint64(3) {
		courses = append(courses, simulate(t, plan{greens: 2 + int(seed), years: 2 + int(seed), seed: 40 + seed, truth: drawPrior}).fit(t).Evidence)
	}
	base := Usual()
	scatter := make([]float64, n)
	precision := mat.NewSymDense(n, nil)
	for i := range n {
		scatter[i] = (0.2 + 0.05*float64(i)) * base.Cov.At(i, i)
		precision.SetSym(i, i, 1/(0.4*base.Cov.At(i, i)))
	}
	mean, cov, squares, err := common(base.Mean[:], precision, scatter, courses)
	if err != nil {
		t.Fatal(err)
	}
	k := len(courses)
	a, b := mat.NewSymDense(n*(k+1), nil), mat.NewVecDense(n*(k+1), nil)
	for i := range n {
		a.SetSym(i, i, precision.At(i, i)+float64(k)/scatter[i])
		b.SetVec(i, precision.At(i, i)*base.Mean[i])
		for c := range k {
			at := n * (c + 1)
			a.SetSym(i, at+i, -1/scatter[i])
			for j := i; j < n; j++ {
				a.SetSym(at+i, at+j, courses[c].Information.At(i, j))
			}
			a.SetSym(at+i, at+i, courses[c].Information.At(i, i)+1/scatter[i])
			b.SetVec(at+i, courses[c].Linear[i])
		}
	}
	var all mat.Dense
	if err := all.Inverse(a); err != nil {
		t.Log(err)
	}
	var x mat.VecDense
	x.MulVec(&all, b)
	for i := range n {
		sd := math.Sqrt(all.At(i, i))
		if math.Abs(mean[i]-x.AtVec(i)) > 1e-6*sd {
			t.Errorf("%s: mean %.8f, of the joint normal %.8f", profile.Table[i].Name, mean[i], x.AtVec(i))
		}
		var want float64
		for c := range k {
			at := n*(c+1) + i
			off := x.AtVec(at) - x.AtVec(i)
			want += off*off + all.At(at, at) + all.At(i, i) - 2*all.At(at, i)
		}
		if !near(squares[i], want, 1e-6) || !near(cov.At(i, i), all.At(i, i), 1e-6) {
			t.Errorf("%s: squares %.8f and variance %.8f, of the joint normal %.8f and %.8f", profile.Table[i].Name, squares[i], cov.At(i, i), want, all.At(i, i))
		}
	}
}

// One course says little of the next, forty alike much, and none anything of what its rounds leave open.
func TestHowMuchCoursesTeach(t *testing.T) {
	base := Usual()
	with := func(n int) Prior {
		f := simulate(t, plan{greens: 5, years: 6, seed: 41, truth: drawPrior}).fit(t)
		var taught []Evidence
		for range n {
			taught = append(taught, f.Evidence)
		}
		p, err := Learn(base, taught)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	f := simulate(t, plan{greens: 5, years: 6, seed: 41, truth: drawPrior}).fit(t)
	one, forty := with(1), with(40)
	for i := range int(profile.Unknowns) {
		before, after := base.Cov.At(i, i), f.Cov.At(i, i)
		far, moved := f.Mode[i]-base.Mean[i], one.Mean[i]-base.Mean[i]
		if math.Abs(moved) > 0.35*math.Abs(far)+0.01 || one.Cov.At(i, i) < 0.8*before {
			t.Errorf("%s: one course that lies %.2f off moves the prior by %.2f and leaves %.2f of its variance", profile.Table[i].Name, far, moved, one.Cov.At(i, i)/before)
		}
		switch left := forty.Cov.At(i, i) / before; {
		case after > 0.999*before && left < 0.99:
			t.Errorf("%s: no round says anything of it, and forty courses leave %.2f of its variance", profile.Table[i].Name, left)
		case after < 0.2*before && left > 0.3:
			t.Errorf("%s: decided by each of forty courses alike, which leave %.2f of its variance", profile.Table[i].Name, left)
		}
	}
	if none, err := Learn(base, nil); err != nil || none.Courses != 0 || none.Source != base.Source || one.Source != "the rounds of 1 other course" || forty.Source != "the rounds of 40 other courses" || forty.Courses != 40 {
		t.Errorf("sources %q, %q and %q, error %v", none.Source, one.Source, forty.Source, err)
	}
}

// Courses whose rounds say nothing leave the prior as it was.
func TestCoursesThatSayNothingTeachNothing(t *testing.T) {
	n := int(profile.Unknowns)
	empty := Evidence{Information: mat.NewSymDense(n, nil), Linear: make([]float64, n)}
	base := Usual()
	p, err := Learn(base, []Evidence{empty, empty, empty})
	if err != nil {
		t.Fatal(err)
	}
	for i := range n {
		if math.Abs(p.Mean[i]-base.Mean[i]) > 1e-9 || !near(p.Cov.At(i, i), base.Cov.At(i, i), 1e-9) {
			t.Errorf("%s: %.6f ± %.6f became %.6f ± %.6f", profile.Table[i].Name, base.Mean[i], math.Sqrt(base.Cov.At(i, i)), p.Mean[i], math.Sqrt(p.Cov.At(i, i)))
		}
	}
}
