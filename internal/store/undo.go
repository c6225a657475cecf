package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"underfoot"
)

// page is how many records an undo holds at a time.
const page = 500

// Undo makes a new change that puts every record touched by the change id back; see [underfoot.Store]. What matters is
// whether a record is as that change left it: one changed since and changed back can be undone, and so can an undo.
func (d *database) Undo(ctx context.Context, by string, id int64) (underfoot.Change, error) {
	old, err := readChange(ctx, d.read, id)
	if err != nil {
		return underfoot.Change{}, d.dialect.explain(err)
	}
	return d.change(ctx, underfoot.Change{By: by, What: undoing(old.What), Undoes: id}, func(x *tx) error {
		old, err := readChange(ctx, x.conn, id)
		if err != nil {
			return err
		}
		u := &undo{tx: x, of: old}
		x.refuse = u.needed
		if old.Undone != 0 {
			return underfoot.Errorf(underfoot.Conflict, "change %d (%s) is already undone, by change %d: undo change %d to bring it back",
				id, old.What, old.Undone, old.Undone)
		}
		if err := u.noted(); err != nil {
			return err
		}
		if err := u.brought(); err != nil {
			return err
		}
		return u.mark()
	})
}

// undoing says in words what undoing a change is.
func undoing(what string) string {
	if rest, ok := strings.CutPrefix(what, "undid: "); ok {
		return "redid: " + rest
	}
	if rest, ok := strings.CutPrefix(what, "redid: "); ok {
		return "undid: " + rest
	}
	return "undid: " + what
}

// undo puts one change back within another.
type undo struct {
	*tx
	of underfoot.Change
}

func (u *undo) conflict(format string, args ...any) error {
	return underfoot.Errorf(underfoot.Conflict, "change %d (%s) cannot be undone: %s", u.of.ID, u.of.What, fmt.Sprintf(format, args...))
}

func (u *undo) needed(l *lost) error {
	return u.conflict("%s %s refers to %s %s, which would be gone: undo or delete that first",
		l.ref.from.table.Name, l.key, l.ref.to.table.Name, l.parent())
}

// line is what the change did to one record, from the history.
type line struct {
	table, course, key string
	step
}

// noted puts back what the history says the change did.
func (u *undo) noted() error {
	for after := (line{}); ; {
		lines, err := u.lines(after)
		if err != nil || len(lines) == 0 {
			return err
		}
		for _, n := range lines {
			if err := u.putBack(n); err != nil {
				return err
			}
		}
		after = lines[len(lines)-1]
	}
}

// lines returns the next page of what the change did, several lines of one record drawn together.
func (u *undo) lines(after line) ([]line, error) {
	rows, err := u.conn.QueryContext(u.ctx, `SELECT g."table", g."course", g."key", a."before", b."after" FROM (
		SELECT "table", "course", "key", min("id") AS "first", max("id") AS "last" FROM "history"
		WHERE "change" = ? AND ("table", "course", "key") > (?, ?, ?) GROUP BY "table", "course", "key" ORDER BY "table", "course", "key" LIMIT ?
		) g JOIN "history" a ON a."id" = g."first" JOIN "history" b ON b."id" = g."last" ORDER BY g."table", g."course", g."key"`,
		u.of.ID, after.table, after.course, after.key, page)
	if err != nil {
		return nil, fmt.Errorf("reading the history of change %d: %w", u.of.ID, err)
	}
	defer rows.Close()
	var out []line
	for rows.Next() {
		var n line
		if err := rows.Scan(&n.table, &n.course, &n.key, &n.before, &n.after); err != nil {
			return nil, fmt.Errorf("reading the history of change %d: %w", u.of.ID, err)
		}
		out = append(out, n)
	}
	return out, rows.Err()
}

// putBack gives a record the cells it had before the change.
func (u *undo) putBack(n line) error {
	l := u.named(n.table)
	if l == nil {
		return u.conflict("table %s is not one this program knows", n.table)
	}
	key := underfoot.Key{n.course}
	var cells []string
	if err := json.Unmarshal([]byte(n.key), &cells); err != nil {
		return fmt.Errorf("reading the history of change %d: %w", u.of.ID, err)
	}
	values, key, err := l.keyValues(append(key, cells...))
	if err != nil {
		return err
	}
	now, err := u.stored(l, values)
	if err != nil {
		return err
	}
	if now == nil {
		return u.conflict("%s %s is not in the store", l.table.Name, key)
	}
	if err := u.unchanged(now, key, n.after); err != nil {
		return err
	}
	switch {
	case n.before == n.after:
		return nil
	case !n.before.Valid:
		u.count(n.course, l).deleted++
		return u.hide(now, values, key)
	}
	return u.bringBack(now, n.before, values, key)
}

func (u *undo) bringBack(now *row, before sql.NullString, values []any, key underfoot.Key) error {
	l := now.layout
	cells, err := decode(before)
	if err != nil {
		return err
	}
	r, err := l.table.FromCells(key[0], cells)
	if err != nil {
		return fmt.Errorf("reading the history of %s %s: %w", l.table.Name, key, err)
	}
	w, err := l.rowOf(r)
	if err != nil {
		return err
	}
	w.layout = l
	if now.deleted != nil {
		now = nil
		u.count(key[0], l).added++
	} else {
		u.count(key[0], l).changed++
	}
	return u.overwrite(w, now, values, key)
}

// unchanged refuses a record that is no longer as the change left it.
func (u *undo) unchanged(now *row, key underfoot.Key, left sql.NullString) error {
	is := sql.NullString{}
	if now.deleted == nil {
		text, err := now.cells()
		if err != nil {
			return err
		}
		is = sql.NullString{String: text, Valid: true}
	}
	if is == left {
		return nil
	}
	steps, err := readSteps(u.quiet, u.conn, now.layout, key)
	if err != nil {
		return err
	}
	by := now.created.(int64)
	if len(steps) > 0 {
		by = steps[len(steps)-1].change
	}
	return u.conflict("%s %s has been changed since, by change %d: undo that first", now.layout.table.Name, key, by)
}

// brought hides what the change brought and what is still as it brought it.
func (u *undo) brought() error {
	rows, err := u.conn.QueryContext(u.ctx, `SELECT "table", "course" FROM "change_course" WHERE "change" = ? AND "added" > 0 ORDER BY "course", "table"`, u.of.ID)
	if err != nil {
		return fmt.Errorf("reading change %d: %w", u.of.ID, err)
	}
	var scopes []scope
	for rows.Next() {
		var table, course string
		if err := rows.Scan(&table, &course); err != nil {
			rows.Close()
			return fmt.Errorf("reading change %d: %w", u.of.ID, err)
		}
		scopes = append(scopes, scope{course, u.named(table)})
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil {
		return fmt.Errorf("reading change %d: %w", u.of.ID, err)
	}
	for _, s := range scopes {
		if err := u.hideBrought(s); err != nil {
			return err
		}
	}
	return nil
}

func (u *undo) hideBrought(s scope) error {
	query, args := s.layout.brought, []any{s.course, u.of.ID, page}
	for {
		rows, err := u.conn.QueryContext(u.ctx, query, args...)
		if err != nil {
			return fmt.Errorf("reading %s: %w", s.layout.table.Name, err)
		}
		list, err := s.layout.rows(rows)
		if err != nil || len(list) == 0 {
			return err
		}
		var values []any
		for _, w := range list {
			if values, err = u.hideOne(w); err != nil {
				return err
			}
		}
		if query = s.layout.broughtAfter; query == "" { // courses: there is only the one
			return nil
		}
		args = append(append(append([]any{}, values...), u.of.ID), page)
	}
}

// hideOne hides one record that the change brought, unless later changes did something to it.
func (u *undo) hideOne(w *row) ([]any, error) {
	l := w.layout
	r, err := w.record()
	if err != nil {
		return nil, err
	}
	values, key, err := l.keyValues(l.table.Key(r))
	if err != nil {
		return nil, err
	}
	left, err := u.firstBefore(l, key)
	if err != nil {
		return nil, err
	}
	if left.Valid || w.deleted != nil {
		if err := u.unchanged(w, key, left); err != nil {
			return nil, err
		}
	}
	u.count(key[0], l).deleted++
	return values, u.hide(w, values, key)
}

// firstBefore returns what a record was before the first line about it in the history: how it was brought. Not valid
// when there is no line.
func (u *undo) firstBefore(l *layout, key underfoot.Key) (sql.NullString, error) {
	var before sql.NullString
	text, err := encode(key[1:])
	if err != nil {
		return before, err
	}
	err = u.queryRow(`SELECT "before" FROM "history" WHERE "table" = ? AND "course" = ? AND "key" = ? ORDER BY "id" LIMIT 1`,
		[]any{l.table.Name, key[0], text}, &before)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return before, err
}

// mark notes which changes are undone now: undoing an undo brings back what that one had put back, and so on.
func (u *undo) mark() error {
	undone := true
	by := u.id
	for id := u.of.ID; id != 0; undone = !undone {
		value := sql.NullInt64{Int64: by, Valid: undone}
		if _, err := u.exec(`UPDATE "change" SET "undone" = ? WHERE "id" = ?`, value, id); err != nil {
			return fmt.Errorf("noting that change %d is undone: %w", id, err)
		}
		by = id
		if err := u.queryRow(`SELECT coalesce("undoes", 0) FROM "change" WHERE "id" = ?`, []any{id}, &id); err != nil {
			return fmt.Errorf("reading change %d: %w", id, err)
		}
	}
	return nil
}

func (u *undo) named(table string) *layout {
	for _, l := range u.db.layouts {
		if l.table.Name == table {
			return l
		}
	}
	return nil
}
