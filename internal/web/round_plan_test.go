package web

import (
	"bytes"
	"context"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"underfoot"
	"underfoot/outline"
)

func design(over ...string) url.Values {
	form := url.Values{
		"do": {"save"}, "round": {"spring 27"}, "date": {"2027-04-13"}, "layers": {"0-20 20-40"}, "cores": {"5"}, "core_diameter_mm": {"20"}, "verdure": {"kept"},
		"seed": {"7"}, "g-g03": {"full"}, "g-g06": {"full"}, "g-g09": {"top"},
	}
	for i := 0; i < len(over); i += 2 {
		form.Set(over[i], over[i+1])
	}
	return form
}

func (s *site) roundRecords() *underfoot.Records {
	s.t.Helper()
	rs, err := s.app.Store.Records(context.Background(), "varrowmere")
	if err != nil {
		s.t.Fatal(err)
	}
	return rs
}

// A round is designed, kept, sent to a phone, changed, deleted and brought back.
func TestRoundDesigned(t *testing.T) {
	s := newSite(t, Options{})
	mustSay(t, s.page("/course/varrowmere/round"), "No round is planned.", "Design a round")
	mustSay(t, s.page("/course/varrowmere/design"), "The greens are those of the last round, so each is compared with itself.", "From when on is it worth it?")

	html := s.follow("/course/varrowmere/design", design())
	mustSay(t, html, "A round of 3 greens on 13 April 2027 takes 5 composites", "Undo", "Green 3 every layer", "Places for a phone, GPX")
	rs := s.roundRecords()
	if len(rs.RoundPlans) != 1 || rs.RoundPlans[0].FullGreens != "g03 g06" || rs.RoundPlans[0].TopGreens != "g09" || len(rs.Positions) != 15 {
		t.Fatalf("stored %+v with %d positions", rs.RoundPlans, len(rs.Positions))
	}
	mustSay(t, s.page("/course/varrowmere/round"), "13 April 2027, round “spring 27” : 3 greens, 2 layers, 5 cores a green.")

	w := s.get("/course/varrowmere/round/spring%2027/cores.gpx")
	if w.Code != http.StatusOK || strings.Count(w.Body.String(), "<wpt ") != 15 || w.Header().Get("Content-Disposition") != `attachment; filename="varrowmere-spring-27-cores.gpx"` {
		t.Errorf("GPX: status %d, %d waypoints, %s", w.Code, strings.Count(w.Body.String(), "<wpt "), w.Header().Get("Content-Disposition"))
	}
	w = s.get("/course/varrowmere/round/spring%2027/cores.geojson")
	if w.Code != http.StatusOK || strings.Count(w.Body.String(), `"type":"Point"`) != 15 {
		t.Errorf("GeoJSON: status %d\n%s", w.Code, w.Body.String())
	}

	html = s.follow("/course/varrowmere/round/spring%2027/plan", design("round", "April", "cores", "7", "g-g09", ""))
	mustSay(t, html, "A round of 2 greens")
	if rs = s.roundRecords(); len(rs.RoundPlans) != 1 || rs.RoundPlans[0].Round != "April" || len(rs.Positions) != 14 {
		t.Errorf("after the change: %+v with %d positions", rs.RoundPlans, len(rs.Positions))
	}
	html = s.follow("/course/varrowmere/round/April/plan/delete", nil)
	mustSay(t, html, "No round is planned.", "Undo")
	s.follow("/course/varrowmere/undo", url.Values{"change": {undo.FindStringSubmatch(html)[1]}, "back": {"/course/varrowmere/round"}})
	if rs = s.roundRecords(); len(rs.RoundPlans) != 1 || len(rs.Positions) != 14 {
		t.Errorf("after the undo: %d plans, %d positions", len(rs.RoundPlans), len(rs.Positions))
	}
}

func TestRoundDesignRefused(t *testing.T) {
	s := newSite(t, Options{})
	for _, c := range []struct {
		column, value, want string
	}{
		{"date", "soon", "Date: "},
		{"layers", "0-20 10-30", "overlaps layer 0–20 mm"},
		{"cores", "many", "Cores a green: "},
		{"core_diameter_mm", "300", "allowed is an inner diameter of 5 to 120 mm"},
		{"round", "", "Name of the round: empty: a value is needed"},
		{"round", strings.Repeat("x", 61), "longer than 60 letters"},
	} {
		w := s.post("/course/varrowmere/design", design(c.column, c.value))
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s %q: status %d", c.column, c.value, w.Code)
		}
		mustSay(t, w.Body.String(), c.want, "nothing was stored")
	}
	none := design()
	for g := range none {
		if strings.HasPrefix(g, "g-") {
			none.Del(g)
		}
	}
	mustSay(t, s.post("/course/varrowmere/design", none).Body.String(), "no green is chosen: choose at least one")
	if n := len(s.roundRecords().RoundPlans); n != 0 {
		t.Errorf("%d plans were stored", n)
	}
	if w := s.get("/course/varrowmere/round/never/plan"); w.Code != http.StatusNotFound {
		t.Errorf("a plan that is not there: status %d", w.Code)
	}
}

// What is typed is worked out without being stored, with the date from which it is worth it where that is asked for.
func TestRoundWorkedOut(t *testing.T) {
	s := newSite(t, Options{})
	w := s.post("/course/varrowmere/design", design("do", "work-out", "cores", "2"))
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "0–20 mm: 2 cores of 20 mm hold 13 cm³, less than 30 cm³, little to weigh: take 5 cores or more, or a corer of 31 mm or wider.")
	w = s.post("/course/varrowmere/design", design("do", "when"))
	mustSay(t, w.Body.String(), "A round before ", " would tell little: until then the model foretells every layer more surely than this round would measure it.")
	if n := len(s.roundRecords().RoundPlans); n != 0 {
		t.Errorf("%d plans were stored", n)
	}
}

// Greens are drawn into the form, and nothing is stored by that.
func TestRoundGreensDrawn(t *testing.T) {
	s := newSite(t, Options{})
	w := s.post("/course/varrowmere/design", design("do", "draw", "choice", "random", "full", "2", "top_only", "0"))
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	checked := regexp.MustCompile(`name="g-g\d+" value="(full|top)" checked`).FindAllStringSubmatch(w.Body.String(), -1)
	if len(checked) != 2 || checked[0][1] != "full" || checked[1][1] != "full" {
		t.Errorf("drawn: %q", checked)
	}
	w = s.post("/course/varrowmere/design", design("do", "draw", "choice", "random", "full", "99"))
	mustSay(t, w.Body.String(), `"99": allowed is a whole number from 0 to 18`)
	if n := len(s.roundRecords().RoundPlans); n != 0 {
		t.Errorf("%d plans were stored", n)
	}
}

const someCorners = "54.4230 1.1730\n54.4230 1.1734\n54.4232 1.1734\n54.4232 1.1730\n"

func TestOutlineTyped(t *testing.T) {
	s := newSite(t, Options{})
	const path = "/course/varrowmere/green/g03/outline"
	if got := s.get(path).Header().Get("Permissions-Policy"); !strings.Contains(got, "geolocation=(self)") {
		t.Errorf("the page may not ask where the phone is: %q", got)
	}
	html := s.follow(path, url.Values{"corners": {someCorners + "hole\n54.42308, 1.17312\n54.42308, 1.17318\n54.42312, 1.17315"}, "order": {"lat"}})
	mustSay(t, html, "Green 3 is 569 m² by its outline.", "Undo", "54.42308000 1.17312000", "hole")
	for _, c := range []struct{ corners, order, want string }{
		{"", "lat", "a ring of 0 corners: an outline has 3 or more, one on each line"},
		{"54.4230\n", "lat", `line 1, "54.4230": two numbers of degrees are expected`},
		{"54.4230 east\n", "lat", `line 1, "east": `},
		{someCorners, "lon", ""},
		{"54.4230 1.1730\n54.4232 1.1734\n54.4232 1.1730\n54.4230 1.1734\n", "lat", "give the corners in the order of a walk around the green"},
	} {
		w := s.post(path, url.Values{"corners": {c.corners}, "order": {c.order}})
		if c.want == "" { // turned round it is a green elsewhere, and that is no mistake of form
			if w.Code != http.StatusSeeOther {
				t.Errorf("status %d", w.Code)
			}
			continue
		}
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%q: status %d", c.corners, w.Code)
		}
		mustSay(t, w.Body.String(), c.want)
	}
	mustSay(t, s.follow(path+"/delete", nil), "Green 3 has no outline yet.", "Undo")
}

func TestOutlineFromFile(t *testing.T) {
	s := newSite(t, Options{})
	const path = "/course/varrowmere/green/g03/outline/file"
	ring := `[[1.1730,54.4230],[1.1734,54.4230],[1.1734,54.4232],[1.1730,54.4232],[1.1730,54.4230]]`
	feature := func(name string) string {
		return `{"type":"Feature","properties":{"name":"` + name + `"},"geometry":{"type":"Polygon","coordinates":[` + ring + `]}}`
	}
	two := `{"type":"FeatureCollection","features":[` + feature("third") + "," + feature("fourth") + `]}`
	for _, c := range []struct {
		text, which string
		status      int
		want        string
	}{
		{feature("x"), "", http.StatusSeeOther, ""},
		{two, "third", http.StatusSeeOther, ""},
		{two, "", http.StatusUnprocessableEntity, "the file holds 2 outlines and none says it is of green g03: name one of third, fourth"},
		{two, "fifth", http.StatusUnprocessableEntity, `the file holds no outline called "fifth": name one of third, fourth`},
		{"nothing", "", http.StatusUnprocessableEntity, "it is neither GeoJSON nor GPX"},
		{"", "", http.StatusUnprocessableEntity, "it is neither GeoJSON nor GPX"},
	} {
		w := s.sendShape(path, c.text, c.which)
		if w.Code != c.status {
			t.Errorf("%s: status %d, want %d", c.text, w.Code, c.status)
		}
		if c.want != "" {
			mustSay(t, w.Body.String(), c.want)
		}
	}
}

func (s *site) sendShape(path, text, which string) *httptest.ResponseRecorder {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	part, err := m.CreateFormFile("file", "green.geojson")
	if err != nil {
		s.t.Fatal(err)
	}
	part.Write([]byte(text))
	m.WriteField("which", which)
	m.Close()
	r := httptest.NewRequest(http.MethodPost, path, &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func TestFixedPoints(t *testing.T) {
	s := newSite(t, Options{})
	s.follow("/course/varrowmere/design", design())
	const path = "/course/varrowmere/green/g03/points"
	form := url.Values{
		"point-1": {"A"}, "lat-1": {"54.42300"}, "lon-1": {"1.17330"}, "about-1": {"sprinkler head"}, "point-2": {"B"}, "lat-2": {"54.42330"}, "lon-2": {"1.17330"}, "about-2": {""},
		"point-3": {""}, "lat-3": {""}, "lon-3": {""}, "about-3": {""},
	}
	s.follow(path, form)
	got := slices.DeleteFunc(s.roundRecords().FixedPoints, func(p underfoot.FixedPoint) bool { return p.Green != "g03" })
	if len(got) != 2 || got[0].About != "sprinkler head" {
		t.Errorf("stored %+v", got)
	}
	mustSay(t, s.page("/course/varrowmere/round/spring%2027/plan"), "m from A and ", "seen from A towards B")
	form.Set("lat-2", "95")
	w := s.post(path, form)
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "Point B, latitude: ")
	form.Set("lat-2", "54.4233")
	form.Set("point-2", "A")
	mustSay(t, s.post(path, form).Body.String(), `"A" is named twice: give each fixed point a name of its own.`)
}

// An outline is drawn by pointer and keyboard, and saved as it was drawn; the text of the corners follows.
func TestOutlineInTheBrowser(t *testing.T) {
	ctx, s, url := browser(t, 1360)
	do(t, ctx, chromedp.Navigate(url+"/course/varrowmere/green/g03/outline"), chromedp.WaitVisible(".draw-svg"), chromedp.Click("button[data-do=clear]"))
	if text := eval[string](t, ctx, `document.querySelector("#f-corners").value`); text != "" {
		t.Errorf("after starting again the corners are %q", text)
	}
	eval[bool](t, ctx, `(() => { const svg = document.querySelector(".draw-svg"), r = svg.getBoundingClientRect();
		for (const [x, y] of [[0.2, 0.8], [0.8, 0.8], [0.8, 0.2], [0.2, 0.2]]) for (const type of ["pointerdown", "pointerup"])
			svg.dispatchEvent(new PointerEvent(type, { pointerId: 1, clientX: r.x + x * r.width, clientY: r.y + y * r.height, bubbles: true }));
		return true })()`)
	if lines := eval[int](t, ctx, `document.querySelector("#f-corners").value.trim().split("\n").length`); lines != 4 {
		t.Errorf("four clicks made %d corners", lines)
	}
	before := eval[string](t, ctx, `document.querySelector("#f-corners").value`)
	eval[bool](t, ctx, `(() => { const svg = document.querySelector(".draw-svg");
		for (const key of ["n", "ArrowUp", "ArrowUp", "Enter", "Delete"]) svg.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true })); return true })()`)
	after := eval[string](t, ctx, `document.querySelector("#f-corners").value`)
	if lines := len(strings.Split(strings.TrimSpace(after), "\n")); lines != 4 || after == before {
		t.Errorf("moving a corner, adding one and removing it left %d corners, changed: %v", lines, after != before)
	}
	do(t, ctx, chromedp.Click("form[action$=outline] .btn.go"), chromedp.WaitVisible(".done"))
	seen(t, ctx, "Drew the outline of Green 3.")
	for _, o := range s.roundRecords().Outlines {
		if o.Green == "g03" && strings.Count(o.Feature, "],[") != 4 {
			t.Errorf("stored %s", o.Feature)
		}
	}
}

// Nothing of the pages of a round runs over on a phone, every field has a name, and things to press are 44 px high there.
func TestRoundPagesOnAPhone(t *testing.T) {
	ctx, _, url := browser(t, 390)
	for _, path := range []string{"/course/varrowmere/design", "/course/varrowmere/green/g03/outline", "/course/varrowmere/round"} {
		do(t, ctx, chromedp.Navigate(url+path))
		if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
			t.Errorf("%s runs %d px over", path, over)
		}
		for _, e := range eval[[]string](t, ctx, `[...document.querySelectorAll("input:not([type=hidden]),select,textarea,button,a")].filter(e =>
			!(e.labels?.length || e.getAttribute("aria-label") || e.getAttribute("aria-labelledby") || e.textContent.trim())).map(e => e.outerHTML.slice(0, 120))`) {
			t.Errorf("%s: no name: %s", path, e)
		}
		for _, e := range eval[[]string](t, ctx, `[...document.querySelectorAll(".green-row label,main .btn:not(.small),main select,main input.n")].filter(e => e.checkVisibility())
			.filter(e => e.getBoundingClientRect().height < 43.5).map(e => e.outerHTML.slice(0, 120))`) {
			t.Errorf("%s: lower than 44 px: %s", path, e)
		}
	}
}

// Whatever is typed as corners is read or refused, and what is shown again reads as the same.
func FuzzCorners(f *testing.F) {
	f.Add(someCorners, "lat")
	f.Add(someCorners+"hole\n54.42308, 1.17312\n54.42308; 1.17318\n54.42312\t1.17315\npart\n1 2\n3 4\n5 6", "lon")
	f.Add("−1° 2\nhole\npart\n", "")
	f.Fuzz(func(t *testing.T, text, order string) {
		polygons, err := cornersOf(text, order)
		if err != nil {
			return
		}
		var shape []outline.Polygon
		for _, p := range polygons {
			var polygon outline.Polygon
			for _, r := range p {
				var ring outline.Ring
				for _, c := range r {
					ring = append(ring, outline.Position{Longitude: c[0], Latitude: c[1]})
				}
				polygon = append(polygon, ring)
			}
			shape = append(shape, polygon)
		}
		o, err := outline.New(shape)
		if err != nil {
			return
		}
		again, err := cornersOf(cornersText(o.Polygons()), "lat")
		if err != nil || len(again) != len(polygons) || len(again[0]) != len(polygons[0]) {
			t.Fatalf("%d parts came back as %d (%v)", len(polygons), len(again), err)
		}
	})
}
