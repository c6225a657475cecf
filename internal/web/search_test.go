package web

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// What a search finds leads to the place where it is dealt with, and that place is on the page it leads to.
func TestSearchLeadsToThePlace(t *testing.T) {
	s := newSite(t, Options{})
	hit := regexp.MustCompile(`(?s)<ul class="hits">(.*?)</ul>`)
	link := regexp.MustCompile(`<a href="([^"]+)">`)
	led := map[string]int{}
	for _, q := range []string{"varrowmere", "green", "g03", "autumn", "sand", "dress", "coring", "ostrelby"} {
		for _, group := range hit.FindAllStringSubmatch(s.page("/search?q="+q), -1) {
			for i, a := range link.FindAllStringSubmatch(group[1], -1) {
				if i > 2 {
					break
				}
				path, place, anchored := strings.Cut(unescape(a[1]), "#")
				html := s.page(path)
				if !anchored {
					led[path]++
					continue
				}
				id, err := url.PathUnescape(place)
				if err != nil {
					t.Fatal(err)
				}
				kind, _, _ := strings.Cut(id, "-")
				led[kind]++
				if !strings.Contains(unescape(html), `id="`+id+`"`) {
					t.Errorf("%q leads to %s#%s, and nothing on the page is called so", q, path, id)
				}
			}
		}
	}
	for _, kind := range []string{"green", "sand", "r"} {
		if led[kind] == 0 {
			t.Errorf("no search led to a place of the kind %q: %v", kind, led)
		}
	}
	mustSay(t, s.page("/course/varrowmere/findings"), "Green by green", "Where each green stands in each layer")

	// From all sands to where one is typed in.
	html := s.page("/sands")
	mustSay(t, html, "A sand is kept with its course: type it in under the course that uses it.", "Type in a sand, or change one")
	if !strings.Contains(html, `href="/course/varrowmere/table/sands"`) {
		t.Error("the sands do not lead to where one is typed in")
	}
	mustSay(t, s.page("/course/varrowmere/table/sands"), "New rows")
	if html := newEmptySite(t, Options{}).page("/sands"); !strings.Contains(html, `href="/new"`) {
		t.Error("without a course the sands lead nowhere")
	}
}
