package web

import (
	"context"
	"fmt"
	"net/http"
	"runtime"
	"strconv"
	"sync"

	"underfoot"
	"underfoot/internal/web/page"
)

// reckoned is where a course stands, or why that could not be worked out.
type reckoned struct {
	course underfoot.Course
	st     *standing
	err    error
}

// coursesAtOnce is how many courses a page works out that shows every course in full.
const coursesAtOnce = 20

// someOf takes the courses of the page that is asked for, with links to the pages before and after.
func someOf(r *http.Request, list []underfoot.Course) ([]underfoot.Course, []page.Link) {
	n, _ := strconv.Atoi(r.URL.Query().Get("page"))
	pages := max((len(list)+coursesAtOnce-1)/coursesAtOnce, 1)
	n = min(max(n, 1), pages)
	from := (n - 1) * coursesAtOnce
	var links []page.Link
	if n > 1 {
		links = append(links, page.Link{Href: fmt.Sprintf("%s?page=%d", r.URL.Path, n-1), Text: "The courses before"})
	}
	if n < pages {
		links = append(links, page.Link{Href: fmt.Sprintf("%s?page=%d", r.URL.Path, n+1), Text: "The next courses"})
	}
	return list[from:min(from+coursesAtOnce, len(list))], links
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
