package store

import (
	"context"
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/pressly/goose/v3"

	"underfoot"
)

// older makes a store as a program of an earlier schema left it, with a course, a green, a sample and its weighing.
func older(t *testing.T, version int64) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "courses.db")
	db, err := connect(path)
	if err != nil {
		t.Fatal(err)
	}
	folder, err := fs.Sub(migrations, "migrations/sqlite")
	if err != nil {
		t.Fatal(err)
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, folder, goose.WithDisableGlobalRegistry(true))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.UpTo(context.Background(), version); err != nil {
		t.Fatal(err)
	}
	for _, q := range []string{
		`INSERT INTO "change" ("id", "at", "by", "what", "added") VALUES (1, '2026-10-08T09:00:00.000000Z', 'ann', 'imported a package', 4)`,
		`INSERT INTO "change_course" VALUES ('a', 1, 'courses', 1, 0, 0), ('a', 1, 'greens', 1, 0, 0), ('a', 1, 'samples', 1, 0, 0), ('a', 1, 'weighings', 1, 0, 0)`,
		`INSERT INTO "courses" ("course", "created") VALUES ('a', 1)`,
		`INSERT INTO "greens" ("course", "green", "created") VALUES ('a', '1', 1)`,
		`INSERT INTO "samples" ("course", "sample", "green", "date", "top_mm", "bottom_mm", "created") VALUES ('a', 's1', '1', '2026-10-08', 0, 20, 1)`,
		`INSERT INTO "weighings" ("course", "sample", "crucible", "dry_g", "created") VALUES ('a', 's1', 'c1', 41.5, 1)`,
	} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// A store of every earlier schema is brought to this one with all that is in it, takes what is new, and its changes can
// still be undone.
func TestOpenOlder(t *testing.T) {
	newest, err := newestVersion()
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	for version := int64(1); version <= newest; version++ {
		s, err := Open(ctx, older(t, version), Options{})
		if err != nil {
			t.Fatalf("schema %d: %v", version, err)
		}
		day := underfoot.MakeDate(2026, 10, 8)
		want := &underfoot.Records{
			Course:    underfoot.Course{ID: "a"},
			Greens:    []underfoot.Green{{Course: "a", ID: "1"}},
			Samples:   []underfoot.Sample{{ID: "s1", Course: "a", Green: "1", Date: day, BottomMM: 20}},
			Weighings: []underfoot.Weighing{{Course: "a", Sample: "s1", Crucible: "c1", DryG: underfoot.Some(41.5)}},
		}
		got, err := s.Records(ctx, "a")
		if diff := cmp.Diff(want, got); err != nil || diff != "" {
			t.Errorf("schema %d: %v\n%s", version, err, diff)
		}
		repeat := underfoot.Repeat{Course: "a", Sample: "s1", Crucible: "c1", Stage: "dry", N: 1, MassG: 41.5}
		c, err := s.Change(ctx, "ann", "weighed again", func(x underfoot.Tx) error {
			_, err := x.Put(&repeat)
			return err
		})
		if err != nil {
			t.Fatalf("schema %d: %v", version, err)
		}
		_, err = s.Undo(ctx, "ann", 1)
		if underfoot.KindOf(err) != underfoot.Conflict {
			t.Errorf("schema %d: undoing what a repeat needs: %v", version, err)
		}
		for _, id := range []int64{c.ID, 1} {
			if _, err := s.Undo(ctx, "ann", id); err != nil {
				t.Errorf("schema %d: %v", version, err)
			}
		}
		if err := s.Integrity(ctx); err != nil {
			t.Errorf("schema %d: %v", version, err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
}
