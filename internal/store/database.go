package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync/atomic"
	"time"

	"underfoot"
)

// database is the part of a store that is the same whichever engine keeps it.
type database struct {
	dialect dialect
	write   *sql.DB // one connection: writers wait in line here
	read    *sql.DB
	now     func() time.Time
	layouts []*layout
	byTable map[*underfoot.Table]*layout
	indexed atomic.Int64 // the change at which the index of the search was whole, 0 while that is not known
}

// dialect is what engines say differently.
type dialect interface {
	// begin is the statement that starts a change.
	begin() string
	// lacksParent says whether a commit failed because a reference names what is not there.
	lacksParent(error) bool
	// explain adds to an error of the engine what kind it is and what to do about it.
	explain(error) error
}

func newDatabase(d dialect, write, read *sql.DB, now func() time.Time) *database {
	db := &database{dialect: d, write: write, read: read, now: now, layouts: newLayouts(), byTable: map[*underfoot.Table]*layout{}}
	if now == nil {
		db.now = time.Now
	}
	for _, l := range db.layouts {
		db.byTable[l.table] = l
	}
	return db
}

// Close releases the store.
func (d *database) Close() error { return errors.Join(d.read.Close(), d.write.Close()) }

func (d *database) layout(t *underfoot.Table) (*layout, error) {
	if l := d.byTable[t]; l != nil {
		return l, nil
	}
	return nil, underfoot.Errorf(underfoot.Invalid, "table %q is not one the store keeps", t.Name)
}

// reading runs f on one unchanging view of the store.
func (d *database) reading(ctx context.Context, f func(*sql.Tx) error) error {
	view, err := d.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return fmt.Errorf("reading the store: %w", d.dialect.explain(err))
	}
	defer view.Rollback() // nothing was written
	if err := f(view); err != nil {
		return d.dialect.explain(err)
	}
	return nil
}

// querier is a connection or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// storedRow returns a record's row, live or hidden; nil when there never was one.
func storedRow(ctx context.Context, q querier, l *layout, key []any) (*row, error) {
	w, into := l.newRow()
	err := q.QueryRowContext(ctx, l.stored, key...).Scan(into...)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("looking up %s: %w", l.table.Name, err)
	}
	return w, nil
}
