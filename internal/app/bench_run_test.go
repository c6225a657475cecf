package app_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/bench"
	"underfoot/internal/app"
)

// runsOfSmall puts the composites of the small course into one named run with a control of accepted 5 ± 0.1 %.
func runsOfSmall(control float64) *underfoot.Records {
	rs := small()
	for i := range rs.Weighings {
		rs.Weighings[i].FurnaceRun = "run-1"
	}
	rs.Controls = []underfoot.Control{{Course: "a", ID: "m", AcceptedPercent: underfoot.Some(5.0), SDPercent: underfoot.Some(0.1)}}
	w := weighing("m", "c7", "control", 20, 60, 60-0.4*control)
	w.FurnaceRun = "run-1"
	rs.Weighings = append(rs.Weighings, w)
	return rs
}

const threeOut = "control m, crucible c7: 5.40 %, 4.0 standard deviations above the accepted 5.00 %: one burn more than three standard deviations out (1-3s)"

func TestFailedRunHoldsItsResults(t *testing.T) {
	quiet, failed := app.Bench(runsOfSmall(5.1)), app.Bench(runsOfSmall(5.4))
	for i, r := range quiet {
		f := failed[i]
		if !r.Comparable() || r.Held || len(r.RunFailed) > 0 {
			t.Errorf("%s of a quiet run: comparable %v, held %v, %v", r.Sample, r.Comparable(), r.Held, r.RunFailed)
		}
		if f.Comparable() || !f.Held || !f.Known {
			t.Errorf("%s of a failed run: comparable %v, held %v, known %v", f.Sample, f.Comparable(), f.Held, f.Known)
		}
		want := "held: furnace run run-1 failed (" + threeOut + "): kept out of trends, balance and calibration until a named person releases the run with a reason"
		if got := f.Warnings[len(f.Warnings)-1]; got != want {
			t.Errorf("%s warns\n%s\nwant\n%s", f.Sample, got, want)
		}
		if d := cmp.Diff([]string{threeOut}, f.RunFailed); d != "" {
			t.Errorf("%s, why its run failed (−want +got):\n%s", f.Sample, d)
		}
		if *r.OrganicMatterPercent != *f.OrganicMatterPercent {
			t.Errorf("%s: %g of a quiet run, %g of a failed one: holding must not change a figure", f.Sample, *r.OrganicMatterPercent, *f.OrganicMatterPercent)
		}
	}
	st := stand(t, runsOfSmall(5.4))
	if len(st.Layers) != 0 {
		t.Errorf("%d layers found from held results alone, want none", len(st.Layers))
	}
	note := "furnace run run-1 failed (" + threeOut + "): its 2 composites are held, kept out of trends, balance and calibration, until a named person releases the run with a reason"
	if !slices.Contains(st.Notes, note) {
		t.Errorf("notes %q lack\n%s", st.Notes, note)
	}
}

// A run fails on what came before it too, in order of date and not of name.
func TestRunsInOrderOfDate(t *testing.T) {
	rs := runsOfSmall(5.25)
	for k, day := range []underfoot.Date{underfoot.MakeDate(2025, 9, 1), underfoot.MakeDate(2024, 9, 1)} {
		id, run := []string{"y1", "y2"}[k], []string{"a-second", "z-first"}[k]
		rs.Samples = append(rs.Samples, underfoot.Sample{ID: id, Course: "a", Green: "1", Round: run, Date: day, BottomMM: 20})
		s, c := weighing(id, "c1", "sample", 20, 60, 58), weighing("m", "c7", "control", 20, 60, 60-0.4*5.22)
		if run == "z-first" {
			c = weighing("m", "c7", "control", 20, 60, 60-0.4*4.9)
		}
		s.FurnaceRun, c.FurnaceRun = run, run
		rs.Weighings = append(rs.Weighings, s, c)
	}
	st := stand(t, rs)
	var got []string
	for _, r := range st.Quality.Runs {
		got = append(got, r.Name+" "+string(r.Judgement.Verdict))
	}
	if d := cmp.Diff([]string{"z-first pass", "a-second look", "run-1 failed"}, got); d != "" {
		t.Errorf("(−want +got):\n%s", d)
	}
	if last := st.Quality.Run("run-1"); !slices.Contains(last.Judgement.Rules, bench.TwoBeyond2) {
		t.Errorf("rules broken %v, want two in a row among them", last.Judgement.Rules)
	}
}

// Crucibles without a run are never failed: there is nothing that could be released.
func TestUnnamedRunIsNeverFailed(t *testing.T) {
	rs := runsOfSmall(5.4)
	for i := range rs.Weighings {
		rs.Weighings[i].FurnaceRun = ""
	}
	st := stand(t, rs)
	if v := st.Quality.Runs[0].Judgement.Verdict; v != bench.Look {
		t.Errorf("verdict %s, want a look", v)
	}
	for _, r := range st.Bench {
		if r.Held {
			t.Errorf("%s is held", r.Sample)
		}
	}
}

// The records that the program is shown with have no failed run, so nothing of them is held.
func TestExampleHoldsNothing(t *testing.T) {
	st := stand(t, example(t))
	if len(st.Quality.Runs) < 10 || st.Quality.Fault != "" {
		t.Fatalf("%d runs, fault %q", len(st.Quality.Runs), st.Quality.Fault)
	}
	for _, r := range st.Quality.Runs {
		if r.Failed() {
			t.Errorf("run %s failed: %s", r.Name, strings.Join(r.Judgement.Reasons(), "; "))
		}
	}
	for _, r := range st.Bench {
		if r.Held || r.Released != nil {
			t.Errorf("%s is held or released", r.Sample)
		}
	}
	if p := len(st.Quality.Pairs); p != st.Quality.Duplicates.Pairs || p < 8 {
		t.Errorf("%d pairs", p)
	}
}
