package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"underfoot"
)

const selectChange = `SELECT "id", "at", "by", "what", "added", "changed", "deleted", coalesce("undoes", 0), coalesce("undone", 0) FROM "change" `

// Changes returns a course's latest changes, newest first; of all courses when course is empty. A limit of 0 or less
// is none.
func (d *database) Changes(ctx context.Context, course string, limit int) ([]underfoot.Change, error) {
	if limit <= 0 {
		limit = math.MaxInt32
	}
	query, args := selectChange+`ORDER BY "id" DESC LIMIT ?`, []any{limit}
	if course != "" {
		query = selectChange + `WHERE "id" IN (SELECT DISTINCT "change" FROM "change_course" WHERE "course" = ? ORDER BY "change" DESC LIMIT ?) ORDER BY "id" DESC`
		args = []any{course, limit}
	}
	var out []underfoot.Change
	err := d.reading(ctx, func(view *sql.Tx) (err error) {
		out, err = readChanges(ctx, view, query, args...)
		return err
	})
	if err == nil && course != "" && len(out) == 0 {
		return nil, missing(underfoot.Courses, underfoot.Key{course})
	}
	return out, err
}

// Latest returns the number of the last change that touched the course; see [underfoot.Store].
func (d *database) Latest(ctx context.Context, course string) (int64, error) {
	query, args := `SELECT coalesce(max("change"), 0) FROM "change_course" WHERE "course" = ?`, []any{course}
	if course == "" {
		query, args = `SELECT coalesce(max("change"), 0) FROM "change_course"`, nil
	}
	var id int64
	if err := d.read.QueryRowContext(ctx, query, args...).Scan(&id); err != nil {
		return 0, fmt.Errorf("reading the latest change of course %s: %w", course, d.dialect.explain(err))
	}
	return id, nil
}

// Latests returns the number of the last change of every course; see [underfoot.Store].
func (d *database) Latests(ctx context.Context) (map[string]int64, error) {
	out := map[string]int64{}
	err := d.reading(ctx, func(view *sql.Tx) (err error) {
		rows, err := view.QueryContext(ctx, `SELECT "course", max("change") FROM "change_course" GROUP BY "course"`)
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, rows.Close()) }()
		for rows.Next() {
			var course string
			var n int64
			if err := rows.Scan(&course, &n); err != nil {
				return err
			}
			out[course] = n
		}
		return rows.Err()
	})
	if err != nil {
		return nil, fmt.Errorf("reading the latest changes: %w", d.dialect.explain(err))
	}
	return out, nil
}

func readChanges(ctx context.Context, q querier, query string, args ...any) ([]underfoot.Change, error) {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, fmt.Errorf("reading changes: %w", err)
	}
	defer rows.Close()
	var out []underfoot.Change
	for rows.Next() {
		var c underfoot.Change
		var at string
		if err := rows.Scan(&c.ID, &at, &c.By, &c.What, &c.Added, &c.Changed, &c.Deleted, &c.Undoes, &c.Undone); err != nil {
			return nil, fmt.Errorf("reading changes: %w", err)
		}
		if c.At, err = time.Parse(instant, at); err != nil {
			return nil, fmt.Errorf("reading change %d: %w", c.ID, err)
		}
		out = append(out, c)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("reading changes: %w", err)
	}
	rows.Close()
	for i := range out {
		if err := readCourses(ctx, q, &out[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func readCourses(ctx context.Context, q querier, c *underfoot.Change) error {
	rows, err := q.QueryContext(ctx, `SELECT DISTINCT "course" FROM "change_course" WHERE "change" = ? ORDER BY "course"`, c.ID)
	if err != nil {
		return fmt.Errorf("reading the courses of change %d: %w", c.ID, err)
	}
	c.Courses, err = texts(rows)
	return err
}

// readChange returns one change.
func readChange(ctx context.Context, q querier, id int64) (underfoot.Change, error) {
	list, err := readChanges(ctx, q, selectChange+`WHERE "id" = ?`, id)
	if err != nil {
		return underfoot.Change{}, err
	}
	if len(list) == 0 {
		return underfoot.Change{}, underfoot.Errorf(underfoot.NotFound, "change %d is not in the store", id)
	}
	return list[0], nil
}

// step is what one change did to a record: cells as JSON, not valid where the record was not there.
type step struct {
	change        int64
	before, after sql.NullString
}

// History returns what happened to one record, oldest first, whether it is live or deleted. That it was brought is
// not written in the history: it follows from the row and from what it was before the first line there.
func (d *database) History(ctx context.Context, t *underfoot.Table, key underfoot.Key) ([]underfoot.Revision, error) {
	l, err := d.layout(t)
	if err != nil {
		return nil, err
	}
	values, key, err := l.keyValues(key)
	if err != nil {
		return nil, err
	}
	var out []underfoot.Revision
	err = d.reading(ctx, func(view *sql.Tx) error {
		w, err := storedRow(ctx, view, l, values)
		if err != nil {
			return err
		}
		if w == nil {
			return missing(t, key)
		}
		steps, err := readSteps(ctx, view, l, key)
		if err != nil {
			return err
		}
		first := step{change: w.created.(int64)}
		if len(steps) > 0 {
			first.after = steps[0].before
		} else if first.after.String, err = w.cells(); err == nil {
			first.after.Valid = true
		} else {
			return err
		}
		out, err = revisions(ctx, view, append([]step{first}, steps...))
		return err
	})
	return out, err
}

// readSteps returns the lines of a record in the history, those of one change drawn together.
func readSteps(ctx context.Context, q querier, l *layout, key underfoot.Key) ([]step, error) {
	text, err := encode(key[1:])
	if err != nil {
		return nil, err
	}
	rows, err := q.QueryContext(ctx, `SELECT "change", "before", "after" FROM "history" WHERE "table" = ? AND "course" = ? AND "key" = ? ORDER BY "id"`,
		l.table.Name, key[0], text)
	if err != nil {
		return nil, fmt.Errorf("reading the history of %s %s: %w", l.table.Name, key, err)
	}
	defer rows.Close()
	var out []step
	for rows.Next() {
		var s step
		if err := rows.Scan(&s.change, &s.before, &s.after); err != nil {
			return nil, fmt.Errorf("reading the history of %s %s: %w", l.table.Name, key, err)
		}
		if n := len(out); n > 0 && out[n-1].change == s.change {
			out[n-1].after = s.after
			continue
		}
		out = append(out, s)
	}
	return out, rows.Err()
}

func revisions(ctx context.Context, q querier, steps []step) ([]underfoot.Revision, error) {
	var out []underfoot.Revision
	for _, s := range steps {
		if s.before == s.after { // put back within one change
			continue
		}
		c, err := readChange(ctx, q, s.change)
		if err != nil {
			return nil, err
		}
		before, err1 := decode(s.before)
		after, err2 := decode(s.after)
		if err := errors.Join(err1, err2); err != nil {
			return nil, err
		}
		out = append(out, underfoot.Revision{Change: c, Before: before, After: after})
	}
	return out, nil
}

func decode(text sql.NullString) (map[string]string, error) {
	if !text.Valid {
		return nil, nil
	}
	var cells map[string]string
	if err := json.Unmarshal([]byte(text.String), &cells); err != nil {
		return nil, fmt.Errorf("reading cells of the history: %w", err)
	}
	return cells, nil
}
