package exchange

import (
	"path/filepath"
	"strings"
	"testing"

	"underfoot"

	"github.com/google/go-cmp/cmp"
)

// benchFiles is a package of two courses with every table of the bench and of planned rounds, as we write it.
func benchFiles() map[string]string {
	return map[string]string{
		"courses.csv":   "course,name,latitude_deg,longitude_deg,country,time_zone\na,,,,,UTC\nb,,,,,UTC\n",
		"controls.csv":  "control,accepted_percent,sd_percent\nk1,3.2,0.08\n",
		"greens.csv":    "course,green,name,kind,species,area_m2,built_year,rootzone_sand\na,g1,,,,,,\nb,g1,,,,,,\n",
		"samples.csv":   "sample,course,green,round,date,top_mm,bottom_mm,cores,core_diameter_mm,verdure,position\ns1,a,g1,,2026-04-01,0,20,,,,\ns2,b,g1,,2026-04-01,0,20,,,,\n",
		"runs.csv":      "furnace_run,date,by,furnace,balance,dry_c,dry_hours,ash_c,ash_hours,tray_rows,tray_columns,note\nf1,2026-04-10,ann,,,105,16,440,8,3,4,\nf2,,,,,,,,,,,\n",
		"tray.csv":      "furnace_run,place,crucible\nf1,A1,c1\nf1,B2,c2\n",
		"releases.csv":  "furnace_run,by,date,reason\nf1,ann,2026-04-12,\"jar left open, repeated since\"\n",
		"crucibles.csv": "crucible,date,tare_g\nc1,2026-01-05,20.010\nc1,2026-04-10,20.01\n",
		"repeats.csv": "sample,crucible,stage,n,mass_g,hours,kind\nk1,c3,ash,1,40.1,,control\ns1,c1,ash,1,80.610,0,\ns1,c1,ash,2,80.600,1.5,sample\n" +
			"s1,c1,ash,10,80.589,9,\ns2,c2,dry,1,60,,duplicate\n",
		"custody.csv":   "sample,step,date,by,note\ns1,bagged,2026-04-01,ann,\ns2,cut,2026-04-01,ann,wet\n",
		"rounds.csv":    "course,round,date,layers,top_greens,full_greens,cores,core_diameter_mm,verdure,seed,note\na,spring,2027-04-01,0-20 20-40,,g1,12,20,kept,9007199254740991,\n",
		"positions.csv": "course,green,round,core,longitude_deg,latitude_deg\na,g1,spring,2,-1.50000120,51.25\na,g1,spring,10,-1.5,51.2500001\n",
		"points.csv":    "course,green,point,longitude_deg,latitude_deg,about\na,g1,p1,-1.5,51.25,sprinkler head by the bunker\n",
		"mappings.csv":  "mapping,kind,headings,rule\ntheirs,results,no|loi,\"{\"\"rows\"\":1}\"\n",
	}
}

// Each table comes back byte for byte; what belongs to the package goes to each course and is written once.
func TestBenchTablesRoundTrip(t *testing.T) {
	files := benchFiles()
	courses := take(t, lay(t, files))
	out := filepath.Join(t.TempDir(), "out")
	write(t, out, courses)
	got := folder(t, out)
	delete(got, descriptionFile)
	if diff := cmp.Diff(files, got); diff != "" {
		t.Error(diff)
	}
	if len(courses) != 2 {
		t.Fatalf("%d courses", len(courses))
	}
	counts := func(rs *underfoot.Records) []int {
		return []int{len(rs.Runs), len(rs.TrayPlaces), len(rs.Releases), len(rs.Tares), len(rs.Mappings), len(rs.Repeats), len(rs.Custodies)}
	}
	if diff := cmp.Diff([][]int{{2, 2, 1, 2, 1, 4, 1}, {2, 2, 1, 2, 1, 2, 1}}, [][]int{counts(courses[0]), counts(courses[1])}); diff != "" {
		t.Error(diff)
	}
}

func TestBenchTablesSay(t *testing.T) {
	tests := []struct {
		name, file, old, new string
		want                 []string
	}{
		{"nothing wrong", "runs.csv", "", "", nil},
		{
			"repeat of an unknown sample", "repeats.csv", "s2,c2", "s9,c2",
			[]string{`repeats.csv:6: sample: sample "s9" is not in samples.csv`},
		},
		{
			"repeat of an unknown control", "repeats.csv", "k1,c3", "k9,c3",
			[]string{`repeats.csv:2: sample: control "k9" is not in controls.csv`},
		},
		{
			"the same repeat twice", "repeats.csv", "ash,10,80.589", "ash,2.0,80.589",
			[]string{"repeats.csv:5: sample, crucible, stage, n: s1, c1, ash, 2 is there already on line 4: each may come once"},
		},
		{
			"an unknown stage", "repeats.csv", "c2,dry", "c2,wet",
			[]string{`repeats.csv:6: stage: "wet" is not allowed: allowed are tare, moist, dry, ash`},
		},
		{
			"custody of an unknown sample", "custody.csv", "s2,cut", "s9,cut",
			[]string{`custody.csv:3: sample: sample "s9" is not in samples.csv`},
		},
		{
			"an unknown step", "custody.csv", "s2,cut", "s2,lost",
			[]string{`custody.csv:3: step: "lost" is not allowed: allowed are cut, bagged, sent, received, weighed, burnt, reported`},
		},
		{
			"a run to come", "runs.csv", "2026-04-10", "2027-04-10",
			[]string{"runs.csv:2: date: 2027-04-10 is in the future: today is 2026-11-25"},
		},
		{
			"no place", "tray.csv", "A1", "1A",
			[]string{`tray.csv:2: place: "1A" is not a place on a tray: a letter A to Z and a number 1 to 99 are expected, such as B3`},
		},
		{
			"a release by nobody", "releases.csv", "ann", "",
			[]string{"releases.csv:2: by: empty: a value is needed"},
		},
		{
			"a position on an unknown green", "positions.csv", "a,g1,spring,10", "a,g9,spring,10",
			[]string{`positions.csv:3: green: green "g9" of course a is not in greens.csv`},
		},
		{
			"a point off the globe", "points.csv", "51.25", "151.25",
			[]string{"points.csv:2: latitude_deg: 151.25 ° is out of range: -90 to 90 ° is allowed"},
		},
		{
			"layers that overlap", "rounds.csv", "20-40", "10-40",
			[]string{`rounds.csv:2: layers: layer "10-40" overlaps layer 0–20 mm: layers of one round may touch, not overlap`},
		},
		{
			"a rule that is none", "mappings.csv", `1}`, `1`,
			[]string{"mappings.csv:2: rule: is not JSON: save the mapping again from its page"},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := benchFiles()
			files[tt.file] = strings.Replace(files[tt.file], tt.old, tt.new, 1)
			got, _ := said(t, lay(t, files), Options{Today: today})
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}
