package store

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
)

func openTest(t testing.TB) *SQLite {
	t.Helper()
	s, err := Open(context.Background(), filepath.Join(t.TempDir(), "courses.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// The schema holds the columns of [underfoot.Tables] with their types, needs and keys, and no others.
func TestSchemaMirrorsTables(t *testing.T) {
	s := openTest(t)
	for _, l := range newLayouts() {
		want := map[string]string{"course": "TEXT NOT NULL", "extra": "TEXT", "created": "INTEGER NOT NULL", "deleted": "INTEGER"}
		for _, c := range l.table.Columns {
			want[c.Name] = columnType(c)
		}
		for i, name := range l.keyed {
			name = name[1 : len(name)-1]
			want[name] += fmt.Sprintf(" KEY %d", i+1)
		}
		if diff := cmp.Diff(want, columnsOf(t, s, l.table.Name)); diff != "" {
			t.Errorf("table %s (-description +schema)\n%s", l.table.Name, diff)
		}
	}
}

func columnType(c underfoot.Column) string {
	typ := map[underfoot.ColumnKind]string{underfoot.Text: "TEXT", underfoot.Day: "TEXT", underfoot.Number: "REAL", underfoot.Whole: "INTEGER"}[c.Kind]
	if c.Need {
		typ += " NOT NULL"
	}
	return typ
}

// columnsOf returns the columns of a table that are not made from others.
func columnsOf(t *testing.T, s *SQLite, table string) map[string]string {
	t.Helper()
	rows, err := s.read.Query(`SELECT name, type || CASE WHEN "notnull" THEN ' NOT NULL' ELSE '' END || CASE WHEN pk THEN ' KEY ' || pk ELSE '' END
		FROM pragma_table_info(?)`, table)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	out := map[string]string{}
	for rows.Next() {
		var name, typ string
		if err := rows.Scan(&name, &typ); err != nil {
			t.Fatal(err)
		}
		out[name] = typ
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

// The schema has exactly the foreign keys that the descriptions name.
func TestSchemaMirrorsReferences(t *testing.T) {
	s := openTest(t)
	for _, l := range newLayouts() {
		want := map[string]bool{}
		for _, r := range l.refers {
			want[fmt.Sprintf("%s -> %s", r.column, r.to.table.Name)] = true
		}
		got := map[string]bool{}
		rows, err := s.read.Query(`SELECT "from", "table" FROM pragma_foreign_key_list(?1) f WHERE seq = (SELECT max(seq) FROM pragma_foreign_key_list(?1) g WHERE g.id = f.id)`, l.table.Name)
		if err != nil {
			t.Fatal(err)
		}
		for rows.Next() {
			var from, to string
			if err := rows.Scan(&from, &to); err != nil {
				t.Fatal(err)
			}
			got[fmt.Sprintf("%s -> %s", from, to)] = true
		}
		rows.Close()
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("table %s (-description +schema)\n%s", l.table.Name, diff)
		}
	}
}

// Strict tables without row numbers: a wrong type is refused by the database too.
func TestSchemaIsStrict(t *testing.T) {
	s := openTest(t)
	for _, l := range newLayouts() {
		var strict, withoutRow bool
		err := s.read.QueryRow(`SELECT strict, wr FROM pragma_table_list WHERE name = ?`, l.table.Name).Scan(&strict, &withoutRow)
		if err != nil || !strict || !withoutRow {
			t.Errorf("table %s: strict %v, without row numbers %v, error %v", l.table.Name, strict, withoutRow, err)
		}
	}
}

func TestHistoryIsOnlyAddedTo(t *testing.T) {
	s := openTest(t)
	ctx := context.Background()
	for _, name := range []string{"North", "South"} {
		if _, err := s.Change(ctx, "ann", "named the course", func(x underfoot.Tx) error {
			_, err := x.Put(&underfoot.Course{ID: "a", Name: name})
			return err
		}); err != nil {
			t.Fatal(err)
		}
	}
	for _, q := range []string{`UPDATE "history" SET "before" = NULL`, `DELETE FROM "history"`} {
		if _, err := s.write.Exec(q); err == nil {
			t.Errorf("%s went through", q)
		}
	}
}
