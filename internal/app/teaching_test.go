package app

import (
	"testing"
	"time"

	"gonum.org/v1/gonum/mat"

	"underfoot"
	"underfoot/balance"
	"underfoot/calibrate"
	"underfoot/profile"
)

// What is said of a course by its model is noticed to be out of date when another course that taught it is calibrated anew: in
// memory, in the list, and in the summary that is kept.
func TestNoticedWhenTeachersMove(t *testing.T) {
	now := func() time.Time { return time.Date(2026, time.November, 26, 9, 0, 0, 0, time.UTC) }
	st := exampleStore(t, now)
	a := New(st, now, "a tester")
	if _, err := a.Import(t.Context(), "../../examples/second", "a tester", Reading{}); err != nil {
		t.Fatal(err)
	}
	const course, other = "varrowmere", "ostrelby"
	listed := func(a *App, patience time.Duration) Listed {
		t.Helper()
		list, err := a.Summaries(t.Context(), patience)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range list {
			if l.Course.ID == course {
				return l
			}
		}
		t.Fatal("the course is not listed")
		return Listed{}
	}
	standing := func() *Standing {
		t.Helper()
		s, err := a.Standing(t.Context(), course)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	// what the other course's rounds say of growth, so many standard deviations of the prior from its middle
	teach := func(growth float64, latest int64) {
		t.Helper()
		const n = int(profile.Unknowns)
		usual := calibrate.Usual()
		e := calibrate.Evidence{Information: mat.NewSymDense(n, nil), Linear: make([]float64, n)}
		weight := 400 / usual.Cov.At(0, 0)
		e.Information.SetSym(0, 0, weight)
		e.Linear[0] = weight * (usual.Mean[0] + growth*usual.Cov.At(0, 0))
		data, err := pack(standing().speciesOf(), e)
		if err != nil {
			t.Fatal(err)
		}
		if err := st.Keep(t.Context(), underfoot.Kept{Course: other, Kind: evidenceKind, Latest: latest, Data: data}); err != nil {
			t.Fatal(err)
		}
	}

	before := listed(a, -1)
	if !before.Fresh || before.Summary.Taught != "" || before.Summary.Need.Basis != balance.ByModel {
		t.Fatalf("before anybody teaches: fresh %v, taught %q, by the %s", before.Fresh, before.Summary.Taught, before.Summary.Need.Basis)
	}
	alone := standing()
	if again := standing(); again != alone {
		t.Error("the standing is worked out again although nothing moved")
	}

	teach(2, 1)
	after := listed(a, -1)
	if !after.Fresh || after.Summary.Taught == "" || *after.Summary.Need == *before.Summary.Need {
		t.Errorf("after another course taught: fresh %v, taught %q, need %+v, before %+v", after.Fresh, after.Summary.Taught, after.Summary.Need, before.Summary.Need)
	}
	taught := standing()
	if taught == alone {
		t.Fatal("the standing in memory is that of before")
	}
	if m, err := taught.Model(); err != nil || m.Fit.Prior.Courses != 1 {
		t.Errorf("the model starts from %d courses, %v", m.Fit.Prior.Courses, err)
	}

	if err := a.keepSummary(t.Context(), course); err != nil {
		t.Fatal(err)
	}
	if l := listed(New(st, now, "a tester"), 0); !l.Fresh {
		t.Error("the summary that is kept is out of date although nothing moved")
	}
	teach(-2, 2)
	if l := listed(New(st, now, "a tester"), 0); l.Fresh || l.Summary.Taught != after.Summary.Taught {
		t.Error("the summary that is kept does not notice that its teacher was calibrated anew")
	}
	if l := listed(a, -1); !l.Fresh || l.Summary.Taught == after.Summary.Taught || *l.Summary.Need == *after.Summary.Need {
		t.Errorf("after it was calibrated anew: fresh %v, need %+v, before %+v", l.Fresh, l.Summary.Need, after.Summary.Need)
	}
}
