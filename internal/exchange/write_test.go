package exchange

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"underfoot"
	"underfoot/internal/golden"

	"github.com/google/go-cmp/cmp"
)

func small(id string, density float64) *underfoot.Records {
	return &underfoot.Records{
		Course: underfoot.Course{ID: id, Name: "Course " + id},
		Sands:  []underfoot.Sand{{Course: id, ID: "dress", BulkDensity: underfoot.Some(density)}},
		Greens: []underfoot.Green{{Course: id, ID: "g2"}, {Course: id, ID: "g1", Extra: underfoot.Extra{"mood": "fair"}}},
		Sieve: []underfoot.Sieve{
			{Course: id, Source: "sand:dress", SieveMM: 10, RetainedG: 1}, {Course: id, Source: "sand:dress", SieveMM: 2, RetainedG: 3},
		},
	}
}

func TestWriteTwoCourses(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	write(t, dir, []*underfoot.Records{small("b", 1500), small("a", 1500)})
	got := folder(t, dir)
	golden.Equal(t, "testdata/golden/datapackage.json", []byte(got[descriptionFile]))
	delete(got, descriptionFile)
	want := map[string]string{
		"courses.csv": "course,name,latitude_deg,longitude_deg,country,time_zone\na,Course a,,,,\nb,Course b,,,,\n",
		"sands.csv":   "sand,name,role,bulk_density_kg_m3,moisture_percent,price_per_t,currency,load_t\ndress,,,1500,,,,\n",
		"greens.csv":  "course,green,name,kind,species,area_m2,built_year,rootzone_sand,mood\na,g1,,,,,,,fair\na,g2,,,,,,,\nb,g1,,,,,,,fair\nb,g2,,,,,,,\n",
		"sieve.csv":   "source,sieve_mm,retained_g\nsand:dress,2,3\nsand:dress,10,1\n",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestWriteCoursesThatDisagree(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	err := Write(t.Context(), dir, []*underfoot.Records{small("a", 1500), small("b", 1600)})
	want := "writing a package: courses a and b both have sands dress, and not the same: write one course at a time, or rename it on one"
	if err == nil || err.Error() != want || underfoot.KindOf(err) != underfoot.Conflict {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if _, err := os.Stat(dir); !os.IsNotExist(err) {
		t.Error("something was written")
	}
}

// Only a package of ours is replaced, and it is replaced whole.
func TestWriteOver(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	write(t, dir, []*underfoot.Records{small("a", 1500)})
	fewer := small("a", 1500)
	fewer.Sieve = nil
	write(t, dir, []*underfoot.Records{fewer})
	if _, there := folder(t, dir)["sieve.csv"]; there {
		t.Error("a table of the package before is still there")
	}
	before := folder(t, dir)
	tests := []struct{ name, file, text, want string }{
		{"another file in it", "notes.txt", "x", "the folder also holds notes.txt, which is not part of the package: name a new or empty folder"},
		{"not ours", descriptionFile, "{}", "the folder is not empty and not a package written by this program: name a new or empty folder"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			path := filepath.Join(dir, tt.file)
			if err := os.WriteFile(path, []byte(tt.text), 0o644); err != nil {
				t.Fatal(err)
			}
			err := Write(t.Context(), dir, []*underfoot.Records{small("b", 1)})
			want := "writing package " + dir + ": " + tt.want
			if err == nil || err.Error() != want || underfoot.KindOf(err) != underfoot.Conflict {
				t.Errorf("got  %v\nwant %s", err, want)
			}
			if got := folder(t, dir)["courses.csv"]; got != before["courses.csv"] {
				t.Error("the package has changed")
			}
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
		})
	}
	entries, err := os.ReadDir(root)
	if err != nil || len(entries) != 1 {
		t.Errorf("left beside the package: %v (%v)", entries, err)
	}
}

// A write that is broken off leaves nothing.
func TestWriteFails(t *testing.T) {
	root := t.TempDir()
	bad := small("a", 1500)
	bad.Outlines = []underfoot.Outline{{Course: "a", Green: "g1", Feature: "{}"}}
	err := Write(t.Context(), filepath.Join(root, "out"), []*underfoot.Records{bad})
	want := "writing package " + filepath.Join(root, "out") + `: outline of green "g1" of course "a": type is "": Feature is expected`
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if entries, err := os.ReadDir(root); err != nil || len(entries) != 0 {
		t.Errorf("left behind: %v (%v)", entries, err)
	}
}

func TestReadDescriptionSays(t *testing.T) {
	tests := []struct {
		name, text string
		want       []string
	}{
		{"good", `{"resources":[{"path":"greens.csv"},{"path":["courses.csv"]}]}`, nil},
		{"not JSON", "{\n\"resources\":[}", []string{"datapackage.json:2: is not a data package: invalid character '}' looking for beginning of value"}},
		{"no list", `{}`, []string{"datapackage.json: resources: is missing: a data package lists its files"}},
		{"newer", `{"underfoot":{"format":2},"resources":[]}`, []string{
			"datapackage.json: underfoot.format: the package is of version 2 of the format and this program reads up to 1: use a newer one",
		}},
		{"paths", `{"resources":[{"path":"../../etc/passwd"},{"path":"/etc/passwd"},{"path":"a\\b"},{"path":"no.csv"},{"path":"https://example.org/x.csv"},{"path":"extra.csv"},{"data":[]}]}`, []string{
			"~ extra.csv: is not part of the format and was not read",
			`datapackage.json: resources[0].path: "../../etc/passwd" leads out of the package: a path inside its folder is expected`,
			`datapackage.json: resources[1].path: "/etc/passwd" leads out of the package: a path inside its folder is expected`,
			`datapackage.json: resources[2].path: "a\\b" leads out of the package: a path inside its folder is expected`,
			"datapackage.json: resources[3].path: no.csv is listed and not in the folder",
			"~ datapackage.json: resources[4].path: https://example.org/x.csv is elsewhere and was not read",
			"~ datapackage.json: resources[5].path: extra.csv is not part of the format and was not read",
			"~ datapackage.json: resources[6]: has no path and was not read",
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := base()
			files[descriptionFile] = tt.text
			if tt.name == "paths" {
				files["extra.csv"] = "x"
			}
			got, _ := said(t, lay(t, files), Options{})
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// The description is JSON that names every file written and every column of it.
func TestDescriptionNamesAll(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	write(t, dir, take(t, "testdata/v01"))
	files := folder(t, dir)
	var d description
	if err := json.Unmarshal([]byte(files[descriptionFile]), &d); err != nil {
		t.Fatal(err)
	}
	for _, r := range d.Resources {
		header := ""
		for i, f := range r.Table.Fields {
			if i > 0 {
				header += ","
			}
			header += f.Name
		}
		if got := files[r.Path][:len(header)+1]; got != header+"\n" {
			t.Errorf("%s has columns %q and is described with %q", r.Path, got, header)
		}
		delete(files, r.Path)
	}
	if len(files) != 1 {
		t.Errorf("%d files are not described", len(files)-1)
	}
}

func ExampleRead() {
	var c Collector
	sum, err := Read(context.Background(), "testdata/v01", Options{Sink: c.Add})
	fmt.Println(sum.Courses, sum.Rows["samples.csv"], sum.Problems, err)
	fmt.Println(c.Courses()[0].Course.Name, len(c.Courses()[0].Greens))
	// Output:
	// [v01] 45 0 <nil>
	// Virtual course 01 6
}
