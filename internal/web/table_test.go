package web

import (
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"underfoot"
)

// cells fills rows of a typed table: a row is its columns in order.
func cells(columns string, rows ...string) url.Values {
	form := url.Values{"rows": {strconv.Itoa(len(rows))}, "do": {"save"}}
	for i, row := range rows {
		for k, cell := range strings.Split(row, "|") {
			form.Set("r"+strconv.Itoa(i)+"-"+strings.Split(columns, "|")[k], cell)
		}
	}
	return form
}

// A course begins in an empty store and comes to a level of its layers with nothing but typing.
func TestFromNothingByTyping(t *testing.T) {
	s := newEmptySite(t, Options{})
	mustSay(t, s.page("/"), "Begin a course")
	html := s.follow("/new", url.Values{"name": {"Ærø Links"}, "time_zone": {"Europe/Copenhagen"}, "latitude_deg": {"54,85"}})
	mustSay(t, html, "No greens yet.", "Undo")
	base := "/course/r-links"
	if w := s.get(base); w.Code != http.StatusOK {
		t.Fatalf("course page %d: the short name is made of what letters there are", w.Code)
	}
	greens := cells("green|name|kind|species|area_m2", "g1|Green 1|green|bent|510", `g2|Green 2|"|"|420,5`, `g3|Green 3|"|"|380`, "||||")
	mustSay(t, s.follow(base+"/table/greens", greens), "Three rows of greens.", "1 to 3 of 3")
	mustSay(t, s.follow(base+"/table/targets", cells("kind|low|high|from_month|to_month", "firmness_gmax|85|100|4|10")), "One row of wanted bands.")
	mustSay(t, s.follow(base+"/table/readings", cells("green|date|kind|value", "g1|2026-09-01|firmness_gmax|78", `g2|"|"|80`)), "Two rows of readings.")
	mustSay(t, s.page(base+"/design"), "every layer")
	samples := cells("sample|green|round|date|top_mm|bottom_mm|cores|core_diameter_mm",
		"|g1|autumn|2026-10-12|0|20|5|20", `|g2|"|"|"|"|"|"`, `|g3|"|"|"|"|"|"`)
	mustSay(t, s.follow(base+"/table/samples", samples), "Three rows of samples.")
	results := cells("sample|om_percent|method", "autumn-g1-0-20|5.2|whole", "autumn-g2-0-20|6.1|whole", `autumn-g3-0-20|5,5|"`)
	mustSay(t, s.follow(base+"/table/results", results), "Three rows of results.")
	mustSay(t, s.page(base+"/findings"), "0–20 mm")
	rs, err := s.app.Store.Records(t.Context(), "r-links")
	if err != nil {
		t.Fatal(err)
	}
	if rs.Greens[1].AreaM2.Value != 420.5 || rs.Greens[1].Species != "bent" || rs.Course.Latitude.Value != 54.85 {
		t.Errorf("green 2 is %+v, course %+v", rs.Greens[1], rs.Course)
	}
	if len(rs.Readings) != 2 || rs.Readings[1].Date != rs.Readings[0].Date || rs.Readings[0].ID == rs.Readings[1].ID {
		t.Errorf("readings %+v", rs.Readings)
	}
}

// The whole way of a round on a typed course: designed, cut, burnt on the bench, and found in the layers.
func TestFromNothingToTheBench(t *testing.T) {
	s := newEmptySite(t, Options{})
	s.follow("/new", url.Values{"name": {"Fell End"}, "course": {"fell-end"}})
	const base = "/course/fell-end"
	s.follow(base+"/table/greens", cells("green|name|area_m2", "g1|Green 1|510", "g2|Green 2|420", "g3|Green 3|380"))
	s.follow(base+"/table/targets", cells("kind|low|high", "firmness_gmax|85|100"))
	s.follow(base+"/table/readings", cells("green|date|kind|value", "g1|2026-09-01|firmness_gmax|78"))
	s.follow(base+"/table/controls", cells("control|accepted_percent|sd_percent", "clay|4|0.08"))
	mustSay(t, s.follow(base+"/table/crucibles", cells("crucible|date|tare_g", "k1|2026-10-01|38", `k2|"|39`, `k3|"|40`)), "Three rows of tares of crucibles.")
	plan := url.Values{
		"do": {"save"}, "round": {"first"}, "date": {"2026-11-20"}, "layers": {"0-20"}, "cores": {"5"}, "core_diameter_mm": {"20"}, "verdure": {"kept"}, "seed": {"7"},
		"g-g1": {"full"}, "g-g2": {"full"}, "g-g3": {"full"},
	}
	mustSay(t, s.follow(base+"/design", plan), "A round of 3 greens", "3 composites")
	s.follow(base+"/custody", url.Values{"round": {"first"}, "all": {"cut"}, "date": {"2026-11-20"}, "by": {"Crew one"}})
	sheet := url.Values{
		"run": {""}, "rows": {"4"}, "do": {"save"}, "furnace_run": {"fe-1"}, "date": {"2026-11-23"}, "by": {"A. Tester"}, "dry_c": {"105"}, "ash_c": {"440"}, "ash_hours": {"8"},
		"balance_resolution_g": {"0.001"},
	}
	for i, row := range []string{
		"k1|sample|fell-end-first-g1-0-20|38.000|78.000|76.000", // 2 g of 40 g: 5 %
		"k2|sample|fell-end-first-g2-0-20|39.000|79.000|76.600", // 2.4 g: 6 %
		"k3|sample|fell-end-first-g3-0-20|40.000|80.000|77.200", // 2.8 g: 7 %
		"k4|control|clay|41.000|81.000|79.400",                  // 1.6 g: 4 %, as accepted
	} {
		for k, text := range strings.Split(row, "|") {
			sheet.Set("r"+strconv.Itoa(i)+"-"+[]string{"crucible", "kind", "sample", "tare_g", "dry_g", "ash_g"}[k], text)
		}
	}
	mustSay(t, s.follow(base+"/bench/enter", sheet), "Wrote down furnace run fe-1.")
	mustSay(t, s.page(base+"/findings"), "0–20 mm")
	st, err := s.app.Standing(t.Context(), "fell-end")
	if err != nil {
		t.Fatal(err)
	}
	if len(st.Layers) != 1 || st.Layers[0].Name() != "0–20 mm" || math.Abs(float64(st.Layers[0].Last().Mean)-6) > 1e-9 || st.Layers[0].Last().N != 3 {
		t.Errorf("layers are %+v, want 0–20 mm with 6 %% on three greens", st.Layers)
	}
}

// What is wrong is said beside its field with what is allowed, what was typed stays, and nothing is stored.
func TestTypedRowsRefused(t *testing.T) {
	s := newSite(t, Options{})
	before := s.latest()
	for _, c := range []struct{ table, columns, row, says string }{
		{"greens", "green|area_m2", "g99|huge", `"huge" is not a number`},
		{"greens", "green|area_m2", "g01|500", "g01 is there already: change that row, or give this one another name."},
		{"greens", "green|rootzone_sand", "g99|gold", `"gold" is not among the sands of this course: add it there first`},
		{"readings", "green|date|kind|value", "g99|2026-09-01|speed_m|2.8", `"g99" is not among the greens of this course`},
		{"readings", "green|date|kind|value", "g01|2027-09-01|speed_m|2.8", "2027-09-01 is still to come: a day up to today, 2026-11-25, is allowed."},
		{"readings", "green|date|kind|value", "g01|yesterday|speed_m|2.8", `"yesterday" is not a date`},
		{"readings", "green|date|kind|value", "g01|2026-09-01|bounce|2.8", `"bounce" is not allowed: allowed are firmness_gmax`},
		{"targets", "kind|low|high", "speed_ft|12|9", "9 is below low 12: the band is upside down."},
		{"samples", "green|round|date|top_mm|bottom_mm", "g01|x|2026-10-12|20|0", "above 0 and up to 2000 mm is allowed"},
		{"controls", "control|accepted_percent", "c|140", "0 to 100"},
		{"crucibles", "crucible|date|tare_g", "c1||40", "Empty: a value is needed"},
		{"sieve", "source|sieve_mm|retained_g", "sand:gold|1|3", `"gold" is not among the sands of this course`},
		{"sievings", "source|start_mass_g|washed_g", "sand:vm-dress-b|10|20", "20 g were washed out of 10 g at the start: at most the start mass is allowed."},
	} {
		w := s.post("/course/varrowmere/table/"+c.table, cells(c.columns, c.row))
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s %s: status %d, want 422", c.table, c.row, w.Code)
			continue
		}
		html := w.Body.String()
		mustSay(t, html, "Not stored yet", c.says)
		if !strings.Contains(html, `aria-invalid="true"`) {
			t.Errorf("%s %s: no field is marked", c.table, c.row)
		}
		if first := strings.Split(c.row, "|")[0]; !strings.Contains(html, `value="`+first+`"`) && !strings.Contains(html, `value="`+first+`" selected`) {
			t.Errorf("%s: %q is not in the form any more", c.table, first)
		}
	}
	twice := s.post("/course/varrowmere/table/greens", cells("green", "g77", "g77"))
	mustSay(t, twice.Body.String(), "g77 is in row 1 already: each may come once.")
	if w := s.get("/course/varrowmere/table/weighings"); w.Code != http.StatusNotFound {
		t.Errorf("a table that is not typed: %d", w.Code)
	}
	if w := s.get("/course/nowhere/table/greens"); w.Code != http.StatusNotFound {
		t.Errorf("a course that is not there: %d", w.Code)
	}
	if s.latest() != before {
		t.Error("something was stored")
	}
}

// A row on record is changed, renamed, or taken out, and all of it can be undone; one that others refer to stays.
func TestTypedRowsChanged(t *testing.T) {
	s := newSite(t, Options{})
	const path = "/course/varrowmere/table/controls"
	form := cells("control|accepted_percent|sd_percent", "vm-control-a|5.25|0.08")
	form.Set("r0-was", `["vm-control-a"]`)
	mustSay(t, s.follow(path, form), "Undo")
	form = cells("control|accepted_percent", "|")
	form.Set("r0-was", `["vm-control-a"]`)
	form.Set("r0-remove", "yes")
	mustSay(t, s.follow(path, form), "No control materials yet.", "Undo")
	form = cells("green", "g01")
	form.Set("r0-was", `["g01"]`)
	form.Set("r0-remove", "yes")
	if w := s.post("/course/varrowmere/table/greens", form); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a green with readings was taken out: %d", w.Code)
	}
	reading := s.reading(t)
	form = cells("green|date|kind|value", "g03|2026-10-06|speed_m|2.99")
	form.Set("r0-was", `["`+reading+`"]`)
	html := s.follow("/course/varrowmere/table/readings?find=2.99", form)
	mustSay(t, html, "Undo")
	got, err := s.app.Store.Get(t.Context(), underfoot.Readings, underfoot.Key{"varrowmere", reading})
	if err != nil || got.(*underfoot.Reading).Value != 2.99 {
		t.Errorf("the reading is %+v, %v", got, err)
	}
	mustSay(t, s.page("/course/varrowmere/table/readings?find=2026-10-06+speed"), "newest first")
	mustSay(t, s.page("/course/varrowmere/table/readings?find=no+such+row"), "No row says “no such row”.")
}

// reading is the name of the newest reading of green speed on green 3.
func (s *site) reading(t *testing.T) string {
	t.Helper()
	rs, err := s.app.Store.Records(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rs.Readings {
		if r.Green == "g03" && r.Kind == "speed_m" && r.Date.String() == "2026-10-06" {
			return r.ID
		}
	}
	t.Fatal("no such reading")
	return ""
}

func TestCourseFormRefuses(t *testing.T) {
	s := newSite(t, Options{})
	for _, c := range []struct {
		form url.Values
		says string
	}{
		{url.Values{}, "Empty: say what people call the course"},
		{url.Values{"name": {"Varrowmere"}, "course": {"varrowmere"}}, `"varrowmere" is there already: choose another short name.`},
		{url.Values{"name": {"X"}, "course": {"No Good"}}, `"No Good" is not allowed: up to 40 small letters`},
		{url.Values{"name": {"X"}, "time_zone": {"Middle/Earth"}}, "is not a time zone of the IANA database"},
		{url.Values{"name": {"X"}, "latitude_deg": {"97"}}, "-90 to 90"},
	} {
		w := s.post("/new", c.form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%v: status %d", c.form, w.Code)
		}
		mustSay(t, w.Body.String(), "Not saved yet", c.says)
	}
	mustSay(t, s.follow("/course/varrowmere/edit", url.Values{"name": {"Varrowmere Old Links"}, "time_zone": {"Europe/London"}, "country": {"GB"}}), "Varrowmere Old Links", "Undo")
}
