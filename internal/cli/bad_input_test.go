package cli_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/internal/store"
)

// small is a package of one course with two rounds, in which every case below changes one file.
func small() map[string]string {
	return map[string]string{
		"courses.csv": "course,name,time_zone\nc,Course C,Europe/London\n",
		"greens.csv":  "course,green,name,area_m2\nc,g1,First,500\nc,g2,Second,400\n",
		"sands.csv":   "sand,name,role,bulk_density_kg_m3\nd,Dressing,topdressing,1550\n",
		"samples.csv": "sample,course,green,round,date,top_mm,bottom_mm,cores,core_diameter_mm\n" +
			"a1,c,g1,one,2025-10-01,0,20,5,20\na2,c,g2,one,2025-10-01,0,20,5,20\n" +
			"b1,c,g1,two,2026-10-01,0,20,5,20\nb2,c,g2,two,2026-10-01,0,20,5,20\n",
		"weighings.csv": "sample,crucible,tare_g,dry_g,ash_g,ash_c\n" +
			"a1,1,40,70.5,69,440\na2,2,40,70.5,68.5,440\nb1,3,40,70.5,68.25,440\nb2,4,40,70.5,68,440\n",
		"work.csv": "entry,course,green,date,status,kind,sand,sand_mm,sand_kg_m2,note\n" +
			"w1,c,,2026-05-01,done,topdress,d,1,1.55,\"damp, dull\"\nw2,c,,2026-06-01,done,topdress,d,1.5,,\n",
	}
}

// with returns the small package with one text replaced in one file.
func with(t testing.TB, file, old, now string) map[string]string {
	t.Helper()
	p := small()
	if !strings.Contains(p[file], old) {
		t.Fatalf("%s does not hold %q", file, old)
	}
	p[file] = strings.Replace(p[file], old, now, 1)
	return p
}

// Every package that cannot be taken: check tells all problems and ends with 1, import tells the same and ends with 2,
// and the store is as it was: not made when it was not there, and not touched when it was.
func TestBadPackages(t *testing.T) {
	bad := func(file, old, now string, want ...string) func(t testing.TB) (map[string]string, []string) {
		return func(t testing.TB) (map[string]string, []string) { return with(t, file, old, now), want }
	}
	whole := func(file, text string, want ...string) func(t testing.TB) (map[string]string, []string) {
		return func(testing.TB) (map[string]string, []string) {
			p := small()
			p[file] = text
			return p, want
		}
	}
	cases := []struct {
		name string
		make func(testing.TB) (map[string]string, []string)
	}{
		{"empty file", whole("weighings.csv", "", "weighings.csv: is empty: a header row is needed, "+
			"sample,crucible,furnace_run,tare_g,moist_g,dry_g,ash_g,dry_c,ash_c,ash_hours,balance_resolution_g,kind")},
		{"decimal comma in a comma file", bad("weighings.csv", "a1,1,40,70.5,", "a1,1,40,70,5,",
			"weighings.csv:2: the row has 7 cells and the header 6: put cells that hold a comma in quotes, and write decimals with a point")},
		{"quoted decimal comma", bad("weighings.csv", "a1,1,40,70.5,", `a1,1,40,"70,5",`,
			`weighings.csv:2: dry_g: "70,5" has a comma: a decimal point is expected and no thousands mark: 0 to 100000 g is allowed`)},
		{"quote never closed", bad("work.csv", `"damp, dull"`, `"damp, dull`,
			"work.csv:2: a quote opened on line 2 is never closed: close it, or take it out")},
		{"binary file", whole("weighings.csv", "\x00\x01\x02\xff\xfe\x00", "weighings.csv: is not a text file (byte 1 is zero): save the table as CSV in UTF-8")},
		{"workbook under the name of a table", whole("weighings.csv", "PK\x03\x04rest of it",
			"weighings.csv: is a ZIP archive or an XLSX workbook, not a text file: save the table as CSV in UTF-8")},
		{"UTF-16", whole("weighings.csv", "\xff\xfes\x00a\x00", "weighings.csv: is in UTF-16: save the file as UTF-8")},
		{"Latin-1", bad("greens.csv", "First", "F\xfcrst", `greens.csv:2: name: "F\xfcrst" is not UTF-8: save the file as UTF-8`)},
		{"duplicate key", bad("samples.csv", "a2,c,g2", "a1,c,g2",
			"samples.csv:3: sample: a1 is there already on line 2: each may come once",
			`weighings.csv:3: sample: sample "a2" is not in samples.csv`)},
		{"duplicate crucible of a sample", bad("weighings.csv", "b1,3", "a1,1",
			"weighings.csv:4: sample, crucible: a1, 1 is there already on line 2: each may come once")},
		{"ash above dry", bad("weighings.csv", "70.5,69,", "70.5,70.75,",
			"weighings.csv:2: ash_g: dry mass 70.5 g is below ash mass 70.75 g: weigh the crucible again or take the row out")},
		{"negative mass", bad("weighings.csv", "a1,1,40,", "a1,1,-40,",
			"weighings.csv:2: tare_g: -40 g is out of range: 0 to 100000 g is allowed")},
		{"net mass instead of gross", bad("weighings.csv", "a1,1,40,70.5,69", "a1,1,40,30.5,29",
			"weighings.csv:2: dry_g: dry mass 30.5 g is not above the empty crucible's 40 g: masses include the crucible",
			"weighings.csv:2: ash_g: ash mass 29 g is below the empty crucible's 40 g: masses include the crucible")},
		{"impossible date", bad("samples.csv", "a1,c,g1,one,2025-10-01", "a1,c,g1,one,2025-02-30",
			`samples.csv:2: date: "2025-02-30" is not a day of the calendar (form 2026-10-08, year-month-day)`)},
		{"date in another order", bad("samples.csv", "a1,c,g1,one,2025-10-01", "a1,c,g1,one,01.10.2025",
			`samples.csv:2: date: "01.10.2025" is not a date of the form 2026-10-08 (year-month-day)`)},
		{"sampled in the future", bad("samples.csv", "b1,c,g1,two,2026-10-01", "b1,c,g1,two,2026-11-27",
			"samples.csv:4: date: 2026-11-27 is in the future: today is 2026-11-25")},
		{"done in the future", bad("work.csv", "2026-06-01", "2027-06-01",
			"work.csv:3: date: 2027-06-01 is in the future: today is 2026-11-25; work to come has status planned")},
		{"date before there were records", bad("samples.csv", "a1,c,g1,one,2025-10-01", "a1,c,g1,one,0025-10-01",
			"samples.csv:2: date: 0025-10-01 is before 1900-01-01: dates from then on are allowed")},
		{"overlapping layers in one round", bad("samples.csv", "a2,c,g2,one,2025-10-01,0,20", "a2,c,g1,one,2025-10-01,10,30",
			"samples.csv:3: top_mm, bottom_mm: layer 10–30 mm overlaps layer 0–20 mm on line 2 in round one of green g1: layers of one round may touch or be the same, not overlap")},
		{"layer upside down", bad("samples.csv", "0,20,5,20", "20,0,5,20",
			"samples.csv:2: bottom_mm: 0 mm is out of range: above 0 and up to 2000 mm is allowed")},
		{"green that does not exist", bad("samples.csv", "b2,c,g2", "b2,c,g9", `samples.csv:5: green: green "g9" of course c is not in greens.csv`)},
		{"course that does not exist", bad("greens.csv", "c,g2", "x,g2",
			`greens.csv:3: course: course "x" is not in courses.csv`,
			`samples.csv:3: green: green "g2" of course c is not in greens.csv`,
			`samples.csv:5: green: green "g2" of course c is not in greens.csv`)},
		{"sand given twice and disagreeing", bad("work.csv", "1,1.55", "1,1.7",
			"work.csv:2: sand_kg_m2: 1.7 kg/m² does not agree with sand_mm 1 mm, which is 1.55 kg/m² at the 1550 kg/m³ of sand d: they may differ by 2 %; correct one or leave one empty")},
		{"kind of work that does not exist", bad("work.csv", "done,topdress", "done,top-dress",
			`work.csv:2: kind: "top-dress" is not allowed: allowed are topdress, hollow_core, solid_tine, scarify, inject_sand, nitrogen, clippings, other`)},
		{"needed column missing", bad("samples.csv", "date,top_mm", "day,top_mm",
			"samples.csv:1: date: this column is missing and every row needs it")},
		{"every problem, not the first", func(t testing.TB) (map[string]string, []string) {
			p := with(t, "weighings.csv", "70.5,69,", "70.5,70.75,")
			p["greens.csv"] = strings.Replace(p["greens.csv"], "500", "-500", 1)
			p["work.csv"] = strings.Replace(p["work.csv"], "2026-06-01", "soon", 1)
			return p, []string{
				"greens.csv:2: area_m2: -500 m² is out of range: above 0 and up to 100000 m² is allowed",
				"weighings.csv:2: ash_g: dry mass 70.5 g is below ash mass 70.75 g: weigh the crucible again or take the row out",
				`work.csv:3: date: "soon" is not a date of the form 2026-10-08 (year-month-day)`,
			}
		}},
	}
	used := filepath.Join(t.TempDir(), "used.db")
	must(t, "import", lay(t, small()), "--store", used)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			files, want := c.make(t)
			refused(t, lay(t, files), used, want)
		})
	}
}

// refused holds check and import of a bad package to what they must do.
func refused(t *testing.T, dir, used string, want []string) {
	t.Helper()
	s := run(t, "check", dir)
	if diff := cmp.Diff(want, problems(s.stdout)); diff != "" || s.status != 1 {
		t.Errorf("check: status %d, problems (-want +got):\n%s", s.status, diff)
	}
	fresh := filepath.Join(t.TempDir(), "fresh.db")
	s = run(t, "import", dir, "--store", fresh)
	for i, line := range want { // import has looked in the store as well
		if strings.HasSuffix(line, ".csv") && strings.Contains(line, " is not in ") {
			want[i] = line + " nor in the store"
		}
	}
	verdict := "underfoot: package " + dir + " has " + plural(len(want)) + ": nothing was taken from it"
	if diff := cmp.Diff(append(want, verdict), problems(s.stderr)); diff != "" || s.status != 2 || s.stdout != "" {
		t.Errorf("import: status %d, stdout %q, problems (-want +got):\n%s", s.status, s.stdout, diff)
	}
	if left := folder(t, filepath.Dir(fresh)); len(left) > 0 {
		t.Errorf("import left %d files of a store that was not there before", len(left))
	}
	before := stored(t, used)
	if s = run(t, "import", dir, "--store", used); s.status != 2 {
		t.Errorf("import into a used store: status %d\n%s", s.status, s.stderr)
	}
	if diff := cmp.Diff(before, stored(t, used)); diff != "" {
		t.Errorf("import into a used store changed it:\n%s", diff)
	}
}

// A file that the package leaves out: its rows must be in the store then.
func TestMissingFile(t *testing.T) {
	used, fresh := filepath.Join(t.TempDir(), "used.db"), filepath.Join(t.TempDir(), "fresh.db")
	must(t, "import", lay(t, small()), "--store", used)
	files := small()
	delete(files, "greens.csv")
	dir := lay(t, files)
	s := run(t, "check", dir)
	want := "samples.csv:2: green: green \"g1\" of course c is not known: the package has no greens.csv (and 3 more rows)\n"
	if s.status != 1 || s.stdout != want {
		t.Errorf("check: status %d, %q, want 1, %q", s.status, s.stdout, want)
	}
	s = run(t, "import", dir, "--store", fresh)
	want = "samples.csv:2: green: green \"g1\" of course c is not in the store, and the package has no greens.csv (and 3 more rows)\n" +
		"underfoot: package " + dir + " has 1 problem: nothing was taken from it\n"
	if s.status != 2 || s.stderr != want {
		t.Errorf("import into a new store: status %d, %q, want 2, %q", s.status, s.stderr, want)
	}
	if out := must(t, "import", dir, "--store", used); !strings.Contains(out, "Nothing in it was new") {
		t.Errorf("import into a store that has the greens: %s", out)
	}
}

func plural(n int) string {
	if n == 1 {
		return "1 problem"
	}
	return strconv.Itoa(n) + " problems"
}

// problems returns the lines of a text without notes.
func problems(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		if !strings.HasPrefix(line, "note: ") {
			out = append(out, strings.TrimSuffix(line, "\n"))
		}
	}
	return out
}

// stored returns everything in a store: the records of every course and the history.
func stored(t testing.TB, path string) map[string]any {
	t.Helper()
	st, err := store.Open(t.Context(), path, store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	courses, err := st.Courses(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]any{}
	for _, c := range courses {
		if out[c.ID], err = st.Records(t.Context(), c.ID); err != nil {
			t.Fatal(err)
		}
	}
	if out["changes"], err = st.Changes(t.Context(), "", 1000); err != nil {
		t.Fatal(err)
	}
	return out
}

// Every way of writing a package that is unusual and clear is taken, and comes to the same records.
func TestUnusualPackages(t *testing.T) {
	change := func(f func(map[string]string)) map[string]string {
		p := small()
		f(p)
		return p
	}
	each := func(f func(string) string) map[string]string {
		return change(func(p map[string]string) {
			for name := range p {
				p[name] = f(p[name])
			}
		})
	}
	cases := []struct {
		name  string
		files map[string]string
		notes []string
	}{
		{"as the format says", small(), nil},
		{
			"byte order mark", change(func(p map[string]string) { p["samples.csv"] = "\ufeff" + p["samples.csv"] }),
			[]string{"note: samples.csv: begins with a byte order mark, which was left out"},
		},
		{"CRLF", each(func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }), nil},
		{"no line end at the end", each(func(s string) string { return strings.TrimSuffix(s, "\n") }), nil},
		{"empty lines", each(func(s string) string { return strings.ReplaceAll(s, "\n", "\n\n") }), nil},
		{"semicolons", change(func(p map[string]string) {
			p["weighings.csv"] = strings.ReplaceAll(p["weighings.csv"], ",", ";")
		}), []string{"note: weighings.csv: is separated by semicolons, not by commas, and was read so"}},
		{"semicolons and decimal commas", change(func(p map[string]string) {
			p["weighings.csv"] = strings.ReplaceAll(strings.ReplaceAll(p["weighings.csv"], ",", ";"), ".", ",")
		}), []string{
			"note: weighings.csv: is separated by semicolons, not by commas, and was read so",
			"note: weighings.csv: decimal commas were read as decimal points in dry_g, ash_g",
		}},
		{"columns in another order", change(func(p map[string]string) {
			p["greens.csv"] = "area_m2,name,green,course\n500,First,g1,c\n400,Second,g2,c\n"
		}), nil},
		{"rows in another order", change(func(p map[string]string) {
			p["greens.csv"] = "course,green,name,area_m2\nc,g2,Second,400\nc,g1,First,500\n"
		}), nil},
	}
	want := exported(t, lay(t, small()))
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := lay(t, c.files)
			s := run(t, "check", dir)
			if s.status != 0 {
				t.Errorf("check: status %d\n%s%s", s.status, s.stdout, s.stderr)
			}
			s = run(t, "import", dir, "--store", filepath.Join(t.TempDir(), "s.db"))
			var notes []string
			for line := range strings.Lines(s.stderr) {
				notes = append(notes, strings.TrimSuffix(line, "\n"))
			}
			if diff := cmp.Diff(c.notes, notes); diff != "" || s.status != 0 {
				t.Errorf("import: status %d, notes (-want +got):\n%s", s.status, diff)
			}
			if diff := cmp.Diff(want, exported(t, dir)); diff != "" {
				t.Errorf("other records (-want +got):\n%s", diff)
			}
		})
	}
}

// A cell may hold line ends, quotes and commas, and keeps them.
func TestQuotedNewlines(t *testing.T) {
	note := "first line\nsecond, with a comma and \"quotes\"\n\nlast"
	files := with(t, "work.csv", `"damp, dull"`, `"`+strings.ReplaceAll(note, `"`, `""`)+`"`)
	files["work.csv"] = strings.Replace(files["work.csv"], "2026-06-01", "2026-06-31", 1)
	s := run(t, "check", lay(t, files))
	want := []string{`work.csv:6: date: "2026-06-31" is not a day of the calendar (form 2026-10-08, year-month-day)`}
	if diff := cmp.Diff(want, problems(s.stdout)); diff != "" {
		t.Errorf("a row after one of four lines (-want +got):\n%s", diff)
	}
	files["work.csv"] = strings.Replace(files["work.csv"], "2026-06-31", "2026-06-30", 1)
	out := exported(t, lay(t, files))
	if want := strings.ReplaceAll(note, `"`, `""`); !strings.Contains(out["work.csv"], `"`+want+`"`) {
		t.Errorf("the note came out otherwise:\n%s", out["work.csv"])
	}
}

// exported returns the files that come out after a package went in.
func exported(t testing.TB, dir string) map[string]string {
	t.Helper()
	db, out := filepath.Join(t.TempDir(), "s.db"), filepath.Join(t.TempDir(), "out")
	must(t, "import", dir, "--store", db)
	must(t, "export", "--store", db, "-o", out)
	return folder(t, out)
}

// A file that may not be read is named.
func TestUnreadableFile(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("root reads everything")
	}
	dir := lay(t, small())
	if err := os.Chmod(filepath.Join(dir, "greens.csv"), 0); err != nil {
		t.Fatal(err)
	}
	s := run(t, "check", dir)
	if s.status != 1 || !strings.Contains(s.stdout, "greens.csv: cannot be read: permission denied\n") {
		t.Errorf("status %d\n%s", s.status, s.stdout)
	}
}
