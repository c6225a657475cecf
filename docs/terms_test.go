package docs_test

import (
	"slices"
	"strings"
	"testing"

	"underfoot/docs"
)

// Every term says what it means, has a key of its own, and names a document that is there.
func TestTerms(t *testing.T) {
	terms := docs.Terms()
	if len(terms) < 40 {
		t.Fatalf("%d terms", len(terms))
	}
	seen := map[string]bool{}
	for _, x := range terms {
		if x.Key == "" || strings.Trim(x.Key, "abcdefghijklmnopqrstuvwxyz-") != "" || seen[x.Key] {
			t.Errorf("%s: key %q is empty, not of small letters, or there twice", x.Title, x.Key)
		}
		seen[x.Key] = true
		if x.Title == "" || !strings.HasSuffix(x.Means, ".") {
			t.Errorf("%s: %q: what it means is no sentence", x.Key, x.Means)
		}
		if x.More != "" && !slices.Contains(docs.Models(), x.More) {
			t.Errorf("%s: no document %s", x.Key, x.More)
		}
	}
	if _, ok := docs.Find("no such term"); ok {
		t.Error("a term that is not there was found")
	}
}

// Every document opens with a title and can be asked for by its name alone.
func TestModels(t *testing.T) {
	for _, name := range docs.Models() {
		text, ok := docs.Model(name)
		if !ok || !strings.HasPrefix(text, "# ") || docs.Title(name) == name {
			t.Errorf("%s: there %v, title %q", name, ok, docs.Title(name))
		}
	}
	for _, name := range []string{"", "..", "../terms", "model/bench", "bench.md", "no such"} {
		if _, ok := docs.Model(name); ok {
			t.Errorf("%q was given", name)
		}
	}
}
