package web

import (
	"net/http"
	"strings"
	"testing"

	"underfoot/docs"
)

// The words of the help are those of the document, and each document that says how figures are worked out is a page.
func TestHelpIsTheDocuments(t *testing.T) {
	s := newSite(t, Options{})
	help := s.page("/help")
	for _, term := range docs.Terms() {
		mustSay(t, help, term.Title, term.Means)
		if !strings.Contains(help, `id="word-`+term.Key+`"`) {
			t.Errorf("no place %q on the page of words", term.Key)
		}
	}
	for _, name := range docs.Models() {
		html := s.page("/help/" + name)
		if strings.Count(html, "<h1") != 1 || strings.Contains(html, "style=") || !strings.Contains(html, `href="/help"`) {
			t.Errorf("%s: %d main headings, style that the policy forbids, or no way back", name, strings.Count(html, "<h1"))
		}
	}
	bench := s.page("/help/bench")
	mustSay(t, bench, "ASTM D2974")
	if !strings.Contains(bench, `<table class="ruled">`) {
		t.Error("tables of a document are not written as tables")
	}
	if got := s.get("/help/..%2fterms").Code; got != http.StatusNotFound {
		t.Errorf("a path out of the documents gives %d", got)
	}
	course := s.page("/course/varrowmere")
	mustSay(t, course, "Σ(dry − ash)")
	if !strings.Contains(course, `aria-label="What is this? Organic matter, `) {
		t.Error("the course page does not offer what its profile shows")
	}
}
