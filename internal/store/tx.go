package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"underfoot"
)

// tx is a change being made.
type tx struct {
	db      *database
	ctx     context.Context
	quiet   context.Context // never done: the driver need not watch it for every row
	conn    *sql.Conn
	id      int64
	prepped map[string]*sql.Stmt
	touched map[scope]*tally
	refuse  func(*lost) error // how a missing reference is told
	closed  bool
}

// scope is one table of one course.
type scope struct {
	course string
	layout *layout
}

// tally counts records.
type tally struct{ added, changed, deleted int }

func newTx(ctx context.Context, d *database, conn *sql.Conn) *tx {
	return &tx{
		db: d, ctx: ctx, quiet: context.WithoutCancel(ctx), conn: conn, prepped: map[string]*sql.Stmt{}, touched: map[scope]*tally{},
		refuse: func(l *lost) error { return underfoot.Errorf(underfoot.Invalid, "%s", l.sentence()) },
	}
}

func (x *tx) close() {
	x.closed = true
	for _, s := range x.prepped {
		s.Close()
	}
}

// usable refuses work after the end of the change or of the context.
func (x *tx) usable() error {
	if x.closed {
		return underfoot.Errorf(underfoot.Internal, "writing to the store: this change has ended")
	}
	if err := x.ctx.Err(); err != nil {
		return fmt.Errorf("writing to the store: %w", err)
	}
	return nil
}

func (x *tx) layout(t *underfoot.Table) (*layout, error) {
	if err := x.usable(); err != nil {
		return nil, err
	}
	return x.db.layout(t)
}

func (x *tx) prepare(query string) (*sql.Stmt, error) {
	if s := x.prepped[query]; s != nil {
		return s, nil
	}
	s, err := x.conn.PrepareContext(x.quiet, query)
	if err != nil {
		return nil, fmt.Errorf("preparing a statement: %w", err)
	}
	x.prepped[query] = s
	return s, nil
}

// exec runs a statement that is kept ready, and returns how many rows it touched.
func (x *tx) exec(query string, args ...any) (int64, error) {
	s, err := x.prepare(query)
	if err != nil {
		return 0, err
	}
	result, err := s.ExecContext(x.quiet, args...)
	if err != nil {
		return 0, err
	}
	return result.RowsAffected()
}

// queryRow runs a query of one row that is kept ready; [sql.ErrNoRows] when there is none.
func (x *tx) queryRow(query string, args []any, into ...any) error {
	s, err := x.prepare(query)
	if err != nil {
		return err
	}
	return s.QueryRowContext(x.quiet, args...).Scan(into...)
}

func (x *tx) count(course string, l *layout) *tally {
	s := scope{course, l}
	n := x.touched[s]
	if n == nil {
		n = &tally{}
		x.touched[s] = n
	}
	return n
}

// Put adds or replaces a record; see [underfoot.Tx].
func (x *tx) Put(r underfoot.Record) (underfoot.Outcome, error) {
	l, err := x.layout(r.Table())
	if err != nil {
		return 0, err
	}
	w, err := l.rowOf(r)
	if err != nil {
		return 0, err
	}
	added, err := x.exec(l.insert, append(w.values, w.extra, x.id)...)
	if err != nil {
		return 0, fmt.Errorf("writing %s %s: %w", l.table.Name, l.table.Key(r), err)
	}
	course := l.table.Course(r)
	if added == 1 {
		x.count(course, l).added++
		return underfoot.Added, nil
	}
	return x.replace(l, w, l.table.Key(r))
}

// replace writes the row over the one with its key, unless that is the same.
func (x *tx) replace(l *layout, w *row, key underfoot.Key) (underfoot.Outcome, error) {
	values, key, err := l.keyValues(key)
	if err != nil {
		return 0, err
	}
	old, err := x.stored(l, values)
	if err != nil {
		return 0, err
	}
	if old == nil {
		return 0, fmt.Errorf("writing %s %s: it is neither new nor stored", l.table.Name, key)
	}
	w.layout, w.created = l, old.created
	switch {
	case old.deleted != nil:
		x.count(key[0], l).added++
		return underfoot.Restored, x.overwrite(w, nil, values, key)
	case w.same(old):
		return underfoot.Same, nil
	case old.created == x.id: // brought by this change: it is new still
		return underfoot.Changed, x.update(w, values)
	}
	x.count(key[0], l).changed++
	return underfoot.Changed, x.overwrite(w, old, values, key)
}

// overwrite replaces the stored row and notes in the history what was there: nothing when before is nil.
func (x *tx) overwrite(w, before *row, values []any, key underfoot.Key) error {
	if err := x.update(w, values); err != nil {
		return err
	}
	return x.note(w.layout, key, before, w)
}

func (x *tx) update(w *row, key []any) error {
	args := append(append(append([]any{}, w.values...), w.extra), key...)
	if _, err := x.exec(w.layout.update, args...); err != nil {
		return fmt.Errorf("writing %s: %w", w.layout.table.Name, err)
	}
	return nil
}

// note adds a line to the history.
func (x *tx) note(l *layout, key underfoot.Key, before, after *row) error {
	var cells [2]any
	for i, w := range []*row{before, after} {
		if w == nil {
			continue
		}
		text, err := w.cells()
		if err != nil {
			return err
		}
		cells[i] = text
	}
	text, err := encode(key[1:])
	if err != nil {
		return err
	}
	if _, err := x.exec(`INSERT INTO "history" ("change", "table", "course", "key", "before", "after") VALUES (?, ?, ?, ?, ?, ?)`,
		x.id, l.table.Name, key[0], text, cells[0], cells[1]); err != nil {
		return fmt.Errorf("noting the history of %s %s: %w", l.table.Name, key, err)
	}
	return nil
}

func (x *tx) stored(l *layout, key []any) (*row, error) {
	w, into := l.newRow()
	err := x.queryRow(l.stored, key, into...)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("looking up %s: %w", l.table.Name, err)
	}
	return w, nil
}

// Delete hides a record; see [underfoot.Tx].
func (x *tx) Delete(t *underfoot.Table, key underfoot.Key) error {
	l, err := x.layout(t)
	if err != nil {
		return err
	}
	values, key, err := l.keyValues(key)
	if err != nil {
		return err
	}
	old, err := x.stored(l, values)
	if err != nil {
		return err
	}
	if old == nil || old.deleted != nil {
		return missing(t, key)
	}
	if err := x.refuseNeeded(l, key); err != nil {
		return err
	}
	if old.created == x.id { // brought by this change: it never was
		if _, err := x.exec(l.remove, values...); err != nil {
			return fmt.Errorf("taking back %s %s: %w", t.Name, key, err)
		}
		x.forget(key[0], l)
		return nil
	}
	x.count(key[0], l).deleted++
	return x.hide(old, values, key)
}

func (x *tx) hide(old *row, values []any, key underfoot.Key) error {
	l := old.layout
	if _, err := x.exec(l.hide, append([]any{x.id}, values...)...); err != nil {
		return fmt.Errorf("deleting %s %s: %w", l.table.Name, key, err)
	}
	return x.note(l, key, old, nil)
}

// forget counts a record of this change less.
func (x *tx) forget(course string, l *layout) {
	n := x.count(course, l)
	n.added--
	if *n == (tally{}) {
		delete(x.touched, scope{course, l})
	}
}

// refuseNeeded refuses to delete what live records refer to.
func (x *tx) refuseNeeded(l *layout, key underfoot.Key) error {
	var users []string
	for _, r := range l.needed {
		args := []any{key[0]}
		if r.column != "course" {
			args = append(args, key[len(key)-1])
		}
		var n int
		if err := x.queryRow(r.count, args, &n); err != nil {
			return fmt.Errorf("looking for what refers to %s %s: %w", l.table.Name, key, err)
		}
		if n > 0 {
			users = append(users, fmt.Sprintf("%d of %s", n, r.from.table.Name))
		}
	}
	if len(users) > 0 {
		return underfoot.Errorf(underfoot.Conflict, "%s %s cannot be deleted: %s refer to it: delete those first",
			l.table.Name, key, strings.Join(users, ", "))
	}
	return nil
}

// Has says whether a live record has this key; see [underfoot.Tx].
func (x *tx) Has(t *underfoot.Table, key underfoot.Key) (bool, error) {
	l, err := x.layout(t)
	if err != nil {
		return false, err
	}
	values, _, err := l.keyValues(key)
	if err != nil {
		return false, err
	}
	var one int
	err = x.queryRow(l.live, values, &one)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("looking up %s %s: %w", t.Name, key, err)
	}
	return true, nil
}

// CoursesOf returns the courses with a live sample of this name; see [underfoot.Tx].
func (x *tx) CoursesOf(sample string) ([]string, error) {
	if err := x.usable(); err != nil {
		return nil, err
	}
	s, err := x.prepare(`SELECT c."course" FROM "courses" c CROSS JOIN "samples" s WHERE s."course" = c."course" AND s."sample" = ? ` +
		`AND s."deleted" IS NULL ORDER BY c."course"`)
	if err != nil {
		return nil, err
	}
	rows, err := s.QueryContext(x.quiet, sample)
	if err != nil {
		return nil, fmt.Errorf("looking for the courses of sample %q: %w", sample, err)
	}
	return texts(rows)
}

// Find returns one live record, or nil; see [underfoot.Tx].
func (x *tx) Find(t *underfoot.Table, key underfoot.Key) (underfoot.Record, error) {
	l, err := x.layout(t)
	if err != nil {
		return nil, err
	}
	values, _, err := l.keyValues(key)
	if err != nil {
		return nil, err
	}
	w, err := x.stored(l, values)
	if err != nil || w == nil || w.deleted != nil {
		return nil, err
	}
	return w.record()
}

func missing(t *underfoot.Table, key underfoot.Key) error {
	return underfoot.Errorf(underfoot.NotFound, "%s %s is not in the store", t.Name, key)
}

// texts reads a column of text and closes the rows.
func texts(rows *sql.Rows) ([]string, error) {
	defer rows.Close()
	var out []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			return nil, fmt.Errorf("reading a column: %w", err)
		}
		out = append(out, s)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("reading a column: %w", err)
	}
	return out, nil
}
