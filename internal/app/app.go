// Package app holds the use cases: one function for each thing a user asks for. It is the only place that joins
// records to science; command line, web pages and report all ask here and therefore agree.
package app

import (
	"context"
	"sync"
	"time"

	"underfoot"
)

// App answers over a store.
type App struct {
	Store underfoot.Store
	Now   func() time.Time
	Who   string // named in the history where nobody says otherwise

	mu       sync.Mutex
	turn     int // rises with every standing that is asked for
	standing map[string]remembered
	leveled  map[string]leveled // for peers, by course

	lists      summaries
	teaching   teaching
	background background
}

// remembered is a standing computed from a course's records as they were after a change, on a day.
type remembered struct {
	latest int64
	today  underfoot.Date
	value  *Standing
	used   int // the turn it was last asked for
}

// mostModels is how many standings with a calibrated model are remembered: a model holds some 5 MB for 18 greens.
const mostModels = 24

// mostStandings is how many standings are remembered in all.
const mostStandings = 128

// New returns an App over a store.
func New(store underfoot.Store, now func() time.Time, who string) *App {
	return &App{Store: store, Now: now, Who: who, standing: map[string]remembered{}}
}

// Standing returns where a course stands, computing it only when its records, what other courses teach its model, or the day have changed.
func (a *App) Standing(ctx context.Context, course string) (*Standing, error) {
	latest, err := a.Store.Latest(ctx, course)
	if err != nil {
		return nil, err
	}
	school, err := a.schoolNow(ctx)
	if err != nil {
		return nil, err
	}
	a.mu.Lock()
	a.turn++
	have, ok := a.standing[course]
	if ok {
		have.used = a.turn
		a.standing[course] = have
	}
	a.forget()
	a.mu.Unlock()
	if ok && have.latest == latest && have.today == have.value.Records.Course.Today(a.Now()) && have.value.taught == school.taught(course, have.value.speciesOf()) {
		return have.value, nil
	}
	rs, err := a.Store.Records(ctx, course)
	if err != nil {
		return nil, err
	}
	today := rs.Course.Today(a.Now())
	s, err := Stand(rs, today, Wishes{})
	if err != nil {
		return nil, err
	}
	s.attend(school)
	s.shelf = shelfOn(context.WithoutCancel(ctx), a.Store, course, latest, a.keep)
	if ok {
		s.was = have.value.fitted()
	}
	a.mu.Lock()
	a.standing[course] = remembered{latest: latest, today: today, value: s, used: a.turn}
	a.forget()
	a.mu.Unlock()
	return s, nil
}

// forget lets the standings with a model that were not asked for longest go, so that memory does not grow with the
// number of courses looked at. The lock is held.
func (a *App) forget() {
	for {
		models, oldest := 0, ""
		for course, r := range a.standing {
			if r.value.fitted() == nil {
				continue
			}
			models++
			if oldest == "" || r.used < a.standing[oldest].used {
				oldest = course
			}
		}
		if models <= mostModels {
			break
		}
		delete(a.standing, oldest)
	}
	for len(a.standing) > mostStandings {
		oldest := ""
		for course, r := range a.standing {
			if oldest == "" || r.used < a.standing[oldest].used {
				oldest = course
			}
		}
		delete(a.standing, oldest)
	}
}
