package web

import (
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"

	"underfoot/internal/say"
)

// walked are the pages a person in US units meets.
var walked = []string{
	"/", "/course/varrowmere", "/course/varrowmere/findings", "/course/varrowmere/profile", "/course/varrowmere/plan", "/course/varrowmere/log",
	"/course/varrowmere/log?kind=hollow_core", "/course/varrowmere/log?kind=nitrogen", "/course/varrowmere/log/vm-w0003", "/course/varrowmere/round",
	"/course/varrowmere/design", "/course/varrowmere/history", "/course/varrowmere/operations", "/course/varrowmere/operation", "/course/varrowmere/bench",
	"/course/varrowmere/sands", "/bench", "/sands", "/course/ostrelby", "/settings",
}

var leftMetric = regexp.MustCompile(`.{0,60}\d ?(?:mm|kg/m²|kg/m³|t/ha|kg/ha|g/m²|m²|m³|°C|t|kg)\b.{0,40}`)

func TestUSLeftovers(t *testing.T) {
	if os.Getenv("LOOK") == "" {
		t.Skip()
	}
	s := newSite(t, Options{})
	for _, path := range walked {
		w := s.as(say.Style{Units: say.US, Dates: say.MonthFirst}, http.MethodGet, path, nil)
		text := plain(w.Body.String())
		m := leftMetric.FindAllString(text, -1)
		t.Logf("== %s %d %d", path, w.Code, len(m))
		for _, x := range m {
			t.Log(strings.TrimSpace(x))
		}
	}
}
