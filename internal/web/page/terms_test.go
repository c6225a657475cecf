package page

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"underfoot/docs"
)

// plainSections hold no word or figure that needs to be explained: cautions, lists, files, settings.
var plainSections = strings.Fields(`care records notes planned lately paste-title files path problems counts notices greens fixed brings keep history file crew
	changes words marks documents keys preview others gone in-the-way units dates currency language new-rows stored-rows`)

// Every word that a section explains is in the document of words, every section named is on a page, and no word is left that
// nobody can ask for.
func TestSectionTerms(t *testing.T) {
	files, err := filepath.Glob("*.templ")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	headings := map[string]bool{}
	heading := regexp.MustCompile(`(?:ection\(|@asks\(|<h2 id=)"([a-z-]+)"`)
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range heading.FindAllStringSubmatch(string(text), -1) {
			headings[m[1]] = true
		}
	}
	asked := map[string]bool{}
	for id, keys := range sectionTerms {
		if !headings[id] {
			t.Errorf("no page has a section %q", id)
		}
		for _, key := range keys {
			asked[key] = true
			if _, ok := docs.Find(key); !ok {
				t.Errorf("section %s: no word %q in terms.md", id, key)
			}
		}
	}
	for id := range headings {
		if len(sectionTerms[id]) == 0 && !slices.Contains(plainSections, id) {
			t.Errorf("section %q explains no word: name its words in sectionTerms, or the section among the plain ones", id)
		}
	}
	for _, id := range plainSections {
		if !headings[id] || len(sectionTerms[id]) > 0 {
			t.Errorf("%q is no section without words", id)
		}
	}
	for _, term := range docs.Terms() {
		if !asked[term.Key] {
			t.Errorf("%s is explained at no section", term.Key)
		}
	}
}
