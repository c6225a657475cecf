package store

import (
	"bytes"
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underfoot"
)

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	write := func(name, content string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	run := func(path string, queries ...string) string {
		db, err := sql.Open("sqlite", path)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		for _, q := range queries {
			if _, err := db.Exec(q); err != nil {
				t.Fatal(err)
			}
		}
		return path
	}
	newer := filepath.Join(dir, "newer.db")
	s, err := Open(context.Background(), newer, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	run(newer, `INSERT INTO goose_db_version (version_id, is_applied) VALUES (77, 1)`)

	tests := []struct {
		name, path, want string
		kind             underfoot.Kind
	}{
		{"text", write("list.csv", "course,name\n"), "it is not an Underfoot store: name another file", underfoot.Invalid},
		{"long text", write("long.csv", strings.Repeat("course,name\n", 10)), "it is not an Underfoot store: name another file", underfoot.Invalid},
		{"another program's", run(filepath.Join(dir, "other.db"), `CREATE TABLE "courses" (x)`), "it is a database of another program, not an Underfoot store: name another file", underfoot.Invalid},
		{"another program's number", run(filepath.Join(dir, "number.db"), `PRAGMA application_id = 77`), "it is a database of another program, not an Underfoot store: name another file", underfoot.Invalid},
		{"newer", newer, "store newer.db was written by a newer Underfoot (schema 77, this program knows 10): use that version or restore a backup", underfoot.Conflict},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			before, err := os.ReadFile(tt.path)
			if err != nil {
				t.Fatal(err)
			}
			refused(t, tt.path, tt.kind, tt.want)
			after, err := os.ReadFile(tt.path)
			if err != nil || !bytes.Equal(before, after) {
				t.Errorf("the file was touched, error %v", err)
			}
			if left, _ := filepath.Glob(tt.path + "?*"); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
	t.Run("no folder", func(t *testing.T) {
		path := filepath.Join(dir, "none", "courses.db")
		refused(t, path, underfoot.Invalid, "the folder "+filepath.Dir(path)+" does not exist: make it first or name another")
	})
	t.Run("a folder", func(t *testing.T) {
		refused(t, dir, underfoot.Invalid, "it is a folder or a device, not a file: name a file in it")
	})
	t.Run("read only", func(t *testing.T) {
		path := write("locked.db", "")
		if err := os.Chmod(path, 0o400); err != nil {
			t.Fatal(err)
		}
		if f, err := os.OpenFile(path, os.O_RDWR, 0); err == nil {
			f.Close()
			t.Skip("this user may write to read-only files")
		}
		refused(t, path, underfoot.Invalid, "the file must be readable and writable: open "+path+": permission denied")
	})
}

func refused(t *testing.T, path string, kind underfoot.Kind, want string) {
	t.Helper()
	s, err := Open(context.Background(), path, Options{})
	if err == nil {
		s.Close()
		t.Fatal("it was opened")
	}
	if want = "opening the store " + path + ": " + want; err.Error() != want || underfoot.KindOf(err) != kind {
		t.Errorf("got  kind %d: %v\nwant kind %d: %s", underfoot.KindOf(err), err, kind, want)
	}
}

// Paths that look like parts of an address are paths all the same, and what was written is there after the next start.
func TestOpenAgain(t *testing.T) {
	ctx := context.Background()
	for _, name := range []string{"courses.db", "a b?c#d%20é.db", "mode=memory&x.db"} {
		path := filepath.Join(t.TempDir(), name)
		for i := range 2 {
			s, err := Open(ctx, path, Options{})
			if err != nil {
				t.Fatal(err)
			}
			change, err := s.Change(ctx, "ann", "put", func(x underfoot.Tx) error {
				_, err := x.Put(&underfoot.Course{ID: "a"})
				return err
			})
			if err != nil || (change.ID == 0) != (i == 1) {
				t.Errorf("%s, start %d: %+v, error %v", name, i+1, change, err)
			}
			if err := s.Close(); err != nil {
				t.Error(err)
			}
		}
		if _, err := os.Stat(path); err != nil {
			t.Error(err)
		}
	}
}

// A start that was broken off between making the file and its tables is picked up.
func TestOpenHalfMade(t *testing.T) {
	path := filepath.Join(t.TempDir(), "courses.db")
	db, err := connect(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []string{
		`CREATE TABLE goose_db_version (id INTEGER PRIMARY KEY AUTOINCREMENT, version_id INTEGER NOT NULL, is_applied INTEGER NOT NULL, tstamp TIMESTAMP DEFAULT (datetime('now')))`,
		`INSERT INTO goose_db_version (version_id, is_applied) VALUES (0, 1)`,
	} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	s, err := Open(context.Background(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// Two programs may start on the same new file.
func TestOpenTogether(t *testing.T) {
	path := filepath.Join(t.TempDir(), "courses.db")
	done := make(chan error)
	for range 4 {
		go func() {
			s, err := Open(context.Background(), path, Options{})
			if err == nil {
				err = s.Close()
			}
			done <- err
		}()
	}
	for range 4 {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
}
