package web

import (
	"context"
	"errors"
	"sync"
	"time"

	"underfoot/internal/app"
)

// sought is a season plan that was looked for, and what becomes of it otherwise than planned.
type sought struct {
	st   *standing
	key  string
	once sync.Once
	plan *app.SeasonPlan
	what *app.WhatIf
	took time.Duration
	err  error
}

// seasons keeps the plans looked for last, so that changing an entry does not look for them again.
type seasons struct {
	mu   sync.Mutex
	list []*sought // newest last
}

const (
	seasonsKept   = 6
	longestSearch = 30 * time.Second
)

// find looks for a plan, or returns it when it was looked for before in the same records.
func (s *seasons) find(ctx context.Context, st *standing, m *app.Model, key string, ask app.SeasonAsk) *sought {
	x, before := s.place(st, key)
	x.once.Do(func() {
		if before != nil && x.again(before, m) {
			return
		}
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), longestSearch) // one who leaves does not cut it short for the next
		defer cancel()
		begin := time.Now()
		if x.plan, x.err = m.Season(ctx, ask); x.err == nil {
			x.took = time.Since(begin)
			x.what, x.err = x.plan.WhatIfs()
		}
	})
	return x
}

// again takes the plan over from one looked for in other records of the course, when they would make no difference.
func (x *sought) again(before *sought, m *app.Model) bool {
	before.once.Do(func() { before.err = errNotSought }) // waits when it is being looked for just now
	if before.err != nil {
		return false
	}
	plan, same := before.plan.For(m)
	if same {
		x.plan, x.what, x.took = plan, before.what, before.took
	}
	return same
}

var errNotSought = errors.New("nobody looked for it yet")

// place finds the plan's place in the list, and the last one for the same question in other records of the course.
func (s *seasons) place(st *standing, key string) (at, before *sought) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for i, x := range s.list {
		if x.key != key || x.st.Records.Course.ID != st.Records.Course.ID {
			continue
		}
		if x.st == st {
			s.list = append(append(s.list[:i:i], s.list[i+1:]...), x)
			return x, nil
		}
		before = x
	}
	x := &sought{st: st, key: key}
	s.list = append(s.list, x)
	if len(s.list) > seasonsKept {
		s.list = s.list[1:]
	}
	return x, before
}
