package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// everyAddress names, for each pattern of an address that is read, addresses that show it in all its states. The tests of the
// browser open every page of it; a pattern without a page fails [TestEveryPage]. In an address {import} stands
// for a package, {sheet} for a laboratory's sheet on their way in, {plan} for the question of a season's plan, {held} for the furnace run whose checks fail after [failControl].
var everyAddress = map[string][]string{
	"/{$}":                          {"/"},
	"/":                             {"/nowhere"},
	"/help":                         {"/help"},
	"/help/{document}":              {"/help/findings"},
	"/sands":                        {"/sands"},
	"/bench":                        {"/bench"},
	"/import":                       {"/import"},
	"/import/{draft}":               {"/import/{import}"},
	"/sheet/{draft}":                {"/sheet/{sheet}"},
	"/settings":                     {"/settings"},
	"/new":                          {"/new"},
	"/search":                       {"/search", "/search?q=green"},
	"/course/{course}/edit":         {"/course/varrowmere/edit"},
	"/course/{course}":              {"/course/varrowmere", "/course/ostrelby"},
	"/course/{course}/sands":        {"/course/varrowmere/sands", "/course/ostrelby/sands"},
	"/course/{course}/round":        {"/course/varrowmere/round", "/course/ostrelby/round"},
	"/course/{course}/design":       {"/course/varrowmere/design"},
	"/course/{course}/custody":      {"/course/varrowmere/custody"},
	"/course/{course}/bench":        {"/course/varrowmere/bench", "/course/varrowmere/bench?run=vm-2024-autumn-3", "/course/varrowmere/bench?run={held}", "/course/ostrelby/bench"},
	"/course/{course}/bench/enter":  {"/course/varrowmere/bench/enter?run=vm-2025-autumn-2", "/course/ostrelby/bench/enter"},
	"/course/{course}/findings":     {"/course/varrowmere/findings", "/course/ostrelby/findings"},
	"/course/{course}/profile":      {"/course/varrowmere/profile", "/course/ostrelby/profile"},
	"/course/{course}/plan":         {"/course/varrowmere/plan", "/course/varrowmere/plan?{plan}", "/course/ostrelby/plan"},
	"/course/{course}/plan/crew":    {"/course/varrowmere/plan/crew?{plan}"},
	"/course/{course}/operations":   {"/course/varrowmere/operations"},
	"/course/{course}/operation":    {"/course/varrowmere/operation"},
	"/course/{course}/log":          {"/course/varrowmere/log", "/course/varrowmere/log?kind=hollow_core", "/course/ostrelby/log"},
	"/course/{course}/log/{entry}":  {"/course/varrowmere/log/vm-w0003"},
	"/course/{course}/history":      {"/course/varrowmere/history"},
	"/course/{course}/report":       {"/course/varrowmere/report", "/course/varrowmere/report?kind=client", "/course/ostrelby/report"},
	"/course/{course}/report/build": {"/course/varrowmere/report/build", "/course/ostrelby/report/build"},

	"/course/{course}/table/{table}":         {"/course/varrowmere/table/readings", "/course/varrowmere/table/greens", "/course/ostrelby/table/targets"},
	"/course/{course}/operation/{operation}": {"/course/varrowmere/operation/core-8"},
	"/course/{course}/round/{round}/plan":    {"/course/varrowmere/round/spring%2027/plan"},
	"/course/{course}/round/{round}/papers":  {"/course/varrowmere/round/spring%2027/papers"},
	"/course/{course}/green/{green}/outline": {"/course/varrowmere/green/g03/outline"},
}

// noPage names an address of each pattern that answers with something else than a page.
var noPage = map[string]string{
	"/course/{course}/plan/rehearse":               "/course/varrowmere/plan/rehearse?{plan}", // a part of the plan page
	"/course/{course}/plan/file/{file}":            "/course/varrowmere/plan/file/order.csv?{plan}",
	"/course/{course}/operations/file":             "/course/varrowmere/operations/file",
	"/course/{course}/peers.csv":                   "/course/varrowmere/peers.csv",
	"/course/{course}/export":                      "/course/varrowmere/export",
	"/course/{course}/report.pdf":                  "/course/varrowmere/report.pdf",
	"/course/{course}/workbook.xlsx":               "/course/varrowmere/workbook.xlsx",
	"/course/{course}/report/pages":                "/course/varrowmere/report/pages",
	"/course/{course}/report/logo":                 "/course/varrowmere/report/logo",
	"/course/{course}/report.css":                  "/course/varrowmere/report.css",
	"/course/{course}/round/{round}/cores.gpx":     "/course/varrowmere/round/spring%2027/cores.gpx",
	"/course/{course}/round/{round}/cores.geojson": "/course/varrowmere/round/spring%2027/cores.geojson",
	"/course/{course}/round/{round}/labels.pdf":    "/course/varrowmere/round/spring%2027/labels.pdf",
	"/course/{course}/round/{round}/sheet.pdf":     "/course/varrowmere/round/spring%2027/sheet.pdf",
}

// everySite is the web app with something on every page – a round designed, a package and a sheet on their way in – and
// what stands for the words in braces of the addresses.
func everySite(t *testing.T) (*site, *strings.Replacer) {
	t.Helper()
	s := newSite(t, Options{Local: true})
	s.Handler = asLocal(s.Handler)
	if w := s.post("/course/varrowmere/design", design()); w.Code != http.StatusSeeOther {
		t.Fatalf("designing a round: status %d\n%s", w.Code, plain(w.Body.String()))
	}
	if w := s.sendPicture("varrowmere", builderForm(), picture(t)); w.Code != http.StatusSeeOther {
		t.Fatalf("keeping a logo: status %d\n%s", w.Code, plain(w.Body.String()))
	}
	var files []sent
	for _, f := range second(t) {
		files = append(files, sent{f.name, strings.ReplaceAll(f.body, "ostrelby", "newcourse")})
	}
	after := func(path, mark string) string { return path[strings.LastIndex(path, mark)+1:] }
	last := func(path string) string { return after(path, "/") }
	plan := "/course/varrowmere/plan?" + typed(asking("closed", "2027-07-01 to 2027-07-14", "tournaments", "2027-06-12"), "2027-05-03", "light-dressing", "0.4", "2027-08-16", "core-8", "1", "2028-06-05", "dressing", "0.8").Encode()
	return s, strings.NewReplacer(
		"{import}", last(s.upload(files...).Header().Get("Location")),
		"{sheet}", last(s.upload(sent{"autumn.csv", labText}).Header().Get("Location")),
		"{plan}", after(plan, "?"), "{held}", "vm-2026-autumn-1")
}

// asLocal gives requests without a browser the host of this computer.
func asLocal(h http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Host == "example.com" { // what [httptest.NewRequest] gives
			r.Host = "localhost"
		}
		h.ServeHTTP(w, r)
	})
}

// TestEveryPage holds to every page what all pages have to keep. One store, one calibration and one browser serve it.
func TestEveryPage(t *testing.T) {
	s, fill := everySite(t)
	t.Run("patterns", func(t *testing.T) { everyPatternHasAPage(t, s, fill) })
	t.Run("drafts", func(t *testing.T) { everyFormKeepsADraft(t, s, fill) })
	t.Run("quantities", func(t *testing.T) { everyQuantityReadsTheSame(t, s) })
	t.Run("weight", func(t *testing.T) { everyPageIsLight(t, s, fill) })
	t.Run("texts", func(t *testing.T) { everyTextFromTheCatalogue(t, s, fill) })
	failControl(t, s)
	s.page(fill.Replace("/course/varrowmere/plan?{plan}")) // looked for here, so that the browser need not wait
	t.Run("in the browser", func(t *testing.T) {
		ctx, home := browserOn(t, s, 1360, 10*time.Minute)
		calm(t, ctx)
		t.Run("for everybody", func(t *testing.T) { everyPageForEverybody(t, ctx, home, fill) })
		t.Run("refused", func(t *testing.T) { everyFormRefuses(t, ctx, s, home, fill) })
	})
}

// Every address that is read is named above, and is what it is named: a page or something else.
func everyPatternHasAPage(t *testing.T, s *site, fill *strings.Replacer) {
	srv := newServer(s.app, Options{})
	srv.handler()
	known := map[string]bool{}
	for _, pattern := range srv.patterns {
		pattern, read := strings.CutPrefix(pattern, "GET ")
		if !read {
			continue
		}
		known[pattern] = true
		_, other := noPage[pattern]
		if len(everyAddress[pattern]) == 0 && !other {
			t.Errorf("no page stands for %s in everyAddress: nothing looks whether it can be used by everybody", pattern)
		}
	}
	isPage := func(path string) bool {
		w := s.get(fill.Replace(path))
		if w.Code != http.StatusOK && path != "/nowhere" {
			t.Errorf("%s: status %d\n%s", path, w.Code, plain(w.Body.String()))
		}
		return strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") && strings.Contains(w.Body.String(), "<html")
	}
	for pattern, paths := range everyAddress {
		if !known[pattern] {
			t.Errorf("everyAddress names %s, which is not answered", pattern)
		}
		for _, path := range paths {
			if !isPage(path) {
				t.Errorf("%s is no page", path)
			}
			if u, err := url.Parse(fill.Replace(path)); err != nil || !matches(pattern, u.EscapedPath()) {
				t.Errorf("%s is no address of %s", path, pattern)
			}
		}
	}
	for pattern, path := range noPage {
		if !known[pattern] {
			t.Errorf("noPage names %s, which is not answered", pattern)
		}
		if path == "/course/varrowmere/peers.csv" { // it takes five courses: here the refusal is a page
			if w := s.get(path); w.Code != http.StatusUnprocessableEntity {
				t.Errorf("%s: status %d, want 422", path, w.Code)
			}
		} else if isPage(path) {
			t.Errorf("%s is a page: it belongs into everyAddress", path)
		}
	}
}

// matches says whether a path is one of a pattern.
func matches(pattern, path string) bool {
	if pattern == "/" {
		return true
	}
	a, b := strings.Split(strings.TrimSuffix(pattern, "{$}"), "/"), strings.Split(path, "/")
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] && !(strings.HasPrefix(a[i], "{") && b[i] != "") {
			return false
		}
	}
	return true
}
