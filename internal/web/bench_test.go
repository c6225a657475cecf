package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
)

const enter = "/course/ostrelby/bench/enter"

// oneRow is a sheet with one crucible of the second example's newest round.
func oneRow(over ...string) url.Values {
	form := url.Values{
		"run": {""}, "rows": {"1"}, "do": {"save"}, "furnace_run": {"os-again-1"}, "date": {"2026-11-20"}, "by": {"A. Tester"}, "dry_c": {"105"}, "ash_c": {"440"},
		"ash_hours": {"8"}, "balance_resolution_g": {"0.001"}, "tray_rows": {"2"}, "tray_columns": {"3"}, "r0-crucible": {"d01"}, "r0-kind": {"duplicate"},
		"r0-sample": {"os-2026-autumn-g01-0-20"}, "r0-tare_g": {"S S     38.043 g"}, "r0-dry_g": {"80.100"}, "r0-ash_g": {"+ 78,901 g"}, "r0-place": {"b3"},
	}
	for i := 0; i < len(over); i += 2 {
		form.Set(over[i], over[i+1])
	}
	return form
}

func (s *site) weighing(course, run, crucible string) *underfoot.Weighing {
	s.t.Helper()
	rs, err := s.app.Store.Records(context.Background(), course)
	if err != nil {
		s.t.Fatal(err)
	}
	for i := range rs.Weighings {
		if w := &rs.Weighings[i]; w.FurnaceRun == run && w.Crucible == crucible {
			return w
		}
	}
	return nil
}

func TestSheetOfARun(t *testing.T) {
	s := newSite(t, Options{})
	html := s.follow(enter, oneRow())
	mustSay(t, html, "Wrote down furnace run os-again-1.", "Undo", "The tray, back of the furnace above", "d01")
	w := s.weighing("ostrelby", "os-again-1", "d01")
	if w == nil {
		t.Fatal("nothing was stored")
	}
	for column, want := range map[string]string{
		"tare_g": "38.043", "dry_g": "80.100", "ash_g": "78.901", "dry_c": "105", "ash_c": "440", "ash_hours": "8", "balance_resolution_g": "0.001", "kind": "duplicate",
	} {
		i, _ := underfoot.Weighings.Column(column)
		if got := underfoot.Weighings.Cell(w, i); got != want {
			t.Errorf("%s is stored as %q, want %q", column, got, want)
		}
	}

	// Weighed again: the last counts, both are kept.
	html = s.follow(enter, oneRow("run", "os-again-1", "r0-was-sample", "os-2026-autumn-g01-0-20", "r0-was-crucible", "d01", "r0-tare_g", "38.043", "r0-ash_g", "78.901",
		"r0-ash_again_g", "78.800", "again_hours", "2"))
	mustSay(t, html, "Wrote down furnace run os-again-1.")
	if w = s.weighing("ostrelby", "os-again-1", "d01"); w.AshG.Value != 78.8 {
		t.Errorf("the ash counts %v g, want the last weighing, 78.8", w.AshG.Value)
	}
	rs, _ := s.app.Store.Records(context.Background(), "ostrelby")
	var got []float64
	for _, r := range rs.Repeats {
		if r.Crucible == "d01" && r.Stage == "ash" {
			got = append(got, r.MassG, r.Hours.Or(-1))
		}
	}
	if d := cmp.Diff([]float64{78.901, 0, 78.8, 2}, got); d != "" {
		t.Errorf("repeated weighings, mass and hours (−want +got):\n%s", d)
	}
	mustSay(t, s.page(enter+"?run=os-again-1"), "weighed 78.901, 78.8", "The ash lost another 101 mg at the last weighing, above the 40.8 mg allowed: heat on and weigh again.")

	// Taken out, and put back by the undo.
	html = s.follow(enter, oneRow("run", "os-again-1", "r0-was-sample", "os-2026-autumn-g01-0-20", "r0-was-crucible", "d01", "r0-remove", "yes"))
	if s.weighing("ostrelby", "os-again-1", "d01") != nil {
		t.Error("the row was not taken out")
	}
	m := undo.FindStringSubmatch(html)
	if m == nil {
		t.Fatal("no undo is offered")
	}
	s.follow("/course/ostrelby/undo", url.Values{"change": {m[1]}, "back": {"/course/ostrelby/bench"}})
	if w = s.weighing("ostrelby", "os-again-1", "d01"); w == nil || w.AshG.Value != 78.8 {
		t.Errorf("after the undo the row is %+v", w)
	}
}

func TestSheetRefusals(t *testing.T) {
	s := newSite(t, Options{})
	for _, c := range []struct{ name, field, value, says string }{
		{"no name", "furnace_run", "", "A run needs a name, such as 2026-11-25-1: its results, its checks and its release hang on it."},
		{"name taken", "furnace_run", "os-2026-autumn-1", `Run "os-2026-autumn-1" is there already: open its sheet, or give this one another name.`},
		{"to come", "date", "2026-12-24", "2026-12-24 is still to come: give the day it was burnt, up to today, 2026-11-25."},
		{"not settled", "r0-ash_g", "S D 78.9 g", `Row 1, Ash: Mass "S D 78.9 g": the balance had not settled: wait and weigh again.`},
		{"order", "r0-dry_g", "30", "Row 1, Dry: Dry mass 30 g is not above the empty crucible's 38.043 g: masses include the crucible."},
		{"no composite", "r0-sample", "", "Row 1, Composite or control: Which composite? Write down the name on its bag."},
		{"unknown composite", "r0-sample", "x", `Row 1, Composite or control: Composite "x" is not on this course: name one of its rounds, or bring the round in first.`},
		{"no crucible", "r0-crucible", "", "Row 1, Crucible: Which crucible? Write down its number."},
		{"place", "r0-place", "C9", "Row 1, Place: Place C9 is not on a tray of 2 rows and 3 columns."},
		{"no place", "r0-place", "door", `Row 1, Place: Place "door": give row and column of the tray, such as B3.`},
		{"temperature", "dry_c", "-105", "-105 °C is out of range: above 0 and up to 300 °C is allowed."},
		{"first missing", "r0-dry_again_g", "80", ""},
		{"hours", "again_hours", "soon", `"soon": give the hours between the two weighings, 0 to 1000, or leave it out.`},
		{"unknown control", "r0-kind", "control", `Row 1, Composite or control: Control material "os-2026-autumn-g01-0-20" is not known (known: none): add it to the control materials first.`},
	} {
		t.Run(c.name, func(t *testing.T) {
			form := oneRow(c.field, c.value)
			if c.name == "first missing" {
				form.Set("r0-dry_g", "")
				c.says = "Row 1, Dry again: The first weighing of this stage is missing: write it into the column before."
			}
			w := s.post(enter, form)
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("status %d", w.Code)
			}
			mustSay(t, w.Body.String(), c.says, "no record was changed")
			if !strings.Contains(w.Body.String(), `aria-invalid="true"`) {
				t.Error("no field is marked")
			}
		})
	}
	if s.weighing("ostrelby", "os-again-1", "d01") != nil {
		t.Error("something was stored")
	}
	// What was sent last stands in the sheet of a new run until it is stored or let go.
	mustSay(t, s.page(enter), "could not be stored. It stands below with what is wrong.", "Control material")
	mustSay(t, s.follow(enter, url.Values{"run": {""}, "do": {"discard"}}), "What was typed is let go.", "Bring it back")
	if html := s.page(enter); strings.Contains(html, "could not be stored") || strings.Contains(html, `value="bring-back"`) {
		t.Error("what was let go is still there, or still offered on another visit")
	}
	mustSay(t, s.follow(enter, url.Values{"run": {""}, "do": {"bring-back"}}), "could not be stored. It stands below with what is wrong.", "Control material")
	s.follow(enter, url.Values{"run": {""}, "do": {"discard"}})
}

func TestSheetFromABlock(t *testing.T) {
	s := newSite(t, Options{})
	form := oneRow("do", "fill", "block", "Ash (g)\tCrucible\tSample\tEmpty\tDry\n79.1\td07\tos-2026-autumn-g02-0-20\t40.1\t80.2\n")
	w := s.post(enter, form)
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	for _, want := range []string{`name="r1-crucible" value="d07"`, `name="r1-ash_g" value="79.1"`, `name="r0-crucible" value="d01"`, `name="r1-sample" value="os-2026-autumn-g02-0-20"`} {
		if !strings.Contains(w.Body.String(), want) {
			t.Errorf("the sheet does not hold %s", want)
		}
	}
	form.Set("block", "dry\tdry\n1\t2")
	w = s.post(enter, form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "line 1 of the block: two columns are headed as dry_g: name each once")
}

// failControl moves a control of the first example's newest run three and a half deviations off.
func failControl(t *testing.T, s *site) (run string) {
	t.Helper()
	ctx := context.Background()
	rs, err := s.app.Store.Records(ctx, "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	for i := range rs.Weighings {
		w := rs.Weighings[i]
		if w.Kind != "control" || w.FurnaceRun != "vm-2026-autumn-1" {
			continue
		}
		w.AshG = underfoot.Some(w.DryG.Value - 0.0492*(w.DryG.Value-w.TareG.Value))
		if _, err := s.app.Store.Change(ctx, "a test", "a control that is off", func(tx underfoot.Tx) error { _, err := tx.Put(&w); return err }); err != nil {
			t.Fatal(err)
		}
		return w.FurnaceRun
	}
	t.Fatal("the newest run has no control")
	return ""
}

func TestReleaseOfAFailedRun(t *testing.T) {
	s := newSite(t, Options{})
	path := "/course/varrowmere/bench?run=" + failControl(t, s)
	mustSay(t, s.page(path), "is held: its checks failed.", "Held results", "Reason, kept with every figure it touches",
		"3.5 standard deviations below the accepted 5.20 %: one burn more than three standard deviations out (1-3s)")
	if text := plain(s.page("/course/varrowmere/findings")); !strings.Contains(text, "held, because its furnace run failed") {
		t.Error("the findings do not say what is held")
	}
	mustSay(t, s.page("/bench"), "held: control vm-control-a")

	post := func(by, reason string) url.Values {
		return url.Values{"run": {"vm-2026-autumn-1"}, "do": {"release"}, "by": {by}, "reason": {reason}}
	}
	w := s.post("/course/varrowmere/bench/release", post("", ""))
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatalf("released without name and reason: status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "A name is needed: held results are released by a person", "A reason is needed: why can these be used although the checks failed?")

	html := s.follow("/course/varrowmere/bench/release", post("A. Tester", "the control jar stood open"))
	mustSay(t, html, "Released furnace run vm-2026-autumn-1.", "Undo", "Released by A. Tester on 2026-11-25: The control jar stood open.")
	for _, where := range []string{"/course/varrowmere/findings", "/course/varrowmere", "/course/varrowmere/report?kind=full"} {
		text := plain(s.page(where))
		if !strings.Contains(text, "was released by A. Tester on 25 November 2026: the control jar stood open") && !strings.Contains(text, "was released by A. Tester on 2026-11-25: the control jar stood open") {
			t.Errorf("%s does not say who released the run, and why", where)
		}
	}
	if text := plain(s.page("/course/varrowmere/report")); !strings.Contains(text, "and was released by A. Tester on") {
		t.Error("the client report does not say who released the run")
	}
	html = s.follow("/course/varrowmere/bench/release", url.Values{"run": {"vm-2026-autumn-1"}, "do": {"withdraw"}})
	mustSay(t, html, "Held results", "Undo")

	if w := s.post("/course/varrowmere/bench/release", url.Values{"run": {"vm-2025-autumn-2"}, "do": {"release"}, "by": {"A"}, "reason": {"B"}}); w.Code != http.StatusBadRequest && w.Code != http.StatusUnprocessableEntity {
		t.Errorf("releasing a run that did not fail: status %d", w.Code)
	}
}
