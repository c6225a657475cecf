package cli_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// twin writes the second example course under another name beside another package's files: into one package with it
// when together, else by itself.
func twin(t *testing.T, together bool) (dir string) {
	t.Helper()
	files := folder(t, example(t, "second"))
	delete(files, "greens.geojson")
	for name, text := range files {
		other := strings.NewReplacer("ostrelby", "twin", "os-", "tw-").Replace(text)
		if together {
			_, rows, _ := strings.Cut(other, "\n")
			other = text + rows
		}
		files[name] = other
	}
	return lay(t, files)
}

// A course starts from what the others of its species teach, and the answer is the same whether they lie in one package or
// one store, and whether it is asked for by itself or for all of them.
func TestForecastLearnsFromOtherCourses(t *testing.T) {
	const says = "still taken from what the rounds of 1 other course of creeping bent taught:"
	pack := twin(t, true)
	store, out := filepath.Join(t.TempDir(), "courses.db"), filepath.Join(t.TempDir(), "out")
	must(t, "import", pack, "--store", store)
	if text := must(t, "forecast", "--store", store, "--course", "ostrelby"); !strings.Contains(text, "still taken from the built-in table of ranges:") {
		t.Errorf("nobody has been calibrated, and yet:\n%s", text)
	}
	must(t, "calibrate", "--store", store, "--out", out)
	for _, course := range []string{"ostrelby", "twin"} {
		for _, source := range [][]string{{pack}, {"--store", store}} {
			ask := append([]string{"forecast", "--course", course}, source...)
			if text := must(t, ask...); !strings.Contains(text, says) {
				t.Errorf("%s does not say that %q:\n%s", strings.Join(ask, " "), says, text)
			}
			alone := parsedRows(t, []byte(must(t, append(ask, "--json")...)))
			batch, err := os.ReadFile(filepath.Join(out, course+".json"))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(parsedRows(t, batch), alone); diff != "" {
				t.Errorf("%s (-batch +by itself)\n%s", strings.Join(ask, " "), diff)
			}
		}
	}
	if text := must(t, "forecast", twin(t, false)); !strings.Contains(text, "still taken from the built-in table of ranges:") {
		t.Errorf("a course by itself:\n%s", text)
	}
}

func parsedRows(t *testing.T, text []byte) []map[string]any {
	t.Helper()
	var rows []map[string]any
	if err := json.Unmarshal(text, &rows); err != nil {
		t.Fatal(err)
	}
	return rows
}

// A new teacher, and nothing less, has forecasts made again that others' rounds went into.
func TestBatchFollowsItsTeachers(t *testing.T) {
	store, out := filepath.Join(t.TempDir(), "courses.db"), filepath.Join(t.TempDir(), "out")
	outcome := func() (o struct {
		Learnt   int `json:"learnt"`
		Foretold int `json:"foretold"`
		UpToDate int `json:"up_to_date"`
	},
	) {
		if err := json.Unmarshal([]byte(must(t, "calibrate", "--store", store, "--out", out, "--json")), &o); err != nil {
			t.Fatal(err)
		}
		return o
	}
	must(t, "import", example(t, "second"), "--store", store)
	if o := outcome(); o.Learnt != 1 || o.Foretold != 1 || o.UpToDate != 0 {
		t.Errorf("one course: %+v", o)
	}
	must(t, "import", twin(t, false), "--store", store)
	if o := outcome(); o.Learnt != 1 || o.Foretold != 2 || o.UpToDate != 1 {
		t.Errorf("one more: %+v", o)
	}
	if err := os.Remove(filepath.Join(out, "twin.json")); err != nil {
		t.Fatal(err)
	}
	if o := outcome(); o.Learnt != 0 || o.Foretold != 1 || o.UpToDate != 3 {
		t.Errorf("a forecast taken away: %+v", o)
	}
}
