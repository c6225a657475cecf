package web

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"underfoot/internal/web/page"
)

func formatMM(v float64) string { return page.Num(v, 1) }

// local asks as a browser on the same computer does.
func (s *site) local(path string) string {
	s.t.Helper()
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Host = "127.0.0.1:8420"
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if w.Code != http.StatusOK {
		s.t.Fatalf("GET %s: status %d", path, w.Code)
	}
	return w.Body.String()
}

func TestHeaders(t *testing.T) {
	s := newEmptySite(t, Options{})
	for _, path := range []string{"/", "/nowhere", "/help"} {
		h := s.get(path).Header()
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "X-Frame-Options": "DENY", "Cache-Control": "private, no-cache",
		} {
			if got := h.Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got, want)
			}
		}
		csp := h.Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'"} {
			if !strings.Contains(csp, part) {
				t.Errorf("%s: policy %q lacks %q", path, csp, part)
			}
		}
		if strings.Contains(csp, "unsafe") {
			t.Errorf("%s: policy %q allows inline code", path, csp)
		}
	}
}

func TestStaticFiles(t *testing.T) {
	s := newEmptySite(t, Options{})
	body := s.page("/")
	_, rest, _ := strings.Cut(body, `rel="stylesheet" href="`)
	sheet, _, _ := strings.Cut(rest, `"`)
	w := s.get(sheet)
	if w.Code != http.StatusOK || w.Header().Get("Cache-Control") != "public, max-age=31536000, immutable" || w.Header().Get("Content-Type") != "text/css; charset=utf-8" {
		t.Errorf("%s: %d %v", sheet, w.Code, w.Header())
	}
	base := strings.TrimSuffix(sheet, "underfoot.css")
	for _, name := range []string{
		"fonts/source-serif-4-latin-opsz-normal.woff2", "fonts/LICENSE-source-serif-4.txt", "fonts/LICENSE-atkinson-hyperlegible-next.txt", "js/view.js", "js/log.js",
		"js/upload.js", "mark.svg",
	} {
		if got := s.get(base + name); got.Code != http.StatusOK {
			t.Errorf("%s: status %d", name, got.Code)
		}
	}
	other, err := loadAssets()
	if err != nil || other.base != base {
		t.Errorf("the address %s of the same files is %s the next time: %v", base, other.base, err)
	}
}

func TestGzip(t *testing.T) {
	s := newSite(t, Options{})
	want := s.page("/course/varrowmere")
	for _, path := range []string{"/course/varrowmere"} {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.Header.Set("Accept-Encoding", "br, gzip;q=0.8")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Header().Get("Content-Encoding") != "gzip" {
			t.Fatalf("not in gzip: %v", w.Header())
		}
		z, err := gzip.NewReader(w.Body)
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(z)
		if err != nil || !bytes.Equal(got, []byte(want)) {
			t.Errorf("unpacked, the page is another: %v", err)
		}
	}
	r := httptest.NewRequest(http.MethodGet, "/help", nil)
	r.Header.Set("Accept-Encoding", "gzip;q=0")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if w.Header().Get("Content-Encoding") != "" {
		t.Error("in gzip although the browser refuses it")
	}
}

func TestCrossSitePostsAreRefused(t *testing.T) {
	s := newSite(t, Options{})
	before := s.latest()
	for _, path := range []string{
		"/view", "/import", "/import/x/confirm", "/import/x/discard", "/course/varrowmere/log", "/course/varrowmere/log/vm-w0003",
		"/course/varrowmere/log/vm-w0003/delete", "/course/varrowmere/undo", "/course/varrowmere/judgement",
	} {
		for _, from := range []map[string]string{{"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}, {"Origin": "https://elsewhere.example"}} {
			r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(url.Values{"kind": {"other"}, "date": {"2026-11-01"}, "change": {"1"}}.Encode()))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			for k, v := range from {
				r.Header.Set(k, v)
			}
			w := httptest.NewRecorder()
			s.ServeHTTP(w, r)
			if w.Code != http.StatusForbidden {
				t.Errorf("POST %s with %v: status %d, want 403", path, from, w.Code)
			}
			mustSay(t, w.Body.String(), "This came from another site and was not done.", "Nothing was changed.")
		}
	}
	if s.latest() != before {
		t.Error("something was changed")
	}
}

// While only this computer is served, another name for it is refused.
func TestHost(t *testing.T) {
	s := newEmptySite(t, Options{Local: true})
	for host, want := range map[string]int{
		"127.0.0.1:8420": 200, "localhost:8420": 200, "[::1]:8420": 200, "localhost": 200, "evil.example": 421, "evil.example:8420": 421, "10.0.0.7:8420": 421, "": 421,
	} {
		r := httptest.NewRequest(http.MethodGet, "/help", nil)
		r.Host = host
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != want {
			t.Errorf("host %q: status %d, want %d", host, w.Code, want)
		}
	}
}

func TestView(t *testing.T) {
	s := newEmptySite(t, Options{})
	tests := []struct{ view, back, cookie, location string }{
		{"sun", "/help", "underfoot_view=sun", "/help"},
		{"night", "/course/a%20b/log?season=2026", "underfoot_view=night", "/course/a%20b/log?season=2026"},
		{"", "/", "underfoot_view=;", "/"},
		{"<script>", "/", "underfoot_view=;", "/"},
		{"desk", "https://elsewhere.example/", "underfoot_view=desk", "/"},
		{"desk", "//elsewhere.example/", "underfoot_view=desk", "/"},
		{"desk", `/\elsewhere.example`, "underfoot_view=desk", "/"},
	}
	for _, tt := range tests {
		w := s.post("/view", url.Values{"view": {tt.view}, "back": {tt.back}})
		if got := w.Header().Get("Set-Cookie"); !strings.HasPrefix(got+";", tt.cookie) {
			t.Errorf("view %q: cookie %q, want %q", tt.view, got, tt.cookie)
		}
		if got := w.Header().Get("Location"); got != tt.location {
			t.Errorf("back %q leads to %q, want %q", tt.back, got, tt.location)
		}
	}
	r := httptest.NewRequest(http.MethodGet, "/help", nil)
	r.AddCookie(&http.Cookie{Name: "underfoot_view", Value: "sun"})
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if !strings.Contains(w.Body.String(), `<html lang="en" data-view="sun">`) {
		t.Error("the page does not take the chosen view")
	}
}
