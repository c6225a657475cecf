package app

import (
	"context"
	"fmt"
	"sync"

	"underfoot"
)

// Batch calibrates every course of a store and foretells it.
type Batch struct {
	Dates   func(lastRound underfoot.Date) []underfoot.Date // to foretell; nil for none
	Done    func(course, from string) bool                  // whether the course's forecast is there, made from the same; nil for never
	Put     func(course, from string, rows []ForecastRow) error
	Workers int // 0 for 2
	OnDone  func(Calibrated)
}

// Calibrated is what became of one course.
type Calibrated struct {
	Course  string
	Pass    string // "learnt" or "foretold"
	Skipped bool   // it was up to date
	Err     error  // why it could not be
	Done    int    // courses of the pass so far
	Of      int
}

// Calibrate goes over every course of the store twice: first each says what its own rounds tell, which is kept for the
// others of its species to start from, then each is calibrated from what the others taught and foretold. What is up to
// date – made from the same records, by the same model, with the same courses as teachers – is left alone, so a batch that was stopped goes on where it was. A course that cannot be calibrated says
// why and does not hold up the rest. No more than one course a worker is in memory.
func (a *App) Calibrate(ctx context.Context, b Batch) error {
	courses, err := a.Store.Courses(ctx)
	if err != nil {
		return err
	}
	fresh, err := a.taughtAt(ctx)
	if err != nil {
		return err
	}
	err = b.each(ctx, "learnt", courses, func(id string) (bool, error) {
		latest, err := a.Store.Latest(ctx, id)
		if err != nil {
			return false, err
		}
		if at, ok := fresh[id]; ok && at == latest {
			return true, nil
		}
		s, err := a.standOf(ctx, id)
		if err != nil {
			return false, err
		}
		e, err := s.evidence()
		if err != nil {
			return false, err
		}
		data, err := pack(s.speciesOf(), e)
		if err != nil {
			return false, err
		}
		return false, a.Store.Keep(ctx, underfoot.Kept{Course: id, Kind: evidenceKind, Latest: latest, Data: data})
	})
	if err != nil || b.Dates == nil {
		return err
	}
	school, err := schoolOf(ctx, a.Store)
	if err != nil {
		return err
	}
	return b.each(ctx, "foretold", courses, func(id string) (bool, error) {
		latest, err := a.Store.Latest(ctx, id)
		if err != nil {
			return false, err
		}
		from := fmt.Sprintf("%s, change %d, teachers %s", evidenceKind, latest, school.roll(id))
		if b.Done != nil && b.Done(id, from) {
			return true, nil
		}
		s, err := a.standOf(ctx, id)
		if err != nil {
			return false, err
		}
		s.attend(school)
		m, err := s.CalibratedBy(Calibration{alone: true})
		if err != nil {
			return false, err
		}
		f, err := m.Forecast(b.Dates(underfoot.Date(m.Fit.Course.Last())))
		if err != nil {
			return false, err
		}
		return false, b.Put(id, from, m.ForecastRows(f))
	})
}

// taughtAt gives the change each course's evidence was taken after.
func (a *App) taughtAt(ctx context.Context) (map[string]int64, error) {
	kept, err := a.Store.Kept(ctx, evidenceKind)
	at := map[string]int64{}
	for _, k := range kept {
		at[k.Course] = k.Latest
	}
	return at, err
}

// standOf reads a course and works out so much of its standing as the model takes.
func (a *App) standOf(ctx context.Context, course string) (*Standing, error) {
	rs, err := a.Store.Records(ctx, course)
	if err != nil {
		return nil, err
	}
	return standForModel(rs, rs.Course.Today(a.Now())), nil
}

// each does a pass over the courses side by side.
func (b *Batch) each(ctx context.Context, pass string, courses []underfoot.Course, do func(id string) (skipped bool, err error)) error {
	workers := b.Workers
	if workers < 1 {
		workers = 2
	}
	next := make(chan string)
	var mu sync.Mutex
	var wg sync.WaitGroup
	done := 0
	for range workers {
		wg.Go(func() {
			for id := range next {
				skipped, err := do(id)
				if ctx.Err() != nil {
					continue
				}
				mu.Lock()
				done++
				if b.OnDone != nil {
					b.OnDone(Calibrated{Course: id, Pass: pass, Skipped: skipped, Err: err, Done: done, Of: len(courses)})
				}
				mu.Unlock()
			}
		})
	}
	for _, c := range courses {
		select {
		case next <- c.ID:
		case <-ctx.Done():
		}
	}
	close(next)
	wg.Wait()
	return ctx.Err()
}
