package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"underfoot/internal/say"
)

// as asks for a page with settings kept in the cookie.
func (s *site) as(style say.Style, method, path string, form url.Values) *httptest.ResponseRecorder {
	s.t.Helper()
	var r *http.Request
	if form == nil {
		r = httptest.NewRequest(method, path, nil)
	} else {
		r = httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	kept := httptest.NewRecorder()
	if err := (inCookie{}).keep(kept, r, style); err != nil {
		s.t.Fatal(err)
	}
	for _, c := range kept.Result().Cookies() {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func TestSettingsAreKept(t *testing.T) {
	s := newEmptySite(t, Options{})
	form := url.Values{"units": {"us"}, "dates": {"month"}, "currency": {"usd"}, "language": {"en"}, "back": {"/bench"}}
	w := s.as(say.Style{}, http.MethodPost, "/settings", form)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/settings?saved=1&back=%2Fbench" {
		t.Fatalf("status %d, to %s", w.Code, w.Header().Get("Location"))
	}
	r := httptest.NewRequest(http.MethodGet, "/settings?saved=1&back=%2Fbench", nil)
	for _, c := range w.Result().Cookies() {
		r.AddCookie(c)
	}
	want := say.Style{Units: say.US, Dates: say.MonthFirst, Currency: "USD", Language: "en"}
	if got := (inCookie{}).of(r); got != want {
		t.Fatalf("kept %+v, want %+v", got, want)
	}
	shown := httptest.NewRecorder()
	s.ServeHTTP(shown, r)
	body := shown.Body.String()
	if strings.Contains(body, "%!") {
		t.Error("a share was taken for a verb")
	}
	mustSay(t, body, "organic matter in %, openings", "Saved.", "Back to where you were", "November 25, 2026", "0–0.8 in; 0.016 in = 127 lb/1000 ft²; 10.3 tons; 3.07 lb/1000 ft²")
	for _, checked := range []string{`value="us" checked`, `value="month" checked`, `value="en" checked`, `value="USD"`} {
		if !strings.Contains(body, checked) {
			t.Errorf("the page does not hold %s", checked)
		}
	}
}

func TestSettingsRefused(t *testing.T) {
	s := newEmptySite(t, Options{})
	for field, bad := range map[string]string{"units": "cubits", "dates": "backwards", "currency": "dollars", "language": "tlh"} {
		form := url.Values{field: {bad}}
		w := s.as(say.Style{}, http.MethodPost, "/settings", form)
		if w.Code != http.StatusUnprocessableEntity || len(w.Result().Cookies()) > 0 {
			t.Errorf("%s=%s: status %d, %d cookies", field, bad, w.Code, len(w.Result().Cookies()))
		}
		mustSay(t, w.Body.String(), "Not saved yet", "can be chosen")
		if field == "currency" && !strings.Contains(w.Body.String(), `value="dollars"`) {
			t.Error("what was typed is lost")
		}
	}
}

// A cookie that was tampered with or comes from a newer version counts as no choice.
func TestOddSettings(t *testing.T) {
	for _, v := range []string{"", "%", "units=cubits", "units=us;x", "dates=%00"} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Cookie", settingsCookie+"="+v)
		if got := (inCookie{}).of(r); got.Units == "cubits" || got.Dates == "\x00" {
			t.Errorf("%q gives %+v", v, got)
		}
	}
}
