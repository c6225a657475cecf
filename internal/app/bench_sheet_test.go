package app_test

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/store"
)

// twoCourses is a store with the small course under two names.
func twoCourses(t *testing.T) *app.App {
	t.Helper()
	ctx := context.Background()
	st, err := store.Open(ctx, filepath.Join(t.TempDir(), "two.db"), store.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	a := app.New(st, func() time.Time { return now }, "a test")
	for _, id := range []string{"a", "b"} {
		rs := runsOfSmall(5.4)
		_, err := st.Change(ctx, "a test", "put a course", func(tx underfoot.Tx) error {
			var first error
			rs.Each(func(r underfoot.Record) {
				t := r.Table()
				t.SetCourse(r, id)
				if s, ok := r.(*underfoot.Sample); ok {
					s.ID = id + s.ID
				}
				if w, ok := r.(*underfoot.Weighing); ok && w.OfSample() {
					w.Sample = id + w.Sample
				}
				if c, ok := r.(*underfoot.Course); ok {
					c.ID = id
				}
				if _, err := tx.Put(r); err != nil && first == nil {
					first = err
				}
			})
			if _, err := tx.Put(&underfoot.FurnaceRun{Course: id, ID: "run-1"}); err != nil {
				return err
			}
			return first
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return a
}

func benchStanding(t *testing.T, a *app.App, course string) *app.Standing {
	t.Helper()
	st, err := a.Standing(context.Background(), course)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// A run that mixes courses is released for all of them at once.
func TestReleaseReachesEveryCourseOfARun(t *testing.T) {
	ctx, a := context.Background(), twoCourses(t)
	for _, course := range []string{"a", "b"} {
		if !benchStanding(t, a, course).Quality.Run("run-1").Held() {
			t.Fatalf("the run is not held on course %s", course)
		}
	}
	if _, err := a.ReleaseRun(ctx, "ann", benchStanding(t, a, "a"), "run-1", "ann", " "); err == nil || err.Error() != "releasing furnace run run-1: a person's name and a reason are both needed" {
		t.Errorf("without a reason: %v", err)
	}
	if _, err := a.ReleaseRun(ctx, "ann", benchStanding(t, a, "a"), "none", "ann", "why"); underfoot.KindOf(err) != underfoot.NotFound {
		t.Errorf("of a run that is not there: %v", err)
	}
	change, err := a.ReleaseRun(ctx, "ann", benchStanding(t, a, "a"), "run-1", "ann", "the jar stood open")
	if err != nil {
		t.Fatal(err)
	}
	for _, course := range []string{"a", "b"} {
		st := benchStanding(t, a, course)
		if d := cmp.Diff(&app.Release{By: "ann", Date: "2026-11-25", Reason: "the jar stood open"}, st.Quality.Run("run-1").Release); d != "" {
			t.Errorf("course %s (−want +got):\n%s", course, d)
		}
		if len(st.Layers) == 0 || !st.Layers[0].Released("r") {
			t.Errorf("course %s: the released results stand in no round", course)
		}
		if !slices.ContainsFunc(st.Bench, func(r app.BenchRow) bool { return r.Released != nil && !r.Held && r.Comparable() }) {
			t.Errorf("course %s: no row says that it was released", course)
		}
	}
	if _, err := a.Store.Undo(ctx, "ann", change.ID); err != nil {
		t.Fatal(err)
	}
	if !benchStanding(t, a, "b").Quality.Run("run-1").Held() {
		t.Error("the undo did not hold the run again")
	}
}

// A sheet that is read and stored unchanged changes nothing.
func TestSheetComesBack(t *testing.T) {
	ctx, a := context.Background(), twoCourses(t)
	st := benchStanding(t, a, "a")
	sheet, ok := st.RunSheet("run-1")
	if !ok || len(sheet.Rows) != 3 {
		t.Fatalf("a sheet of %d rows, want 3", len(sheet.Rows))
	}
	before, err := a.Store.Records(ctx, "a")
	if err != nil {
		t.Fatal(err)
	}
	if _, faults, err := a.SaveSheet(ctx, "ann", st, &sheet); err != nil || len(faults) > 0 {
		t.Fatalf("faults %v, error %v", faults, err)
	}
	after, err := a.Store.Records(ctx, "a")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(before.Weighings, after.Weighings); d != "" {
		t.Errorf("weighings (−before +after):\n%s", d)
	}
}

// A control of a run that mixes courses is written down for all of them; a composite only for its own.
func TestSheetSharesWhatIsOfThePackage(t *testing.T) {
	ctx, a := context.Background(), twoCourses(t)
	st := benchStanding(t, a, "a")
	sheet, _ := st.RunSheet("run-1")
	for i := range sheet.Rows {
		if sheet.Rows[i].Cells["kind"] == "control" {
			sheet.Rows[i].Cells["ash_g"] = "58.01"
		} else {
			sheet.Rows[i].Cells["ash_g"] = "57.9"
		}
	}
	if _, faults, err := a.SaveSheet(ctx, "ann", st, &sheet); err != nil || len(faults) > 0 {
		t.Fatalf("faults %v, error %v", faults, err)
	}
	rs, err := a.Store.Records(ctx, "b")
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range rs.Weighings {
		want := 58.0
		if w.Kind == "control" {
			want = 58.01
		}
		if w.AshG.Value != want {
			t.Errorf("course b, %s: ash %v g, want %v", w.Sample, w.AshG.Value, want)
		}
	}
	if benchStanding(t, a, "b").Quality.Run("run-1").Failed() {
		t.Error("the control was set right, and the run still fails on the other course")
	}
}

func TestNewSheetOffersWhatWaits(t *testing.T) {
	rs := runsOfSmall(5.0)
	rs.Runs = []underfoot.FurnaceRun{{Course: "a", ID: "run-1", Furnace: "f1", TrayRows: underfoot.Some(2), TrayColumns: underfoot.Some(2), DryC: underfoot.Some(105.0)}}
	rs.Samples = append(rs.Samples, underfoot.Sample{ID: "y1", Course: "a", Green: "1", Round: "next", Date: underfoot.MakeDate(2026, 10, 1), BottomMM: 20})
	sheet, _ := stand(t, rs).RunSheet("")
	var rows []string
	for _, r := range sheet.Rows {
		rows = append(rows, r.Cells["kind"]+" "+r.Cells["sample"]+" "+r.Cells["place"])
	}
	if d := cmp.Diff([]string{"blank  A1", "control m A2", "sample y1 B1"}, rows); d != "" {
		t.Errorf("rows (−want +got):\n%s", d)
	}
	for field, want := range map[string]string{"furnace": "f1", "dry_c": "105", "ash_c": "440", "balance_resolution_g": "0.001", "date": "2026-11-25", "tray_rows": "2"} {
		if sheet.Fields[field] != want {
			t.Errorf("%s is offered as %q, want %q", field, sheet.Fields[field], want)
		}
	}
}

func TestPlaceAt(t *testing.T) {
	for name, want := range map[string][3]int{"A1": {0, 0, 1}, "b3": {1, 2, 1}, "Z99": {25, 98, 1}, "A0": {}, "1A": {}, "A": {}, "A+1": {}, "AA1": {}, "A100": {}} {
		row, column, ok := app.PlaceAt(name)
		got := [3]int{row, column, 0}
		if ok {
			got[2] = 1
		}
		if got != want {
			t.Errorf("%s: got %v, want %v", name, got, want)
		}
	}
}

// Results of a failed run stand in no comparison with peers, and come in with the release.
func TestHeldResultsAreNoPeers(t *testing.T) {
	clubs := six("bent")
	weighed := []underfoot.Record{}
	for _, r := range clubs[0] {
		x, ok := r.(*underfoot.Result)
		if !ok {
			weighed = append(weighed, r)
			continue
		}
		w := weighing(x.Sample, "c-"+x.Sample, "sample", 20, 60, 60-0.4*x.OMPercent)
		w.Course, w.FurnaceRun = x.Course, "run-1"
		weighed = append(weighed, &w)
	}
	course := weighed[0].(*underfoot.Course).ID
	control := weighing("m", "c7", "control", 20, 60, 60-0.4*5.4)
	control.Course, control.FurnaceRun = course, "run-1"
	weighed = append(weighed, &control, &underfoot.Control{Course: course, ID: "m", AcceptedPercent: underfoot.Some(5.0), SDPercent: underfoot.Some(0.1)})
	clubs[0] = weighed
	a := peerStore(t, clubs...)
	other := clubs[1][0].(*underfoot.Course).ID
	count := func() int {
		n := 0
		for _, l := range peersOf(t, a, other, nil).Layers {
			n = max(n, l.Courses)
		}
		return n
	}
	without := count()
	if _, err := a.ReleaseRun(t.Context(), "ann", benchStanding(t, a, course), "run-1", "ann", "the jar stood open"); err != nil {
		t.Fatal(err)
	}
	if with := count(); with != without+1 {
		t.Errorf("%d peers while the run is held, %d when it is released: want one more", without, with)
	}
}
