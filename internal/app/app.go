// Package app holds the use cases: one function for each thing a user asks for. It is the only place that joins
// records to science; command line, web pages and report all ask here and therefore agree.
package app

import (
	"context"
	"sync"
	"time"

	"underfoot"
	"underfoot/calibrate"
)

// App answers over a store.
type App struct {
	Store underfoot.Store
	Now   func() time.Time
	Who   string // named in the history where nobody says otherwise

	mu       sync.Mutex
	standing map[string]remembered
	leveled  map[string]leveled // for peers, by course
}

// remembered is a standing computed from a course's records as they were after a change, on a day.
type remembered struct {
	latest int64
	today  underfoot.Date
	value  *Standing
}

// New returns an App over a store.
func New(store underfoot.Store, now func() time.Time, who string) *App {
	return &App{Store: store, Now: now, Who: who, standing: map[string]remembered{}}
}

// Standing returns where a course stands, computing it only when its records or the day have changed.
func (a *App) Standing(ctx context.Context, course string) (*Standing, error) {
	latest, err := a.Store.Latest(ctx, course)
	if err != nil {
		return nil, err
	}
	a.mu.Lock()
	have, ok := a.standing[course]
	a.mu.Unlock()
	if ok && have.latest == latest && have.today == have.value.Records.Course.Today(a.Now()) {
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
	s.prior = func() (calibrate.Prior, error) {
		school, err := schoolOf(context.WithoutCancel(ctx), a.Store)
		if err != nil {
			return calibrate.Prior{}, err
		}
		return school.prior(course, s.speciesOf())
	}
	if ok {
		s.was = have.value.fitted()
	}
	a.mu.Lock()
	a.standing[course] = remembered{latest: latest, today: today, value: s}
	a.mu.Unlock()
	return s, nil
}
