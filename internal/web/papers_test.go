package web

import (
	"bytes"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"underfoot"
)

func TestPapersOfRound(t *testing.T) {
	s := newSite(t, Options{Version: "test"})
	rounds := s.page("/course/varrowmere/round")
	mustSay(t, rounds, "Field sheet and labels", "Chain of custody")
	if !strings.Contains(rounds, `href="/course/varrowmere/round/2026-autumn/papers"`) {
		t.Error("the round does not lead to its papers")
	}
	mustSay(t, s.page("/course/varrowmere/round/2026-autumn/papers"), "The papers of round “2026-autumn”: 18 bags on six greens.", "Print it at 100 %", "lift with the knees", "A4, 3 × 7 of 63.5 × 38.1 mm")
	for _, path := range []string{"sheet.pdf", "sheet.pdf?paper=letter", "labels.pdf", "labels.pdf?sheet=letter-3x10&first=30&copies=2&code=sample&edges=yes", "labels.pdf?sample=vm-2026-autumn-g03-0-20"} {
		w := s.get("/course/varrowmere/round/2026-autumn/" + path)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/pdf" || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-1.")) {
			t.Errorf("%s: status %d, %s", path, w.Code, w.Header().Get("Content-Type"))
		}
		if again := s.get("/course/varrowmere/round/2026-autumn/" + path); !bytes.Equal(again.Body.Bytes(), w.Body.Bytes()) {
			t.Errorf("%s: other bytes the second time", path)
		}
		if got, want := w.Header().Get("Content-Disposition"), "inline; filename*=UTF-8''varrowmere-2026-autumn-"+path[:strings.Index(path, ".")]+".pdf"; got != want {
			t.Errorf("%s: %s, want %s", path, got, want)
		}
	}
}

func TestPapersRefused(t *testing.T) {
	s := newSite(t, Options{})
	for _, c := range []struct {
		path   string
		status int
		says   string
	}{
		{"/course/varrowmere/round/2026-autumn/labels.pdf?rows=x", 422, `Labels down: "x" is not a number`},
		{"/course/varrowmere/round/2026-autumn/labels.pdf?columns=2.5", 422, "2.5 is not a whole number within reach"},
		{"/course/varrowmere/round/2026-autumn/labels.pdf?width=90", 422, "3 labels of 90 mm with margin and gaps need 282.2 mm across, A4 is 210 mm wide: fewer or narrower labels"},
		{"/course/varrowmere/round/2026-autumn/labels.pdf?first=22", 422, "First free label 22: 1 to 21 are allowed"},
		{"/course/varrowmere/round/2026-autumn/labels.pdf?copies=11", 422, "11 copies: 1 to 10 are allowed"},
		{"/course/varrowmere/round/2026-autumn/labels.pdf?paper=A3", 422, `Paper "A3": "A4" or "letter" are allowed`},
		{"/course/varrowmere/round/2026-autumn/labels.pdf?width=25&height=18&rows=10", 422, "take larger labels"},
		{"/course/varrowmere/round/2026-autumn/labels.pdf?sample=nothing", 404, `Round "2026-autumn" has no composite "nothing"`},
		{"/course/varrowmere/round/2026-autumn/sheet.pdf?paper=A3", 422, `paper "A3": "A4" or "letter" are allowed`},
		{"/course/varrowmere/round/nowhere/papers", 404, `has no round "nowhere"`},
	} {
		w := s.get(c.path)
		if w.Code != c.status {
			t.Errorf("%s: status %d, want %d", c.path, w.Code, c.status)
		}
		mustSay(t, w.Body.String(), c.says)
	}
}

func TestCustodyPage(t *testing.T) {
	s := newSite(t, Options{})
	const path = "/course/varrowmere/custody"
	mustSay(t, s.page(path), "No bag is missing from its round.", "Received was not written down for 1 composite: vm-2026-autumn-g12-40-60.", "greens crew")
	s.forgetCustody(t)
	mustSay(t, s.page(path), "Nobody has written down yet who had the bags when.", "18 have their results", "No chain of custody was kept.", "implied, 13 Oct")
	before := s.latest()
	for _, c := range []struct {
		name, says string
		form       url.Values
	}{
		{"nothing ticked", "No composite is ticked: tick those that were sent.", url.Values{"step": {"sent"}, "date": {"2026-10-14"}, "by": {"Crew"}}},
		{"nobody", "Who had them in hand? A name is needed.", url.Values{"step": {"sent"}, "date": {"2026-10-14"}, "by": {" "}, "sample": {"vm-2026-autumn-g03-0-20"}}},
		{"no day", `"" is not a date of the form 2026-10-08`, url.Values{"step": {"sent"}, "date": {""}, "by": {"Crew"}, "sample": {"vm-2026-autumn-g03-0-20"}}},
		{"ahead", "2026-12-01 is still to come: a day up to today, 2026-11-25, is allowed", url.Values{"step": {"sent"}, "date": {"2026-12-01"}, "by": {"Crew"}, "sample": {"vm-2026-autumn-g03-0-20"}}},
		{"no name read", `No line of what was read names a bag of round "2026-autumn": names such as vm-2026-autumn-g03-0-20 are allowed.`, url.Values{"step": {"sent"}, "date": {"2026-10-14"}, "by": {"Crew"}, "read": {"Green 3\n"}}},
		{"no such step", "is no step", url.Values{"step": {"lost"}, "date": {"2026-10-14"}, "by": {"Crew"}, "sample": {"vm-2026-autumn-g03-0-20"}}},
	} {
		c.form.Set("round", "2026-autumn")
		w := s.post(path, c.form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d, want 422", c.name, w.Code)
		}
		mustSay(t, w.Body.String(), "Nothing was marked", c.says)
	}
	if w := s.post(path, url.Values{"round": {"nowhere"}, "step": {"sent"}}); w.Code != http.StatusNotFound {
		t.Errorf("a round that is not there: status %d", w.Code)
	}
	if s.latest() != before {
		t.Error("something was stored")
	}

	html := s.follow(path, url.Values{
		"round": {"2026-autumn"}, "step": {"bagged"}, "date": {"2026-10-13"}, "by": {"Crew one"}, "sample": {"vm-2026-autumn-g03-0-20"},
		"read": {"vm-2026-autumn-g06-0-20\r\nGreen 6\r\n0–20 mm\r\n"},
	})
	mustSay(t, html, "Marked 2 composites as bagged on 13 October 2026.", "Crew one", "Bagged was not written down for 16 composites", "not written down")
	undone := s.follow("/course/varrowmere/undo", url.Values{"change": {s.latestID()}, "back": {path}})
	mustSay(t, undone, "Nobody has written down yet who had the bags when.")
}

// forgetCustody takes away what the example says of who had the bags.
func (s *site) forgetCustody(t *testing.T) {
	t.Helper()
	rs, err := s.app.Store.Records(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.app.Store.Change(t.Context(), "tester", "took the custody away", func(tx underfoot.Tx) error {
		for i := range rs.Custodies {
			if err := tx.Delete(underfoot.Custodies, underfoot.Custodies.Key(&rs.Custodies[i])); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

// A planned round is cut with one press: its bags come onto the record.
func TestCuttingAPlannedRound(t *testing.T) {
	s := newSite(t, Options{})
	s.plan(t)
	const path = "/course/varrowmere/custody?round=next"
	mustSay(t, s.page(path), "Two bags: two wait to be cut.", "Mark all 2 as cut", "not cut yet")
	html := s.follow("/course/varrowmere/custody", url.Values{"round": {"next"}, "all": {"cut"}, "date": {"2026-11-20"}, "by": {"Crew one"}})
	mustSay(t, html, "Marked 2 composites as cut on 20 November 2026.", "Mark all 2 as bagged")
	html = s.follow("/course/varrowmere/custody", url.Values{"round": {"next"}, "step": {"sent"}, "date": {"2026-11-21"}, "by": {"Crew one"}, "sample": {"varrowmere-next-g01-0-20"}})
	mustSay(t, html, "One bag is not where the others of the round are.", "Not bagged, though 1 other is: varrowmere-next-g02-0-20.", "missing: not bagged, as others are")
	mustSay(t, s.page("/course/varrowmere/round"), "Round “next”")
}

func (s *site) latestID() string { return strconv.FormatInt(s.latest(), 10) }

// plan adds a round that is still to be taken: the top layer of two greens.
func (s *site) plan(t *testing.T) {
	t.Helper()
	_, err := s.app.Store.Change(t.Context(), "a test", "planned a round", func(tx underfoot.Tx) error {
		_, err := tx.Put(&underfoot.RoundPlan{
			Course: "varrowmere", Round: "next", Date: underfoot.MakeDate(2026, time.November, 24), Layers: "0-20", FullGreens: "g02 g01", Cores: underfoot.Some(5),
		})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
