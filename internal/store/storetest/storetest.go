// Package storetest is the contract every store passes: what [underfoot.Store] promises, method by method, with the
// kinds and words of its errors.
package storetest

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
)

// Run runs the contract on stores that open makes, a new and empty one each time. A store is closed by open's cleanup.
func Run(t *testing.T, open func(t *testing.T) underfoot.Store) {
	for _, group := range []struct {
		name  string
		tests []check
	}{
		{"put", putChecks},
		{"delete", deleteChecks},
		{"reference", referenceChecks},
		{"lookup", lookupChecks},
		{"change", changeChecks},
		{"undo", undoChecks},
		{"history", historyChecks},
		{"search", searchChecks},
		{"concurrency", concurrencyChecks},
	} {
		for _, c := range group.tests {
			t.Run(group.name+"/"+c.name, func(t *testing.T) {
				c.run(&bed{T: t, Store: open(t), ctx: context.Background()})
			})
		}
	}
}

type check struct {
	name string
	run  func(*bed)
}

// bed is a store under test.
type bed struct {
	*testing.T
	underfoot.Store
	ctx context.Context
}

// change runs one change that must succeed.
func (b *bed) change(what string, write func(underfoot.Tx)) underfoot.Change {
	b.Helper()
	c, err := b.Change(b.ctx, "ann", what, func(x underfoot.Tx) error {
		write(x)
		return nil
	})
	if err != nil {
		b.Fatalf("%s: %v", what, err)
	}
	return c
}

// put puts records in one change that must succeed.
func (b *bed) put(what string, records ...underfoot.Record) underfoot.Change {
	b.Helper()
	return b.change(what, func(x underfoot.Tx) { b.into(x, records...) })
}

func (b *bed) into(x underfoot.Tx, records ...underfoot.Record) {
	b.Helper()
	for _, r := range records {
		if _, err := x.Put(r); err != nil {
			b.Fatalf("putting %v: %v", r.Table().Key(r), err)
		}
	}
}

// remove deletes one record in a change that must succeed.
func (b *bed) remove(t *underfoot.Table, key ...string) underfoot.Change {
	b.Helper()
	return b.change("deleted a record", func(x underfoot.Tx) {
		if err := x.Delete(t, key); err != nil {
			b.Fatal(err)
		}
	})
}

func (b *bed) undo(id int64) underfoot.Change {
	b.Helper()
	c, err := b.Undo(b.ctx, "bob", id)
	if err != nil {
		b.Fatalf("undoing change %d: %v", id, err)
	}
	return c
}

func (b *bed) records(course string) *underfoot.Records {
	b.Helper()
	rs, err := b.Records(b.ctx, course)
	if err != nil {
		b.Fatal(err)
	}
	return rs
}

// refused fails unless the error has the kind and exactly the words.
func (b *bed) refused(err error, kind underfoot.Kind, want string) {
	b.Helper()
	if err == nil {
		b.Fatalf("went through, want: %s", want)
	}
	if err.Error() != want || underfoot.KindOf(err) != kind {
		b.Errorf("got  kind %d: %v\nwant kind %d: %s", underfoot.KindOf(err), err, kind, want)
	}
}

func (b *bed) same(what string, want, got any) {
	b.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		b.Errorf("%s (-want +got)\n%s", what, diff)
	}
}

// live says whether a record can be got.
func (b *bed) live(t *underfoot.Table, key ...string) bool {
	b.Helper()
	_, err := b.Get(b.ctx, t, key)
	if err != nil && underfoot.KindOf(err) != underfoot.NotFound {
		b.Fatal(err)
	}
	return err == nil
}
