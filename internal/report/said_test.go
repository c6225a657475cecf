package report

import (
	"regexp"
	"strings"
	"testing"

	"underfoot/internal/say"
)

var (
	tags   = regexp.MustCompile(`(?s)<style.*?</style>|<[^>]+>`)
	metric = regexp.MustCompile(`.{0,50}(?:\d[ \x{a0}]?(?:mm|kg/m²|kg/m³|kg/ha|m²|t)(?:[^a-zA-Z/²³]|$)|(?:, |in )(?:mm|kg/m²|t|m²)(?: |$)).{0,30}`)
	kept   = regexp.MustCompile(`(?i)firmness|penetration|infiltration|mm/h|kg/m²/a|grain|siev|more mm`) // instruments, parameters, a step of a lever
)

// A report in US units names no metric one but where readings stay as they were taken, and holds its own note untouched.
func TestReportInUS(t *testing.T) {
	s := standing(t, "varrowmere")
	for _, kind := range []Kind{Client, Committee, Crew} {
		t.Run(string(kind), func(t *testing.T) {
			o := options()
			o.Kind, o.Note = kind, "We spread 5 mm on 8 October 2026."
			o.Style = say.Style{Units: say.US, Dates: say.MonthFirst}
			page := string(html(t, Build(s, o), Letter, Linked("report.css")))
			text := strings.Join(strings.Fields(tags.ReplaceAllString(page, " ")), " ")
			text, found := cutOut(text, "We spread 5 mm on 8 October 2026")
			if !found {
				t.Error("the note was changed")
			}
			for _, x := range metric.FindAllString(text, -1) {
				if !kept.MatchString(x) {
					t.Errorf("remains: %s", x)
				}
			}
			if !strings.Contains(text, "0–0.8 in") && kind != Crew {
				t.Error("no layer in inches")
			}
			if x := regexp.MustCompile(`\d{1,2} (?:October|March|May) \d{4}`).FindString(text); x != "" {
				t.Errorf("a date with the day first: %s", x)
			}
		})
	}
}

// cutOut takes words out of a text, once.
func cutOut(text, words string) (string, bool) {
	before, after, found := strings.Cut(text, words)
	return before + after, found
}

// The bench sheet stays as the bench reads it.
func TestBenchSheetStaysMetric(t *testing.T) {
	s := standing(t, "varrowmere")
	o := options()
	o.Kind = Bench
	plain := string(html(t, Build(s, o), A4, Linked("report.css")))
	o.Style = say.Style{Units: say.US}
	if got := string(html(t, Build(s, o), A4, Linked("report.css"))); got != plain {
		t.Error("units of the reader changed the bench sheet")
	}
}
