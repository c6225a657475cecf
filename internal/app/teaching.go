package app

import (
	"context"
	"hash/fnv"
	"sync"

	"underfoot"
	"underfoot/balance"
)

// teaching is the school of the store, read again where other courses were calibrated, or courses came or went.
type teaching struct {
	mu      sync.Mutex
	stamp   int64  // of the evidence that is kept
	courses uint64 // a hash of the courses there are
	school  *school
}

// schoolNow gives what the calibrated courses of the store teach now.
func (a *App) schoolNow(ctx context.Context) (*school, error) {
	stamp, err := a.Store.KeptStamp(ctx, evidenceKind)
	if err != nil {
		return nil, err
	}
	var courses uint64
	if stamp != 0 {
		roll, err := a.rollOf(ctx)
		if err != nil {
			return nil, err
		}
		courses = rollHash(roll.courses)
	}
	t := &a.teaching
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.school != nil && t.stamp == stamp && t.courses == courses {
		return t.school, nil
	}
	school := newSchool()
	if stamp != 0 { // what is read now may be later than the stamp: then it is read once more
		if school, err = schoolOf(ctx, a.Store); err != nil {
			return nil, err
		}
	}
	t.stamp, t.courses, t.school = stamp, courses, school
	return school, nil
}

func rollHash(courses []underfoot.Course) uint64 {
	h := fnv.New64a()
	for i := range courses {
		h.Write([]byte(courses[i].ID + "\x00"))
	}
	return h.Sum64()
}

// taughtBy says whether a summary that the model speaks in was made of what a school teaches.
func (s *Summary) taughtBy(school *school) bool {
	return s.Need == nil || s.Need.Basis != balance.ByModel || s.Taught == school.taught(s.Course, s.Learns)
}
