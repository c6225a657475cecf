package web

import (
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"underfoot/internal/say"
)

// walked are the pages a person in US units meets.
var walked = []string{
	"/", "/course/varrowmere", "/course/varrowmere/findings", "/course/varrowmere/profile", "/course/varrowmere/plan", "/course/varrowmere/log",
	"/course/varrowmere/log?kind=hollow_core", "/course/varrowmere/log?kind=nitrogen", "/course/varrowmere/log/vm-w0003", "/course/varrowmere/round",
	"/course/varrowmere/design", "/course/varrowmere/history", "/course/varrowmere/operations", "/course/varrowmere/operation", "/course/ostrelby", "/course/varrowmere/sands", "/sands",
}

// taken are the parts of a page that show readings as they were taken.
var taken = regexp.MustCompile(`(?s)<(div|main)[^>]*data-units="laboratory".*?</(?:div>\s*</div>\s*</div>\s*</div>\s*</div|main)>`)

// leftMetric finds a number in a metric unit, or a unit alone at the head of a column.
var leftMetric = regexp.MustCompile(`.{0,60}(?:\d ?(?:mm|kg/m²|kg/m³|t/ha|kg/ha|g/m²|m²|m³|°C|t|kg)(?:[^a-zA-Z/²³]|$)|, (?:mm|kg/m²|t|m²|kg/ha)(?: |$)).{0,40}`)

// What stays metric on those pages, each with its reason.
var staysMetric = []*regexp.Regexp{
	regexp.MustCompile(`440 ± 40 °C|\d{3} °C`),                             // furnace and oven
	regexp.MustCompile(`(?i)firmness|penetration|infiltration|grain|siev`), // as the instrument or the sieve gave it
	regexp.MustCompile(`of it pass \d\.\d+ mm|sand, 0\.\d+–0\.\d+ mm`),     // openings of sieves
	regexp.MustCompile(`kg/m²/a`),                                          // parameters of the model, in the unit of its equations
	regexp.MustCompile(`Sand in mm, kg/m² and t|kg/m² a year\. Limits`),    // definitions, whose formulas are in metric units
}

func TestNothingMetricRemains(t *testing.T) {
	s := newSite(t, Options{})
	for _, path := range append([]string{"/course/varrowmere/report", "/course/varrowmere/plan?" + asking().Encode(), "/course/varrowmere/plan/crew?" + asking().Encode()}, walked...) {
		t.Run(path, func(t *testing.T) {
			w := s.as(say.Style{Units: say.US}, http.MethodGet, path, nil)
			if w.Code != http.StatusOK {
				t.Fatalf("status %d", w.Code)
			}
			text := plain(taken.ReplaceAllString(w.Body.String(), ""))
		found:
			for _, x := range leftMetric.FindAllString(text, -1) {
				for _, stays := range staysMetric {
					if stays.MatchString(x) {
						continue found
					}
				}
				t.Errorf("remains: %s", strings.TrimSpace(x))
			}
		})
	}
}

// Numbers of the log agree with the metric ones by the factor, to their last place.
func TestUSNumbersAgree(t *testing.T) {
	s := newSite(t, Options{})
	row := regexp.MustCompile(`(?s)<tr[^>]*? id="e-(vm-[^"]+)".*?</tr>`)
	cell := regexp.MustCompile(`<td class="r(?: opt)?">(?:<b>)?([\d.,]+)(?:</b>)?</td>`)
	read := func(style say.Style) map[string][]string {
		out := map[string][]string{}
		for _, m := range row.FindAllStringSubmatch(s.as(style, http.MethodGet, "/course/varrowmere/log", nil).Body.String(), -1) {
			for _, c := range cell.FindAllStringSubmatch(m[0], -1) {
				out[m[1]] = append(out[m[1]], c[1])
			}
		}
		return out
	}
	metric, us := read(say.Style{}), read(say.Style{Units: say.US})
	if len(metric) < 7 || len(us) != len(metric) {
		t.Fatalf("%d entries in metric units, %d in US units", len(metric), len(us))
	}
	factors := []float64{1 / 25.4, 204.8161436, 1.102311311, 1 / 25.4} // in/mm, lb/1000 ft² a kg/m², short tons/t, in/mm
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for id, cells := range metric {
		if len(cells) != 4 || len(us[id]) != 4 {
			t.Errorf("%s: %q and %q", id, cells, us[id])
			continue
		}
		for i, c := range cells {
			_, rest, _ := strings.Cut(us[id][i], ".")
			if got, want := number(us[id][i]), number(c)*factors[i]; math.Abs(got-want) > math.Max(0.5*math.Pow10(-len(rest))*1.0001, 0.05*want) {
				t.Errorf("%s: %s reads %s, by the factor %g", id, c, us[id][i], want)
			}
		}
	}
}

// field is a field of a form with what it holds.
var field = regexp.MustCompile(`<input[^>]*? name="([^"]+)"[^>]*? value="([^"]*)"`)

func TestTypedInUS(t *testing.T) {
	s := newSite(t, Options{})
	us := say.Style{Units: say.US}
	body := s.as(us, http.MethodGet, "/course/varrowmere/log?kind=hollow_core", nil).Body.String()
	form := url.Values{}
	for _, m := range field.FindAllStringSubmatch(body, -1) {
		if strings.HasPrefix(m[1], "unit:") {
			form.Set(m[1], unescape(m[2]))
		}
	}
	if len(form) < 5 {
		t.Fatalf("the form says the units of %d fields", len(form))
	}
	for k, v := range map[string]string{
		"kind": "hollow_core", "date": "2026-11-20", "status": "done", "tine_diameter_mm": "0.5", "spacing_along_mm": "2", "depth_mm": "abc", "unit": "mm", "amount": "0.02", "do": "save",
	} {
		form.Set(k, v)
	}
	again := s.as(us, http.MethodPost, "/course/varrowmere/log", form)
	if again.Code != http.StatusUnprocessableEntity {
		t.Fatalf("status %d", again.Code)
	}
	for _, kept := range []string{`name="tine_diameter_mm" value="0.5"`, `name="spacing_along_mm" value="2"`, `name="depth_mm" value="abc"`, `name="amount" value="0.02"`} {
		if !strings.Contains(again.Body.String(), kept) {
			t.Errorf("what was typed is not shown again: %s", kept)
		}
	}
	form.Set("depth_mm", "3")
	stored := s.as(us, http.MethodPost, "/course/varrowmere/log", form)
	if stored.Code != http.StatusSeeOther {
		t.Fatalf("status %d\n%s", stored.Code, plain(stored.Body.String()))
	}
	log := plain(s.page("/course/varrowmere/log"))
	for _, want := range []string{"12.7 mm at 50.8 × 50.8 mm", "76.2 mm deep"} {
		if !strings.Contains(log, want) {
			t.Errorf("the log does not say %q", want)
		}
	}
}

// An entry that is opened and saved in US units keeps its metric numbers to the last digit.
func TestSavedUnchangedInUS(t *testing.T) {
	s := newSite(t, Options{})
	us := say.Style{Units: say.US}
	before := plain(s.page("/course/varrowmere/log/vm-w0003"))
	body := s.as(us, http.MethodGet, "/course/varrowmere/log/vm-w0003", nil).Body.String()
	form := url.Values{"unit": {"mm"}, "do": {"save"}}
	for _, m := range field.FindAllStringSubmatch(body, -1) {
		if m[1] != "unit" && m[1] != "view" && m[1] != "back" {
			form.Set(m[1], unescape(m[2]))
		}
	}
	for _, m := range regexp.MustCompile(`(?s)<select[^>]* name="([^"]+)".*?</select>`).FindAllStringSubmatch(body, -1) {
		if on := regexp.MustCompile(`value="([^"]*)"[^>]* selected`).FindStringSubmatch(m[0]); on != nil {
			form.Set(m[1], on[1])
		}
	}
	if !strings.Contains(body, `name="amount" value="0.022"`) {
		t.Error("0.57 mm is not shown as 0.022 in")
	}
	s.as(us, http.MethodPost, "/course/varrowmere/log/vm-w0003", form)
	after := plain(s.page("/course/varrowmere/log/vm-w0003"))
	if !strings.Contains(before, "0.57 mm") || !strings.Contains(after, "0.57 mm on all greens") {
		t.Errorf("before %.200s\nafter %.200s", before, after)
	}
}

// Layers of a round are typed and shown in inches; what was shown is stored as it was.
func TestLayersTypedInUS(t *testing.T) {
	s := newSite(t, Options{})
	us := say.Style{Units: say.US}
	body := s.as(us, http.MethodGet, "/course/varrowmere/design", nil).Body.String()
	if !strings.Contains(body, `name="layers" value="0-0.8 0.8-1.6 1.6-2.4"`) || !strings.Contains(body, "such as 0-0.8 0.8-1.6 1.6-2.4") {
		t.Error("the layers are not shown in inches")
	}
	for typed, want := range map[string]string{"0-0.8 0.8-1.6": "0-20 20-40", "0-1 1-2": "0-25 25-51"} {
		form := design()
		form.Set("layers", typed)
		for _, m := range field.FindAllStringSubmatch(body, -1) {
			if m[1] == "unit:layers" {
				form.Set(m[1], unescape(m[2]))
			}
		}
		form.Set("round", "of "+typed)
		if w := s.as(us, http.MethodPost, "/course/varrowmere/design", form); w.Code != http.StatusSeeOther {
			t.Fatalf("%s: status %d\n%s", typed, w.Code, plain(w.Body.String()))
		}
		plans := s.roundRecords().RoundPlans
		if got := plans[len(plans)-1].Layers; got != want && plans[0].Layers != want {
			t.Errorf("%s in is stored as %s, want %s", typed, got, want)
		}
	}
}
