package exchange

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"underfoot"

	"github.com/google/go-cmp/cmp"
)

var today = underfoot.MakeDate(2026, time.November, 25)

// base is a small package without a fault; the cases below change one thing of it.
func base() map[string]string {
	return map[string]string{
		"courses.csv": "course,name,time_zone\na,Course A,Europe/London\n",
		"sands.csv":   "sand,bulk_density_kg_m3\ndress,1560\nbare,\n",
		"greens.csv":  "course,green\na,g1\na,g2\n",
		"samples.csv": "sample,course,green,round,date,top_mm,bottom_mm\n" +
			"s1,a,g1,spring,2026-04-01,0,20\ns2,a,g1,spring,2026-04-01,20,40\ns3,a,g2,spring,2026-04-02,0,20\n",
		"weighings.csv": "sample,crucible,tare_g,dry_g,ash_g,balance_resolution_g,kind\n" +
			"s1,c1,42.870,82.268,80.589,0.001,sample\n",
		"results.csv": "sample,om_percent,method\ns2,4.25,whole\n",
	}
}

// Every kind of bad input, with the whole list of what is said about it. Lines beginning with "~ " are notices.
func TestReadSays(t *testing.T) {
	tests := []struct {
		name  string
		files map[string]string // replaces or adds; empty text removes
		want  []string
	}{
		{name: "nothing wrong"},
		{
			name:  "byte order mark",
			files: map[string]string{"greens.csv": "\uFEFFcourse,green\na,g1\na,g2\n"},
			want:  []string{"~ greens.csv: begins with a byte order mark, which was left out"},
		},
		{name: "CRLF", files: map[string]string{"greens.csv": "course,green\r\na,g1\r\na,g2\r\n"}},
		{
			name:  "CR alone",
			files: map[string]string{"greens.csv": "course,green\ra,g1\ra,g2\r"},
			want:  []string{"greens.csv: ends its lines with a carriage return alone: save it with line ends LF or CRLF"},
		},
		{
			name: "semicolons and decimal commas",
			files: map[string]string{"weighings.csv": "sample;crucible;tare_g;dry_g;ash_g\n" +
				"s1;c1;42,870;82,268;80,589\ns3;c2;42,870;82,268;80\n"},
			want: []string{
				"~ weighings.csv: is separated by semicolons, not by commas, and was read so",
				"~ weighings.csv: decimal commas were read as decimal points in tare_g, dry_g, ash_g",
			},
		},
		{
			name: "decimal commas and points mixed",
			files: map[string]string{"weighings.csv": "sample;crucible;tare_g;dry_g;ash_g\n" +
				"s1;c1;42,870;82.268;80,589\ns3;c2;42.870;1.082,268;80\n"},
			want: []string{
				"~ weighings.csv: is separated by semicolons, not by commas, and was read so",
				`weighings.csv:3: tare_g: "42.870" has a decimal point, but line 2 has a decimal comma in this column: write all with a point`,
				`weighings.csv:3: dry_g: "1.082,268" has a thousands mark or two decimal signs: write the number without thousands mark`,
				"~ weighings.csv: decimal commas were read as decimal points in tare_g, ash_g",
			},
		},
		{
			name:  "decimal comma between commas",
			files: map[string]string{"results.csv": "sample,om_percent,method\ns2,\"4,25\",whole\ns3,4,25,whole\n"},
			want: []string{
				`results.csv:2: om_percent: "4,25" has a comma: a decimal point is expected and no thousands mark: 0 to 100 % is allowed`,
				"results.csv:3: the row has 4 cells and the header 3: put cells that hold a comma in quotes, and write decimals with a point",
			},
		},
		{
			name:  "quoted newlines keep the lines right",
			files: map[string]string{"greens.csv": "course,green,name\na,g1,\"First\nof \"\"two\"\"\nparts\"\na,g2,\"x\ny\"\na,g3,Z\na,,W\n"},
			want:  []string{"greens.csv:8: green: empty: a value is needed"},
		},
		{
			name:  "quote never closed costs its line only",
			files: map[string]string{"greens.csv": "course,green,name\na,g1,\"First\na,g2,Second\na,,Third\n"},
			want: []string{
				"greens.csv:2: a quote opened on line 2 is never closed: close it, or take it out",
				"greens.csv:4: green: empty: a value is needed",
				`samples.csv:2: green: green "g1" of course a is not in greens.csv`,
				`samples.csv:3: green: green "g1" of course a is not in greens.csv`,
			},
		},
		{
			name:  "stray quotes",
			files: map[string]string{"greens.csv": "course,green,name\na,g1,5\" pot\na,g2,\"5\" pot\na,g1,\na,g2,\n"},
			want: []string{
				"greens.csv:2: a quote stands inside a cell that does not begin with one: put the cell in quotes and double the quotes inside it",
				"greens.csv:3: text follows a closing quote: put the whole cell in quotes and double the quotes inside it",
			},
		},
		{
			name:  "huge cell",
			files: map[string]string{"greens.csv": "course,green,name\na,g1,\na,g2," + strings.Repeat("x", maxCell+1) + "\na,g2," + strings.Repeat("x", maxRow+1) + "\na,g2,\n"},
			want: []string{
				"greens.csv:3: a cell is longer than 1 MB: no cell is",
				"greens.csv:4: the line is longer than 4 MB: no row is",
			},
		},
		{
			name:  "binary file",
			files: map[string]string{"greens.csv": "PK\x03\x04rest", "results.csv": "sample\x00,om_percent\n", "sands.csv": "%PDF-1.7"},
			want: []string{
				"sands.csv: is a PDF document, not a text file: save the table as CSV in UTF-8",
				"greens.csv: is a ZIP archive or an XLSX workbook, not a text file: save the table as CSV in UTF-8",
				"results.csv: is not a text file (byte 7 is zero): save the table as CSV in UTF-8",
			},
		},
		{
			name:  "UTF-16",
			files: map[string]string{"greens.csv": "\xff\xfec\x00o\x00"},
			want:  []string{"greens.csv: is in UTF-16: save the file as UTF-8"},
		},
		{
			name:  "zero byte near the start",
			files: map[string]string{"greens.csv": "course,green,name\na,g1,Gr\xfcn\na,g2,M\xfcnster\na,g3,\x00\n"},
			want: []string{
				`greens.csv: is not a text file (byte 47 is zero): save the table as CSV in UTF-8`,
			},
		},
		{
			name:  "Windows-1252",
			files: map[string]string{"greens.csv": "course,green,name\na,g1,Gr\xfcn\na,g2,M\xfcnster\n"},
			want:  []string{`greens.csv:2: name: "Gr\xfcn" is not UTF-8: save the file as UTF-8 (and 1 more row)`},
		},
		{
			name:  "zero byte deep in the file",
			files: map[string]string{"greens.csv": "course,green,name\na,g1,\na,g2,\n" + strings.Repeat("\n", sniffBytes) + "a,g3,x\x00\n"},
			want:  []string{"greens.csv:65540: name: holds a zero byte, which no text does: this is not a text file, or it is damaged"},
		},
		{
			name:  "empty file",
			files: map[string]string{"results.csv": "\n\n"},
			want:  []string{"results.csv: is empty: a header row is needed, sample,om_percent,om_sd_percent,dry_mass_g,method,lab"},
		},
		{
			name:  "header only and empty rows",
			files: map[string]string{"results.csv": "sample,om_percent,method\n\n,,\n  , ,\n"},
		},
		{
			name: "duplicate keys",
			files: map[string]string{
				"samples.csv":   base()["samples.csv"] + "s1 ,a,g2,summer,2026-07-01,0,20\n",
				"weighings.csv": base()["weighings.csv"] + "s1,c1,42.870,82.268,80.589,0.001,sample\n",
				"results.csv":   "sample,om_percent,method\ns2,4.25,whole\ns2,4.25,whole\n",
				"weather.csv":   "course,date,rain_mm\na,2026-01-01,1\na,2026-01-01,2\n",
				"sieve.csv":     "source,sieve_mm,retained_g\nsand:dress,0.5,1\nsand:dress,0.50,1\n",
			},
			want: []string{
				"samples.csv:5: sample: s1 is there already on line 2: each may come once",
				"weighings.csv:3: sample, crucible: s1, c1 is there already on line 2: each may come once",
				"results.csv:3: sample: s2 is there already on line 2: each may come once",
				"weather.csv:3: course, date: a, 2026-01-01 is there already on line 2: each may come once",
				"sieve.csv:3: source, sieve_mm: sand:dress, 0.5 is there already on line 2: each may come once",
			},
		},
		{
			name: "ash above dry, negative masses",
			files: map[string]string{"weighings.csv": "sample,crucible,tare_g,dry_g,ash_g\n" +
				"s1,c1,10,29.10,29.60\ns1,c2,-1,29.10,28.60\ns1,c3,10,29.10,9\n"},
			want: []string{
				"weighings.csv:2: ash_g: dry mass 29.10 g is below ash mass 29.60 g: weigh the crucible again or take the row out",
				"weighings.csv:3: tare_g: -1 g is out of range: 0 to 100000 g is allowed",
				"weighings.csv:4: ash_g: ash mass 9 g is below the empty crucible's 10 g: masses include the crucible",
			},
		},
		{
			name: "future and impossible dates",
			files: map[string]string{
				"samples.csv": "sample,course,green,date,top_mm,bottom_mm\n" +
					"s1,a,g1,2026-02-30,0,20\ns2,a,g1,2026-11-26,0,20\ns4,a,g1,2026-11-27,0,20\ns5,a,g1,1026-11-27,0,20\ns3,a,g1,01.02.2026,0,20\n",
				"work.csv": "entry,course,date,status,kind\nw1,a,2027-04-01,done,other\nw2,a,2027-04-01,planned,other\n",
			},
			want: []string{
				`samples.csv:2: date: "2026-02-30" is not a day of the calendar (form 2026-10-08, year-month-day)`,
				"samples.csv:4: date: 2026-11-27 is in the future: today is 2026-11-25",
				"samples.csv:5: date: 1026-11-27 is before 1900-01-01: dates from then on are allowed",
				`samples.csv:6: date: "01.02.2026" is not a date of the form 2026-10-08 (year-month-day)`,
				"work.csv:2: date: 2027-04-01 is in the future: today is 2026-11-25; work to come has status planned",
			},
		},
		{
			name: "overlapping layers",
			files: map[string]string{"samples.csv": base()["samples.csv"] +
				"s4,a,g1,spring,2026-04-01,10,30\ns5,a,g1,spring,2026-04-01,0,20\ns6,a,g1,summer,2026-07-01,10,30\n"},
			want: []string{
				"samples.csv:5: top_mm, bottom_mm: layer 10–30 mm overlaps layer 0–20 mm on line 2 in round spring of green g1: layers of one round may touch or be the same, not overlap",
			},
		},
		{
			name:  "one round over half a year",
			files: map[string]string{"samples.csv": base()["samples.csv"] + "s4,a,g1,spring,2026-10-01,40,60\n"},
			want:  []string{`~ samples.csv:5: round: round "spring" of course a has dates from 2026-04-01 to 2026-10-01, 183 days apart: is the label right?`},
		},
		{
			name: "what does not exist",
			files: map[string]string{
				"greens.csv":    "course,green,rootzone_sand\na,g1,dress\na,g2,gold\n",
				"samples.csv":   base()["samples.csv"] + "s4,a,g9,spring,2026-04-01,0,20\ns5,b,g1,spring,2026-04-01,0,20\n",
				"weighings.csv": base()["weighings.csv"] + "s9,c2,,,,,\nk1,c3,,,,,control\nany,c4,,,,,blank\n",
				"sieve.csv":     "source,sieve_mm,retained_g\nsand:gold,1,1\nsample:s9,1,1\ns1,1,1\nsample:s1,1,1\n",
			},
			want: []string{
				`greens.csv:3: rootzone_sand: sand "gold" is not in sands.csv`,
				`samples.csv:5: green: green "g9" of course a is not in greens.csv`,
				`samples.csv:6: course: course "b" is not in courses.csv`,
				`samples.csv:6: green: green "g1" of course b is not in greens.csv`,
				`weighings.csv:3: sample: sample "s9" is not in samples.csv`,
				`weighings.csv:4: sample: control "k1" is not known: the package has no controls.csv`,
				`sieve.csv:2: source: sand "gold" is not in sands.csv`,
				`sieve.csv:3: source: sample "s9" is not in samples.csv`,
				`sieve.csv:4: source: "s1" is not allowed: write sample:NAME or sand:NAME`,
			},
		},
		{
			name:  "a table is missing",
			files: map[string]string{"greens.csv": ""},
			want:  []string{`samples.csv:2: green: green "g1" of course a is not known: the package has no greens.csv (and 2 more rows)`},
		},
		{
			name:  "no course",
			files: map[string]string{"courses.csv": "", "greens.csv": "", "samples.csv": "", "weighings.csv": "", "results.csv": ""},
			want:  []string{"sands.csv:2: belongs to no course: the package names none; add courses.csv (and 1 more row)"},
		},
		{
			name: "sand given twice",
			files: map[string]string{"work.csv": "entry,course,date,kind,sand,sand_mm,sand_kg_m2\n" +
				"w1,a,2026-04-01,topdress,dress,1,1.56\nw2,a,2026-04-01,topdress,dress,1,1.59\nw3,a,2026-04-01,topdress,dress,1.0,2.00\n" +
				"w4,a,2026-04-01,topdress,bare,1,1.5\nw5,a,2026-04-01,topdress,,1,1.5\nw6,a,2026-04-01,topdress,dress,0,0\n"},
			want: []string{
				"work.csv:4: sand_kg_m2: 2.00 kg/m² does not agree with sand_mm 1.0 mm, which is 1.56 kg/m² at the 1560 kg/m³ of sand dress: they may differ by 2 %; correct one or leave one empty",
				"~ work.csv:5: sand_kg_m2: sand is given as mm and as kg/m² and the two could not be compared: the sand's bulk density is not known (and 1 more row)",
				"~ work.csv:6: sand: empty: sand was put on and not said which, so its density is not known",
			},
		},
		{
			name:  "weighed and reported",
			files: map[string]string{"results.csv": "sample,om_percent,method\ns1,4.25,whole\n"},
			want:  []string{"results.csv:2: sample: sample s1 is weighed as well, on line 2 of weighings.csv: keep the weighings or the result"},
		},
		{
			name:  "method not stated",
			files: map[string]string{"results.csv": "sample,om_percent\ns2,4.25\ns3,4.25\n"},
			want:  []string{"~ results.csv:2: method: empty: how the sample was prepared is not stated, so it is taken as whole, with a warning (and 1 more row)"},
		},
		{
			name: "headers",
			files: map[string]string{
				"greens.csv":    "course,green,Area m2 ,mood,fog,mood\na,g1,500,fair,,\na,g2,-1,,,\n",
				"samples.csv":   "sample,course,green,date,topmm,botom,\ns1,a,g1,2026-04-01,0,20,\n",
				"weighings.csv": "sample,crucible,\ns1,c1,x\n",
			},
			want: []string{
				"greens.csv:1: Area m2: this column is written area_m2: rename it",
				"greens.csv:1: mood: this column is there twice: rename or remove one",
				"~ greens.csv:1: 2 columns are not of the format and are kept aside: mood, fog",
				"greens.csv:3: area_m2: -1 m² is out of range: above 0 and up to 100000 m² is allowed",
				"samples.csv:1: topmm: this column is written top_mm: rename it",
				`samples.csv:1: bottom_mm: this column is missing and every row needs it: is it the one called "botom"?`,
				"~ samples.csv:1: 1 column is not one of the format and is kept aside: botom",
				"weighings.csv:2: cell 3 has text, and the header has no name for its column",
			},
		},
		{
			name:  "other files",
			files: map[string]string{"notes.txt": "x", "Sieve.CSV": "x", ".hidden": "x"},
			want: []string{
				"Sieve.CSV: this file is written sieve.csv: rename it",
				"~ notes.txt: is not part of the format and was not read",
			},
		},
		{
			name:  "impossible record",
			files: map[string]string{"samples.csv": "sample,course,green,date,top_mm,bottom_mm\ns1,a,g1,2026-04-01,20,20\ns2,a,g1,2026-04-01,0,20\n"},
			want:  []string{"samples.csv:2: bottom_mm: 20 mm is not below top_mm 20 mm: the bottom of a layer must be deeper than its top"},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := base()
			maps.Copy(files, tt.files)
			maps.DeleteFunc(files, func(_, text string) bool { return text == "" })
			got, sunk := said(t, lay(t, files), Options{})
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
			problems := slices.ContainsFunc(got, func(s string) bool { return !strings.HasPrefix(s, "~ ") })
			if !problems && sunk == 0 {
				t.Error("no record was handed over")
			}
		})
	}
}

// said reads a package and returns what was said, and how many records were handed over.
func said(t *testing.T, dir string, o Options) (lines []string, sunk int) {
	t.Helper()
	o.Today = today
	problems := 0
	o.OnProblem = func(p Problem) { problems++; lines = append(lines, p.String()) }
	o.OnNotice = func(n Notice) { lines = append(lines, "~ "+n.String()) }
	sink := o.Sink
	o.Sink = func(r underfoot.Record) error {
		sunk++
		if problems > 0 && !o.Partial {
			t.Errorf("%v was handed over after a problem", r.Table().Key(r))
		}
		if sink != nil {
			return sink(r)
		}
		return nil
	}
	sum, err := Read(t.Context(), dir, o)
	if sum.Problems != problems || sum.Notices != len(lines)-problems {
		t.Errorf("summary counts %d problems and %d notices", sum.Problems, sum.Notices)
	}
	if refused := problems > 0 && !o.Partial; refused != (err != nil) || err != nil && underfoot.KindOf(err) != underfoot.Invalid {
		t.Errorf("%d problems and error %v", problems, err)
	}
	return lines, sunk
}

func TestReadRefusesFolder(t *testing.T) {
	dir := lay(t, map[string]string{"a.csv": "x"})
	tests := []struct {
		name, path, want string
		kind             underfoot.Kind
	}{
		{"missing", filepath.Join(dir, "no"), "there is no such folder", underfoot.NotFound},
		{"a file", filepath.Join(dir, "a.csv"), "this is a file, and a package is a folder of CSV files (samples.csv and so on)", underfoot.Invalid},
		{"no table", dir, "the folder holds no table of the format (courses.csv, samples.csv and so on)", underfoot.Invalid},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(t.Context(), tt.path, Options{})
			want := "reading package " + tt.path + ": " + tt.want
			if err == nil || err.Error() != want || underfoot.KindOf(err) != tt.kind {
				t.Errorf("got  %v (kind %d)\nwant %s", err, underfoot.KindOf(err), want)
			}
		})
	}
}

func TestReadNotAFile(t *testing.T) {
	dir := lay(t, base())
	if err := os.Mkdir(filepath.Join(dir, "sieve.csv"), 0o755); err != nil {
		t.Fatal(err)
	}
	got, _ := said(t, dir, Options{})
	want := []string{"sieve.csv: is not a file: a table of the format is expected under this name"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// Good rows go on, bad ones go to a file that can be put right, and rows that need a bad one are bad too.
func TestReadPartial(t *testing.T) {
	files := base()
	files["samples.csv"] = "sample,course,green,date,top_mm,bottom_mm,note\n" +
		"s1,a,g1,2026-04-01,0,20,\ns2,a,g1,2026-04-01,x,40,\"a\nb\"\ns3,a,g2,2026-04-02,0,\"20\n"
	got := map[string]*bytes.Buffer{}
	var taken []string
	lines, _ := said(t, lay(t, files), Options{
		Partial: true,
		BadRows: func(file string) (io.WriteCloser, error) {
			got[file] = &bytes.Buffer{}
			return nopCloser{got[file]}, nil
		},
		Sink: func(r underfoot.Record) error {
			taken = append(taken, r.Table().Name+" "+r.Table().Key(r).String())
			return nil
		},
	})
	wantLines := []string{
		"~ samples.csv:1: 1 column is not one of the format and is kept aside: note",
		`samples.csv:3: top_mm: "x" is not a number: 0 to 2000 mm is allowed`,
		"samples.csv:5: a quote opened on line 5 is never closed: close it, or take it out",
		"results.csv:2: sample: sample s2 is refused on line 3 of samples.csv",
	}
	wantTaken := []string{"courses a", "sands a/dress", "sands a/bare", "greens a/g1", "greens a/g2", "samples a/s1", "weighings a/s1/c1"}
	if diff := cmp.Diff(wantLines, lines); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(wantTaken, taken); diff != "" {
		t.Error(diff)
	}
	wantBad := "sample,course,green,date,top_mm,bottom_mm,note\ns2,a,g1,2026-04-01,x,40,\"a\nb\"\ns3,a,g2,2026-04-02,0,\"20\n"
	if diff := cmp.Diff(wantBad, got["samples.csv"].String()); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff("sample,om_percent,method\ns2,4.25,whole\n", got["results.csv"].String()); diff != "" || len(got) != 2 {
		t.Error(len(got), diff)
	}
}

type nopCloser struct{ io.Writer }

func (nopCloser) Close() error { return nil }

// memory is a store of one's own for tests.
type memory map[string]underfoot.Record

func (m memory) Add(r underfoot.Record) error {
	m[r.Table().Name+" "+r.Table().Key(r).String()] = r
	return nil
}

func (m memory) Has(t *underfoot.Table, key underfoot.Key) (bool, error) {
	_, ok := m[t.Name+" "+key.String()]
	return ok, nil
}

func (m memory) Find(t *underfoot.Table, key underfoot.Key) (underfoot.Record, error) {
	return m[t.Name+" "+key.String()], nil
}

func (m memory) CoursesOf(sample string) ([]string, error) {
	var out []string
	for _, r := range m {
		if s, ok := r.(*underfoot.Sample); ok && s.ID == sample {
			out = append(out, s.Course)
		}
	}
	slices.Sort(out)
	return out, nil
}

// A package may lean on what the store has.
func TestReadAgainstStore(t *testing.T) {
	m := memory{}
	if _, err := Read(t.Context(), lay(t, base()), Options{Sink: m.Add}); err != nil {
		t.Fatal(err)
	}
	other := base()
	for name, text := range other {
		other[name] = strings.NewReplacer("\na,", "\nb,", "\ns1,a,", "\nt1,b,", ",a,", ",b,", "\ns1,", "\nt1,").Replace(text)
	}
	if _, err := Read(t.Context(), lay(t, other), Options{Sink: m.Add, OnProblem: func(p Problem) { t.Error(p) }}); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name  string
		files map[string]string
		want  []string
		taken []string
	}{
		{
			name:  "weighings only; controls and blanks go where the samples are",
			files: map[string]string{"weighings.csv": "sample,crucible,kind\nt1,c9,\nblank,c1,blank\n"},
			taken: []string{"weighings b/t1/c9", "weighings b/blank/c1"},
		},
		{
			name:  "a sample of two courses",
			files: map[string]string{"results.csv": "sample,om_percent,method\ns3,4,whole\nq,4,whole\n"},
			want: []string{
				"results.csv:2: sample: sample s3 is on several courses (a, b): bring it along in samples.csv with its course",
				`results.csv:3: sample: sample "q" is not in the store, and the package has no samples.csv`,
			},
		},
		{
			name: "work with a sand of the store",
			files: map[string]string{"work.csv": "entry,course,green,date,kind,sand,sand_mm,sand_kg_m2\n" +
				"w1,a,g1,2026-04-01,topdress,dress,1,1.56\nw2,b,,2026-04-01,topdress,dress,1,2\nw3,c,,2026-04-01,other,,,\nw4,a,g7,2026-04-01,other,,,\n"},
			want: []string{
				"work.csv:3: sand_kg_m2: 2 kg/m² does not agree with sand_mm 1 mm, which is 1.56 kg/m² at the 1560 kg/m³ of sand dress: they may differ by 2 %; correct one or leave one empty",
				`work.csv:4: course: course "c" is not in the store, and the package has no courses.csv`,
				`work.csv:5: green: green "g7" of course a is not in the store, and the package has no greens.csv`,
			},
			taken: []string{"work a/w1"},
		},
		{
			name: "sands go to every course named",
			files: map[string]string{
				"sands.csv":   "sand,name\nnew,New\n",
				"targets.csv": "course,kind,low\nb,speed_m,2\na,speed_m,2\n",
				"sieve.csv":   "source,sieve_mm,retained_g\nsand:new,1,2\nsand:dress,1,2\n",
			},
			taken: []string{"sands b/new", "sands a/new", "sieve b/sand:new/1", "sieve a/sand:new/1", "sieve b/sand:dress/1", "sieve a/sand:dress/1", "targets b/speed_m", "targets a/speed_m"},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var taken []string
			lines, _ := said(t, lay(t, tt.files), Options{Lookup: m, Sink: func(r underfoot.Record) error {
				taken = append(taken, r.Table().Name+" "+r.Table().Key(r).String())
				return nil
			}})
			if diff := cmp.Diff(tt.want, lines); diff != "" {
				t.Error(diff)
			}
			if diff := cmp.Diff(tt.taken, taken); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// An error of the sink ends the reading.
func TestReadSinkError(t *testing.T) {
	dir := lay(t, base())
	_, err := Read(t.Context(), dir, Options{Sink: func(underfoot.Record) error { return fmt.Errorf("disk full") }})
	want := "reading " + filepath.Join(dir, "courses.csv") + ": line 2: disk full"
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

// Progress rises to the size of all files, also when they are short.
func TestReadProgress(t *testing.T) {
	var last, total int64
	_, err := Read(t.Context(), "testdata/v01", Options{Progress: func(done, of int64) {
		if done < last {
			t.Errorf("progress went from %d back to %d", last, done)
		}
		last, total = done, of
	}})
	if err != nil || last != total || total < 80_000 {
		t.Errorf("progress ended at %d of %d (%v)", last, total, err)
	}
}

// A reader that is told to stop stops.
func TestReadCancelled(t *testing.T) {
	files := base()
	files["weather.csv"] = "course,date\n" + strings.Repeat("a,2026-01-01\n", 3000)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Read(ctx, lay(t, files), Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}
