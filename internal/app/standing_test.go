package app_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/season"
)

var now = time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)

// example reads the example course afresh, so that a test may change it.
func example(t *testing.T) *underfoot.Records {
	t.Helper()
	list, err := app.ReadPackage(context.Background(), "../../examples/varrowmere", now, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return list[0]
}

func stand(t *testing.T, rs *underfoot.Records) *app.Standing {
	t.Helper()
	s, err := app.Stand(rs, rs.Course.Today(now), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// small is a course of two greens and one layer with whole numbers.
func small() *underfoot.Records {
	day := underfoot.MakeDate(2026, 9, 1)
	rs := &underfoot.Records{
		Course: underfoot.Course{ID: "a"},
		Greens: []underfoot.Green{
			{Course: "a", ID: "1", AreaM2: underfoot.Some(300.0)},
			{Course: "a", ID: "2", AreaM2: underfoot.Some(100.0)},
			{Course: "a", ID: "t", Kind: "tee", AreaM2: underfoot.Some(50.0)},
		},
		Sands: []underfoot.Sand{{Course: "a", ID: "s", Role: "topdressing", BulkDensity: underfoot.Some(1500.0)}},
	}
	for _, green := range []string{"1", "2"} {
		rs.Samples = append(rs.Samples, underfoot.Sample{
			ID: "x" + green, Course: "a", Green: green, Round: "r", Date: day, BottomMM: 20, Cores: underfoot.Some(5), CoreDiameterMM: underfoot.Some(20.0),
		})
		rs.Weighings = append(rs.Weighings, weighing("x"+green, "c"+green, "sample", 20, 60, 58))
	}
	return rs
}

func weighing(sample, crucible, kind string, tare, dry, ash float64) underfoot.Weighing {
	return underfoot.Weighing{
		Course: "a", Sample: sample, Crucible: crucible, Kind: kind, TareG: underfoot.Some(tare), DryG: underfoot.Some(dry), AshG: underfoot.Some(ash),
		ResolutionG: underfoot.Some(0.001), AshC: underfoot.Some(440.0),
	}
}

func row(t *testing.T, rows []app.BenchRow, sample string) app.BenchRow {
	t.Helper()
	i := slices.IndexFunc(rows, func(r app.BenchRow) bool { return r.Sample == sample })
	if i < 0 {
		t.Fatalf("no row of %s", sample)
	}
	return rows[i]
}

func TestCrucibles(t *testing.T) {
	rs := small()
	rs.Weighings = append(rs.Weighings,
		weighing("x1", "c9", "sample", 30, 40, 37),    // the rest of the composite: 2 g + 3 g of 50 g
		weighing("x1", "d1", "duplicate", 30, 70, 50), // a second burn, never part of it
		weighing("x2", "d2", "blank", 30, 30.001, 30),
		weighing("quality", "d3", "control", 30, 50, 49),
	)
	rows := app.Bench(rs)
	if len(rows) != 2 {
		t.Fatalf("%d rows, want the 2 composites: blanks and controls are none", len(rows))
	}
	x1 := row(t, rows, "x1")
	if got := *x1.OrganicMatterPercent; math.Abs(got-10) > 1e-9 {
		t.Errorf("x1 holds %g %%, want 10: two crucibles summed by mass, the duplicate left out", got)
	}
	if len(x1.Burnt) != 2 || len(x1.Repeat) != 1 {
		t.Errorf("x1 has %d crucibles and %d duplicates, want 2 and 1", len(x1.Burnt), len(x1.Repeat))
	}
	if got := *row(t, rows, "x2").OrganicMatterPercent; math.Abs(got-5) > 1e-9 {
		t.Errorf("x2 holds %g %%, want 5", got)
	}
}

func TestStillToWeigh(t *testing.T) {
	rs := small()
	rs.Weighings[0].AshG = underfoot.Opt[float64]{}
	x1 := row(t, app.Bench(rs), "x1")
	if x1.Known || x1.OrganicMatterPercent != nil {
		t.Error("a composite without its ash mass has a result")
	}
	if d := cmp.Diff([]string{"crucible c1: ash not weighed yet"}, x1.Warnings); d != "" {
		t.Error(d)
	}
}

func TestOnlyWholeResultsStandInTrends(t *testing.T) {
	for _, tt := range []struct {
		method string
		n      int
		says   string
	}{
		{"whole", 2, ""},
		{"screened", 1, "another quantity"},
		{"scooped", 1, "another quantity"},
		{"", 1, "not stated"},
	} {
		t.Run(tt.method, func(t *testing.T) {
			rs := small()
			rs.Weighings = rs.Weighings[:1]
			rs.Results = []underfoot.Result{{Course: "a", Sample: "x2", OMPercent: 7, Method: tt.method}}
			s := stand(t, rs)
			if got := s.Layers[0].Last().N; got != tt.n {
				t.Errorf("%d greens in the mean, want %d", got, tt.n)
			}
			all := strings.Join(row(t, s.Bench, "x2").Warnings, " ")
			if tt.says != "" && !strings.Contains(all, tt.says) {
				t.Errorf("warnings %q do not say %q", all, tt.says)
			}
		})
	}
}

func TestSurfacesAreNotMixed(t *testing.T) {
	rs := small()
	rs.Samples = append(rs.Samples, underfoot.Sample{ID: "xt", Course: "a", Green: "t", Round: "r", Date: rs.Samples[0].Date, BottomMM: 20})
	rs.Weighings = append(rs.Weighings, weighing("xt", "c3", "sample", 20, 60, 40))
	s := stand(t, rs)
	if s.Surface != "green" || s.Layers[0].Last().N != 2 || s.AreaM2 != 400 {
		t.Errorf("surface %s, %d in the mean, %g m²: want the two greens of 400 m²", s.Surface, s.Layers[0].Last().N, s.AreaM2)
	}
	if want := []string{"1 samples of other surfaces (tee) are kept and left out here: surfaces are not mixed"}; !slices.Equal(s.Notes, want) {
		t.Errorf("notes %q, want %q", s.Notes, want)
	}
}

func TestWorkCountsByArea(t *testing.T) {
	rs := small()
	day := underfoot.MakeDate(2026, 5, 1)
	mm := underfoot.Some(4.0)
	rs.Work = []underfoot.Work{
		{ID: "all", Course: "a", Date: day, Kind: "topdress", Sand: "s", SandMM: underfoot.Some(1.0)},
		{ID: "one", Course: "a", Green: "2", Date: day, Kind: "topdress", Sand: "s", SandMM: mm}, // 100 of 400 m²
		{ID: "tee", Course: "a", Green: "t", Date: day, Kind: "topdress", Sand: "s", SandMM: mm}, // another surface
		{ID: "planned", Course: "a", Date: day, Status: "planned", Kind: "topdress", Sand: "s", SandMM: mm},
		{ID: "by mass", Course: "a", Date: day, Kind: "topdress", Sand: "s", SandKgM2: underfoot.Some(3.0)}, // 2 mm at 1500 kg/m³
		{
			ID: "cores", Course: "a", Date: day, Kind: "hollow_core", Sand: "s", SandMM: underfoot.Some(0.5), TineDiameterMM: underfoot.Some(10.0),
			SpacingAlongMM: underfoot.Some(50.0), DepthMM: underfoot.Some(40.0), Backfill: underfoot.Some(0.5),
		},
	}
	s := stand(t, rs)
	if len(s.Seasons) != 1 || len(s.Planned) != 1 {
		t.Fatalf("%d seasons and %d planned entries, want 1 and 1", len(s.Seasons), len(s.Planned))
	}
	e := s.Seasons[0]
	opened := math.Pi / 4 * 10 * 10 / (50 * 50)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"spread, mm", e.SurfaceMM, 1 + 4*0.25 + 2 + 0.5},
		{"in holes, mm", e.DeepMM, opened * 40 * 0.5},
		{"in all, kg/m²", e.SandKgM2, (4.5 + opened*20) * 1.5},
		{"cored, share", e.Cored, opened},
		{"into 0–20 mm, mm", e.TopMM, 4.5 + opened*20*0.5}, // backfill lies evenly down the hole
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	if e.Dressings != 1 {
		t.Errorf("%d dressings, want 1 day", e.Dressings)
	}
}

func TestJudgement(t *testing.T) {
	rs := example(t)
	day := underfoot.MakeDate(2026, 11, 20)
	rs.Judgements = []underfoot.Judgement{{Course: "varrowmere", Date: day, Direction: "hold", Reason: "The members like them.", By: "A. Manager"}}
	s := stand(t, rs)
	if s.Direction.Verdict != findings.Hold || s.Direction.DecidedBy != "judgement" || s.Direction.FromReadings != findings.Lower {
		t.Errorf("direction %+v: want hold by judgement over lower from the readings", s.Direction)
	}
	if f := s.Findings().Direction; f.Probability != nil || f.Readings.Verdict != "lower" {
		t.Errorf("findings %+v: a judgement has no probability, and the readings still speak", f)
	}
	if got := s.Advice().Statement(); !strings.HasPrefix(got, "By the manager’s judgement (The members like them) the greens ask for organic matter to stay as it is") {
		t.Errorf("advice %q", got)
	}
	rs.Judgements = append(rs.Judgements, underfoot.Judgement{Course: "varrowmere", Date: day + 1, Direction: "withdrawn", Reason: "Readings were right.", By: "A. Manager"})
	if s = stand(t, rs); s.Direction.Verdict != findings.Lower || s.Judgement != nil {
		t.Errorf("withdrawn: direction %s, judgement %v", s.Direction.Verdict, s.Judgement)
	}
	rs.Judgements = []underfoot.Judgement{{Course: "varrowmere", Date: underfoot.MakeDate(2027, 3, 1), Direction: "raise", Reason: "later", By: "A. Manager"}}
	if s = stand(t, rs); s.Direction.Verdict != findings.Lower {
		t.Errorf("a judgement of next year counts already: %s", s.Direction.Verdict)
	}
}

// A package says the same whenever it is read.
func TestAsOfTheLastRecord(t *testing.T) {
	rs := example(t)
	early := stand(t, rs)
	late, err := app.Stand(rs, underfoot.MakeDate(2036, 1, 1), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	if early.AsOf != underfoot.MakeDate(2026, 10, 13) || late.AsOf != early.AsOf {
		t.Errorf("as of %s and %s, want 2026-10-13", early.AsOf, late.AsOf)
	}
	if d := cmp.Diff(early.Findings(), late.Findings()); d != "" {
		t.Errorf("ten years later:\n%s", d)
	}
}

func TestNoAdviceWithoutItsGrounds(t *testing.T) {
	for _, tt := range []struct {
		name string
		edit func(*underfoot.Records)
		want string
	}{
		{
			"no sand on record", func(rs *underfoot.Records) { rs.Work = nil },
			"No sand can be advised yet: no sand is on record, and the account would take that as none put on; log what was put on, or one dressing of 0 mm if it really was none.",
		},
		{"nothing at the surface", func(rs *underfoot.Records) {
			rs.Samples = slices.DeleteFunc(rs.Samples, func(s underfoot.Sample) bool { return s.TopMM == 0 })
		}, "No sand can be advised yet: there is no balance: no round has a layer that starts at the surface: measure one, for example 0–20 mm."},
		{
			"nothing weighed", func(rs *underfoot.Records) { rs.Samples, rs.Weighings, rs.Results = nil, nil, nil },
			"No sand can be advised yet: the balance compares two rounds; there is none yet.",
		},
		{
			"no readings", func(rs *underfoot.Records) { rs.Readings = nil },
			"No direction yet (there are no readings of firmness or soil water): set one from readings or by judgement before planning sand.",
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			rs := example(t)
			tt.edit(rs)
			if got := stand(t, rs).Advice().Statement(); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestNoSandReallyPutOn(t *testing.T) {
	rs := example(t)
	rs.Work = []underfoot.Work{{ID: "none", Course: "varrowmere", Date: underfoot.MakeDate(2024, 5, 1), Kind: "topdress", SandMM: underfoot.Some(0.0)}}
	if a := stand(t, rs).Advice(); a.Reason != "" || a.Direction.Toward != season.Lower {
		t.Errorf("a log that says none was put on is refused: %q", a.Reason)
	}
}
