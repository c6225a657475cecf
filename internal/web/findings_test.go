package web

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"underfoot/findings"
)

// Every picture of the findings stands under a sentence on what it means, and has its numbers as a table.
func TestFindingsSayWhatEachPictureMeans(t *testing.T) {
	s := newSite(t, Options{})
	body := s.page("/course/varrowmere/findings")
	st, err := s.app.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	for i := range st.Layers {
		l := &st.Layers[i]
		says(t, body, l.Trend.Sentence(), l.Trend.Visible(), l.Trend.Equivalence(), l.Trend.Behind(), l.Trend.Model, l.Trend.Choice, l.Trend.Method)
	}
	m, err := st.Material("")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range m.Bands {
		says(t, body, b.Says)
	}
	says(t, body, findings.PeerCaution, "Between greens, standard deviation 0.71 points (0.34 to 1.66, 19 in 20).", st.Layers[0].Even.Growth.Sentence())
	if len(st.Responses()) == 0 || !st.Responses()[0].Known {
		t.Fatal("the example tells nothing of firmness, water and organic matter")
	}
	for _, r := range st.Responses() {
		says(t, body, r.Sentence(), r.Explains(), r.Split(), r.Doubt(), r.Levels(), r.How)
	}
	picture := regexp.MustCompile(`<svg class="chart`)
	for _, at := range picture.FindAllStringIndex(body, -1) {
		last := body[max(strings.LastIndex(body[:at[0]], "<h3"), 0):at[0]]
		if !strings.Contains(last, `class="says"`) && !strings.Contains(last, `class="fine"`) {
			t.Errorf("a picture stands under no sentence: …%s", plain(last))
		}
	}
	if pictures, tables := len(picture.FindAllString(body, -1))-strings.Count(body, "at-phone"), strings.Count(body, "As a table"); tables < pictures {
		t.Errorf("%d pictures, %d tables behind them", pictures, tables)
	}
}

// says is mustSay where numbers may be kept from breaking away from their units: white space does not count.
func says(t *testing.T, html string, words ...string) {
	t.Helper()
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	text := squeeze(plain(html))
	for _, w := range words {
		if !strings.Contains(text, squeeze(w)) {
			t.Errorf("the page does not say %q:\n%s", w, plain(html))
		}
	}
}

// peersCSV is a table of peers for the first course of the examples.
const peersCSV = "source,species,top_mm,bottom_mm,year,courses,mean_se_percent,q25_percent,q50_percent,q75_percent\n" +
	"North,fescue and browntop bent,0,20,2026,24,0.35,4.4,5.2,6.1\n"

func (s *site) sendTable(name, body string) *httptest.ResponseRecorder {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	if name != "" {
		w, _ := m.CreateFormFile("files", name)
		w.Write([]byte(body))
	}
	m.Close()
	r := httptest.NewRequest(http.MethodPost, "/course/varrowmere/findings", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func TestTableOfPeers(t *testing.T) {
	s := newSite(t, Options{})
	const nothing = "Nothing is shown: no other course has this species and layer on record, and it takes 5."
	mustSay(t, s.page("/course/varrowmere/findings"), nothing, "Nothing is written: no species, layer and year has 5 courses in this store.")
	tests := []struct {
		name, file, body string
		status           int
		says             []string
	}{
		{"good", "north.csv", peersCSV, 200, []string{"this course lies above about", "of 24 other courses", "24 other courses, all behind tables", "Shown with north.csv, 1 row.", "40–60 mm, fescue and browntop bent: " + nothing}},
		{"of another layer", "north.csv", strings.Replace(peersCSV, ",0,20,", ",0,25,", 1), 200, []string{nothing, "None of its rows is of a species and layer of this course, and recent enough."}},
		{"faults", "north.csv", strings.Replace(peersCSV, "5.2", "x", 1), 422, []string{`north.csv:2: q50_percent: "x": allowed is a number from 0 to 100.`}},
		{"no table", "picture.csv", "\x00\x01", 422, []string{"is not known: allowed are source, species"}},
		{"none chosen", "", "", 422, []string{"No file was chosen: choose a table of peers, a .csv with the columns source, species"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.sendTable(tt.file, tt.body)
			if w.Code != tt.status {
				t.Errorf("status %d, want %d", w.Code, tt.status)
			}
			mustSay(t, w.Body.String(), tt.says...)
			if tt.status == 422 && !strings.Contains(w.Body.String(), `aria-describedby="e-table h-table"`) {
				t.Error("the field does not point to its error")
			}
		})
	}
	mustSay(t, s.page("/course/varrowmere/findings"), nothing) // not kept
	if w := s.get("/course/varrowmere/peers.csv"); w.Code == http.StatusOK {
		t.Errorf("a summary of fewer courses than five was given:\n%s", w.Body)
	}
}

func TestSamplingForm(t *testing.T) {
	s := newSite(t, Options{})
	tests := []struct {
		query  string
		status int
		says   []string
	}{
		{"", 200, []string{"With 6 greens of 5 cores, once a year for 5 years", "8 times in 10", "Rests on four kinds of scatter seen on this course and default ones for the rest."}},
		{"layer=20-40&greens=9&cores=7&per_year=2&years=4&slope=0.4", 200, []string{"In 20–40 mm,", "With 9 greens of 7 cores, twice a year for 4 years", "Seeing a change of 0.4 percentage points a year"}},
		{"half=0.3&cost_visit=0", 200, []string{"Knowing the mean of the course to ± 0.3 percentage points"}},
		{"greens=99", 422, []string{"Not worked out: one field needs another look", "Greens a round: 99: allowed is a whole number from 2 to 18"}},
		{"greens=4.5&years=x", 422, []string{"two fields need another look", "Greens a round: 4.5: allowed is a whole number from 2 to 18", `Years: "x" is not a number: allowed is 1 to 20`}},
		{"years=2", 422, []string{"2 rounds in all: allowed are 3 or more, for two cannot tell a trend from chance"}},
		{"layer=7-9", 422, []string{"Layer: choose one that was sampled"}},
		{"slope=1e300&cost_core=-1", 422, []string{"Cost of a core: -1: allowed is a number from 0 to 1000000"}},
	}
	for _, tt := range tests {
		t.Run(tt.query, func(t *testing.T) {
			w := s.get("/course/varrowmere/findings?" + tt.query)
			if w.Code != tt.status {
				t.Errorf("status %d, want %d", w.Code, tt.status)
			}
			says(t, w.Body.String(), tt.says...)
			if tt.status == 422 && strings.Contains(w.Body.String(), "The cheapest way") {
				t.Error("an answer stands beside a form that was not understood")
			}
		})
	}
}

// A course with one round gets a sentence wherever there is nothing to show yet.
func TestFindingsOfOneRound(t *testing.T) {
	s := newSite(t, Options{})
	mustSay(t, s.page("/course/ostrelby/findings"), "No trend yet.", "Only fixed depth can be shown.", "To tell whether the spread grows takes three greens in three rounds.",
		"one round so far can show a level and no change yet.", "would give a first slope; a third round is needed to tell a trend from chance.")
}

func TestChangeNote(t *testing.T) {
	tests := []struct {
		of   findings.MaterialChange
		want string
	}{
		{findings.MaterialChange{PerYear: 0.54, Lower90: 0.42, Upper90: 0.66, PRising: 0.99}, "The material: +0.54 points a year (0.42 to 0.66), 19 in 20 or better that it rises."},
		{findings.MaterialChange{PerYear: -0.01, Lower90: -0.26, Upper90: 0.25, PRising: 0.47, Assumed: true}, "The material: −0.01 points a year (−0.26 to +0.25), 5 in 10 that it falls, with the scatter of rounds assumed."},
	}
	for _, tt := range tests {
		if got := changeNote("The material", "points a year", tt.of, 2); got != tt.want {
			t.Errorf("got  %s\nwant %s", got, tt.want)
		}
	}
}

// The form and the table of peers work in a browser, with and without JavaScript, on a phone as on a desk.
func TestFindingsInTheBrowser(t *testing.T) {
	for _, width := range []int64{1360, 390} {
		for _, script := range []bool{true, false} {
			t.Run(fmt.Sprintf("%d px, JavaScript %v", width, script), func(t *testing.T) { findingsInTheBrowser(t, width, script) })
		}
	}
}
