package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"testing"
	"time"

	"underfoot"
	"underfoot/internal/app"
)

// BenchmarkCoursePage measures the course page as it is asked for again, its standing remembered.
func BenchmarkCoursePage(b *testing.B) {
	s := newSite(b, Options{})
	s.page("/course/varrowmere")
	b.ReportAllocs()
	for b.Loop() {
		s.get("/course/varrowmere")
	}
}

// BenchmarkCoursePageFirst measures the course page as it is asked for after a change: everything is worked out anew.
func BenchmarkCoursePageFirst(b *testing.B) {
	s := newSite(b, Options{})
	for b.Loop() {
		h := New(app.New(s.app.Store, clock, "a benchmark"), Options{})
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/course/varrowmere", nil))
		if w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
}

// A package that takes long shows how far it is, and the page comes again by itself.
func TestSlowImportShowsProgress(t *testing.T) {
	s := newEmptySite(t, Options{})
	srv := newServer(s.app, Options{})
	s.Handler = srv.handler()
	d := srv.drafts.add("", filepath.Join(t.TempDir(), "package"))
	hold := make(chan struct{})
	d.work(t.Context(), reading, ready, func(_ context.Context, how app.Reading) (*app.Taken, error) {
		how.OnProgress(30<<20, 120<<20)
		<-hold
		return nil, underfoot.Errorf(underfoot.Invalid, "the package is gone")
	})
	w := s.get("/import/" + d.id)
	mustSay(t, w.Body.String(), "Reading the package.", "Nothing is stored while it is read.", "Reading, 30 MB of 120 MB.")
	if w.Header().Get("Refresh") != "1" {
		t.Errorf("the page does not come again: %v", w.Header())
	}
	close(hold)
	d.wait(t.Context(), 5*time.Second)
	w = s.get("/import/" + d.id)
	mustSay(t, w.Body.String(), "This could not be read as a package.", "The package is gone. Nothing was stored.")
	if w.Header().Get("Refresh") != "" {
		t.Error("the page still comes again")
	}
}
