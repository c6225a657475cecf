package app_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/store"
)

// copies brings the second example course into a new store under so many names.
func copies(t *testing.T, names ...string) *app.App {
	t.Helper()
	ctx := context.Background()
	now := func() time.Time { return time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC) }
	st, err := store.Open(ctx, filepath.Join(t.TempDir(), "courses.db"), store.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	a := app.New(st, now, "tester")
	for _, name := range names {
		dir := t.TempDir()
		files, err := filepath.Glob("../../examples/second/*.csv")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text = []byte(strings.NewReplacer("ostrelby", name, "os-", name+"-").Replace(string(text)))
			if err := os.WriteFile(filepath.Join(dir, filepath.Base(file)), text, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := a.Import(ctx, dir, "tester", app.Reading{}); err != nil {
			t.Fatal(err)
		}
	}
	return a
}

// A batch that is stopped half way goes on where it was, and what comes of it is what comes of one that is not stopped.
func TestABatchGoesOnWhereItWasStopped(t *testing.T) {
	names := []string{"c1", "c2", "c3", "c4"}
	whole := map[string]string{}
	if err := batch(t, copies(t, names...), map[string]string{}, whole, 0); err != nil {
		t.Fatal(err)
	}
	a, done, parts := copies(t, names...), map[string]string{}, map[string]string{}
	for stopAfter := 1; stopAfter < 8; stopAfter += 3 {
		if err := batch(t, a, done, parts, stopAfter); !errors.Is(err, context.Canceled) {
			t.Errorf("stopped after %d: %v", stopAfter, err)
		}
	}
	if err := batch(t, a, done, parts, 0); err != nil {
		t.Fatal(err)
	}
	if len(whole) != len(names) {
		t.Errorf("%d forecasts, want %d", len(whole), len(names))
	}
	if diff := cmp.Diff(whole, parts); diff != "" {
		t.Errorf("(-in one go +in parts)\n%s", diff)
	}
	again := 0
	b := asked(done, map[string]string{})
	b.OnDone = func(c app.Calibrated) {
		if !c.Skipped {
			again++
		}
	}
	if err := a.Calibrate(context.Background(), b); err != nil || again != 0 {
		t.Errorf("done again: %d, error %v", again, err)
	}
}

// batch runs a batch, stopped when stopAfter results are made or found; 0 for never.
func batch(t *testing.T, a *app.App, done, rows map[string]string, stopAfter int) error {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	b := asked(done, rows)
	made := 0
	b.OnDone = func(c app.Calibrated) {
		if c.Err != nil {
			t.Errorf("%s: %v", c.Course, c.Err)
		}
		if made++; made == stopAfter {
			stop()
		}
	}
	return a.Calibrate(ctx, b)
}

// asked is a batch that puts its rows into a map and remembers in done what each was made from.
func asked(done, rows map[string]string) app.Batch {
	return app.Batch{
		Workers: 1,
		Dates:   func(last underfoot.Date) []underfoot.Date { return []underfoot.Date{last.Add(365)} },
		Done:    func(course, from string) bool { return done[course] == from },
		Put: func(course, from string, list []app.ForecastRow) error {
			done[course], rows[course] = from, fmt.Sprint(list)
			return nil
		},
	}
}
