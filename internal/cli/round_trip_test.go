package cli_test

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The example courses there and back.
func TestRoundTripExamples(t *testing.T) {
	for _, name := range []string{"varrowmere", "second"} {
		t.Run(name, func(t *testing.T) { roundTrip(t, example(t, name)) })
	}
}

// A package of two courses there and back. Sands, controls and blanks name no course in the format: they come back as of
// both, so the package is what stays the same, not the table of each course.
func TestRoundTripTwoCourses(t *testing.T) {
	temp := t.TempDir()
	db, both := filepath.Join(temp, "s.db"), filepath.Join(temp, "both")
	for _, name := range []string{"varrowmere", "second"} {
		must(t, "import", example(t, name), "--store", db)
	}
	must(t, "export", "--store", db, "-o", both)
	roundTrip(t, both)
}

// The virtual courses there and back, where their folder is named.
func TestRoundTripVirtualCourses(t *testing.T) {
	root := os.Getenv("UNDERFOOT_VIRTUAL")
	if root == "" {
		t.Skip("UNDERFOOT_VIRTUAL does not name the folder of the virtual courses")
	}
	dirs, err := filepath.Glob(filepath.Join(root, "v[0-9][0-9]"))
	if err != nil || len(dirs) != 12 {
		t.Fatalf("%d courses in %s, want 12 (%v)", len(dirs), root, err)
	}
	for _, dir := range dirs {
		t.Run(filepath.Base(dir), func(t *testing.T) { roundTrip(t, dir) })
	}
}

// All virtual courses in one store come out one by one as they went in, and together as one package.
func TestManyCoursesInOneStore(t *testing.T) {
	root := os.Getenv("UNDERFOOT_VIRTUAL")
	if root == "" {
		t.Skip("UNDERFOOT_VIRTUAL does not name the folder of the virtual courses")
	}
	dirs, err := filepath.Glob(filepath.Join(root, "v[0-9][0-9]"))
	if err != nil || len(dirs) != 12 {
		t.Fatalf("%d courses in %s, want 12 (%v)", len(dirs), root, err)
	}
	temp := t.TempDir()
	db := filepath.Join(temp, "all.db")
	for _, dir := range dirs {
		must(t, "import", dir, "--store", db)
	}
	before := stored(t, db)
	for _, dir := range dirs {
		must(t, "import", dir, "--store", db)
		out := filepath.Join(temp, filepath.Base(dir))
		must(t, "export", "--store", db, "--course", filepath.Base(dir), "-o", out)
		sameTables(t, folder(t, dir), folder(t, out))
	}
	if diff := cmp.Diff(before, stored(t, db)); diff != "" {
		t.Errorf("importing all a second time changed the store:\n%s", diff)
	}
}

// roundTrip takes a package into a store and out again: the tables are those that went in, byte for byte after sorting by
// key. What came out goes into an empty store and comes out identical, byte for byte without sorting. Taking either in
// again changes nothing and leaves no change in the history.
func roundTrip(t *testing.T, dir string) {
	t.Helper()
	temp := t.TempDir()
	first, second := filepath.Join(temp, "first.db"), filepath.Join(temp, "second.db")
	out, again := filepath.Join(temp, "out"), filepath.Join(temp, "again")
	must(t, "import", dir, "--store", first)
	before := stored(t, first)
	must(t, "export", "--store", first, "-o", out)
	sameTables(t, folder(t, dir), folder(t, out))

	must(t, "import", out, "--store", second)
	must(t, "export", "--store", second, "-o", again)
	if diff := cmp.Diff(folder(t, out), folder(t, again)); diff != "" {
		t.Errorf("export, import into an empty store, export (-first +second):\n%s", diff)
	}

	for _, repeat := range []string{dir, out} {
		said := must(t, "import", repeat, "--store", first)
		if !strings.HasSuffix(said, "Nothing in it was new; the store is as it was.\n") {
			t.Errorf("a second import of %s:\n%s", filepath.Base(repeat), said)
		}
	}
	if diff := cmp.Diff(before, stored(t, first)); diff != "" {
		t.Errorf("repeated imports changed the store:\n%s", diff)
	}
}

// sameTables compares the files of two packages with the rows in order, leaving the description aside.
func sameTables(t *testing.T, want, got map[string]string) {
	t.Helper()
	names := func(m map[string]string) []string {
		list := slices.Sorted(maps.Keys(m))
		return slices.DeleteFunc(list, func(s string) bool { return s == "datapackage.json" })
	}
	if diff := cmp.Diff(names(want), names(got)); diff != "" {
		t.Errorf("files (-in +out):\n%s", diff)
	}
	for _, name := range names(want) {
		if name == "greens.geojson" {
			if diff := cmp.Diff(features(t, want[name]), features(t, got[name])); diff != "" {
				t.Errorf("%s (-in +out):\n%s", name, diff)
			}
			continue
		}
		if diff := cmp.Diff(ordered(want[name]), ordered(got[name])); diff != "" {
			t.Errorf("%s (-in +out):\n%s", name, diff)
		}
	}
}

// ordered puts the rows after the header in order; the example and virtual tables have no cell of several lines.
func ordered(text string) []string {
	lines := strings.SplitAfter(text, "\n")
	slices.Sort(lines[1:])
	return lines
}

// features returns the outlines of a GeoJSON file by green, each with its members in order.
func features(t *testing.T, text string) map[string]string {
	t.Helper()
	var all struct {
		Features []struct {
			Properties struct{ Green string }
			Rest       json.RawMessage `json:"geometry"`
		}
	}
	if err := json.Unmarshal([]byte(text), &all); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range all.Features {
		var shape any
		if err := json.Unmarshal(f.Rest, &shape); err != nil {
			t.Fatal(err)
		}
		sorted, err := json.Marshal(shape)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Properties.Green] = string(sorted)
	}
	return out
}
