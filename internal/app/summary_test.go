package app

import (
	"context"
	"log/slog"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot/internal/store"
)

// exampleStore is a store with the example course in it.
func exampleStore(t *testing.T, now func() time.Time) *store.SQLite {
	t.Helper()
	st, err := store.Open(context.Background(), filepath.Join(t.TempDir(), "s.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	if _, err := New(st, now, "a tester").Import(context.Background(), "../../examples/varrowmere", "a tester", Reading{}); err != nil {
		t.Fatal(err)
	}
	return st
}

// What the background works out and keeps for the list is, after a restart, the same to the last digit as what is worked
// out at once.
func TestKeptAsWorkedOut(t *testing.T) {
	now := func() time.Time { return time.Date(2026, time.November, 26, 9, 0, 0, 0, time.UTC) }
	st := exampleStore(t, now)
	plain := New(st, now, "a tester")
	at, err := plain.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	if at.Settled() {
		t.Fatal("the example is settled before its model was asked")
	}
	measured := at.Measured()
	if measured.Balance() != at.ByRounds || at.Settled() {
		t.Error("what is measured asks the model")
	}
	at.Balance()

	ctx, stop := context.WithCancel(t.Context())
	first := New(st, now, "a tester")
	wait := first.Begin(ctx, slog.Default())
	deadline := time.Now().Add(time.Minute)
	for {
		summary, err := st.KeptOf(t.Context(), summaryKind, "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		list, err := first.Summaries(t.Context(), 0)
		if err != nil {
			t.Fatal(err)
		}
		if summary != nil && list[0].Fresh && list[0].Summary.Settled {
			break
		}
		if time.Now().After(deadline) {
			t.Fatal("the background kept nothing within a minute")
		}
		time.Sleep(50 * time.Millisecond)
	}
	stop()
	wait()

	second := New(st, now, "a tester")
	list, err := second.Summaries(t.Context(), 0)
	if err != nil {
		t.Fatal(err)
	}
	if !list[0].Fresh || len(second.standing) > 0 {
		t.Error("after a restart the list works the course out again")
	}
	if diff := cmp.Diff(summaryOf(at, list[0].Summary.Latest), list[0].Summary); diff != "" {
		t.Errorf("the summary that was kept (-worked out +kept)\n%s", diff)
	}
}

// What the list leaves out of a standing is nothing that a summary tells.
func TestSummaryOfWhatIsListed(t *testing.T) {
	now := func() time.Time { return time.Date(2026, time.November, 26, 9, 0, 0, 0, time.UTC) }
	rs, err := exampleStore(t, now).Records(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	whole, err := Stand(rs, rs.Course.Today(now()), Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	listed, err := Stand(rs, rs.Course.Today(now()), Wishes{listed: true})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(summaryOf(whole, 1), summaryOf(listed, 1)); diff != "" {
		t.Errorf("the summary (-of all +of what is listed)\n%s", diff)
	}
	if !whole.Layers[0].Even.Known || listed.Layers[0].Even.Known {
		t.Error("the evenness of the greens is to be left out of the one and not of the other")
	}
}

// The first page of a course waits a little for its model; while that takes longer, the ones after it do not wait again.
func TestNobodyWaitsTwice(t *testing.T) {
	now := func() time.Time { return time.Date(2026, time.November, 26, 9, 0, 0, 0, time.UTC) }
	a := New(exampleStore(t, now), now, "a tester")
	st, err := a.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	b := &a.background
	b.on, b.wake, b.known = true, make(chan struct{}, 1), map[string]bool{} // and nobody works: the model takes for ever
	const patience = 300 * time.Millisecond
	took := func() time.Duration {
		t.Helper()
		begin := time.Now()
		if a.Settle(t.Context(), st, patience) {
			t.Fatal("it is settled although nobody works")
		}
		return time.Since(begin)
	}
	if d := took(); d < patience {
		t.Errorf("the first waits %v", d)
	}
	if d := took(); d >= patience {
		t.Errorf("the second waits %v again", d)
	}
	if j, ok := b.next(); !ok || j.course != "varrowmere" || len(b.first) != 0 {
		t.Errorf("%d jobs wait beside %+v", len(b.first), j)
	}
	if d := took(); d >= patience {
		t.Errorf("while it is at hand the next waits %v", d)
	}
}
