package web

import (
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func TestPages(t *testing.T) {
	s := newSite(t, Options{Local: false})
	tests := []struct{ path, says string }{
		{"/", "One course waits for you."},
		{"/course/varrowmere", "The greens ask for less organic matter in the top 20 mm ."},
		{"/course/ostrelby", "No direction yet."},
		{"/course/varrowmere/round", "Seven rounds so far, the last on 13 October 2026."},
		{"/course/varrowmere/bench", "its checks are quiet."},
		{"/course/varrowmere/bench?run=vm-2024-autumn-3", "with something to look at."},
		{"/course/ostrelby/bench", "Run os-2026-autumn-1"},
		{"/course/varrowmere/findings", "are gaining organic matter."},
		{"/course/ostrelby/findings", "one round so far: levels, not a trend."},
		{"/course/varrowmere/profile", "0–20 mm will hold about"},
		{"/course/ostrelby/profile", "One round so far gives a level"},
		{"/course/varrowmere/plan", "The answer asks for about"},
		{"/course/ostrelby/plan", "There is not enough yet to plan by."},
		{"/course/varrowmere/log", "of sand in seven dressings"},
		{"/course/varrowmere/log?season=2022", "Ledger 2022"},
		{"/course/varrowmere/log?kind=hollow_core", "Tine diameter"},
		{"/course/varrowmere/log/vm-w0003", "Topdressing, 0.57 mm on all greens"},
		{"/course/varrowmere/history", "Last change: imported the package varrowmere."},
		{"/course/varrowmere/report", "Varrowmere Links"},
		{"/bench", "14 furnace runs"},
		{"/sands", "Dressing sand B, medium-fine"},
		{"/course/varrowmere/sands", "The sand of 0–20 mm is becoming finer."},
		{"/course/varrowmere/sands?layer=20-40", "The sand of 20–40 mm shows no drift that 3 rounds could see."},
		{"/course/ostrelby/sands", "Nothing was sieved yet."},
		{"/import", "Bring in a package"},
		{"/help", "Words and marks"},
	}
	for _, tt := range tests {
		t.Run(tt.path, func(t *testing.T) {
			w := s.get(tt.path)
			if w.Code != http.StatusOK {
				t.Fatalf("status %d", w.Code)
			}
			if got := plain(w.Body.String()); !strings.Contains(got, tt.says) {
				t.Errorf("the page does not say %q:\n%s", tt.says, got)
			}
		})
	}
}

func TestNotThere(t *testing.T) {
	s := newSite(t, Options{})
	for _, path := range []string{
		"/nowhere", "/course/none", "/course/none/log", "/course/varrowmere/log/none", "/course/varrowmere/bench?run=none", "/course/none/export",
		"/course/varrowmere/none", "/import/none", "/static/0/underfoot.css", "/static/../web.go", "/course/..%2f..%2fetc", "/course/none/report",
		"/course/none/sands", "/course/varrowmere/sands?layer=0-7", "/course/ostrelby/sands?layer=0-20",
	} {
		t.Run(path, func(t *testing.T) {
			w := s.get(path)
			if w.Code == http.StatusTemporaryRedirect || w.Code == http.StatusMovedPermanently {
				w = s.get(w.Header().Get("Location"))
			}
			if w.Code != http.StatusNotFound {
				t.Errorf("status %d, want 404", w.Code)
			}
			if !strings.HasPrefix(path, "/static") {
				mustSay(t, w.Body.String(), "There is nothing at this address.", "Nothing was changed.", "All courses")
			}
		})
	}
}

func TestEmpty(t *testing.T) {
	s := newEmptySite(t, Options{Local: true})
	r := s.local("/")
	mustSay(t, r, "Nothing has been measured here yet.", "underfoot demo", "Choose files")
	for _, path := range []string{"/bench", "/sands", "/help", "/import"} {
		s.local(path)
	}
}

// Every link of every page leads somewhere, no page needs inline script or style, and every id is there once.
func TestLinksAndMarkup(t *testing.T) {
	s := newSite(t, Options{})
	href := regexp.MustCompile(`(?:href|action|src)="([^"]+)"`)
	id := regexp.MustCompile(` id="([^"]+)"`)
	post := regexp.MustCompile(`<form[^>]* method="post"[^>]*>`) // where it is sent to need not be a page
	inline := regexp.MustCompile(` style="| on[a-z]+="|<style|<script(?:>| type="module">)|javascript:`)
	seen, shapes := map[string]bool{"/": true}, map[string]int{}
	queue := []string{"/", "/course/ostrelby"}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		w := s.get(path)
		if w.Code != http.StatusOK && w.Code != http.StatusFound {
			t.Errorf("%s: status %d", path, w.Code)
			continue
		}
		if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			continue
		}
		body := w.Body.String()
		if m := inline.FindString(body); m != "" {
			t.Errorf("%s holds %q, which the policy forbids", path, m)
		}
		ids := map[string]bool{}
		for _, m := range id.FindAllStringSubmatch(body, -1) {
			if ids[m[1]] {
				t.Errorf("%s: id %q twice", path, m[1])
			}
			ids[m[1]] = true
		}
		if n := strings.Count(body, "<h1"); n != 1 {
			t.Errorf("%s: %d first headings, want 1", path, n)
		}
		for _, m := range href.FindAllStringSubmatch(post.ReplaceAllString(body, ""), -1) {
			to, anchor, _ := strings.Cut(unescape(m[1]), "#")
			if to == "" {
				if anchor != "" && !ids[anchor] {
					t.Errorf("%s: #%s leads nowhere", path, anchor)
				}
				continue
			}
			if from, err := url.Parse(path); err == nil && !strings.HasPrefix(to, "/") { // a document names another by its file
				if there, err := from.Parse(to); err == nil {
					to = there.RequestURI()
				}
			}
			if strings.Contains(to, "/log/vm-w") && len(seen) > 60 || seen[to] || strings.HasSuffix(to, "/undo") || strings.HasSuffix(to, "/delete") || strings.HasSuffix(to, "/judgement") || to == "/view" {
				continue
			}
			seen[to] = true
			if shape := shapeOf(to); shapes[shape] < 2 { // what differs in a value only is one page in many states
				shapes[shape]++
				queue = append(queue, to)
			}
		}
	}
	if len(seen) < 40 {
		t.Errorf("only %d addresses were found", len(seen))
	}
}

// shapeOf is an address with the names of its questions and without their answers; single entries of the log are alike, and
// so are the pictures of a page to take away.
func shapeOf(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return address
	}
	path := u.Path
	if i := strings.Index(path, "/log/"); i >= 0 {
		path = path[:i] + "/log/"
	}
	names := slices.Sorted(maps.Keys(u.Query()))
	if slices.Contains(names, "figure") {
		names = []string{"figure"}
	}
	return path + "?" + strings.Join(names, "&")
}

// What pages say of one thing is one number.
func TestNumbersAgree(t *testing.T) {
	s := newSite(t, Options{})
	st, err := s.app.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	need := needMM(st)
	if need == nil {
		t.Fatal("the example has no account")
	}
	mm := func(v float64) string { return strings.TrimSpace(plain(formatMM(v))) }
	mustSay(t, s.page("/course/varrowmere"), "that holding it needs", "falls short of the "+mm(need.Mid)+" that", "holding it as it is takes "+mm(need.Mid)+" mm")
	mustSay(t, s.page("/course/varrowmere/log"), "needs "+mm(need.Mid)+" a year")
	mustSay(t, s.page("/course/varrowmere/plan"), "about "+mm(st.Advice().Top.Sand.Depth.Q50)+" mm of sand a year", "needs "+mm(need.Mid)+" a year")
	list := plain(s.page("/"))
	if !strings.Contains(list, "of "+mm(need.Mid)) {
		t.Errorf("the list does not say what holding needs, %s", mm(need.Mid))
	}
	mustSay(t, s.page("/course/varrowmere/report"), "about "+mm(st.Advice().Top.Sand.Depth.Q50)+" mm")
	season := seasonOf(st, 2026)
	for _, path := range []string{"/", "/course/varrowmere", "/course/varrowmere/log", "/course/varrowmere/report"} {
		mustSay(t, s.page(path), mm(season.SandMM()))
	}
	// In 2022 part of the sand went below the layer: what is set against holding it is the part that did not.
	if season = seasonOf(st, 2022); season.SandMM()-season.TopMM < 0.5 {
		t.Fatalf("the example has no deep sand in 2022: %.2f mm in all, %.2f mm into the top layer", season.SandMM(), season.TopMM)
	}
	for _, path := range []string{"/course/varrowmere", "/course/varrowmere/report"} {
		mustSay(t, s.page(path), mm(season.TopMM))
	}
}
