package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"underfoot"
)

func entry(over ...string) url.Values {
	form := url.Values{"kind": {"topdress"}, "date": {"2026-11-20"}, "status": {"done"}, "green": {""}, "sand": {"vm-dress-b"}, "amount": {"0.40"}, "unit": {"mm"}}
	for i := 0; i < len(over); i += 2 {
		form.Set(over[i], over[i+1])
	}
	return form
}

var undo = regexp.MustCompile(`name="change" value="(\d+)"`)

func TestLogEntry(t *testing.T) {
	s := newSite(t, Options{})
	before := len(s.work("varrowmere"))
	html := s.follow("/course/varrowmere/log", entry("who", "A. Tester", "note", "after rain"))
	mustSay(t, html, "Logged topdressing of 20 November 2026.", "Fri 20 Nov", "After rain.")
	added := s.find("2026-11-20")
	if added.SandMM != underfoot.Some(0.4) || added.Sand != "vm-dress-b" || added.Status != "done" {
		t.Errorf("stored %+v", added)
	}

	html = s.follow("/course/varrowmere/log/"+added.ID, entry("amount", "0.55", "note", "after rain"))
	mustSay(t, html, "Changed topdressing of 20 November 2026.")
	if got := s.find("2026-11-20"); got.SandMM != underfoot.Some(0.55) {
		t.Errorf("after the change the entry holds %v", got.SandMM)
	}
	mustSay(t, s.page("/course/varrowmere/log/"+added.ID), "A. Tester", "0.40 0.55")

	m := undo.FindStringSubmatch(html)
	if m == nil {
		t.Fatal("no undo is offered")
	}
	html = s.follow("/course/varrowmere/undo", url.Values{"change": {m[1]}, "back": {"/course/varrowmere/log"}})
	if got := s.find("2026-11-20"); got.SandMM != underfoot.Some(0.4) {
		t.Errorf("after the undo the entry holds %v", got.SandMM)
	}
	mustSay(t, html, "Do it again")

	html = s.follow("/course/varrowmere/log/"+added.ID+"/delete", nil)
	mustSay(t, html, "Took out topdressing of 20 November 2026.", "Undo")
	if n := len(s.work("varrowmere")); n != before {
		t.Errorf("%d entries after deleting, want %d", n, before)
	}
	s.follow("/course/varrowmere/undo", url.Values{"change": {undo.FindStringSubmatch(html)[1]}, "back": {"/course/varrowmere/log"}})
	if n := len(s.work("varrowmere")); n != before+1 {
		t.Errorf("%d entries after undoing, want %d", n, before+1)
	}
}

func (s *site) find(day string) underfoot.Work {
	s.t.Helper()
	for _, w := range s.work("varrowmere") {
		if w.Date.String() == day {
			return w
		}
	}
	s.t.Fatalf("no entry of %s", day)
	return underfoot.Work{}
}

// Sand in any unit is stored in a column of the exchange format; tonnes become kg/m² over the greens named.
func TestLogUnits(t *testing.T) {
	tests := []struct {
		name, unit, amount, green string
		mm, kg                    underfoot.Opt[float64]
	}{
		{"millimetres", "mm", "0.5", "", underfoot.Some(0.5), underfoot.Opt[float64]{}},
		{"mass per area", "kg_m2", "0.77", "", underfoot.Opt[float64]{}, underfoot.Some(0.77)},
		{"tonnes on all greens", "t", "10.189", "", underfoot.Opt[float64]{}, underfoot.Some(1.0)},
		{"tonnes on one green", "t", "0.688", "g01", underfoot.Opt[float64]{}, underfoot.Some(1.0)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newSite(t, Options{})
			s.follow("/course/varrowmere/log", entry("amount", tt.amount, "unit", tt.unit, "green", tt.green))
			got := s.find("2026-11-20")
			if got.SandMM != tt.mm || got.SandKgM2 != tt.kg {
				t.Errorf("stored %v mm and %v kg/m², want %v and %v", got.SandMM, got.SandKgM2, tt.mm, tt.kg)
			}
		})
	}
}

func TestLogRefusals(t *testing.T) {
	s := newSite(t, Options{})
	before := s.latest()
	tests := []struct {
		name, field string
		form        url.Values
		says        string
	}{
		{"no amount", "amount", entry("amount", ""), "how much sand? A number in mm, kg/m² or t is needed"},
		{"comma", "amount", entry("amount", "0,4"), `"0,4" has a comma: a decimal point is expected and no thousands mark`},
		{"negative", "amount", entry("amount", "-1"), "-1 mm is out of range: 0 to 100 mm is allowed"},
		{"too much", "amount", entry("amount", "1e9"), "is out of range: 0 to 100 mm is allowed"},
		{"words", "amount", entry("amount", "a lot"), `"a lot" is not a number`},
		{"words for tonnes", "amount", entry("amount", "a lot", "unit", "t"), `"a lot" is not a number`},
		{"still to come", "date", entry("date", "2027-01-01"), "1 January 2027 is still to come: choose “planned”"},
		{"no day", "date", entry("date", ""), "empty: a value is needed"},
		{"impossible day", "date", entry("date", "2026-02-30"), "is not a day of the calendar"},
		{"long ago", "date", entry("date", "1066-10-14"), "days from 1900 on are allowed"},
		{"no such green", "green", entry("green", "g99"), `green "g99" is not on this course`},
		{"no such sand", "sand", entry("sand", "moon"), `sand "moon" is not among the course's sands`},
		{"tines wider than their spacing", "spacing_along_mm", entry("kind", "hollow_core", "tine_diameter_mm", "60", "spacing_along_mm", "50"), "the spacing must be at least as wide"},
		{"overfull holes", "backfill", entry("kind", "hollow_core", "backfill", "80"), "0 to 1 is allowed"},
		{"unknown work", "kind", entry("kind", "dance"), `"dance" is not allowed`},
		{"too much nitrogen", "nitrogen_kg_ha", entry("kind", "nitrogen", "nitrogen_kg_ha", "5000"), "0 to 1000 kg/ha is allowed"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.post("/course/varrowmere/log", tt.form)
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("status %d, want 422", w.Code)
			}
			body := w.Body.String()
			mustSay(t, body, "Not saved yet", tt.says, "nothing was stored")
			typed := tt.form.Get(tt.field)
			if tt.field == "kind" || typed == "" || strings.Contains("green sand", tt.field) {
				return
			}
			field := regexp.MustCompile(`<input[^>]* id="f-` + tt.field + `"[^>]*>`).FindString(body)
			if !strings.Contains(field, `aria-invalid="true"`) || !strings.Contains(field, `value="`+typed+`"`) || !strings.Contains(field, `aria-describedby="e-`+tt.field) {
				t.Errorf("the field is %s: want it marked, with what was typed", field)
			}
		})
	}
	if s.latest() != before {
		t.Error("something was stored")
	}
}

func TestWorkItOut(t *testing.T) {
	s := newSite(t, Options{})
	before := s.latest()
	w := s.post("/course/varrowmere/log", entry("amount", "1", "do", "work-out"))
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "1.00 mm is 1.54 kg/m², 15.7 t dry over 10,189 m², 16.5 t as delivered at 5 % moisture, at 1,540 kg/m³.")
	if s.latest() != before {
		t.Error("it was stored")
	}
}

// An entry keeps what the form does not show, and its numbers as they were written.
func TestChangingKeepsTheRest(t *testing.T) {
	s := newSite(t, Options{})
	before := s.find("2021-03-30")
	form := url.Values{}
	html := s.page("/course/varrowmere/log/" + before.ID)
	for _, m := range regexp.MustCompile(`<input[^>]* name="([^"]+)"[^>]* value="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		form.Set(m[1], unescape(m[2]))
	}
	for _, m := range regexp.MustCompile(`(?s)<select[^>]* name="([^"]+)".*?</select>`).FindAllStringSubmatch(html, -1) {
		if v := regexp.MustCompile(`value="([^"]*)" selected`).FindStringSubmatch(m[0]); v != nil {
			form.Set(m[1], v[1])
		}
	}
	form.Set("unit", "mm")
	form.Set("note", "checked")
	s.follow("/course/varrowmere/log/"+before.ID, form)
	after := s.find("2021-03-30")
	got, want := underfoot.WorkLog.Cells(&after), underfoot.WorkLog.Cells(&before)
	want["note"] = "checked"
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s is %q, want %q", name, got[name], want[name])
		}
	}
	for name := range got {
		if _, was := want[name]; !was {
			t.Errorf("%s has appeared: %q", name, got[name])
		}
	}
}

func TestUndoRefusals(t *testing.T) {
	s := newSite(t, Options{})
	for form, want := range map[string]int{"": 422, "x": 422, "-3": 422, "99999": 404} {
		if w := s.post("/course/varrowmere/undo", url.Values{"change": {form}}); w.Code != want {
			t.Errorf("undo of %q: status %d, want %d", form, w.Code, want)
		}
	}
	s.follow("/course/varrowmere/log", entry())
	id := s.latest()
	first := s.find("2026-11-20")
	s.follow("/course/varrowmere/log/"+first.ID, entry("amount", "0.6"))
	w := s.post("/course/varrowmere/undo", url.Values{"change": {itoa(id)}})
	if w.Code != http.StatusConflict {
		t.Errorf("undoing what was changed since: status %d, want 409", w.Code)
	}
	mustSay(t, w.Body.String(), "This clashes with what is stored.", "Nothing was changed")
}

func itoa(n int64) string { return strings.TrimSpace(underfoot.FormatNumber(float64(n))) }

// Undoing the import that brought a course in leads to the list, where it can be done again.
func TestUndoImport(t *testing.T) {
	s := newSite(t, Options{})
	html := s.follow("/course/varrowmere/undo", url.Values{"change": {itoa(s.latest())}})
	mustSay(t, html, "Do it again")
	if s.get("/course/varrowmere").Code != http.StatusNotFound {
		t.Error("the course is still there")
	}
	s.follow("/course/varrowmere/undo", url.Values{"change": {undo.FindStringSubmatch(html)[1]}})
	s.page("/course/varrowmere")
}
