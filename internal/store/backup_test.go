package store

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
)

func TestBackup(t *testing.T) {
	ctx := context.Background()
	s := openTest(t)
	put := func(id string) {
		if _, err := s.Change(ctx, "ann", "put", func(x underfoot.Tx) error {
			_, err := x.Put(&underfoot.Course{ID: id})
			return err
		}); err != nil {
			t.Fatal(err)
		}
	}
	put("a")
	path := filepath.Join(t.TempDir(), "backup.db")
	if err := s.Backup(ctx, path); err != nil {
		t.Fatal(err)
	}
	put("b")

	copied, err := Open(ctx, path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer copied.Close()
	got, err := copied.Courses(ctx)
	if diff := cmp.Diff([]underfoot.Course{{ID: "a"}}, got); diff != "" || err != nil {
		t.Errorf("error %v (-want +got)\n%s", err, diff)
	}
	if err := copied.Integrity(ctx); err != nil {
		t.Error(err)
	}
	err = s.Backup(ctx, path)
	want := "backing up the store to " + path + ": the file is there already: name a new one"
	if err == nil || err.Error() != want || underfoot.KindOf(err) != underfoot.Conflict {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if left, _ := filepath.Glob(path + ".part*"); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestIntegrity(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "courses.db")
	s, err := Open(ctx, path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Change(ctx, "ann", "put", func(x underfoot.Tx) error {
		_, err := x.Put(&underfoot.Course{ID: "a"})
		for i := range 5000 {
			if err == nil {
				_, err = x.Put(&underfoot.Weather{Course: "a", Date: underfoot.Date(i)})
			}
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	if err := s.Integrity(ctx); err != nil {
		t.Error(err)
	}
	if _, err := s.write.Exec(`PRAGMA foreign_keys = 0`); err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.Exec(`INSERT INTO "greens" ("course", "green", "created") VALUES ('z', '1', 1)`); err != nil {
		t.Fatal(err)
	}
	want := "the store " + path + " is damaged: restore a backup: greens refers to what is not in courses"
	if err := s.Integrity(ctx); err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	damage(t, path)
	s, err = Open(ctx, path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.Integrity(ctx); err == nil || !strings.HasPrefix(err.Error(), "the store "+path+" is damaged: restore a backup: ") &&
		!strings.Contains(err.Error(), "the file is damaged: restore a backup") {
		t.Errorf("a damaged file passed: %v", err)
	}
}

// damage overwrites some of the middle of a file.
func damage(t *testing.T, path string) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteAt([]byte(strings.Repeat("x", 20000)), info.Size()-40000); err != nil {
		t.Fatal(err)
	}
}
