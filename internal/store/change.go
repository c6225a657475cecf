package store

import (
	"context"
	"database/sql"
	"fmt"
	"sort"
	"time"

	"underfoot"
)

// instant is how moments are written: UTC, as many digits as PostgreSQL keeps too.
const instant = "2006-01-02T15:04:05.000000Z"

// Change runs write as one change; see [underfoot.Store]. One change runs at a time: write must not start another,
// which would wait for the first for ever.
func (d *database) Change(ctx context.Context, by, what string, write func(underfoot.Tx) error) (underfoot.Change, error) {
	return d.change(ctx, underfoot.Change{By: by, What: what}, func(x *tx) error { return write(x) })
}

func (d *database) change(ctx context.Context, c underfoot.Change, write func(*tx) error) (underfoot.Change, error) {
	none := underfoot.Change{}
	if c.By == "" || c.What == "" {
		return none, underfoot.Errorf(underfoot.Invalid, "a change needs the name of the person and what it is in words: found %q and %q", c.By, c.What)
	}
	conn, err := d.write.Conn(ctx)
	if err != nil {
		return none, fmt.Errorf("waiting to write to the store: %w", d.dialect.explain(err))
	}
	defer conn.Close()
	if _, err := conn.ExecContext(ctx, d.dialect.begin()); err != nil {
		return none, fmt.Errorf("beginning to write to the store: %w", d.dialect.explain(err))
	}
	x := newTx(ctx, d, conn)
	committed := false
	defer func() { // on errors and panics alike
		x.close()
		if !committed {
			conn.ExecContext(x.quiet, "ROLLBACK") // an engine that has rolled back by itself says so: nothing to add
		}
	}()

	c.At = d.now().UTC().Truncate(time.Microsecond)
	if err := x.begin(&c); err != nil {
		return none, d.dialect.explain(err)
	}
	if err := write(x); err != nil {
		return none, d.dialect.explain(err)
	}
	if len(x.touched) == 0 {
		return underfoot.Change{At: c.At, By: c.By, What: c.What}, nil
	}
	if err := x.finish(&c); err != nil {
		return none, d.dialect.explain(err)
	}
	committed = true
	return c, nil
}

// begin takes the next number for the change.
func (x *tx) begin(c *underfoot.Change) error {
	err := x.conn.QueryRowContext(x.ctx, `INSERT INTO "change" ("at", "by", "what", "undoes") VALUES (?, ?, ?, ?) RETURNING "id"`,
		c.At.Format(instant), c.By, c.What, sql.NullInt64{Int64: c.Undoes, Valid: c.Undoes != 0}).Scan(&c.ID)
	if err != nil {
		return fmt.Errorf("noting the change: %w", err)
	}
	x.id = c.ID
	return nil
}

// finish checks the references, writes down what the change came to and commits it.
func (x *tx) finish(c *underfoot.Change) error {
	if err := x.checkReferences(false); err != nil {
		return err
	}
	courses := map[string]bool{}
	for s, n := range x.touched {
		c.Added, c.Changed, c.Deleted = c.Added+n.added, c.Changed+n.changed, c.Deleted+n.deleted
		courses[s.course] = true
		if _, err := x.exec(`INSERT INTO "change_course" ("course", "change", "table", "added", "changed", "deleted") VALUES (?, ?, ?, ?, ?, ?)`,
			s.course, x.id, s.layout.table.Name, n.added, n.changed, n.deleted); err != nil {
			return fmt.Errorf("noting the change: %w", err)
		}
	}
	for course := range courses {
		c.Courses = append(c.Courses, course)
	}
	sort.Strings(c.Courses)
	if _, err := x.exec(`UPDATE "change" SET "added" = ?, "changed" = ?, "deleted" = ? WHERE "id" = ?`, c.Added, c.Changed, c.Deleted, x.id); err != nil {
		return fmt.Errorf("noting the change: %w", err)
	}
	return x.commit()
}

func (x *tx) commit() error {
	if err := x.ctx.Err(); err != nil {
		return fmt.Errorf("writing to the store: %w", err)
	}
	_, err := x.conn.ExecContext(x.quiet, "COMMIT")
	if err == nil {
		return nil
	}
	if x.db.dialect.lacksParent(err) {
		if named := x.checkReferences(true); named != nil {
			return named
		}
	}
	return fmt.Errorf("writing to the store: %w", err)
}

// checkReferences looks whether records of the tables this change touched name what is not there, or needed what it
// hid. Names of what never was are found by the database itself: then all is true and we only look for the words.
func (x *tx) checkReferences(all bool) error {
	for s, n := range x.touched {
		if n.added+n.changed > 0 {
			if err := x.checkChildren(s.course, s.layout.refers, all); err != nil {
				return err
			}
		}
		if n.deleted > 0 {
			if err := x.checkChildren(s.course, s.layout.needed, all); err != nil {
				return err
			}
		}
	}
	return nil
}

func (x *tx) checkChildren(course string, refs []reference, all bool) error {
	for _, r := range refs {
		if !all {
			hidden, err := x.anyHidden(r.to, course)
			if err != nil {
				return err
			}
			if !hidden {
				continue
			}
		}
		found, err := r.findLost(x.ctx, x.conn, course)
		if err != nil {
			return err
		}
		if found != nil {
			return x.refuse(found)
		}
	}
	return nil
}

// anyHidden says whether a course has a hidden row in the table, by the index that holds only those.
func (x *tx) anyHidden(l *layout, course string) (bool, error) {
	var found bool
	err := x.conn.QueryRowContext(x.ctx, fmt.Sprintf(`SELECT EXISTS (SELECT 1 FROM %s WHERE "course" = ? AND "deleted" IS NOT NULL)`,
		quote(l.table.Name)), course).Scan(&found)
	if err != nil {
		return false, fmt.Errorf("looking for deleted %s: %w", l.table.Name, err)
	}
	return found, nil
}
