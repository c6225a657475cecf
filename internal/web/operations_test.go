package web

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"

	"underfoot"
)

const (
	operationsAt = "/course/varrowmere/operations"
	operationAt  = "/course/varrowmere/operation"
)

func (s *site) records() *underfoot.Records {
	s.t.Helper()
	rs, err := s.app.Store.Records(s.t.Context(), "varrowmere")
	if err != nil {
		s.t.Fatal(err)
	}
	return rs
}

// mustHold finds markup in a page.
func mustHold(t *testing.T, html string, markup ...string) {
	t.Helper()
	for _, m := range markup {
		if !strings.Contains(html, m) {
			t.Errorf("the page does not hold %s", m)
		}
	}
}

// sendFile posts a catalogue as a browser does.
func (s *site) sendFile(name, text string) *httptest.ResponseRecorder {
	s.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	part, err := m.CreateFormFile("file", name)
	if err != nil {
		s.t.Fatal(err)
	}
	part.Write([]byte(text))
	m.Close()
	r := httptest.NewRequest(http.MethodPost, operationsAt+"/file", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// A value is changed, marked, and put back, by the button and by undo.
func TestOperationIsChanged(t *testing.T) {
	s := newSite(t, Options{})
	html := s.page(operationsAt)
	mustSay(t, html, "A plan may choose from eight operations.", "All of them are as built in.", "common practice, no source", "hollow tines 8 mm at 38 mm", "None is set", "Switch off")
	mustSay(t, s.page(planAt), "Operations, closed times and crew of the course")
	html = s.page(operationAt + "/core-8")
	mustSay(t, html, "Hollow tines 8 mm at 38 mm", "From 1 to 400 mm; built in: 60 mm.", "From 0 to 10,000,000; built in: 900.", "common practice, no source.", "Contractor and hire, an event", "GBP", "Emptying a field takes the built-in value again.", "respirable crystalline silica")

	html = s.follow(operationAt+"/core-8", url.Values{"contract": {"1500"}, "depth_mm": {"60"}, "per_season": {"1"}, "name": {""}})
	mustSay(t, html, "Changed the operation “hollow tines 8 mm at 38 mm”.", "Undo", "changed here: contractor and hire, an event; most a season", "1,560", "One operation is the course’s own or changed here")
	if rows := s.records().Operations; len(rows) != 1 || rows[0].Contract != underfoot.Some(1500.0) || rows[0].DepthMM.Known || rows[0].Name != "" {
		t.Errorf("kept %+v", rows)
	}
	html = s.follow(operationAt+"/core-8/forget", nil)
	mustSay(t, html, "Put the operation “hollow tines 8 mm at 38 mm” back as built in.", "All of them are as built in.")
	html = s.follow("/course/varrowmere/undo", url.Values{"change": {undo.FindStringSubmatch(html)[1]}, "back": {operationsAt}})
	mustSay(t, html, "changed here: contractor and hire")
	s.follow(operationAt+"/core-8", url.Values{"contract": {""}, "per_season": {"2"}})
	if rows := s.records().Operations; len(rows) != 0 {
		t.Errorf("a row is left that says nothing: %+v", rows)
	}
	html = s.follow(operationAt+"/inject/switch", url.Values{"used": {"no"}})
	mustSay(t, html, "Switched off the operation “sand injection to 60 mm”.", "A plan may choose from seven operations.", "Switch on")
	html = s.follow(operationAt+"/inject/switch", url.Values{"used": {"yes"}})
	mustSay(t, html, "All of them are as built in.")
}

// One is copied and one added; the plan offers them; a name that is taken is refused.
func TestOperationIsAdded(t *testing.T) {
	s := newSite(t, Options{})
	html := s.page(operationAt + "?copy=core-8")
	mustSay(t, html, "A new operation: hollow-tine coring.")
	mustHold(t, html, `value="core-8-2"`, `value="hollow tines 8 mm at 38 mm, copy"`)
	form := url.Values{
		"kind": {"hollow_core"}, "id": {"core-10"}, "name": {"hollow tines 10 mm"}, "tine_diameter_mm": {"10"}, "spacing_along_mm": {"45"}, "depth_mm": {"70"}, "backfill": {"0.9"}, "sand_low_mm": {"0.5"},
		"sand_high_mm": {"1.5"}, "spacing_days": {"60"}, "disturbed_days": {"8"}, "disturbed_days_half": {"20"}, "source": {"our own count"},
	}
	html = s.follow(operationAt, form)
	mustSay(t, html, "Added the operation “hollow tines 10 mm”.", "the course’s own: our own count", "8.0, 20.0 at half growth", "Remove")
	w := s.post(operationAt, form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("the same again: status %d", w.Code)
	}
	mustSay(t, w.Body.String(), `"core-10" is there already: give another name.`)
	mustHold(t, s.page(planAt+"?"+asking().Encode()), `<option value="core-10"`)
	html = s.follow(operationAt+"/core-10/forget", nil)
	mustSay(t, html, "Removed the operation “hollow tines 10 mm”.")
	mustSay(t, s.page(operationAt+"?kind=topdress"), "A new operation: topdressing.")
}

// What cannot be is refused in a sentence beside its field, and nothing is kept.
func TestOperationRefusals(t *testing.T) {
	s := newSite(t, Options{})
	for _, x := range []struct{ field, text, want string }{
		{"depth_mm", "900", "900: allowed is a number from 1 to 400 mm."},
		{"depth_mm", "deep", `"deep" is not a number: allowed is a number from 1 to 400 mm.`},
		{"depth_mm", "7,5", `"7,5" has a comma: a decimal point is expected and no thousands mark: allowed is a number from 1 to 400 mm.`},
		{"sand_low_mm", "3", "3, more than sand_high_mm 1.5: swap them, or correct one."},
		{"tine_diameter_mm", "60", "Area opened by tines: diameter 60 mm is wider than the spacing of 38 mm: check both."},
		{"disturbed_days_half", "5", "5, disturbed_days 7: the surface recovers no faster when less grows: give 7 or more, or leave it out."},
		{"per_season", "20", "20 and spacing_days 40: so many events take 760 days, more than a year: lower one."},
		{"passes", "1.5", "1.5: allowed is a whole number from 1 to 20."},
		{"backfill", "1.2", "1.2: allowed is a number from 0 to 1."},
		{"contract", "-5", "-5: allowed is a number from 0 to 10000000."},
		{"pattern", "round", `"round": allowed is square or triangular.`},
		{"blade_width_mm", "2", `"2": an operation of kind hollow_core has no such value: leave it empty.`},
	} {
		w := s.post(operationAt+"/core-8", url.Values{x.field: {x.text}})
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s %q: status %d, want 422", x.field, x.text, w.Code)
		}
		html := w.Body.String()
		mustSay(t, html, x.want, "Not kept yet: one field needs another look")
		if x.field != "blade_width_mm" && !strings.Contains(html, `id="e-`+x.field+`"`) {
			t.Errorf("%s %q: nothing stands beside the field", x.field, x.text)
		}
	}
	w := s.post(operationAt, url.Values{"kind": {"topdress"}})
	mustSay(t, w.Body.String(), "Most sand an event: Empty: give a number from 0 to 20 mm.", "Short name: ")
	w = s.post(operationAt, url.Values{"kind": {"topdress"}, "id": {"a"}, "sand_high_mm": {"0"}, "spacing_days": {"7"}})
	mustSay(t, w.Body.String(), "0: topdress puts sand on: allowed is a number above 0 to 20 mm.")
	if w := s.post(operationAt, url.Values{"kind": {"plough"}, "id": {"a"}}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a strange kind: status %d", w.Code)
	}
	for _, path := range []string{operationAt + "/plough", operationAt + "?copy=plough"} {
		if w := s.get(path); w.Code != http.StatusNotFound {
			t.Errorf("%s: status %d", path, w.Code)
		}
	}
	if n := len(s.records().Operations); n != 0 {
		t.Errorf("%d rows were kept", n)
	}
}

// Rows that came in with a package and contradict themselves are shown with what is wrong, and no plan is looked for until it is mended.
func TestContradictingCatalogue(t *testing.T) {
	s := newSite(t, Options{})
	row := underfoot.Operation{Course: "varrowmere", ID: "dressing", Kind: "topdress", SandLowMM: underfoot.Some(2.0)}
	if _, err := s.app.Store.Change(t.Context(), "ann", "test", func(tx underfoot.Tx) error { _, err := tx.Put(&row); return err }); err != nil {
		t.Fatal(err)
	}
	mustSay(t, s.page(operationsAt), "No plan can be looked for: one operation contradicts itself.", "Least sand an event: 2, more than sand_high_mm 1: swap them, or correct one.")
	w := s.get(planAt + "?" + asking().Encode())
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("status %d", w.Code)
	}
	mustSay(t, w.Body.String(), `The course's own catalogue: operation "dressing": sand_low_mm is 2, more than sand_high_mm 1: swap them, or correct one.`)
	mustSay(t, s.follow(operationAt+"/dressing", url.Values{"sand_low_mm": {"0.6"}}), "A plan may choose from eight operations.")
}

// The catalogue goes out as a file and comes back; a bad file changes nothing.
func TestCatalogueFile(t *testing.T) {
	s := newSite(t, Options{})
	w := s.get(operationsAt + "/file")
	if w.Code != http.StatusOK || !strings.Contains(w.Header().Get("Content-Disposition"), "varrowmere-operations.toml") {
		t.Fatalf("status %d, %v", w.Code, w.Header())
	}
	usual, err := os.ReadFile("../catalogue/testdata/usual.toml")
	if err != nil {
		t.Fatal(err)
	}
	if w.Body.String() != string(usual) {
		t.Error("the file is not the built-in catalogue")
	}
	w = s.sendFile("mine.toml", strings.Replace(string(usual), "contract = 900", "contract = 950", 1)+"\n[[operation]]\nid = \"dust\"\nkind = \"topdress\"\nsand_high_mm = 0.3\nspacing_days = 7\n")
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	mustSay(t, s.page(w.Header().Get("Location")), "Took a catalogue of 9 operations.", "changed here: contractor and hire, an event", "dust")
	kept := s.records().Operations
	if len(kept) != 2 {
		t.Errorf("kept %+v", kept)
	}
	w = s.sendFile("bad.toml", "[[operation]]\nid = \"a\"\nkind = \"inject_sand\"\ndepth_mm = 900\nsand_high_mm = 2\nspacing_days = 0\n")
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a bad file: status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "Nothing was taken from the file", `operation "a": depth_mm is 900: allowed is a number from 1 to 400 mm.`, `operation "a": spacing_days is 0: allowed is a whole number from 1 to 366 d.`)
	w = s.post(operationsAt+"/file", url.Values{})
	mustSay(t, w.Body.String(), "No file was chosen: choose the catalogue, a .toml file.")
	if n := len(s.records().Operations); n != len(kept) {
		t.Errorf("a refused file left %d rows, before %d", n, len(kept))
	}
}

// Closed times, tournaments and holidays are added, changed, removed; the plan keeps to them; what cannot be is refused beside its field.
func TestCalendarOfTheCourse(t *testing.T) {
	s := newSite(t, Options{})
	at := "/course/varrowmere/closings"
	html := s.follow(at, url.Values{"why": {"tournament"}, "from": {"2027-06-12"}, "until": {"2027-06-13"}, "name": {"Summer cup"}, "healed_days": {"5"}, "unopened_days": {"28"}})
	mustSay(t, html, "Added the tournament Summer cup, 12 June 2027 to 13 June 2027.", "healed 5 days before, no opening in the 28 days before")
	mustHold(t, s.page(operationsAt+"?closing="+url.QueryEscape("2027-06-12 tournament")), `value="Summer cup"`, "Keep the change")
	html = s.follow(at, url.Values{"was": {"2027-06-12 tournament"}, "why": {"tournament"}, "from": {"2027-06-19"}, "name": {"Summer cup"}})
	mustSay(t, html, "Changed the tournament Summer cup, 19 June 2027.", "19 Jun 2027", "healed 3 days before")
	html = s.follow(at, url.Values{"many": {"yes"}, "days_why": {"holiday"}, "days": {"2027-05-31 Spring holiday\n2027-08-30, late summer\n2027-12-24 to 2027-12-31 Christmas"}})
	mustSay(t, html, "Added 3 closed times.", "public holiday, the crew is away, Spring holiday", "24 Dec 2027 to 31 Dec 2027")
	if c := s.records().Closings; len(c) != 4 || c[3].Name != "Christmas" {
		t.Errorf("kept %+v", c)
	}
	mustSay(t, s.page(planAt), "every plan keeps to the course’s own calendar: four entries to come.")
	rehearse := func(day string) string {
		return s.page(planAt + "/rehearse?" + typed(asking(), day, "core-8", "1").Encode())
	}
	mustSay(t, rehearse("2027-05-31"), "The course is closed for work")
	mustSay(t, rehearse("2027-06-18"), "ournament")
	html = s.follow(at+"/drop", url.Values{"drop": {"2027-05-31 holiday"}})
	mustSay(t, html, "Removed the holiday Spring holiday, 31 May 2027.", "Undo")

	for _, x := range []struct {
		form []string
		want string
	}{
		{[]string{"why", "closed"}, "First day: Empty: a value is needed"},
		{[]string{"why", "closed", "from", "soon"}, `First day: "soon" is not a date`},
		{[]string{"why", "closed", "from", "2027-07-14", "until", "2027-07-01"}, "Last day: It ends on 2027-07-01, before it begins on 2027-07-14."},
		{[]string{"why", "closed", "from", "2020-07-01", "until", "2020-07-14"}, "Last day: 2020-07-14 is past, today is 2026-11-25: closed times count for plans ahead."},
		{[]string{"why", "war", "from", "2027-07-14"}, `What: "war" is not allowed`},
		{[]string{"why", "closed", "from", "2027-07-01", "healed_days", "3"}, "Healed before a tournament: It is said of what is no tournament: leave it empty."},
		{[]string{"why", "tournament", "from", "2027-07-01", "healed_days", "91"}, "Healed before a tournament: 91 d is out of range"},
		{[]string{"why", "tournament", "from", "2027-06-19"}, "First day: A tournament from 2027-06-19 on is there already: change that one."},
		{[]string{"many", "yes", "days_why", "holiday", "days", "Christmas"}, `Days, one a line: Line 1, "Christmas": give a day or two, such as 2027-07-01 to 2027-07-14.`},
		{[]string{"many", "yes", "days_why", "holiday", "days", ""}, "No day is given: one a line, such as 2027-05-31."},
		{[]string{"many", "yes", "days_why", "holiday", "days", "2027-10-01\n2027-10-01"}, "A public holiday on 2027-10-01 is given twice."},
	} {
		form := url.Values{}
		for i := 0; i < len(x.form); i += 2 {
			form.Set(x.form[i], x.form[i+1])
		}
		w := s.post(at, form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%v: status %d, want 422", x.form, w.Code)
		}
		mustSay(t, w.Body.String(), x.want)
	}
	if n := len(s.records().Closings); n != 3 {
		t.Errorf("%d closed times, want 3", n)
	}
}

// The plan form begins with the course's own crew.
func TestCrewOfTheCourse(t *testing.T) {
	s := newSite(t, Options{})
	at := "/course/varrowmere/crew"
	html := s.follow(at, url.Values{"crew_from": {"2026-11-01"}, "crew_hours": {"260"}, "crew_price": {"27.5"}})
	mustSay(t, html, "Said what crew there is from 1 November 2026 on.", "1 Nov 2026")
	html = s.page(planAt)
	mustHold(t, html, `name="crew" value="260"`, `name="hour" value="27.5"`, "The form begins with the course’s own crew.")
	for _, x := range []struct{ field, text, want string }{
		{"crew_hours", "0", "Crew hours a week: 0 h is out of range"},
		{"crew_hours", "many", `Crew hours a week: "many" is not a number`},
		{"crew_from", "", "From: Empty: a value is needed"},
		{"crew_hours", "", "Crew hours a week: Neither hours nor a price: give one or both."},
	} {
		form := url.Values{"crew_from": {"2027-01-01"}, "crew_hours": {"100"}}
		form.Set(x.field, x.text)
		w := s.post(at, form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s %q: status %d", x.field, x.text, w.Code)
		}
		mustSay(t, w.Body.String(), x.want)
	}
	mustSay(t, s.follow(at+"/drop", url.Values{"drop": {"2026-11-01"}}), "Removed the crew from 1 November 2026 on.")
}
