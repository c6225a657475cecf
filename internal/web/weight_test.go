package web

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// mostOnTheWire is how much a page may weigh as it is sent, with its style, scripts and pictures but without typefaces.
const mostOnTheWire = 150_000

// needed finds what a page loads from the site: style, scripts, pictures.
var needed = regexp.MustCompile(`(?:<link rel="(?:stylesheet|icon)"[^>]*? href|<script[^>]*? src|<img[^>]*? src)="(/[^"]+)"`)

// imported finds the scripts a script loads.
var imported = regexp.MustCompile(`from "\./([\w-]+\.js)"`)

// Every page, with all it loads but typefaces, weighs at most 150 kB as it is sent.
func everyPageIsLight(t *testing.T, s *site, fill *strings.Replacer) {
	weigh := func(path string) (bytes int, text string) {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.Header.Set("Accept-Encoding", "gzip")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != http.StatusOK && path != "/nowhere" {
			t.Fatalf("%s: status %d", path, w.Code)
		}
		return w.Body.Len(), s.get(path).Body.String()
	}
	most, heaviest := 0, ""
	for _, list := range everyAddress {
		for _, path := range list {
			path = fill.Replace(path)
			sum, text := weigh(path)
			var loaded []string
			for _, m := range needed.FindAllStringSubmatch(text, -1) {
				loaded = append(loaded, m[1])
			}
			if len(loaded) == 0 {
				t.Errorf("%s loads nothing: the test looks in the wrong place", path)
			}
			for i := 0; i < len(loaded); i++ {
				if slices.Contains(loaded[:i], loaded[i]) {
					continue
				}
				bytes, text := weigh(loaded[i])
				sum += bytes
				if at := strings.LastIndexByte(loaded[i], '/'); strings.HasSuffix(loaded[i], ".js") {
					for _, m := range imported.FindAllStringSubmatch(text, -1) {
						loaded = append(loaded, loaded[i][:at+1]+m[1])
					}
				}
			}
			if sum > most {
				most, heaviest = sum, path
			}
			if sum > mostOnTheWire {
				t.Errorf("%s weighs %d bytes with what it loads, at most %d are allowed", path, sum, mostOnTheWire)
			}
		}
	}
	t.Logf("the heaviest page is %s: %d bytes with all it loads but typefaces", heaviest, most)
}
