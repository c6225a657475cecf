package app

import (
	"context"
	"encoding/json"
	"runtime"
	"sync"
	"time"

	"underfoot"
)

// FewCourses is up to how many courses the profile model behind the balance is worked out for a list of them; with more of
// them it is worked out when a course is opened, and until then the list goes by the rounds alone.
const FewCourses = 12

// summaryKind is what a summary is kept under; the program that made it stands in it.
const summaryKind = "summary"

// summaries are those that are in memory: what is kept, read once, and what was worked out since.
type summaries struct {
	mu   sync.Mutex
	read bool
	by   map[string]*Summary

	roll sync.Mutex
	rolled
}

// rolled are the courses there are, the last change of each and the last changes of all, as after a change of the store.
type rolled struct {
	at      int64 // 0 when nothing was read
	courses []underfoot.Course
	latest  map[string]int64
	changes []underfoot.Change
}

// Lately gives the last few changes of all courses, newest first.
func (a *App) Lately(ctx context.Context) ([]underfoot.Change, error) {
	roll, err := a.rollOf(ctx)
	return roll.changes, err
}

// lately is how many changes Lately gives.
const lately = 6

// rollOf reads the courses where anything changed since they were read.
func (a *App) rollOf(ctx context.Context) (rolled, error) {
	at, err := a.Store.Latest(ctx, "")
	if err != nil {
		return rolled{}, err
	}
	l := &a.lists
	l.roll.Lock()
	defer l.roll.Unlock()
	if l.rolled.at >= at && at > 0 {
		return l.rolled, nil
	}
	next := rolled{at: at} // what is read now may be later than that: then it is read once more
	if next.courses, err = a.Store.Courses(ctx); err != nil {
		return rolled{}, err
	}
	if next.latest, err = a.Store.Latests(ctx); err != nil {
		return rolled{}, err
	}
	if next.changes, err = a.Store.Changes(ctx, "", lately); err != nil {
		return rolled{}, err
	}
	l.rolled = next
	return next, nil
}

// Listed is one course of the list of all.
type Listed struct {
	Course  underfoot.Course
	Summary *Summary // nil while none was worked out
	Fresh   bool     // it tells of the records as they are now; where not, it stands as of Summary.Day
}

// Summaries gives all courses by key with their summaries. What is missing or out of date is worked out at once for as long
// as patience lasts, one below 0 for ever; the rest is left to the background, if one runs.
func (a *App) Summaries(ctx context.Context, patience time.Duration) ([]Listed, error) {
	roll, err := a.rollOf(ctx)
	if err != nil {
		return nil, err
	}
	courses, latest := roll.courses, roll.latest
	school, err := a.schoolNow(ctx)
	if err != nil {
		return nil, err
	}
	if err := a.readSummaries(ctx); err != nil {
		return nil, err
	}
	few := len(courses) <= FewCourses
	out := make([]Listed, len(courses))
	var stale, unsettled []int
	a.lists.mu.Lock()
	for i, c := range courses {
		have := a.lists.by[c.ID]
		out[i] = Listed{Course: c, Summary: have, Fresh: have.fresh(latest[c.ID], c.Today(a.Now())) && have.taughtBy(school)}
		switch {
		case !out[i].Fresh:
			stale = append(stale, i)
		case !have.Settled && (few || a.settledOf(c.ID, have.Latest)):
			unsettled = append(unsettled, i)
		}
	}
	a.lists.mu.Unlock()
	if patience < 0 || len(stale) <= FewCourses { // where many are missing a page would only get in the background's way
		a.workOut(ctx, out, append(stale, unsettled...), few, patience)
	}
	for _, i := range stale {
		if !out[i].Fresh {
			a.later(out[i].Course.ID, few)
		}
	}
	if few {
		for i := range out {
			if out[i].Fresh && !out[i].Summary.Settled {
				a.later(out[i].Course.ID, true)
			}
		}
	}
	return out, nil
}

// workOut works summaries out, several at a time, until patience ends.
func (a *App) workOut(ctx context.Context, out []Listed, which []int, few bool, patience time.Duration) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(len(which), runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				if s := a.summarise(ctx, out[i].Course.ID, few, few && patience < 0); s != nil {
					out[i].Summary, out[i].Fresh = s, true
				}
			}
		})
	}
	begin := time.Now()
	for _, i := range which {
		if patience >= 0 && time.Since(begin) >= patience {
			break
		}
		next <- i
	}
	close(next)
	wg.Wait()
}

// fresh says whether a summary tells of the records after a change, on a day.
func (s *Summary) fresh(latest int64, today underfoot.Date) bool {
	return s != nil && s.Latest == latest && s.Made == program() && s.Day <= today && (s.Until == 0 || today < s.Until)
}

// settledOf says whether the model behind a course's balance is known although its summary was made without.
func (a *App) settledOf(course string, latest int64) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	have, ok := a.standing[course]
	return ok && have.latest == latest && have.value.said.known.Load()
}

// summarise works the summary of a course out and takes it in; nil when the caller has gone. With remember the standing behind
// it stays in memory, with settle the model is asked.
func (a *App) summarise(ctx context.Context, course string, remember, settle bool) *Summary {
	latest, err := a.Store.Latest(ctx, course)
	var st *Standing
	if err == nil {
		st, err = a.standingFor(ctx, course, latest, remember)
	}
	if ctx.Err() != nil {
		return nil
	}
	s := &Summary{Course: course, Latest: latest, Made: program(), Day: underfoot.DateOf(a.Now().UTC()), Settled: true}
	if err != nil {
		s.Problem = err.Error()
	} else {
		if settle {
			st.Balance()
		}
		s = summaryOf(st, latest)
	}
	a.lists.mu.Lock()
	defer a.lists.mu.Unlock()
	if a.lists.by == nil {
		a.lists.by = map[string]*Summary{}
	}
	if err == nil {
		s.turn(a.lists.by[course])
	}
	a.lists.by[course] = s
	return s
}

// standingFor is the course's standing; without remember one that is in memory anyway, or one that goes again.
func (a *App) standingFor(ctx context.Context, course string, latest int64, remember bool) (*Standing, error) {
	if remember || a.settledOf(course, latest) {
		return a.Standing(ctx, course)
	}
	rs, err := a.Store.Records(ctx, course)
	if err != nil {
		return nil, err
	}
	return Stand(rs, rs.Course.Today(a.Now()), Wishes{listed: true})
}

// readSummaries reads what is kept, once.
func (a *App) readSummaries(ctx context.Context) error {
	a.lists.mu.Lock()
	defer a.lists.mu.Unlock()
	if a.lists.read {
		return nil
	}
	kept, err := a.Store.Kept(ctx, summaryKind)
	if err != nil {
		return err
	}
	if a.lists.by == nil {
		a.lists.by = map[string]*Summary{}
	}
	list := make([]*Summary, len(kept))
	var wg sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		wg.Go(func() {
			for i := w; i < len(kept); i += workers {
				var s Summary
				if json.Unmarshal(kept[i].Data, &s) == nil && s.Course == kept[i].Course {
					list[i] = &s
				}
			}
		})
	}
	wg.Wait()
	for _, s := range list {
		if s != nil && a.lists.by[s.Course] == nil {
			a.lists.by[s.Course] = s
		}
	}
	a.lists.read = true
	return nil
}

// keepSummary keeps a course's summary in the store.
func (a *App) keepSummary(ctx context.Context, course string) error {
	a.lists.mu.Lock()
	s := a.lists.by[course]
	a.lists.mu.Unlock()
	if s == nil || s.Problem != "" {
		return nil
	}
	data, err := json.Marshal(s)
	if err != nil {
		return err
	}
	return a.keep(ctx, underfoot.Kept{Course: course, Kind: summaryKind, Latest: s.Latest, Data: data})
}
