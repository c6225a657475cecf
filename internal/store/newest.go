package store

import (
	"context"
	"database/sql"
	"fmt"

	"underfoot"
)

// Newest returns the course, its greens, and what was sampled in the year up to its newest sample with the weighings and
// results of that, and the blanks and controls burnt along with it: enough to say where it stands, without reading all of it.
func (d *database) Newest(ctx context.Context, course string) (*underfoot.Records, error) {
	rs := &underfoot.Records{}
	err := d.reading(ctx, func(view *sql.Tx) error {
		var last sql.NullString
		err := view.QueryRowContext(ctx, `SELECT max("date") FROM "samples" WHERE "course" = ? AND "deleted" IS NULL`, course).Scan(&last)
		if err != nil {
			return fmt.Errorf("reading samples: %w", err)
		}
		since, err := yearBefore(last)
		if err != nil {
			return err
		}
		const recent = ` AND "sample" IN (SELECT "sample" FROM "samples" WHERE "course" = ? AND "deleted" IS NULL AND "date" > ?)`
		const beside = ` AND ("sample" IN (SELECT "sample" FROM "samples" WHERE "course" = ? AND "deleted" IS NULL AND "date" > ?) OR "kind" IN ('blank', 'control') AND "furnace_run" IN (` +
			`SELECT "furnace_run" FROM "weighings" WHERE "course" = ? AND "deleted" IS NULL` + recent + `))`
		for _, part := range []struct {
			table *underfoot.Table
			only  string
			args  []any
		}{
			{underfoot.Courses, "", []any{course}},
			{underfoot.Greens, "", []any{course}},
			{underfoot.Samples, ` AND "date" > ?`, []any{course, since}},
			{underfoot.Controls, "", []any{course}},
			{underfoot.Weighings, beside, []any{course, course, since, course, course, since}},
			{underfoot.Results, recent, []any{course, course, since}},
		} {
			l := d.byTable[part.table]
			rows, err := view.QueryContext(ctx, fmt.Sprintf(`SELECT %s, "extra", "created", "deleted" FROM %s WHERE "course" = ? AND "deleted" IS NULL%s ORDER BY %s`,
				joined(l.columns), quote(l.table.Name), part.only, joined(l.keyed)), part.args...)
			if err != nil {
				return fmt.Errorf("reading %s: %w", l.table.Name, err)
			}
			if err := l.each(rows, rs.Add); err != nil {
				return err
			}
			if part.table == underfoot.Courses && rs.Course.ID == "" {
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

// yearBefore is the day a year before a date of the store, as the store writes it.
func yearBefore(date sql.NullString) (string, error) {
	if !date.Valid {
		return "", nil // no sample, and none after no date
	}
	day, err := underfoot.ParseDate(date.String)
	if err != nil {
		return "", fmt.Errorf("reading samples: %w", err)
	}
	return underfoot.DateOf(day.Time().AddDate(-1, 0, 0)).String(), nil
}
