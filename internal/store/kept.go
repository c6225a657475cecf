package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"underfoot"
)

// Keep keeps what was worked out from courses' records; see [underfoot.Store].
func (d *database) Keep(ctx context.Context, list ...underfoot.Kept) error {
	for _, k := range list {
		if k.Course == "" || k.Kind == "" {
			return underfoot.Errorf(underfoot.Invalid, "keeping a result: course %q and kind %q: both are needed", k.Course, k.Kind)
		}
	}
	if len(list) == 0 {
		return nil
	}
	what := "keeping " + list[0].Kind + " of " + list[0].Course
	tx, err := d.write.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("%s: %w", what, d.dialect.explain(err))
	}
	defer tx.Rollback() // nothing after a commit
	for _, k := range list {
		_, err := tx.ExecContext(ctx, `INSERT INTO "kept" ("course", "kind", "latest", "made", "data") VALUES (?, ?, ?, ?, ?)
			ON CONFLICT ("course", "kind") DO UPDATE SET "latest" = excluded."latest", "made" = excluded."made", "data" = excluded."data"`,
			k.Course, k.Kind, k.Latest, d.now().UTC().Format(instant), k.Data)
		if err != nil {
			return fmt.Errorf("%s: %w", what, d.dialect.explain(err))
		}
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("%s: %w", what, d.dialect.explain(err))
	}
	return nil
}

// Kept returns what is kept of a kind; see [underfoot.Store].
func (d *database) Kept(ctx context.Context, kind string) ([]underfoot.Kept, error) {
	var list []underfoot.Kept
	err := d.reading(ctx, func(view *sql.Tx) (err error) {
		rows, err := view.QueryContext(ctx, `SELECT "course", "kind", "latest", "data" FROM "kept" WHERE "kind" = ? ORDER BY "course"`, kind)
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, rows.Close()) }()
		for rows.Next() {
			var k underfoot.Kept
			if err := rows.Scan(&k.Course, &k.Kind, &k.Latest, &k.Data); err != nil {
				return err
			}
			list = append(list, k)
		}
		return rows.Err()
	})
	if err != nil {
		return nil, fmt.Errorf("reading what is kept of kind %s: %w", kind, d.dialect.explain(err))
	}
	return list, nil
}

// KeptOf returns what is kept of a kind for one course; see [underfoot.Store].
func (d *database) KeptOf(ctx context.Context, kind, course string) (*underfoot.Kept, error) {
	k := underfoot.Kept{Course: course, Kind: kind}
	err := d.read.QueryRowContext(ctx, `SELECT "latest", "data" FROM "kept" WHERE "course" = ? AND "kind" = ?`, course, kind).Scan(&k.Latest, &k.Data)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("reading %s of %s: %w", kind, course, d.dialect.explain(err))
	}
	return &k, nil
}

// KeptStamp returns a number that rises with what is kept of a kind; see [underfoot.Store]. Changes are numbered upwards, so that
// their sum is enough.
func (d *database) KeptStamp(ctx context.Context, kind string) (int64, error) {
	var n int64
	if err := d.read.QueryRowContext(ctx, `SELECT count(*) + coalesce(sum("latest"), 0) FROM "kept" WHERE "kind" = ?`, kind).Scan(&n); err != nil {
		return 0, fmt.Errorf("reading when %s was kept: %w", kind, d.dialect.explain(err))
	}
	return n, nil
}
