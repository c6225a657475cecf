package exchange

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"underfoot"

	"github.com/google/go-cmp/cmp"
)

// Taking a package in and writing it out gives the same files, but for the order of the rows.
func TestRoundTripVirtualCourse(t *testing.T) { roundTrip(t, "testdata/v01") }

// All the virtual courses, where their folder is named.
func TestRoundTripVirtualCourses(t *testing.T) {
	root := os.Getenv("UNDERFOOT_VIRTUAL")
	if root == "" {
		t.Skip("UNDERFOOT_VIRTUAL does not name the folder of the virtual courses")
	}
	dirs, err := filepath.Glob(filepath.Join(root, "v[0-9][0-9]"))
	if err != nil || len(dirs) == 0 {
		t.Fatalf("no courses in %s (%v)", root, err)
	}
	for _, dir := range dirs {
		t.Run(filepath.Base(dir), func(t *testing.T) { roundTrip(t, dir) })
	}
}

func roundTrip(t *testing.T, dir string) {
	t.Helper()
	out, again := filepath.Join(t.TempDir(), "out"), filepath.Join(t.TempDir(), "again")
	write(t, out, take(t, dir))
	write(t, again, take(t, out))
	for name, text := range folder(t, out) {
		if second := folder(t, again)[name]; second != text {
			t.Errorf("%s changes when it is read and written again:\n%s", name, cmp.Diff(text, second))
		}
	}
	want, got := folder(t, dir), folder(t, out)
	delete(got, descriptionFile)
	delete(want, descriptionFile)
	for name, text := range want {
		if diff := cmp.Diff(sorted(text), sorted(got[name])); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		delete(got, name)
	}
	for name := range got {
		t.Errorf("%s was written and was not there", name)
	}
}

// sorted puts the rows after the header in order.
func sorted(text string) string {
	lines := strings.SplitAfter(text, "\n")
	if len(lines) > 1 {
		slices.Sort(lines[1:])
	}
	return strings.Join(lines, "")
}

func take(t testing.TB, dir string) []*underfoot.Records {
	t.Helper()
	var c Collector
	_, err := Read(t.Context(), dir, Options{Sink: c.Add, OnProblem: func(p Problem) { t.Error(p) }})
	if err != nil {
		t.Fatal(err)
	}
	return c.Courses()
}

func write(t testing.TB, dir string, courses []*underfoot.Records) {
	t.Helper()
	if err := Write(t.Context(), dir, courses); err != nil {
		t.Fatal(err)
	}
}

// folder returns the files of a folder by name.
func folder(t testing.TB, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(text)
	}
	return out
}

// lay makes a folder of the given files.
func lay(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), bytes.Clone([]byte(text)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}
