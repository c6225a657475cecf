package app

import (
	"context"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"
	"sync"

	"underfoot"
	"underfoot/calibrate"
)

// mostTeachers is how many other courses a prior is learnt from, at most: with so many the mean of courses is known to a
// tenth of the scatter between them.
const mostTeachers = 80

// school is what the calibrated courses of a store teach. It holds no more than [mostTeachers] and one courses of a
// species, however many there are.
type school struct {
	species map[string]string   // of each course that has been calibrated
	lessons map[string][]lesson // by species, in the order of the lot

	mu     sync.Mutex
	priors map[string]func() (calibrate.Prior, error) // by species, for those that are no teachers
	texts  map[string]string                          // of taught, by species and, for teachers, course
}

type lesson struct {
	course   string
	latest   int64 // the change of the course it was taken after
	evidence calibrate.Evidence
}

// newSchool gives a school in which nobody teaches.
func newSchool() *school {
	return &school{species: map[string]string{}, lessons: map[string][]lesson{}, priors: map[string]func() (calibrate.Prior, error){}, texts: map[string]string{}}
}

// schoolOf reads what is kept in a store.
func schoolOf(ctx context.Context, store underfoot.Store) (*school, error) {
	kept, err := store.Kept(ctx, evidenceKind)
	if err != nil {
		return nil, err
	}
	courses, err := store.Courses(ctx)
	if err != nil {
		return nil, err
	}
	there := map[string]bool{} // what is kept outlives a course that is taken out
	for i := range courses {
		there[courses[i].ID] = true
	}
	slices.SortFunc(kept, func(a, b underfoot.Kept) int { return byLot(a.Course, b.Course) })
	s := newSchool()
	for _, k := range kept {
		of, e, ok := unpack(k.Data)
		if !ok || of == "" || !there[k.Course] {
			continue
		}
		s.species[k.Course] = of
		if len(s.lessons[of]) <= mostTeachers {
			s.lessons[of] = append(s.lessons[of], lesson{k.Course, k.Latest, e})
		}
	}
	return s, nil
}

// teachers are the lessons for a course of a species: of the others whose names come first by lot, so that who teaches
// hangs on the names alone and a course more changes it little.
func (s *school) teachers(course, species string) []lesson {
	list := slices.Clone(s.lessons[species])
	list = slices.DeleteFunc(list, func(l lesson) bool { return l.course == course })
	return list[:min(len(list), mostTeachers)]
}

// prior gives the prior of a course of a species. That of a teacher is its own and not kept.
func (s *school) prior(course, species string) (calibrate.Prior, error) {
	work := func() (calibrate.Prior, error) {
		var others []calibrate.Evidence
		for _, l := range s.teachers(course, species) {
			others = append(others, l.evidence)
		}
		return learn(species, others)
	}
	if slices.ContainsFunc(s.lessons[species], func(l lesson) bool { return l.course == course }) {
		return work()
	}
	s.mu.Lock()
	known := s.priors[species]
	if known == nil {
		known = sync.OnceValues(work)
		s.priors[species] = known
	}
	s.mu.Unlock()
	return known()
}

// roll names the teachers of a course that has been calibrated, as a short text that changes when they do.
func (s *school) roll(course string) string {
	h := fnv.New64a()
	for _, l := range s.teachers(course, s.species[course]) {
		h.Write([]byte(l.course + "\x00"))
	}
	return fmt.Sprintf("%016x", h.Sum64())
}

// taught says in a short text what a course of a species is taught: by whom, and after which change of each. It is another one
// when that moves, and empty where nobody teaches.
func (s *school) taught(course, species string) string {
	teaches := slices.ContainsFunc(s.lessons[species], func(l lesson) bool { return l.course == course })
	key := species
	if teaches {
		key += "\x00" + course
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	text, known := s.texts[key]
	if !known {
		h := fnv.New128a()
		teachers := s.teachers(course, species)
		for _, l := range teachers {
			fmt.Fprintf(h, "%s\x00%d\x00", l.course, l.latest)
		}
		if len(teachers) > 0 {
			text = fmt.Sprintf("%x", h.Sum(nil))
		}
		s.texts[key] = text
	}
	return text
}

// byLot orders names by a hash of them: the finishing steps of MurmurHash3 over FNV-1a, for in FNV the last letters
// hardly move the first bits.
func byLot(a, b string) int {
	lot := func(name string) uint64 {
		h := fnv.New64a()
		h.Write([]byte(name))
		x := h.Sum64()
		x = (x ^ x>>33) * 0xff51afd7ed558ccd
		x = (x ^ x>>33) * 0xc4ceb9fe1a85ec53
		return x ^ x>>33
	}
	switch x, y := lot(a), lot(b); {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return strings.Compare(a, b)
}
