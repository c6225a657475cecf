package app

import (
	"context"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"underfoot"
)

// background works out what takes long while pages are answered: one course at a time, on one core, first what somebody
// waits for. It is there only between Begin and its end.
type background struct {
	mu    sync.Mutex
	on    bool
	wake  chan struct{}
	first []job // somebody waits for it
	queue []job
	known map[string]bool // courses in either
	hand  string          // the course whose model is at hand, empty for none

	answering atomic.Int32 // requests being answered

	keeping chan underfoot.Kept // takes what is to be written to the store
	end     <-chan struct{}
}

// job is one course. With settle its profile model is asked as well.
type job struct {
	course string
	settle bool
	done   chan struct{} // closed when it is worked out
}

// rest is how long the background pauses after a course, so that a page that came meanwhile goes first; while pages are being
// answered it does so again, up to so many times.
const (
	rest  = 2 * time.Millisecond
	rests = 25
)

// Answering lets the background stand back until done is called, though not for long.
func (a *App) Answering() (done func()) {
	a.background.answering.Add(1)
	return func() { a.background.answering.Add(-1) }
}

// standsBack says whether the background is to rest once more: a page is being answered, and none waits for the background.
func (b *background) standsBack() bool {
	if b.answering.Load() == 0 {
		return false
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	return len(b.first) == 0
}

// Begin starts working out in the background what pages need and takes long, until the context ends: summaries of courses that
// are missing or out of date, the profile model of a course that is looked at, the index of the search. It returns what
// waits until nothing is being written to the store any more.
func (a *App) Begin(ctx context.Context, log *slog.Logger) (wait func()) {
	b := &a.background
	b.mu.Lock()
	b.on, b.wake, b.known, b.keeping, b.end = true, make(chan struct{}, 1), map[string]bool{}, make(chan underfoot.Kept, 64), ctx.Done()
	b.mu.Unlock()
	var writing sync.WaitGroup
	writing.Go(func() {
		if _, err := a.Store.Index(ctx); err != nil && ctx.Err() == nil {
			log.Warn("the index of the search is not up to date", "error", err)
		}
	})
	writing.Go(func() {
		for {
			select {
			case <-ctx.Done():
				return
			case k := <-b.keeping:
				if err := a.Store.Keep(ctx, b.waiting(k)...); err != nil && ctx.Err() == nil {
					log.Warn("what was worked out is not kept", "error", err)
				}
			}
		}
	})
	go a.work(ctx)
	return func() {
		b.mu.Lock()
		b.on = false
		b.mu.Unlock()
		writing.Wait()
	}
}

// work does one job after the other. A calibration at hand when the context ends is let go of: nothing waits for it, and
// nothing of it is written.
func (a *App) work(ctx context.Context) {
	b := &a.background
	for {
		j, ok := b.next()
		if !ok {
			select {
			case <-ctx.Done():
				return
			case <-b.wake:
			}
			continue
		}
		if ctx.Err() != nil {
			return
		}
		a.do(ctx, j)
		if j.done != nil {
			close(j.done)
		}
		for range rests {
			select {
			case <-ctx.Done():
				return
			case <-time.After(rest):
			}
			if !b.standsBack() {
				break
			}
		}
	}
}

// keep keeps something in the store: at once, or beside the background where that has begun, until it ends. What cannot be kept
// is worked out again another time.
func (a *App) keep(ctx context.Context, k underfoot.Kept) error {
	b := &a.background
	b.mu.Lock()
	begun := b.end != nil
	b.mu.Unlock()
	if !begun {
		return a.Store.Keep(ctx, k)
	}
	select {
	case b.keeping <- k:
	case <-b.end:
	}
	return nil
}

// waiting takes what else waits to be kept, so that it is written in one go.
func (b *background) waiting(first underfoot.Kept) []underfoot.Kept {
	list := []underfoot.Kept{first}
	for len(list) <= cap(b.keeping) {
		select {
		case k := <-b.keeping:
			list = append(list, k)
		default:
			return list
		}
	}
	return list
}

func (a *App) do(ctx context.Context, j job) {
	if j.settle {
		if st, err := a.Standing(ctx, j.course); err == nil {
			st.quiet.Store(true)
			st.Balance()
		}
	}
	if a.summarise(ctx, j.course, j.settle, false) != nil {
		a.keepSummary(ctx, j.course) // one that is not kept is worked out again another time
	}
}

// later leaves a course to the background; nothing where none runs.
func (a *App) later(course string, settle bool) {
	b := &a.background
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.on || b.known[course] {
		return
	}
	b.known[course] = true
	b.queue = append(b.queue, job{course: course, settle: settle})
	b.poke()
}

// Settle sees to it that the balance and the advice of a standing are worked out, before anything else the background has to
// do, and waits for it as long as patience lasts, one below 0 for ever. It says whether they are. Where somebody has waited for that course
// already and it is not done, it takes longer than that, and nobody waits again.
func (a *App) Settle(ctx context.Context, st *Standing, patience time.Duration) bool {
	if st.Settled() {
		return true
	}
	b := &a.background
	b.mu.Lock()
	on := b.on
	if !on || patience < 0 {
		b.mu.Unlock()
		st.Balance()
		return true
	}
	j := job{course: st.Records.Course.ID, settle: true}
	waited := b.hand == j.course
	for _, x := range b.first {
		if x.course == j.course {
			j, waited = x, true
		}
	}
	if j.done == nil {
		j.done = make(chan struct{})
		b.first = append(b.first, j)
		b.poke()
	}
	b.mu.Unlock()
	if waited {
		return st.Settled()
	}
	select {
	case <-j.done:
	case <-ctx.Done():
	case <-time.After(patience):
	}
	return st.Settled()
}

// poke wakes the background. The lock is held.
func (b *background) poke() {
	select {
	case b.wake <- struct{}{}:
	default:
	}
}

// next takes a job.
func (b *background) next() (job, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.hand = ""
	if len(b.first) > 0 {
		j := b.first[0]
		b.first, b.hand = b.first[1:], j.course
		return j, true
	}
	if len(b.queue) == 0 {
		return job{}, false
	}
	j := b.queue[0]
	b.queue = b.queue[1:]
	delete(b.known, j.course)
	if j.settle {
		b.hand = j.course
	}
	return j, true
}
