package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"underfoot"
)

// reference is a column of one table that names a row of another on the same course.
type reference struct {
	from   *layout
	column string // in the database; made from others for weighings, repeats and sieves
	said   string // the column of the file that it is read from
	to     *layout

	count, dangling string
}

// findReferences reads the references of a table from its description. Some depend on other cells of the row and are
// made columns of the database: a weighing or a repeat of one names a sample unless it is a blank or a control, and the source of a
// sieve names a sample or a sand.
func (l *layout) findReferences(byName map[string]*layout) {
	if l.course == 1 {
		l.refer("course", "course", byName["courses"])
	}
	for _, c := range l.table.Columns {
		if c.Refers != "" {
			l.refer(c.Name, c.Name, byName[c.Refers])
		}
	}
	switch l.table {
	case underfoot.Weighings, underfoot.Repeats:
		l.refer("sample_of", "sample", byName["samples"])
	case underfoot.SieveMasses, underfoot.Sievings:
		l.refer("sample_of", "source", byName["samples"])
		l.refer("sand_of", "source", byName["sands"])
	}
}

func (l *layout) refer(column, said string, to *layout) {
	r := reference{from: l, column: column, said: said, to: to}
	own, other := quote(column), to.keyed[len(to.keyed)-1]
	match := `p."course" = c."course"`
	if column != "course" {
		match += ` AND p.` + other + ` = c.` + own
	}
	r.count = fmt.Sprintf(`SELECT count(*) FROM %s WHERE "course" = ?`, quote(l.table.Name))
	if column != "course" {
		r.count += ` AND ` + own + ` = ?`
	}
	r.count += ` AND "deleted" IS NULL`
	r.dangling = fmt.Sprintf(`SELECT c.%s, c.%s FROM %s c WHERE c."course" = ? AND c."deleted" IS NULL AND c.%s IS NOT NULL `+
		`AND NOT EXISTS (SELECT 1 FROM %s p WHERE %s AND p."deleted" IS NULL) LIMIT 1`,
		strings.Join(l.keyed, ", c."), own, quote(l.table.Name), own, quote(to.table.Name), match)
	l.refers = append(l.refers, r)
	to.needed = append(to.needed, r)
}

// lost is a live record that names one that is not there.
type lost struct {
	ref  reference
	key  underfoot.Key // of the record that refers
	name string        // what it names
}

// parent is the key of what is missing.
func (l *lost) parent() underfoot.Key {
	if l.ref.column == "course" {
		return underfoot.Key{l.name}
	}
	return underfoot.Key{l.key[0], l.name}
}

// sentence says what is missing to somebody who put the record in.
func (l *lost) sentence() string {
	t := l.ref.to.table
	if t == underfoot.Courses {
		return fmt.Sprintf("%s %s: course %q is not in the store: add the course first", l.ref.from.table.Name, l.key, l.name)
	}
	return fmt.Sprintf("%s %s: %s %q is not in %s of course %s: add it first",
		l.ref.from.table.Name, l.key, l.ref.said, l.name, t.Name, l.key[0])
}

// findLost returns a live record of a course that names by this reference what is not there or hidden; nil if none.
func (r reference) findLost(ctx context.Context, conn *sql.Conn, course string) (*lost, error) {
	values := make([]any, len(r.from.keyed)+1)
	into := make([]any, len(values))
	for i := range values {
		into[i] = &values[i]
	}
	err := conn.QueryRowContext(ctx, r.dangling, course).Scan(into...)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("looking for references of %s: %w", r.from.table.Name, err)
	}
	found := &lost{ref: r}
	for _, v := range values {
		found.key = append(found.key, cellText(v))
	}
	last := len(found.key) - 1
	found.key, found.name = found.key[:last], found.key[last]
	return found, nil
}

func cellText(v any) string {
	if n, ok := v.(float64); ok {
		return underfoot.FormatNumber(n)
	}
	return fmt.Sprint(v)
}
