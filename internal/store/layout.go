package store

import (
	"fmt"
	"strings"

	"underfoot"
)

// layout is how one table of records lies in the database: its SQL, made from the description of the table, and its
// references.
type layout struct {
	table   *underfoot.Table
	course  int      // 1 when the table has a course column that its file has not
	columns []string // quoted: the course where the file has none, then those of the file
	keys    []underfoot.Column
	keyed   []string // quoted columns of the key, the course first
	refers  []reference
	needed  []reference // the references of others to this table

	insert, stored, live, list, brought, broughtAfter, update, hide, remove string
}

// newLayouts lays out all tables in the order of [underfoot.Tables].
func newLayouts() []*layout {
	var all []*layout
	byName := map[string]*layout{}
	for _, t := range underfoot.Tables() {
		l := newLayout(t)
		all = append(all, l)
		byName[t.Name] = l
	}
	for _, l := range all {
		l.findReferences(byName)
	}
	return all
}

func newLayout(t *underfoot.Table) *layout {
	l := &layout{table: t, keys: t.KeyColumns(), keyed: []string{`"course"`}}
	if _, has := t.Column("course"); !has {
		l.course = 1
		l.columns = append(l.columns, `"course"`)
	}
	for _, c := range t.Columns {
		l.columns = append(l.columns, quote(c.Name))
	}
	for _, c := range l.keys {
		l.keyed = append(l.keyed, quote(c.Name))
	}
	l.write()
	return l
}

// write makes the statements of the table. Placeholders of a whole row are its columns, the extra and the change.
func (l *layout) write() {
	name := quote(l.table.Name)
	columns := joined(l.columns)
	is := func(cols []string) string { return strings.Join(cols, " = ? AND ") + " = ?" }
	key := joined(l.keyed)

	l.insert = fmt.Sprintf(`INSERT INTO %s (%s, "extra", "created") VALUES (%s) ON CONFLICT DO NOTHING`,
		name, columns, marks(len(l.columns)+2))
	row := fmt.Sprintf(`SELECT %s, "extra", "created", "deleted" FROM %s WHERE `, columns, name)
	l.stored = row + is(l.keyed)
	l.live = fmt.Sprintf(`SELECT 1 FROM %s WHERE %s AND "deleted" IS NULL`, name, is(l.keyed))
	l.list = row + `"course" = ? AND "deleted" IS NULL ORDER BY ` + key
	l.brought = row + `"course" = ? AND "created" = ? ORDER BY ` + key + ` LIMIT ?`
	if own := l.keyed[1:]; len(own) > 0 {
		l.broughtAfter = row + `"course" = ? AND (` + joined(own) + `) > (` + marks(len(own)) + `) AND "created" = ? ORDER BY ` + key + ` LIMIT ?`
	}
	l.update = fmt.Sprintf(`UPDATE %s SET %s = ?, "extra" = ?, "deleted" = NULL WHERE %s`,
		name, strings.Join(l.columns, " = ?, "), is(l.keyed))
	l.hide = fmt.Sprintf(`UPDATE %s SET "deleted" = ? WHERE %s`, name, is(l.keyed))
	l.remove = fmt.Sprintf(`DELETE FROM %s WHERE %s`, name, is(l.keyed))
}

// keyValues turns a key into the values the database compares, and into its canonical cells.
func (l *layout) keyValues(key underfoot.Key) ([]any, underfoot.Key, error) {
	t := l.table
	if len(key) != len(l.keyed) {
		return nil, nil, underfoot.Errorf(underfoot.Invalid, "%s %s: a key of %s is needed, found %d parts",
			t.Name, key, strings.ReplaceAll(strings.Join(l.keyed, ", "), `"`, ""), len(key))
	}
	values := []any{key[0]}
	cells := underfoot.Key{key[0]}
	for i, c := range l.keys {
		text := key[i+1]
		if c.Kind != underfoot.Number && c.Kind != underfoot.Whole {
			values, cells = append(values, text), append(cells, text)
			continue
		}
		v, err := underfoot.ParseNumber(text)
		if err != nil {
			return nil, nil, underfoot.Errorf(underfoot.Invalid, "%s %s: %s: %w", t.Name, key, c.Name, err)
		}
		cells = append(cells, underfoot.FormatNumber(v))
		if whole := int64(v); c.Kind == underfoot.Whole && float64(whole) == v {
			values = append(values, whole)
		} else {
			values = append(values, v)
		}
	}
	return values, cells, nil
}

func quote(name string) string { return `"` + name + `"` }

func joined(names []string) string { return strings.Join(names, ", ") }

// marks returns n placeholders.
func marks(n int) string { return strings.TrimSuffix(strings.Repeat("?, ", n), ", ") }
