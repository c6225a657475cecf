package web

import (
	"cmp"
	"context"
	"crypto/rand"
	"encoding/hex"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"underfoot/internal/app"
	"underfoot/internal/exchange"
	"underfoot/internal/web/page"
)

// How long and how much is kept of a package that waits for its confirmation.
const (
	draftLife   = time.Hour
	draftsMost  = 20
	faultsMost  = 200_000 // problems kept for the page; more are counted
	noticesMost = 500
)

// stage is how far a draft is.
type stage int

const (
	reading stage = iota
	ready         // read, waiting for a person
	storing
	stored
)

// draft is a package on its way in. Its files lie in a folder of their own until it is stored or discarded.
type draft struct {
	id     string
	root   string // folder to remove afterwards; empty when the package is the user’s own folder
	folder string // the package
	cancel context.CancelFunc
	ready  chan struct{} // closed when the work at hand ends

	mu       sync.Mutex
	at       time.Time
	stage    stage
	done     int64 // bytes
	total    int64
	problems []exchange.Problem
	count    int
	notices  []exchange.Notice
	taken    *app.Taken
	err      error
}

// drafts are the packages that wait for their confirmation.
type drafts struct {
	now func() time.Time
	mu  sync.Mutex
	by  map[string]*draft
}

func newDrafts(now func() time.Time) *drafts { return &drafts{now: now, by: map[string]*draft{}} }

// add keeps a package that is to be read. Old ones go.
func (ds *drafts) add(root, folder string) *draft {
	var name [16]byte
	rand.Read(name[:])
	d := &draft{id: hex.EncodeToString(name[:]), root: root, folder: folder, at: ds.now(), ready: make(chan struct{})}
	ds.mu.Lock()
	defer ds.mu.Unlock()
	for id, old := range ds.by {
		if ds.now().Sub(old.at) > draftLife && old.idle() {
			ds.removeLocked(id)
		}
	}
	for len(ds.by) >= draftsMost {
		oldest := ""
		for id, old := range ds.by {
			if old.idle() && (oldest == "" || old.at.Before(ds.by[oldest].at)) {
				oldest = id
			}
		}
		if oldest == "" {
			break
		}
		ds.removeLocked(oldest)
	}
	ds.by[d.id] = d
	return d
}

func (ds *drafts) get(id string) *draft {
	ds.mu.Lock()
	defer ds.mu.Unlock()
	return ds.by[id]
}

func (ds *drafts) remove(id string) {
	ds.mu.Lock()
	defer ds.mu.Unlock()
	ds.removeLocked(id)
}

func (ds *drafts) removeLocked(id string) {
	d := ds.by[id]
	if d == nil {
		return
	}
	delete(ds.by, id)
	if d.cancel != nil {
		d.cancel()
	}
	go func() { // the reader may still hold a file open
		<-d.ready
		if d.root != "" {
			os.RemoveAll(d.root)
		}
	}()
}

// idle says whether nothing is being read or stored.
func (d *draft) idle() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.stage == ready || d.stage == stored
}

// waitingDrafts are the imports that were looked at and not confirmed, for the list of courses.
func (s *server) waitingDrafts() []page.Step {
	type waits struct {
		at   time.Time
		step page.Step
	}
	var list []waits
	s.drafts.mu.Lock()
	for id, d := range s.drafts.by {
		d.mu.Lock()
		if d.stage == ready {
			step := page.Step{State: page.YourMove, Text: "A package was read and waits for you to confirm it.", Href: "/import/" + id}
			if d.count > 0 {
				step.State, step.Text = page.Look, "A package was read and not taken in: "+page.Count(d.count, "problem", "problems")+" in it."
			}
			list = append(list, waits{d.at, step})
		}
		d.mu.Unlock()
	}
	s.drafts.mu.Unlock()
	s.labs.mu.Lock()
	for id, d := range s.labs.by {
		list = append(list, waits{d.at, page.Step{State: page.YourMove, Text: "A laboratory’s table was read and waits for you to say what its columns are.", Href: "/sheet/" + id}})
	}
	s.labs.mu.Unlock()
	slices.SortFunc(list, func(a, b waits) int { return cmp.Or(b.at.Compare(a.at), strings.Compare(a.step.Href, b.step.Href)) })
	var out []page.Step
	for _, x := range list {
		x.step.When = x.at.Format("15:04")
		out = append(out, x.step)
	}
	return out
}

// work runs f beside the request, so that a long package does not hold the page up.
func (d *draft) work(r context.Context, during, after stage, f func(context.Context, app.Reading) (*app.Taken, error)) {
	ctx, cancel := context.WithCancel(context.WithoutCancel(r))
	d.mu.Lock()
	d.stage, d.cancel, d.err = during, cancel, nil
	d.done, d.total, d.problems, d.count, d.notices = 0, 0, nil, 0, nil
	finished := make(chan struct{})
	d.ready = finished
	d.mu.Unlock()
	go func() {
		defer close(finished)
		defer cancel()
		taken, err := f(ctx, app.Reading{OnProblem: d.problem, OnNotice: d.notice, OnProgress: d.progress})
		d.mu.Lock()
		defer d.mu.Unlock()
		d.taken, d.err, d.stage = taken, err, after
		if err != nil {
			d.stage = ready
		}
	}()
}

func (d *draft) problem(p exchange.Problem) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.count++
	if len(d.problems) < faultsMost {
		d.problems = append(d.problems, p)
	}
}

func (d *draft) notice(n exchange.Notice) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.notices) < noticesMost {
		d.notices = append(d.notices, n)
	}
}

func (d *draft) progress(done, total int64) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.done, d.total = done, total
}

// wait waits a little for the work at hand, so that most packages need no second look.
func (d *draft) wait(ctx context.Context, most time.Duration) {
	d.mu.Lock()
	c := d.ready
	d.mu.Unlock()
	t := time.NewTimer(most)
	defer t.Stop()
	select {
	case <-c:
	case <-t.C:
	case <-ctx.Done():
	}
}
