package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

func TestJudgement(t *testing.T) {
	s := newSite(t, Options{})
	html := s.follow("/course/varrowmere/judgement", url.Values{"direction": {"hold"}, "reason": {"renovation is due"}, "by": {"A. Tester"}})
	mustSay(t, html, "Judged the direction: hold.", "A stated judgement stands", "Hold, by A. Tester on 25 November 2026: Renovation is due.")
	course := s.page("/course/varrowmere")
	mustSay(t, course, "The greens ask to be held where they are.", "stated judgement of A. Tester")
	if !strings.Contains(course, "Direction for organic matter: hold") {
		t.Error("the plate does not show the judgement")
	}
	html = s.follow("/course/varrowmere/judgement", url.Values{"withdraw": {"yes"}})
	mustSay(t, html, "Gave the direction back to the readings.")
	mustSay(t, s.page("/course/varrowmere"), "The greens ask for less organic matter")
}

func TestJudgementRefusals(t *testing.T) {
	s := newSite(t, Options{})
	before := s.latest()
	for _, tt := range []struct {
		name, direction, reason, by, says string
	}{
		{"no direction", "", "soft", "A", "Choose what the surfaces ask for"},
		{"another word", "sideways", "soft", "A", `"sideways" is not allowed`},
		{"no reason", "lower", " ", "A", "A reason is needed"},
		{"no name", "lower", "soft", "", "A name is needed"},
	} {
		w := s.post("/course/varrowmere/judgement", url.Values{"direction": {tt.direction}, "reason": {tt.reason}, "by": {tt.by}})
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d, want 422", tt.name, w.Code)
		}
		mustSay(t, w.Body.String(), tt.says, "What you typed is still here")
	}
	if s.latest() != before {
		t.Error("something was stored")
	}
}
