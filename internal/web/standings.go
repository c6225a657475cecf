package web

import (
	"context"
	"runtime"
	"sync"

	"underfoot"
)

// reckoned is where a course stands, or why that could not be worked out.
type reckoned struct {
	course underfoot.Course
	st     *standing
	err    error
}

// standings works out where every course stands, several at a time, in the order of the list.
func (s *server) standings(ctx context.Context, list []underfoot.Course) []reckoned {
	out := make([]reckoned, len(list))
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(len(list), runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				st, err := s.app.Standing(ctx, list[i].ID)
				out[i] = reckoned{list[i], st, err}
			}
		})
	}
	for i := range list {
		next <- i
	}
	close(next)
	wg.Wait()
	return out
}
