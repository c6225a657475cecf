package app_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/exchange"
)

// A preview says what an import would do, and writes nothing.
func TestPreview(t *testing.T) {
	a, packages := club(t, noon)
	other := empty(t, noon)
	dir := filepath.Join(packages, "second")

	seen, err := other.Preview(t.Context(), dir, app.Reading{})
	if err != nil {
		t.Fatal(err)
	}
	if courses, err := other.Store.Courses(t.Context()); err != nil || len(courses) != 0 || lastChange(t, other) != 0 {
		t.Errorf("after the preview there are %d courses and change %d (%v)", len(courses), lastChange(t, other), err)
	}
	done, err := other.Import(t.Context(), dir, "tester", app.Reading{})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(seen.Tables, done.Tables); diff != "" {
		t.Errorf("previewed and done (-seen +done):\n%s", diff)
	}
	if !done.New() || seen.Change.ID != 0 || done.Change.What != "imported the package second" || done.Change.By != "tester" {
		t.Errorf("preview %+v, import %+v", seen.Change, done.Change)
	}

	latest := lastChange(t, a)
	seen, err = a.Preview(t.Context(), dir, app.Reading{})
	if err != nil || seen.New() || lastChange(t, a) != latest {
		t.Errorf("a package that is there already: new %v, change %d, want %d (%v)", seen.New(), lastChange(t, a), latest, err)
	}
}

// A preview of a bad package tells its problems.
func TestPreviewOfBadPackage(t *testing.T) {
	a, packages := club(t, noon)
	dir := filepath.Join(packages, "second")
	text := "course,date,rain_mm\nostrelby,2026-06-01,-5\n"
	if err := os.WriteFile(filepath.Join(dir, "weather.csv"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	latest := lastChange(t, a)
	var told []string
	_, err := a.Preview(t.Context(), dir, app.Reading{OnProblem: func(p exchange.Problem) { told = append(told, p.String()) }})
	want := "package " + dir + " has 1 problem: nothing was taken from it"
	if err == nil || err.Error() != want || underfoot.KindOf(err) != underfoot.Invalid {
		t.Errorf("got %v, want %s", err, want)
	}
	if diff := cmp.Diff([]string{"weather.csv:2: rain_mm: -5 mm is out of range: 0 to 2000 mm is allowed"}, told); diff != "" {
		t.Error(diff)
	}
	if lastChange(t, a) != latest {
		t.Error("the preview wrote")
	}
}

// Several courses go out as one package and come in again as they were; one alone has only its own rows.
func TestSeveralCoursesInOnePackage(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	both := filepath.Join(t.TempDir(), "both")
	if err := a.Export(ctx, nil, both); err != nil {
		t.Fatal(err)
	}
	list, err := app.ReadPackage(ctx, both, noon(), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 2 || list[0].Course.ID != "ostrelby" || list[1].Course.ID != "varrowmere" {
		t.Fatalf("%d courses, want ostrelby and varrowmere", len(list))
	}
	for _, rs := range list {
		there, err := a.Store.Records(ctx, rs.Course.ID)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(there.Samples, rs.Samples); diff != "" {
			t.Errorf("samples of %s (-stored +read):\n%s", rs.Course.ID, diff)
		}
		// blanks belong to the whole package and come back for each of its courses
		if diff := cmp.Diff(ofSamples(there.Weighings), ofSamples(rs.Weighings)); diff != "" {
			t.Errorf("weighings of composites of %s (-stored +read):\n%s", rs.Course.ID, diff)
		}
	}

	one := filepath.Join(t.TempDir(), "one")
	if err := a.Export(ctx, []string{"ostrelby"}, one); err != nil {
		t.Fatal(err)
	}
	list, err = app.ReadPackage(ctx, one, noon(), nil, nil)
	if err != nil || len(list) != 1 || list[0].Course.ID != "ostrelby" {
		t.Errorf("%d courses (%v), want ostrelby alone", len(list), err)
	}
	if err := a.Export(ctx, []string{"nowhere"}, filepath.Join(t.TempDir(), "none")); underfoot.KindOf(err) != underfoot.NotFound {
		t.Errorf("exporting a course that is not there: %v", err)
	}
	err = empty(t, noon).Export(ctx, nil, filepath.Join(t.TempDir(), "none"))
	if want := "the store has no course to export"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func ofSamples(list []underfoot.Weighing) []underfoot.Weighing {
	return slices.DeleteFunc(slices.Clone(list), func(w underfoot.Weighing) bool { return !w.OfSample() })
}

// Which course a question is about.
func TestOneCourse(t *testing.T) {
	a, b := &underfoot.Records{Course: underfoot.Course{ID: "a"}}, &underfoot.Records{Course: underfoot.Course{ID: "b"}}
	cases := []struct {
		name, course string
		list         []*underfoot.Records
		want         *underfoot.Records
		says         string
	}{
		{"the only one", "", []*underfoot.Records{a}, a, ""},
		{"the one named", "b", []*underfoot.Records{a, b}, b, ""},
		{"none named of two", "", []*underfoot.Records{a, b}, nil, "there are 2 courses (a, b): say which with --course"},
		{"another named", "c", []*underfoot.Records{a, b}, nil, `course "c" is not there: there are a, b`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := app.OneCourse(c.list, c.course)
			if got != c.want {
				t.Errorf("got %v, want %v", got, c.want)
			}
			if said := text(err); said != c.says {
				t.Errorf("got %q, want %q", said, c.says)
			}
		})
	}
}

func text(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}
