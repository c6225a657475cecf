package web

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"underfoot"
	"underfoot/examples"
	"underfoot/internal/app"
	"underfoot/internal/store"
)

// noon is the moment the tests happen at: after the last record of the examples.
var noon = time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)

func clock() time.Time { return noon }

// site is the web app over a store with both example courses.
type site struct {
	http.Handler
	app    *app.App
	server *server
	t      testing.TB
}

// filled makes the store with the examples once; every test gets a copy of the file.
var filled = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "underfoot-web-test-")
	if err != nil {
		return "", err
	}
	packages := filepath.Join(dir, "packages")
	if err := os.CopyFS(packages, examples.Files); err != nil {
		return "", err
	}
	path := filepath.Join(dir, "filled.db")
	ctx := context.Background()
	st, err := store.Open(ctx, path, store.Options{Now: clock})
	if err != nil {
		return "", err
	}
	a := app.New(st, clock, "a test")
	for _, name := range examples.Packages() {
		if _, err := a.Import(ctx, filepath.Join(packages, name), "a test", app.Reading{}); err != nil {
			return "", err
		}
	}
	courses, err := st.Courses(ctx)
	if err != nil {
		return "", err
	}
	for _, c := range courses { // what the models find is kept in the store, so that no test waits for it again
		standing, err := a.Standing(ctx, c.ID)
		if err != nil {
			return "", err
		}
		a.Settle(ctx, standing, -1)
	}
	return path, st.Close()
})

func TestMain(m *testing.M) {
	code := m.Run()
	if path, err := filled(); err == nil {
		os.RemoveAll(filepath.Dir(path))
	}
	os.Exit(code)
}

func newSite(t testing.TB, o Options) *site {
	t.Helper()
	path, err := filled()
	if err != nil {
		t.Fatal(err)
	}
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(t.TempDir(), "own.db")
	if err := os.WriteFile(own, body, 0o600); err != nil {
		t.Fatal(err)
	}
	return openSite(t, own, o)
}

// newEmptySite is the web app over a store with nothing in it.
func newEmptySite(t testing.TB, o Options) *site {
	t.Helper()
	return openSite(t, filepath.Join(t.TempDir(), "empty.db"), o)
}

func openSite(t testing.TB, path string, o Options) *site {
	t.Helper()
	st, err := store.Open(context.Background(), path, store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	a := app.New(st, clock, "a test")
	if o.Log == nil {
		o.Log = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	srv := newServer(a, o)
	return &site{Handler: srv.handler(), app: a, server: srv, t: t}
}

// get asks for a page.
func (s *site) get(path string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
	return w
}

// page asks for a page that must be there.
func (s *site) page(path string) string {
	s.t.Helper()
	w := s.get(path)
	if w.Code != http.StatusOK {
		s.t.Fatalf("GET %s: status %d\n%s", path, w.Code, plain(w.Body.String()))
	}
	return w.Body.String()
}

// post sends a form from the site itself.
func (s *site) post(path string, form url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// follow sends a form that must be taken, and returns the page it leads to.
func (s *site) follow(path string, form url.Values) string {
	s.t.Helper()
	w := s.post(path, form)
	if w.Code != http.StatusSeeOther {
		s.t.Fatalf("POST %s: status %d\n%s", path, w.Code, plain(w.Body.String()))
	}
	to, _, _ := strings.Cut(w.Header().Get("Location"), "#")
	return s.page(to)
}

// latest is the number of the last change of the examples’ first course.
func (s *site) latest() int64 {
	s.t.Helper()
	n, err := s.app.Store.Latest(context.Background(), "varrowmere")
	if err != nil {
		s.t.Fatal(err)
	}
	return n
}

// work returns the log of a course.
func (s *site) work(course string) []underfoot.Work {
	s.t.Helper()
	rs, err := s.app.Store.Records(context.Background(), course)
	if err != nil {
		s.t.Fatal(err)
	}
	return rs.Work
}

// plain is the text of a page without its markup, for messages and for looking up words.
func plain(html string) string {
	var b strings.Builder
	in := false
	for _, c := range html {
		switch {
		case c == '<':
			in = true
		case c == '>':
			in = false
			b.WriteByte(' ')
		case !in:
			b.WriteRune(c)
		}
	}
	return strings.Join(strings.Fields(unescape(b.String())), " ")
}

func unescape(s string) string {
	return strings.NewReplacer("&amp;", "&", "&#34;", `"`, "&#39;", "'", "&lt;", "<", "&gt;", ">").Replace(s)
}

func mustSay(t testing.TB, html string, words ...string) {
	t.Helper()
	text := plain(html)
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("the page does not say %q:\n%s", w, text)
		}
	}
}
