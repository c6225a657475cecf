package web

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"underfoot"
)

const labText = `Sample,Green,Depth,Date,LOI
L1,Green 3,0-2 cm,03/11/2026,4.4
L2,Clock,0-2 cm,03/11/2026,3.9
L3,Green 8,0-2 cm,04/11/2026,screened out
`

// formOf reads back what a form of the page would send.
func formOf(html string) url.Values {
	out := url.Values{}
	html = unescape(html)
	for _, m := range regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="(.*?)">`).FindAllStringSubmatch(html, -1) {
		out.Add(m[1], m[2])
	}
	for _, m := range regexp.MustCompile(`<input id="[^"]+" name="([^"]+)"(?: type="date")? value="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		out.Add(m[1], m[2])
	}
	for _, m := range regexp.MustCompile(`(?s)<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>`).FindAllStringSubmatch(html, -1) {
		value := ""
		if s := regexp.MustCompile(`<option value="([^"]*)" selected`).FindStringSubmatch(m[2]); s != nil {
			value = s[1]
		}
		out.Add(m[1], value)
	}
	return out
}

// A sheet that is no package leads to its own page, where everything can be said without JavaScript.
func TestLabSheet(t *testing.T) {
	s := newSite(t, Options{})
	w := s.upload(sent{"their autumn.csv", labText})
	at := w.Header().Get("Location")
	if !strings.HasPrefix(at, "/sheet/") {
		t.Fatalf("status %d, to %q: %s", w.Code, at, plain(w.Body.String()))
	}
	html := s.page(at)
	mustSay(t, html, "before their autumn.csv can be brought in", "To be said, because two readings are possible", "cells parted by commas",
		"No green of the course is called so", `"screened out" is not a number`)
	form := formOf(html)
	if form.Get("c5-field") != "om" || form.Get("c4-field") != "date" {
		t.Fatalf("the form holds %v", form)
	}
	form.Set("course", "varrowmere")
	form.Set("c5-unit", "%")
	form.Set("dates", "dmy")
	html = s.post(at, form).Body.String()
	mustSay(t, html, "Two problems to set right", "Take the one row without a problem")
	form = formOf(html)
	for i, words := range form["green-words"] {
		if words == "Clock" {
			form["green"][i] = "g01"
		}
	}
	form.Set("do", "store")
	if w := s.post(at, form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("with a problem: status %d, want 422", w.Code)
	} else {
		mustSay(t, w.Body.String(), "Nothing was stored", "1 problem")
	}
	form.Set("partial", "yes")
	form.Set("mapping", "autumn table")
	form.Set("fixed-method", "screened")
	w = s.post(at, form)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, plain(w.Body.String()))
	}
	to := w.Header().Get("Location")
	mustSay(t, s.page(to), "Brought in organic matter results from their autumn.csv.", "Undo")
	r, err := s.app.Store.Get(t.Context(), underfoot.Results, underfoot.Key{"varrowmere", "L2"})
	if err != nil || r.(*underfoot.Result).OMPercent != 3.9 || r.(*underfoot.Result).Method != "screened" {
		t.Errorf("L2 is %+v, %v", r, err)
	}
	if s.get(at).Code != http.StatusNotFound {
		t.Error("a sheet that was brought in is still waiting")
	}

	// The next one is recognised, and what was typed for the last one alone is not.
	at = s.upload(sent{"next.csv", "Date;LOI;Green;Sample;Depth\n05/11/2026;4.1;Green 9;L9;0-2 cm\n"}).Header().Get("Location")
	html = s.page(at)
	mustSay(t, html, "One row of organic matter results ready to bring in.", "Its headings are those of the mapping autumn table", "1 sample would be made")
	form = formOf(html)
	form.Set("do", "discard")
	s.follow(at, form)
	if s.get(at).Code != http.StatusNotFound {
		t.Error("a discarded sheet is still waiting")
	}
}

// Pointing at another column, at other heading rows, at another kind: the rest is worked out anew.
func TestLabSheetPointing(t *testing.T) {
	s := newSite(t, Options{})
	at := s.upload(sent{"odd.csv", "x,y,z\nw1,0-20 mm,4.1\nw2,20-40 mm,2.2\n"}).Header().Get("Location")
	form := formOf(s.page(at))
	form.Set("course", "varrowmere")
	form.Set("head-at", "1")
	form.Set("head", "1")
	form = formOf(s.post(at, form).Body.String())
	form.Set("c1-field", "sample")
	form.Set("c2-field", "layer")
	form.Set("c3-field", "om")
	html := s.post(at, form).Body.String()
	mustSay(t, html, `Sample "w1" is not on this course, and to make it its green is not known`)
	form = formOf(html)
	if form.Get("c3-unit") != "%" || form.Get("c2-unit") != "mm" {
		t.Errorf("units %q and %q", form.Get("c3-unit"), form.Get("c2-unit"))
	}
	form.Set("fixed-green", "Green 2")
	form.Set("fixed-date", "2026-11-20")
	html = s.post(at, form).Body.String()
	mustSay(t, html, "Two rows of organic matter results ready to bring in.", "2 samples would be made")
	form = formOf(html)
	form.Set("do", "save")
	mustSay(t, s.post(at, form).Body.String(), "Empty: give the mapping a name.")
	form.Set("mapping", "letters only")
	w := s.post(at, form)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	mustSay(t, s.page(w.Header().Get("Location")), "Kept the mapping letters only.", "ready to bring in")
}

// Odd forms are refused with a sentence, and packages and broken files go where they went before.
func TestLabSheetOdd(t *testing.T) {
	s := newSite(t, Options{})
	at := s.upload(sent{"odd.csv", labText}).Header().Get("Location")
	for _, rule := range []string{"{", `{"kind":"wine"}`, `{"kind":"results","columns":[{"column":-4,"field":"om"}]}`, `{"kind":"results","head_row":900000,"head_rows":1,"columns":[]}`} {
		w := s.post(at, url.Values{"rule": {rule}, "do": {"store"}, "kind": {"results"}})
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d, want 422", rule, w.Code)
		}
	}
	if w := s.post("/sheet/none", url.Values{}); w.Code != http.StatusNotFound {
		t.Errorf("no sheet: status %d", w.Code)
	}
	w := s.upload(sent{"torn.xlsx", "PK\x03\x04 torn"})
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a torn workbook: status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "torn.xlsx cannot be read as a workbook")
	if to := s.upload(sent{"greens.csv", "course,green\nx,1\n"}).Header().Get("Location"); !strings.HasPrefix(to, "/import/") {
		t.Errorf("a table of a package went to %q", to)
	}
	data, err := os.ReadFile(filepath.Join("..", "labsheet", "testdata", "sheets", "43-workbook-sieve-groups.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	html := s.page(s.upload(sent{"sieves.xlsx", string(data)}).Header().Get("Location"))
	mustSay(t, html, "Mass on each sieve, g", "of Green 2 0-20 mm", "2 mm 0.5 g, 1 mm 5.5 g")
}
