package storetest

import (
	"context"
	"errors"
	"time"

	"underfoot"
)

var changeChecks = []check{
	{"what a change says", func(b *bed) {
		before := time.Now().Add(-time.Minute)
		got := b.put("imported a package", append(list(club("b")), list(club("a"))...)...)
		if got.At.Location() != time.UTC || got.At.Before(before) || got.At.After(time.Now().Add(time.Minute)) {
			b.Errorf("time %v", got.At)
		}
		n := len(list(club("a")))
		b.same("change", underfoot.Change{ID: 1, At: got.At, By: "ann", What: "imported a package", Courses: []string{"a", "b"}, Added: 2 * n}, got)
		list, err := b.Changes(b.ctx, "a", 10)
		if err != nil {
			b.Fatal(err)
		}
		b.same("changes", []underfoot.Change{got}, list)
	}},
	{"latest changes first, by course, to a limit", func(b *bed) {
		a := b.put("one", &underfoot.Course{ID: "a"})
		c := b.put("two", &underfoot.Course{ID: "b"})
		d := b.put("three", &underfoot.Green{Course: "a", ID: "1"})
		for _, tt := range []struct {
			course string
			limit  int
			want   []underfoot.Change
		}{{"a", 9, []underfoot.Change{d, a}}, {"b", 9, []underfoot.Change{c}}, {"", 9, []underfoot.Change{d, c, a}}, {"", 2, []underfoot.Change{d, c}}, {"a", 1, []underfoot.Change{d}}, {"", 0, []underfoot.Change{d, c, a}}} {
			got, err := b.Changes(b.ctx, tt.course, tt.limit)
			if err != nil {
				b.Fatal(err)
			}
			b.same("changes of "+tt.course, tt.want, got)
		}
		latest, err := b.Latest(b.ctx, "a")
		b.same("latest", []any{d.ID, nil}, []any{latest, err})
	}},
	{"all or nothing", func(b *bed) {
		first := b.importClub("a")
		stop := errors.New("stop")
		_, err := b.Change(b.ctx, "ann", "half done", func(x underfoot.Tx) error {
			b.into(x, &underfoot.Green{Course: "a", ID: "9"})
			if err := x.Delete(underfoot.Readings, underfoot.Key{"a", "r1"}); err != nil {
				b.Fatal(err)
			}
			return stop
		})
		if !errors.Is(err, stop) {
			b.Errorf("error %v", err)
		}
		b.untouched(first)
	}},
	{"a panic leaves nothing", func(b *bed) {
		first := b.importClub("a")
		func() {
			defer func() { b.same("panic", any("stop"), recover()) }()
			b.change("half done", func(x underfoot.Tx) {
				b.into(x, &underfoot.Green{Course: "a", ID: "9"})
				panic("stop")
			})
		}()
		b.untouched(first)
		b.put("the store goes on", &underfoot.Green{Course: "a", ID: "9"})
	}},
	{"a cancelled change leaves nothing", func(b *bed) {
		first := b.importClub("a")
		ctx, cancel := context.WithCancel(b.ctx)
		_, err := b.Change(ctx, "ann", "half done", func(x underfoot.Tx) error {
			b.into(x, &underfoot.Green{Course: "a", ID: "9"})
			cancel()
			if _, err := x.Put(&underfoot.Green{Course: "a", ID: "10"}); !errors.Is(err, context.Canceled) {
				b.Errorf("after the end of the context: %v", err)
			}
			return nil
		})
		if !errors.Is(err, context.Canceled) {
			b.Errorf("error %v", err)
		}
		b.untouched(first)
		_, err = b.Change(ctx, "ann", "not begun", func(underfoot.Tx) error { return nil })
		if !errors.Is(err, context.Canceled) {
			b.Errorf("begun after the end of its context: %v", err)
		}
	}},
	{"a change needs a person and words", func(b *bed) {
		_, err := b.Change(b.ctx, "", "wrote", func(underfoot.Tx) error { return nil })
		b.refused(err, underfoot.Invalid, `a change needs the name of the person and what it is in words: found "" and "wrote"`)
	}},
	{"after its end a change is of no use", func(b *bed) {
		var kept underfoot.Tx
		b.change("kept", func(x underfoot.Tx) { kept = x })
		_, err := kept.Put(&underfoot.Course{ID: "a"})
		b.refused(err, underfoot.Internal, "writing to the store: this change has ended")
	}},
}

// untouched fails unless course a is as the small club was imported by the change.
func (b *bed) untouched(first underfoot.Change) {
	b.Helper()
	b.same("course a", club("a"), b.records("a"))
	list, err := b.Changes(b.ctx, "", 10)
	if err != nil {
		b.Fatal(err)
	}
	b.same("changes", []underfoot.Change{first}, list)
}
