package app_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/labsheet"
)

func book(t *testing.T, name, text string) *labsheet.Book {
	t.Helper()
	b, err := app.ReadSheet(name, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func problemsOf(p *app.LabPreview) []string {
	var out []string
	for _, x := range p.Problems {
		out = append(out, x.String())
	}
	return out
}

// A sheet of results finds the course's samples by green, layer and day, makes those that are not there, keeps
// screened ones apart, and brings the same nothing a second time.
func TestSheetOfResults(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	b := book(t, "autumn.csv", `Sample,Green,Depth,Date,OM (%),Preparation
,Green 3,0-20 mm,2021-10-12,4.2,whole
N1,Green 3,0-2 cm,2026-11-20,5.1,whole
N2,Putting clock,0-20 mm,2026-11-20,3.3,screened
N3,Green 4,20-40 mm,2026-11-20,2.9,screened
`)
	rule := labsheet.Propose(b, labsheet.Wish{}).Rule
	order := app.LabOrder{Course: "varrowmere", SaveAs: "their autumn sheet"}
	p, err := a.PreviewSheet(ctx, b, rule, order)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{`autumn.csv!B4: "Putting clock" is no green of this course: say which of its greens is meant, or leave its rows out`}
	if d := cmp.Diff(want, problemsOf(p)); d != "" {
		t.Error(d)
	}
	if p.Ready() || p.NewSamples() != 2 || p.Rows[0].Sample != "vm-2021-autumn-g03-0-20" || p.Rows[0].New {
		t.Errorf("ready %v, %d new samples, first row %+v", p.Ready(), p.NewSamples(), p.Rows[0])
	}
	if _, err := a.ImportSheet(ctx, "tester", b, rule, order); err == nil || !strings.Contains(err.Error(), "nothing was taken from it") {
		t.Errorf("with a problem: %v", err)
	}
	order.Greens = map[string]string{"Putting clock": "g01"}
	taken, err := a.ImportSheet(ctx, "tester", b, rule, order)
	if err != nil {
		t.Fatal(err)
	}
	if taken.Change.What != "brought in organic matter results from autumn.csv" || taken.Change.By != "tester" {
		t.Errorf("the change is %+v", taken.Change)
	}
	rs, err := a.Store.Records(ctx, "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	method := map[string]string{}
	for _, r := range rs.Results {
		method[r.Sample] = r.Method
	}
	if method["N1"] != "whole" || method["N2"] != "screened" || method["N3"] != "screened" {
		t.Errorf("methods %v", method)
	}
	for _, row := range app.Bench(rs) {
		if row.Sample == "N2" && row.Comparable() {
			t.Error("a screened result may stand in a trend")
		}
		if row.Sample == "N1" && (!row.Comparable() || row.Green != "g03" || row.BottomMM != 20) {
			t.Errorf("N1 is %+v", row)
		}
	}
	again, err := a.ImportSheet(ctx, "tester", b, rule, order)
	if err != nil {
		t.Fatal(err)
	}
	if again.Change.ID != 0 {
		t.Errorf("the same sheet brought something new: %+v", again.Tables)
	}
	next := book(t, "spring.csv", "Preparation,Date,OM (%),Sample,Depth,Green\nwhole,2026-11-21,4.0,M1,0-20 mm,Green 6\n")
	saved, ok, err := a.RecogniseSheet(ctx, next, "varrowmere")
	if err != nil || !ok || saved.Name != "their autumn sheet" {
		t.Fatalf("recognised %q, %v, %v", saved.Name, ok, err)
	}
	if p, err := a.PreviewSheet(ctx, next, saved.Rule, app.LabOrder{Course: "varrowmere"}); err != nil || !p.Ready() || p.Rows[0].Green != "g06" {
		t.Errorf("the next sheet: %v, %+v", err, p)
	}
	if _, err := a.MappingNamed(ctx, "varrowmere", "other"); err == nil || err.Error() != `mapping "other" is not there: there are their autumn sheet` {
		t.Errorf("a mapping that is not there: %v", err)
	}
	if _, err := a.Store.Undo(ctx, "tester", taken.Change.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := a.Store.Get(ctx, underfoot.Samples, underfoot.Key{"varrowmere", "N1"}); underfoot.KindOf(err) != underfoot.NotFound {
		t.Errorf("after the undo the sample is still there: %v", err)
	}
}

// Problems of matching name the cell.
func TestSheetProblems(t *testing.T) {
	a, _ := club(t, noon)
	for name, tt := range map[string]struct {
		sheet string
		says  []string
	}{
		"another layer": {
			"Sample,Depth,OM %\nvm-2021-autumn-g03-0-20,20-40 mm,4\n",
			[]string{"s.csv!B2: the sheet says 20–40 mm for sample vm-2021-autumn-g03-0-20, which is 0–20 mm: check the bag, or leave the layer out"},
		},
		"no layer": {
			"Sample,Green,OM %\nX1,3,4\n",
			[]string{`s.csv!A2: sample "X1" is not on this course, and to make it its layer is not known`},
		},
		"to come": {
			"Sample,Green,Depth,Date,OM %\nX1,3,0-20 mm,2026-12-24,4\n",
			[]string{"s.csv!D2: 2026-12-24 is still to come: samples can be of up to today, 2026-11-25"},
		},
		"no date": {
			"Sample,Green,Depth,OM %\nX1,3,0-35 mm,4\n",
			[]string{"s.csv!A2: the date is not known, so the sample cannot be made: point at the column of dates, or give one date for all rows"},
		},
		"ash above dry": {
			"Sample,Crucible,Tare g,Dry g,Ash g\nvm-2021-autumn-g03-0-20,z1,20.1,50.2,60.3\n",
			[]string{"s.csv!E2: dry mass 50.2 g is below ash mass 60.3 g: weigh the crucible again or take the row out"},
		},
		"another course's name": {
			"Sample,Green,Depth,Date,OM %\nos-2026-autumn-g01-0-20,1,0-35 mm,2026-11-20,4\n",
			[]string{`s.csv!A2: sample "os-2026-autumn-g01-0-20" is of course ostrelby already: names of samples come once`},
		},
	} {
		b := book(t, "s.csv", tt.sheet)
		p, err := a.PreviewSheet(t.Context(), b, labsheet.Propose(b, labsheet.Wish{}).Rule, app.LabOrder{Course: "varrowmere"})
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(tt.says, problemsOf(p)); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// A sheet of sieves goes to sands by name and to samples by green, layer and day; an earlier analysis is replaced whole.
func TestSheetOfSieves(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	put := func(text string) *app.LabTaken {
		b := book(t, "sieves.csv", text)
		rule := labsheet.Propose(b, labsheet.Wish{}).Rule
		taken, err := a.ImportSheet(ctx, "tester", b, rule, app.LabOrder{Course: "varrowmere"})
		if err != nil {
			t.Fatal(err)
		}
		return taken
	}
	put("Passing %\nSand,2 mm,1 mm,0.5 mm,0.25 mm,0.1 mm\nvm-root,100,95,60,20,1\nbank sand,100,90,50,10,2\n")
	put("Retained %\nSand,2 mm,1 mm,0.5 mm,pan\nvm-root,0,5,35,60\n")
	rs, err := a.Store.Records(ctx, "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	for _, s := range rs.Sieve {
		if s.Source == "sand:vm-root" || s.Source == "sand:bank sand" {
			got[s.Source+" "+underfoot.FormatNumber(s.SieveMM)] = s.RetainedG
		}
	}
	want := map[string]float64{
		"sand:vm-root 2": 0, "sand:vm-root 1": 5, "sand:vm-root 0.5": 35, "sand:vm-root 0": 60,
		"sand:bank sand 2": 0, "sand:bank sand 1": 10, "sand:bank sand 0.5": 40, "sand:bank sand 0.25": 40, "sand:bank sand 0.1": 8, "sand:bank sand 0": 2,
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// The mass sieved and what washing took away stand beside the sieving, and the loss follows from them.
func TestSheetOfSievesWithMasses(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	take := func(text string) app.SieveRow {
		t.Helper()
		b := book(t, "sieves.csv", text)
		rule := labsheet.Propose(b, labsheet.Wish{}).Rule
		if _, err := a.ImportSheet(ctx, "tester", b, rule, app.LabOrder{Course: "varrowmere"}); err != nil {
			t.Fatal(err)
		}
		rs, err := a.Store.Records(ctx, "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range app.Sieve(rs) {
			if r.Source == "sand:vm-root" {
				return r
			}
		}
		t.Fatal("no table of vm-root")
		return app.SieveRow{}
	}
	r := take("Retained (g)\nSand,Sample mass (g),Washed out (g),1 mm,0.5 mm,0.25 mm,pan\nvm-root,101.5,4.5,5,35,50,5.5\n")
	if r.StartMassG == nil || *r.StartMassG != 101.5 || r.WashedG == nil || *r.WashedG != 4.5 {
		t.Fatalf("start mass %v g, washed %v g, want 101.5 and 4.5", r.StartMassG, r.WashedG)
	}
	if r.LossPercent == nil || math.Abs(*r.LossPercent-1.5/101.5*100) > 1e-9 {
		t.Errorf("lost %v %%, want 1.5 g of 101.5 g", r.LossPercent)
	}
	if p := r.Passing[len(r.Passing)-1]; p.SieveMM != 0.25 || math.Abs(p.Percent-10) > 1e-9 { // (4.5 + 5.5) of 100 g
		t.Errorf("finer than the finest sieve: %+v, want 10 %% through 0.25 mm", p)
	}
	if want := []string{"the fractions sum to 100.00 g of 101.50 g at the start, 1.5 % lost: between 1 and 2 %, usable"}; !slices.Equal(r.Notes, want) {
		t.Errorf("notes %q, want %q", r.Notes, want)
	}
	if r = take("Retained (g)\nSand,1 mm,0.5 mm,0.25 mm,pan\nvm-root,5,35,50,10\n"); r.StartMassG != nil || r.WashedG != nil || r.LossPercent != nil {
		t.Errorf("the masses of the replaced analysis are still there: %+v", r)
	}
}

// Weighings join those that are there, and blanks are told apart by their run.
func TestSheetOfWeighings(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	sheet := func(ash string) *app.LabTaken {
		b := book(t, "bench.csv", "Run: R90\nGreen,Layer,Date,Crucible,Tare (g),Dry (g),Ash (g),Type\n1,0-35 mm,2026-11-20,c1,40.10,80.20,"+ash+",sample\n,,,c2,41.00,41.00,41.00,blank\n")
		rule := labsheet.Propose(b, labsheet.Wish{}).Rule
		taken, err := a.ImportSheet(ctx, "tester", b, rule, app.LabOrder{Course: "varrowmere"})
		if err != nil {
			t.Fatal(err)
		}
		return taken
	}
	sheet("-")
	sheet("78.60")
	r, err := a.Store.Get(ctx, underfoot.Weighings, underfoot.Key{"varrowmere", "varrowmere-2026-11-20-g01-0-35", "c1"})
	if err != nil {
		t.Fatal(err)
	}
	w := r.(*underfoot.Weighing)
	if w.FurnaceRun != "R90" || w.TareG.Value != 40.1 || w.AshG.Value != 78.6 {
		t.Errorf("the weighing is %+v", w)
	}
	if r, err := a.Store.Get(ctx, underfoot.Weighings, underfoot.Key{"varrowmere", "blank R90", "c2"}); err != nil || r.(*underfoot.Weighing).Kind != "blank" {
		t.Errorf("the blank: %v, %v", r, err)
	}
}
