package store

import (
	"context"
	"database/sql"
	"fmt"

	"underfoot"
)

// Courses returns all courses by key.
func (d *database) Courses(ctx context.Context) ([]underfoot.Course, error) {
	l := d.byTable[underfoot.Courses]
	rows, err := d.read.QueryContext(ctx, fmt.Sprintf(`SELECT %s, "extra", "created", "deleted" FROM "courses" WHERE "deleted" IS NULL ORDER BY "course"`,
		joined(l.columns)))
	if err != nil {
		return nil, fmt.Errorf("reading courses: %w", d.dialect.explain(err))
	}
	var out []underfoot.Course
	err = l.each(rows, func(r underfoot.Record) { out = append(out, *r.(*underfoot.Course)) })
	return out, err
}

// Records returns everything live of one course, each table sorted by key.
func (d *database) Records(ctx context.Context, course string) (*underfoot.Records, error) {
	rs := &underfoot.Records{}
	err := d.reading(ctx, func(view *sql.Tx) error {
		for _, l := range d.layouts {
			rows, err := view.QueryContext(ctx, l.list, course)
			if err != nil {
				return fmt.Errorf("reading %s: %w", l.table.Name, err)
			}
			if err := l.each(rows, rs.Add); err != nil {
				return err
			}
			if l.table == underfoot.Courses && rs.Course.ID == "" {
				return missing(underfoot.Courses, underfoot.Key{course})
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return rs, nil
}

// each calls f with the record of every row and closes the rows.
func (l *layout) each(rows *sql.Rows, f func(underfoot.Record)) error {
	defer rows.Close()
	w, into := l.newRow()
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return fmt.Errorf("reading %s: %w", l.table.Name, err)
		}
		r, err := w.record()
		if err != nil {
			return err
		}
		f(r)
	}
	if err := rows.Err(); err != nil {
		return fmt.Errorf("reading %s: %w", l.table.Name, err)
	}
	return nil
}

// Get returns one live record.
func (d *database) Get(ctx context.Context, t *underfoot.Table, key underfoot.Key) (underfoot.Record, error) {
	l, err := d.layout(t)
	if err != nil {
		return nil, err
	}
	values, key, err := l.keyValues(key)
	if err != nil {
		return nil, err
	}
	w, err := storedRow(ctx, d.read, l, values)
	if err != nil {
		return nil, d.dialect.explain(err)
	}
	if w == nil || w.deleted != nil {
		return nil, missing(t, key)
	}
	return w.record()
}
