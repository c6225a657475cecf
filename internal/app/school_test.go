package app

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/mat"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/profile"
)

// schoolStore is a store of which only the courses and what is kept of them can be read.
type schoolStore struct {
	underfoot.Store
	courses []underfoot.Course
	kept    []underfoot.Kept
}

func (s *schoolStore) Courses(context.Context) ([]underfoot.Course, error) { return s.courses, nil }

func (s *schoolStore) Kept(_ context.Context, kind string) ([]underfoot.Kept, error) {
	if kind != evidenceKind {
		return nil, fmt.Errorf("asked for %q", kind)
	}
	return s.kept, nil
}

// add puts a course in whose rounds say that growth lies so many standard deviations of the prior from its middle.
func (s *schoolStore) add(t *testing.T, course, species string, growth float64) {
	t.Helper()
	const n = int(profile.Unknowns)
	usual := calibrate.Usual()
	e := calibrate.Evidence{Information: mat.NewSymDense(n, nil), Linear: make([]float64, n)}
	weight := 25 / usual.Cov.At(0, 0)
	e.Information.SetSym(0, 0, weight)
	e.Linear[0] = weight * (usual.Mean[0] + growth*usual.Cov.At(0, 0))
	data, err := pack(species, e)
	if err != nil {
		t.Fatal(err)
	}
	s.courses = append(s.courses, underfoot.Course{ID: course})
	s.kept = append(s.kept, underfoot.Kept{Course: course, Kind: evidenceKind, Latest: 1, Data: data})
}

func schoolFor(t *testing.T, s *schoolStore) *school {
	t.Helper()
	school, err := schoolOf(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return school
}

func priorFor(t *testing.T, s *school, course, species string) calibrate.Prior {
	t.Helper()
	p, err := s.prior(course, species)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A course learns from the others of its species and from no other: not from itself, not from another species, not from a
// course that has been taken out, not from what another model kept.
func TestWhoTeaches(t *testing.T) {
	s := &schoolStore{}
	for _, id := range []string{"a", "b", "c"} {
		s.add(t, id, "fescue", 1)
	}
	s.add(t, "d", "hybrid bermudagrass", -1)
	s.add(t, "gone", "fescue", -3)
	s.courses = s.courses[:4]
	s.kept = append(s.kept, underfoot.Kept{Course: "d", Kind: evidenceKind, Data: []byte(`{"species": "fescue", "information": [1], "linear": [1]}`)})
	school := schoolFor(t, s)
	for _, c := range []struct {
		course, species string
		want            int
		source          string
	}{
		{"new", "fescue", 3, "what the rounds of 3 other courses of fescue taught"},
		{"a", "fescue", 2, "what the rounds of 2 other courses of fescue taught"},
		{"a", "hybrid bermudagrass", 1, "what the rounds of 1 other course of hybrid bermudagrass taught"},
		{"d", "hybrid bermudagrass", 0, calibrate.Usual().Source},
		{"new", "annual bluegrass", 0, calibrate.Usual().Source},
	} {
		p := priorFor(t, school, c.course, c.species)
		if p.Courses != c.want || p.Source != c.source {
			t.Errorf("%s of %s starts from %q, %d courses; want %q, %d", c.course, c.species, p.Source, p.Courses, c.source, c.want)
		}
	}
	usual, taught := calibrate.Usual(), priorFor(t, school, "new", "fescue")
	if !(taught.Mean[0] > usual.Mean[0] && taught.Cov.At(0, 0) < usual.Cov.At(0, 0)) {
		t.Errorf("growth of %.3f (%.3f) after three courses that lay above %.3f (%.3f)", taught.Mean[0], taught.Cov.At(0, 0), usual.Mean[0], usual.Cov.At(0, 0))
	}
}

// However many courses there are, no more than so many teach, and the order they are read in does not matter.
func TestNoMoreTeachersThanNeeded(t *testing.T) {
	s := &schoolStore{}
	for i := range 3 * mostTeachers {
		s.add(t, fmt.Sprintf("course %03d", i), "fescue", math.Sin(float64(i)))
	}
	school := schoolFor(t, s)
	want := priorFor(t, school, "new", "fescue")
	if want.Courses != mostTeachers {
		t.Errorf("%d teach, want %d", want.Courses, mostTeachers)
	}
	for i, j := 0, len(s.kept)-1; i < j; i, j = i+1, j-1 {
		s.kept[i], s.kept[j] = s.kept[j], s.kept[i]
	}
	again := schoolFor(t, s)
	if got := priorFor(t, again, "new", "fescue"); !cmp.Equal(got.Mean, want.Mean) {
		t.Errorf("the order of reading matters: %v, %v", got.Mean, want.Mean)
	}
	teachers := 0
	for i := range s.courses {
		id := s.courses[i].ID
		p := priorFor(t, again, id, "fescue")
		if p.Courses != mostTeachers {
			t.Errorf("%s has %d teachers", id, p.Courses)
		}
		if again.roll(id) != school.roll(id) {
			t.Errorf("the order of reading changes the teachers of %s", id)
		}
		if !cmp.Equal(p.Mean, want.Mean) {
			teachers++
		}
	}
	if teachers != mostTeachers {
		t.Errorf("%d courses start from another prior than a new one, want the %d that teach it", teachers, mostTeachers)
	}
}

// What is kept of evidence comes back as it was.
func TestEvidenceIsKept(t *testing.T) {
	const n = int(profile.Unknowns)
	e := calibrate.Evidence{Information: mat.NewSymDense(n, nil), Linear: make([]float64, n)}
	for i := range n {
		e.Linear[i] = 1 / float64(i+3)
		for j := i; j < n; j++ {
			e.Information.SetSym(i, j, 1/float64(7*i+j+1))
		}
	}
	data, err := pack("fescue", e)
	if err != nil {
		t.Fatal(err)
	}
	species, got, ok := unpack(data)
	if !ok || species != "fescue" || !cmp.Equal(got.Linear, e.Linear) || !mat.Equal(got.Information, e.Information) {
		t.Errorf("%s: %v, want %v (%v)", species, got, e, ok)
	}
	for _, odd := range []string{"", "{}", "[]", `{"linear": [1]}`} {
		if _, _, ok := unpack([]byte(odd)); ok {
			t.Errorf("%q is taken for evidence", odd)
		}
	}
}
