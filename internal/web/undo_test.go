package web

import (
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"underfoot"
)

// state is everything on record of a course, as text.
func (s *site) state(course string) string {
	s.t.Helper()
	rs, err := s.app.Store.Records(s.t.Context(), course)
	if err != nil {
		s.t.Fatal(err)
	}
	var rows []string
	rs.Each(func(r underfoot.Record) {
		var cells []string
		for _, name := range slices.Sorted(maps.Keys(r.Table().Cells(r))) {
			cells = append(cells, name+"="+r.Table().Cells(r)[name])
		}
		rows = append(rows, r.Table().Name+": "+strings.Join(cells, "; "))
	})
	slices.Sort(rows)
	return strings.Join(rows, "\n")
}

// Every form that is taken leads on, so that the back button does not send it again; the page it leads to offers to undo what was
// done, right there; and that puts everything back as it was. What deletes is undone like what adds.
func TestEveryChangeIsUndoneRightThere(t *testing.T) {
	s := newSite(t, Options{Prompt: true})           // what takes seconds is not waited for
	c, o := "/course/varrowmere", "/course/ostrelby" // what needs no more is done on the smaller one
	held := failControl(t, s)
	work := func() url.Values { return typed(asking(), "2027-05-03", "light-dressing", "0.4") }
	corners := "54.42300 1.17330\n54.42300 1.17360\n54.42320 1.17360\n54.42320 1.17330"
	shape := `{"type":"Polygon","coordinates":[[[1.1733,54.423],[1.1736,54.423],[1.1736,54.4232],[1.1733,54.4232],[1.1733,54.423]]]}`
	acts := []struct {
		pattern string
		path    string
		form    url.Values
		send    func() *httptest.ResponseRecorder // where it is no plain form
	}{
		{"/course/{course}/edit", o + "/edit", url.Values{"name": {"Varrowmere"}, "timezone": {"Europe/London"}, "latitude_deg": {"54.5"}, "longitude_deg": {"1.1"}}, nil},
		{"/course/{course}/table/{table}", o + "/table/readings", url.Values{"rows": {"1"}, "r0-green": {"g01"}, "r0-date": {"2026-11-24"}, "r0-kind": {"speed_m"}, "r0-value": {"2.8"}}, nil},
		{"/course/{course}/design", c + "/design", design(), nil},
		{"/course/{course}/round/{round}/plan", c + "/round/spring%2027/plan", design("cores", "7"), nil},
		{"/course/{course}/custody", c + "/custody", url.Values{"round": {"spring 27"}, "all": {"cut"}, "date": {"2026-11-20"}, "by": {"Crew one"}}, nil},
		{"/course/{course}/green/{green}/outline", c + "/green/g03/outline", url.Values{"corners": {corners}, "order": {"lat"}}, nil},
		{"/course/{course}/green/{green}/outline/delete", c + "/green/g03/outline/delete", nil, nil},
		{"/course/{course}/green/{green}/outline/file", "", nil, func() *httptest.ResponseRecorder { return s.sendShape(c+"/green/g03/outline/file", shape, "") }},
		{"/course/{course}/green/{green}/points", c + "/green/g03/points", url.Values{"point-1": {"A"}, "lat-1": {"54.42300"}, "lon-1": {"1.17330"}, "about-1": {"sprinkler head"}}, nil},
		{"/course/{course}/bench/enter", "/course/ostrelby/bench/enter", oneRow(), nil},
		{"/course/{course}/bench/release", c + "/bench/release", url.Values{"run": {held}, "do": {"release"}, "by": {"A. Tester"}, "reason": {"the control jar stood open"}}, nil},
		{"/course/{course}/bench/release", c + "/bench/release", url.Values{"run": {held}, "do": {"withdraw"}}, nil},
		{"/course/{course}/judgement", o + "/judgement", url.Values{"direction": {"hold"}, "reason": {"renovation is due"}, "by": {"A. Tester"}}, nil},
		{"/course/{course}/judgement", o + "/judgement", url.Values{"withdraw": {"yes"}}, nil},
		{"/course/{course}/plan/keep", c + "/plan/keep", with(work(), "scenario", "one"), nil},
		{"/course/{course}/plan/drop", c + "/plan/drop", url.Values{"drop": {"one"}, "back": {c + "/plan"}}, nil},
		{"/course/{course}/plan/accept", c + "/plan/accept", with(work(), "replace", "no"), nil},
		{"/course/{course}/operations/file", "", nil, func() *httptest.ResponseRecorder {
			return s.sendFile("mine.toml", strings.Replace(s.page(operationsAt+"/file"), "contract = 900", "contract = 950", 1))
		}},
		{"/course/{course}/operation/{operation}", operationAt + "/core-8", url.Values{"contract": {"1500"}}, nil},
		{"/course/{course}/operation/{operation}/switch", operationAt + "/inject/switch", url.Values{"used": {"no"}}, nil},
		{"/course/{course}/operation/{operation}/forget", operationAt + "/core-8/forget", nil, nil},
		{"/course/{course}/operation", operationAt, url.Values{"kind": {"topdress"}, "id": {"own"}, "name": {"my own"}, "sand_low_mm": {"0.4"}, "sand_high_mm": {"0.8"}, "spacing_days": {"7"}}, nil},
		{"/course/{course}/closings", o + "/closings", url.Values{"why": {"tournament"}, "from": {"2027-06-12"}, "until": {"2027-06-13"}, "name": {"Summer cup"}}, nil},
		{"/course/{course}/closings/drop", o + "/closings/drop", url.Values{"drop": {"2027-06-12 tournament"}}, nil},
		{"/course/{course}/crew", o + "/crew", url.Values{"crew_from": {"2026-11-01"}, "crew_hours": {"260"}, "crew_price": {"27.5"}}, nil},
		{"/course/{course}/crew/drop", o + "/crew/drop", url.Values{"drop": {"2026-11-01"}}, nil},
		{"/course/{course}/report/build", o + "/report/build", nil, func() *httptest.ResponseRecorder { return s.sendPicture("ostrelby", builderForm(), picture(t)) }},
		{"/course/{course}/report/build", o + "/report/build", with(builderForm(), "no_logo", "yes"), nil},
		{"/course/{course}/log", o + "/log", url.Values{"kind": {"topdress"}, "date": {"2026-11-20"}, "amount": {"0.4"}, "unit": {"mm"}, "status": {"done"}, "do": {"save"}}, nil},
		{"/course/{course}/log/{entry}", c + "/log/vm-w0003", url.Values{"kind": {"topdress"}, "date": {"2021-04-11"}, "amount": {"0.61"}, "unit": {"mm"}, "status": {"done"}, "do": {"save"}}, nil},
		{"/course/{course}/log/{entry}/delete", c + "/log/vm-w0003/delete", nil, nil},
		{"/course/{course}/round/{round}/plan/delete", c + "/round/spring%2027/plan/delete", nil, nil},
	}
	known := map[string]string{
		"/view": "a cookie", "/settings": "a cookie", "/import": "is confirmed first", "/import/{draft}/confirm": "TestImport", "/import/{draft}/discard": "nothing on record", "/sheet/{draft}": "TestLabSheet",
		"/new": "TestTypedCourse", "/course/{course}/findings": "nothing on record", "/course/{course}/undo": "below",
	}
	done := `<div class="done"`
	for _, a := range acts {
		known[a.pattern] = "here"
		t.Run(strings.ReplaceAll(a.pattern, "/", " "), func(t *testing.T) {
			course := "varrowmere"
			if strings.Contains(a.path, "ostrelby") {
				course = "ostrelby"
			}
			before := s.state(course)
			var w *httptest.ResponseRecorder
			if a.send != nil {
				w = a.send()
			} else {
				w = s.post(a.path, a.form)
			}
			if w.Code != http.StatusSeeOther {
				t.Fatalf("status %d, want it to lead on\n%s", w.Code, plain(w.Body.String()))
			}
			after := s.state(course)
			if after == before {
				t.Fatalf("nothing was changed; it leads to %s", w.Header().Get("Location"))
			}
			press := func(html, button string) string {
				t.Helper()
				_, line, there := strings.Cut(html, done)
				line, _, _ = strings.Cut(line, "</form>")
				if !there || !strings.Contains(line, ">"+button+"<") {
					t.Fatalf("the page it leads to does not offer %q:\n%.600s", button, plain(line))
				}
				w := s.post("/course/"+course+"/undo", formOf(line))
				for range 3 {
					if w.Code != http.StatusSeeOther {
						break
					}
					to, _, _ := strings.Cut(w.Header().Get("Location"), "#")
					w = s.get(to)
				}
				if w.Code != http.StatusOK {
					t.Fatalf("%s leads to status %d: %s", button, w.Code, plain(w.Body.String()))
				}
				return w.Body.String()
			}
			to, _, _ := strings.Cut(w.Header().Get("Location"), "#")
			html := press(s.page(to), "Undo")
			if got := s.state(course); got != before {
				a, b := apart(before, got)
				t.Errorf("after the undo it is not as it was:\n%s\n%s", a, b)
			}
			press(html, "Do it again")
			if got := s.state(course); got != after {
				a, b := apart(after, got)
				t.Errorf("done again it is not as it was done:\n%s\n%s", a, b)
			}
		})
	}
	srv := newServer(s.app, Options{})
	srv.handler()
	for _, pattern := range srv.patterns {
		if pattern, posted := strings.CutPrefix(pattern, "POST "); posted && known[pattern] == "" {
			t.Errorf("%s: nothing looks whether it can be undone", pattern)
		}
	}
}

// with sets a value of a form.
func with(form url.Values, name, value string) url.Values {
	form.Set(name, value)
	return form
}
