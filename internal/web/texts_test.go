package web

import (
	"bytes"
	"io"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	xhtml "golang.org/x/net/html"

	"underfoot/internal/say"
)

// spoken are settings that a test chooses, beside those a person can.
type spoken struct{ say.Style }

func (s spoken) of(*http.Request) say.Style { return s.Style }

func (spoken) keep(http.ResponseWriter, *http.Request, say.Style) error { return nil }

// plainWords returns the runs of words of a page, and the labels that are read out, in which something is still plain English, and
// how many runs of words there are; those in drawings apart. What people typed, and code, is passed over.
func plainWords(t *testing.T, body []byte, names *strings.Replacer) (all int, plain, drawn []string) {
	t.Helper()
	type element struct {
		name string
		keep bool
	}
	var open []element
	take := func(words string) {
		words = strings.TrimSpace(coded.ReplaceAllString(names.Replace(words), ""))
		if !regexp.MustCompile(`\p{L}{3,}`).MatchString(words) {
			return
		}
		all++
		for _, w := range regexp.MustCompile(`[\p{L}\p{M}’']+`).FindAllString(words, -1) {
			if len(w) <= 2 || !strings.ContainsAny(w, "aeiouAEIOU") || accented.MatchString(w) {
				continue
			}
			if slices.ContainsFunc(open, func(e element) bool { return e.name == "svg" }) {
				drawn = append(drawn, words)
			} else {
				plain = append(plain, words)
			}
			return
		}
	}
	z := xhtml.NewTokenizer(bytes.NewReader(body))
	for {
		kind := z.Next()
		token := z.Token()
		keep := len(open) > 0 && open[len(open)-1].keep
		switch kind {
		case xhtml.ErrorToken:
			if z.Err() != io.EOF {
				t.Fatal(z.Err())
			}
			return all, plain, drawn
		case xhtml.TextToken:
			switch {
			case keep:
			case len(open) > 0 && open[len(open)-1].name == "noscript": // its markup comes as one text
				n, p, d := plainWords(t, []byte(token.Data), names)
				all, plain, drawn = all+n, append(plain, p...), append(drawn, d...)
			default:
				take(token.Data)
			}
		case xhtml.StartTagToken, xhtml.SelfClosingTagToken:
			here := keep || slices.Contains([]string{"script", "style", "textarea", "pre", "code"}, token.Data)
			for _, a := range token.Attr {
				here = here || a.Key == "translate" && a.Val == "no" || a.Key == "lang" && a.Val != "en-XA"
			}
			for _, a := range token.Attr {
				if !here && slices.Contains([]string{"aria-label", "title", "alt", "placeholder", "data-label"}, a.Key) {
					take(a.Val)
				}
			}
			if kind == xhtml.StartTagToken && !slices.Contains([]string{"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}, token.Data) {
				open = append(open, element{token.Data, here})
			}
		case xhtml.EndTagToken:
			for i := len(open) - 1; i >= 0; i-- {
				if open[i].name == token.Data {
					open = open[:i]
					break
				}
			}
		}
	}
}

// coded are names such as vm-control-a and dates of the computer, which people gave or nobody says.
var coded = regexp.MustCompile(`\S*\w-\w*\d\S*|\bvm-\S+`)

var accented = regexp.MustCompile(`[áéíóúýñçšžÁÉÍÓÚ]`)

// Every page is in the language of its reader: in English with accents no run of words on it is plain English, but for names.
func everyTextFromTheCatalogue(t *testing.T, s *site, fill *strings.Replacer) {
	before := s.server.settings
	s.server.settings = spoken{say.Style{Language: "en-XA"}}
	defer func() { s.server.settings = before }()
	names := strings.NewReplacer("Varrowmere Links", "", "Ostrelby Common", "", "2021-autumn", "", "2022-autumn", "", "2023-autumn", "", "2024-autumn", "", "2025-autumn", "", "2026-autumn", "", "2023-spring", "", "Root-zone sand", "", "Underfoot", "", "spring 27", "", "varrowmere", "",
		// typed by people: grasses, a currency, a package, a person, a sand, a note
		"browntop bent", "", "browntop béñt", "", "creeping bent", "", "EUR", "", "package second", "package", "páçkágé second", "", "a test", "", "by R. Moss", "", "bý R. Moss", "", "newcourse", "", "autumn.csv", "", "UTF-8", "", "UTF-", "", "LOI", "", "Clock", "", "extra dressing óñ grééñ 9 óñlý", "", "crowns óf two trees lifted south óf grééñ 9", "", "vm-dress-a", "", "Holes filled by brush, twice over.", "", "Holes filled bý brush, twíçé over.", "", "Fór thé board", "", "Second <líñé>.", "")
	sum, left := 0, 0
	var paths []string
	for _, list := range everyAddress {
		for _, path := range list {
			paths = append(paths, fill.Replace(path))
		}
	}
	slices.Sort(paths)
	for _, path := range paths {
		w := s.get(path)
		if w.Code != http.StatusOK && path != "/nowhere" {
			t.Fatalf("%s: status %d", path, w.Code)
		}
		if !strings.Contains(w.Body.String(), `lang="en-XA"`) {
			t.Fatalf("%s is not in the language", path)
		}
		if body := w.Body.String(); strings.Contains(body, `<script type="module"`) && !strings.Contains(body, `<script id="script-texts" type="application/json">{`) || strings.Contains(body, "script-texts") && !strings.Contains(body, `"Add work":"Ádd wórk"`) {
			t.Fatalf("%s does not hand its scripts their texts", path)
		}
		all, plain, drawn := plainWords(t, w.Body.Bytes(), names)
		for _, words := range plain {
			t.Errorf("%s says %q, which is not from the catalogue", path, words)
		}
		for _, words := range drawn {
			t.Logf("%s draws %q, which is not from the catalogue", path, words)
		}
		sum, left = sum+all, left+len(drawn)
	}
	// Labels of drawings are broken into lines before they are said: such lines stay English.
	if t.Logf("%d of %d, all in drawings", left, sum); left*50 > sum {
		t.Errorf("%d of %d runs of words in drawings are not from the catalogue: at most 1 in 50 is allowed", left, sum)
	}
}
