package web

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"underfoot/internal/say"
)

// spoken are settings that a test chooses, beside those a person can.
type spoken struct{ say.Style }

func (s spoken) of(*http.Request) say.Style { return s.Style }

func (spoken) keep(http.ResponseWriter, *http.Request, say.Style) error { return nil }

// The settings page and what surrounds every page come from the catalogue: in English with accents nothing on them is plain
// English. How much of each other page does not yet come from it is logged.
func TestTextsOfTheCatalogue(t *testing.T) {
	s := newSite(t, Options{Version: "1"})
	o := newServer(s.app, Options{Version: "1"})
	o.settings = spoken{say.Style{Language: "en-XA"}}
	o.log = newServer(s.app, Options{}).log
	app := o.handler()
	node := regexp.MustCompile(`>([^<>]*\p{L}{3,}[^<>]*)<`)
	accent := regexp.MustCompile(`[áéíóúýñçšžÁÉÍÓÚ]`)
	count := func(path string) (all int, plain []string) {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		w := httptest.NewRecorder()
		app.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			t.Fatalf("%s: status %d", path, w.Code)
		}
		if !strings.Contains(w.Body.String(), `lang="en-XA"`) {
			t.Fatalf("%s is not in the language", path)
		}
		for _, m := range node.FindAllStringSubmatch(w.Body.String(), -1) {
			if all++; !accent.MatchString(m[1]) {
				plain = append(plain, strings.TrimSpace(m[1]))
			}
		}
		return all, plain
	}
	_, left := count("/settings")
	for _, words := range left {
		switch {
		case words == "Underfoot", words == "What is this?": // a name; the button of the help texts, which are documents
		case regexp.MustCompile(`^(week \d+|\w{3} \d+ \w{3} \d{4}|\d+ \w+ \d{4}|\w+ \d+, \d{4}|English|0–0.8 in.*)$`).MatchString(words): // dates and a language in itself
		default:
			t.Errorf("the settings page says %q, which is not from the catalogue", words)
		}
	}
	sum, plain := 0, 0
	for _, path := range walked {
		all, left := count(path)
		t.Logf("%s: %d of %d texts not from the catalogue", path, len(left), all)
		sum, plain = sum+all, plain+len(left)
	}
	t.Logf("in all: %d of %d", plain, sum)
}
