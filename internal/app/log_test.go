package app_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/examples"
	"underfoot/internal/app"
	"underfoot/internal/store"
)

// club is an App over a new store that holds the example courses, and the folder of their packages.
func club(t *testing.T, clock func() time.Time) (a *app.App, packages string) {
	t.Helper()
	packages = t.TempDir()
	if err := os.CopyFS(packages, examples.Files); err != nil {
		t.Fatal(err)
	}
	a = empty(t, clock)
	for _, name := range examples.Packages() {
		if _, err := a.Import(t.Context(), filepath.Join(packages, name), "importer", app.Reading{}); err != nil {
			t.Fatal(err)
		}
	}
	return a, packages
}

// empty is an App over a new store.
func empty(t *testing.T, clock func() time.Time) *app.App {
	t.Helper()
	st, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "s.db"), store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	return app.New(st, clock, "tester")
}

// noon is the clock of these tests.
func noon() time.Time { return time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC) }

// dressing is an entry that can be saved.
func dressing() underfoot.Work {
	return underfoot.Work{
		Course: "varrowmere", Date: underfoot.MakeDate(2026, time.November, 2), Kind: "topdress", Sand: "vm-dress-b", SandMM: underfoot.Some(0.5),
	}
}

// A new entry is one named change, is done unless it says otherwise, counts at once, and goes when it is undone.
func TestSaveWork(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	before := sandOf(t, a, 2026)
	change, id, err := a.SaveWork(ctx, "R. Keeper", dressing())
	if err != nil {
		t.Fatal(err)
	}
	if change.By != "R. Keeper" || change.What != "logged topdressing of 2026-11-02" || change.Added != 1 || id == "" {
		t.Errorf("change %+v, entry %q", change, id)
	}
	if got := sandOf(t, a, 2026) - before; math.Abs(got-0.5*1.54) > 1e-9 {
		t.Errorf("the sand of 2026 grew by %g kg/m², want 0.77: 0.5 mm at 1540 kg/m³", got)
	}
	w := entry(t, a, id)
	if w.Status != "done" {
		t.Errorf("status %q, want done", w.Status)
	}

	w.SandMM = underfoot.Some(1.0)
	change, same, err := a.SaveWork(ctx, "R. Keeper", w)
	if err != nil || same != id || change.What != "changed topdressing of 2026-11-02" || change.Changed != 1 {
		t.Errorf("changing it: %+v, %q, %v", change, same, err)
	}
	if _, err := a.Store.Undo(ctx, "R. Keeper", change.ID); err != nil {
		t.Fatal(err)
	}
	if got := entry(t, a, id).SandMM; got != underfoot.Some(0.5) {
		t.Errorf("after undoing the change it has %v mm, want 0.5", got)
	}

	taken, err := a.DeleteWork(ctx, "R. Keeper", "varrowmere", id)
	if err != nil || taken.What != "took out topdressing of 2026-11-02" || taken.Deleted != 1 {
		t.Errorf("taking it out: %+v, %v", taken, err)
	}
	if got := sandOf(t, a, 2026); got != before {
		t.Errorf("without the entry 2026 has %g kg/m², want %g", got, before)
	}
	if _, err := a.Store.Undo(ctx, "R. Keeper", taken.ID); err != nil {
		t.Fatal(err)
	}
	if got := entry(t, a, id).SandMM; got != underfoot.Some(0.5) {
		t.Errorf("brought back it has %v mm, want 0.5", got)
	}
	if _, err := a.DeleteWork(ctx, "R. Keeper", "varrowmere", "none"); underfoot.KindOf(err) != underfoot.NotFound {
		t.Errorf("taking out what is not there: %v", err)
	}
}

// Saving the same entry again is no change.
func TestSaveWorkAgain(t *testing.T) {
	a, _ := club(t, noon)
	_, id, err := a.SaveWork(t.Context(), "R. Keeper", dressing())
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := a.SaveWork(t.Context(), "R. Keeper", entry(t, a, id))
	if err != nil || again.ID != 0 {
		t.Errorf("change %d, %v: want none", again.ID, err)
	}
}

// What an entry cannot be is refused with the column at fault, and nothing is written.
func TestSaveWorkRefuses(t *testing.T) {
	a, _ := club(t, noon)
	latest := lastChange(t, a)
	cases := []struct {
		name   string
		edit   func(*underfoot.Work)
		column string
		want   string
	}{
		{
			"done tomorrow", func(w *underfoot.Work) { w.Date = underfoot.MakeDate(2026, 11, 26) }, "date",
			"date: 2026-11-26 is in the future: today is 2026-11-25; enter it as planned",
		},
		{"long ago", func(w *underfoot.Work) { w.Date = underfoot.MakeDate(26, 11, 2) }, "date", "date: 0026-11-02 is before 1900"},
		{"a green of another course", func(w *underfoot.Work) { w.Green = "g99" }, "green", `green: green "g99" is not on this course`},
		{"sand nobody has", func(w *underfoot.Work) { w.Sand = "beach" }, "sand", `sand: sand "beach" is not among the course's sands`},
		{
			"sand twice, disagreeing", func(w *underfoot.Work) { w.SandKgM2 = underfoot.Some(0.9) }, "sand_kg_m2",
			"sand_kg_m2: 0.9 kg/m² does not agree with sand_mm 0.5 mm, which is 0.77 kg/m² at the 1540 kg/m³ of sand vm-dress-b: they may differ by 2 %; correct one or leave one empty",
		},
		{"tines wider than their spacing", func(w *underfoot.Work) {
			w.Kind, w.TineDiameterMM, w.SpacingAlongMM = "hollow_core", underfoot.Some(60.0), underfoot.Some(50.0)
		}, "spacing_along_mm", "spacing_along_mm: 50 mm is less than the tine diameter 60 mm: the spacing must be at least as wide"},
		{"no course", func(w *underfoot.Work) { w.Course = "nowhere" }, "", `course "nowhere" is not there`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			w := dressing()
			c.edit(&w)
			_, _, err := a.SaveWork(t.Context(), "R. Keeper", w)
			if err == nil || err.Error() != c.want {
				t.Fatalf("got  %v\nwant %s", err, c.want)
			}
			var f *app.FieldError
			if column := ""; errors.As(err, &f) {
				if column = f.Column; column != c.column {
					t.Errorf("column %q, want %q", column, c.column)
				}
			} else if c.column != "" {
				t.Errorf("no column, want %q", c.column)
			}
		})
	}
	if got := lastChange(t, a); got != latest {
		t.Errorf("the store has change %d, want %d as before", got, latest)
	}
}

// Planned work may lie ahead, and does not count as sand put on.
func TestPlannedWork(t *testing.T) {
	a, _ := club(t, noon)
	s, err := a.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	before, planned := sandOf(t, a, 2026), len(s.Planned)
	w := dressing()
	w.Status, w.Date = "planned", underfoot.MakeDate(2027, time.April, 1)
	if _, _, err := a.SaveWork(t.Context(), "R. Keeper", w); err != nil {
		t.Fatal(err)
	}
	if s, err = a.Standing(t.Context(), "varrowmere"); err != nil {
		t.Fatal(err)
	}
	if n := len(s.Planned); n != planned+1 || sandOf(t, a, 2026) != before || sandOf(t, a, 2027) != 0 {
		t.Errorf("%d planned entries, want %d; %g kg/m² in 2026 (before %g), %g in 2027", n, planned+1, sandOf(t, a, 2026), before, sandOf(t, a, 2027))
	}
}

// "Today" is the day on the course: it is the 26th there while it is still the 25th in Greenwich.
func TestTodayOfTheCourse(t *testing.T) {
	a := empty(t, func() time.Time { return time.Date(2026, time.November, 25, 23, 30, 0, 0, time.UTC) })
	_, err := a.Store.Change(t.Context(), "tester", "made a course", func(tx underfoot.Tx) error {
		_, err := tx.Put(&underfoot.Course{ID: "east", TimeZone: "Asia/Tokyo"})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	day := underfoot.MakeDate(2026, time.November, 26)
	if _, _, err := a.SaveWork(t.Context(), "tester", underfoot.Work{Course: "east", Date: day, Kind: "topdress"}); err != nil {
		t.Error(err)
	}
	_, _, err = a.SaveWork(t.Context(), "tester", underfoot.Work{Course: "east", Date: day + 1, Kind: "topdress"})
	want := "date: 2026-11-27 is in the future: today is 2026-11-26; enter it as planned"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// A judgement in the store turns the direction, is undone like any change, and must say who and why.
func TestSetJudgement(t *testing.T) {
	a, _ := club(t, noon)
	j := underfoot.Judgement{Course: "varrowmere", Direction: "hold", Reason: "Wet year.", By: "A. Manager"}
	verdict := func() string {
		s, err := a.Standing(t.Context(), "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		return string(s.Direction.Verdict) + " by " + s.Direction.DecidedBy
	}
	read := verdict()
	change, err := a.SetJudgement(t.Context(), j)
	if err != nil || change.What != "judged the direction: hold" || change.By != "A. Manager" {
		t.Errorf("%+v, %v", change, err)
	}
	if got := verdict(); got != "hold by judgement" {
		t.Errorf("direction %s, want hold by judgement", got)
	}
	if _, err := a.Store.Undo(t.Context(), "A. Manager", change.ID); err != nil {
		t.Fatal(err)
	}
	if got := verdict(); got != read {
		t.Errorf("after undo %s, want %s", got, read)
	}
	for _, c := range []struct {
		edit func(*underfoot.Judgement)
		want string
	}{
		{func(j *underfoot.Judgement) { j.By = " " }, "by: empty: say who judges"},
		{func(j *underfoot.Judgement) { j.Reason = "" }, "reason: empty: say why, in your own words"},
		{func(j *underfoot.Judgement) { j.Direction = "up" }, `direction: "up" is not allowed: allowed are lower, hold, raise, withdrawn`},
		{func(j *underfoot.Judgement) { j.Course = "nowhere" }, `course "nowhere" is not there`},
	} {
		bad := j
		c.edit(&bad)
		if _, err := a.SetJudgement(t.Context(), bad); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

// A standing is worked out once for records and day, and again when either changes.
func TestStandingIsKept(t *testing.T) {
	now := noon()
	a, _ := club(t, func() time.Time { return now })
	ask := func() *app.Standing {
		s, err := a.Standing(t.Context(), "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	first := ask()
	if ask() != first {
		t.Error("asked twice, worked out twice")
	}
	if _, _, err := a.SaveWork(t.Context(), "tester", dressing()); err != nil {
		t.Fatal(err)
	}
	second := ask()
	if second == first {
		t.Error("an entry in the log was not seen")
	}
	now = now.Add(24 * time.Hour)
	if third := ask(); third == second || third.Today != second.Today+1 {
		t.Errorf("the next day: %v, want %v", third.Today, second.Today+1)
	}
	if _, err := a.Standing(t.Context(), "nowhere"); underfoot.KindOf(err) != underfoot.NotFound {
		t.Errorf("a course that is not there: %v", err)
	}
}

func sandOf(t *testing.T, a *app.App, year int) float64 {
	t.Helper()
	s, err := a.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range s.Seasons {
		if e.Year == year {
			return e.SandKgM2
		}
	}
	return 0
}

func entry(t *testing.T, a *app.App, id string) underfoot.Work {
	t.Helper()
	r, err := a.Store.Get(context.Background(), underfoot.WorkLog, underfoot.Key{"varrowmere", id})
	if err != nil {
		t.Fatal(err)
	}
	return *r.(*underfoot.Work)
}

func lastChange(t *testing.T, a *app.App) int64 {
	t.Helper()
	list, err := a.Store.Changes(t.Context(), "", 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) == 0 {
		return 0
	}
	return list[0].ID
}

// Words for the kinds of work: each kind of the format has its own.
func TestKindName(t *testing.T) {
	i, _ := underfoot.WorkLog.Column("kind")
	got := map[string]string{}
	for _, kind := range underfoot.WorkLog.Columns[i].OneOf {
		got[kind] = app.KindName(kind)
	}
	want := map[string]string{
		"topdress": "topdressing", "hollow_core": "hollow-tine coring", "solid_tine": "solid tining", "scarify": "scarifying",
		"inject_sand": "sand injection", "nitrogen": "nitrogen", "clippings": "clippings", "other": "other work",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
