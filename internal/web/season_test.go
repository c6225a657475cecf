package web

import (
	"encoding/csv"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"underfoot"
)

// asking is the question of the tests: the example's direction, to the end of the second season.
func asking(over ...string) url.Values {
	q := url.Values{"from": {"2026-11-26"}, "until": {"2028-10-15"}, "toward": {"lower"}, "chance": {"8"}}
	for i := 0; i < len(over); i += 2 {
		q.Set(over[i], over[i+1])
	}
	return q
}

// typed adds work to a question: day, operation and amount by threes.
func typed(q url.Values, work ...string) url.Values {
	q.Set("edited", "1")
	q["date"], q["op"], q["mm"] = nil, nil, nil
	for i := 0; i < len(work); i += 3 {
		q.Add("date", work[i])
		q.Add("op", work[i+1])
		q.Add("mm", work[i+2])
	}
	return q
}

const planAt = "/course/varrowmere/plan"

func TestSeasonPlan(t *testing.T) {
	s := newSite(t, Options{})
	mustSay(t, s.page(planAt), "What to plan for", "The record runs to 13 Oct 2026.", "The findings say lower.", "Look for the plan", "The answer", "Planned work")

	html := s.page(planAt + "?" + asking().Encode())
	mustSay(t, html, "that all of what is wanted comes about", "Other plans", "Nothing is done", "What sand buys", "Only half of it is done", "Every summer is like the hottest on record here",
		"Sand to order", "What each month takes", "In the band", "What this rests on", "a disturbed day reckoned at", "Dry sand gives off respirable crystalline silica")
	if again := s.page(planAt + "?" + asking().Encode()); plain(again) != plain(html) {
		t.Error("the same question has another answer the second time")
	}
	if !regexp.MustCompile(`<input type="date" name="date" value="202[78]-`).MatchString(html) {
		t.Error("the work of the plan cannot be changed: no field holds its days")
	}
}

func TestSeasonPlanByBands(t *testing.T) {
	s := newSite(t, Options{})
	html := s.page(planAt + "?" + asking("toward", "bands", "low_0_20", "1", "high_0_20", "1.2", "max_sand", "3").Encode())
	mustSay(t, html, "No plan does what is wanted.", "0–20 mm cannot be brought between 1.0 and 1.2 %", "The nearest", "wanted 1.0 to 1.2 %")
}

func TestSeasonPlanAsksForTheDirection(t *testing.T) {
	s := newSite(t, Options{})
	for _, path := range []string{"/course/ostrelby/plan", "/course/ostrelby/plan?" + asking().Encode()} {
		html := s.page(path)
		mustSay(t, html, "There is no direction to plan for", "State the direction")
		if strings.Contains(html, "Look for the plan") {
			t.Errorf("%s asks for a plan without a direction", path)
		}
	}
}

func TestSeasonPlanRefusals(t *testing.T) {
	s := newSite(t, Options{})
	tests := []struct{ name, field, text, want string }{
		{"past", "from", "2026-01-01", "The record runs to 13 October 2026: begin after that day."},
		{"no day", "from", "soon", `"soon" is not a date of the form 2026-10-08 (year-month-day)`},
		{"ends first", "until", "2026-11-26", "It lies before the first day: give a later one."},
		{"long", "until", "2036-11-26", "Four years can be planned at most."},
		{"nowhere", "toward", "up", "Choose lower, hold, raise or bands of your own."},
		{"no bands", "toward", "bands", "No band is given: say where at least one layer is wanted."},
		{"certain", "chance", "10", "0.5 to 9.9 in 10 can be given; leave it empty for no word on it."},
		{"no budget", "money", "0", "1 to 1000000000 can be given; leave it empty for no word on it."},
		{"words", "max_sand", "much", `"much" is not a number.`},
		{"nitrogen", "n_low", "2000", "1 to 1000 kg/ha can be given; leave it empty for no word on it."},
		{"closed", "closed", "2027-07-14 to 2027-07-01", `Line 1, "2027-07-14 to 2027-07-01": it ends before it begins.`},
		{"closed words", "closed", "July", `Line 1, "July": give a day or two, such as 2027-07-01 to 2027-07-14.`},
		{"tournament", "tournaments", "2027-06-12, many", `Line 1, "2027-06-12, many": the days before it are "many": give a whole number from 0 to 90.`},
		{"sand", "sand", "moon dust", `Sand "moon dust" is not among the course's sands.`},
		{"all closed", "closed", "2026-11-26 to 2028-10-15", "There is no day from the first to the last planned for on which anything can be done: it is closed, or nothing grows."},
	}
	for _, x := range tests {
		t.Run(x.name, func(t *testing.T) {
			w := s.get(planAt + "?" + asking(x.field, x.text).Encode())
			if w.Code != http.StatusUnprocessableEntity {
				t.Errorf("status %d, want 422", w.Code)
			}
			mustSay(t, w.Body.String(), x.want, "No plan yet")
		})
	}
	w := s.get(planAt + "?" + asking("toward", "bands", "low_0_20", "6", "high_0_20", "4").Encode())
	mustSay(t, w.Body.String(), "It is not above the least, 6 %.")
}

func TestRehearsal(t *testing.T) {
	s := newSite(t, Options{})
	at := func(work ...string) string { return s.page(planAt + "/rehearse?" + typed(asking(), work...).Encode()) }
	html := at("2027-06-07", "core-8", "1", "2027-07-05", "light-dressing", "0.4")
	mustSay(t, html, "Beside the plan as it was found:", "In the band")
	if strings.Contains(html, "<html") {
		t.Error("the part is a whole page")
	}
	for _, x := range []struct{ day, op, mm, field, want string }{
		{"2029-01-01", "dressing", "1", "date-0", "The plan runs from 26 Nov 2026 to 15 Oct 2028."},
		{"", "dressing", "1", "date-0", "A day is needed."},
		{"2027-06-07", "", "1", "op-0", "Choose what is done."},
		{"2027-06-07", "dressing", "x", "mm-0", `"x" is not a number.`},
		{"2027-06-07", "dressing", "21", "mm-0", "0 to 20 mm can be given."},
		{"2027-06-07", "dressing", "", "mm-0", "How much sand?"},
		{"2027-01-11", "core-8", "1", "row-0", "Little grows then"},
		{"2027-06-07", "light-dressing", "2", "row-0", "0.15 to 0.5 mm is usual for it."},
	} {
		html := at(x.day, x.op, x.mm)
		if i := strings.Index(html, `data-for="`+x.field+`"`); i < 0 {
			t.Errorf("%+v: nothing is said of %s", x, x.field)
		}
		mustSay(t, html, x.want)
	}
	later := typed(asking("move", "0 7"), "2027-06-07", "dressing", "1")
	if html := s.page(planAt + "?" + later.Encode()); !strings.Contains(html, `name="date" value="2027-06-14"`) {
		t.Error("a week later is not a week later")
	}
	closed := typed(asking("closed", "2027-06-01 to 2027-06-30"), "2027-06-07", "dressing", "1")
	mustSay(t, s.page(planAt+"/rehearse?"+closed.Encode()), "The course is closed for work that day.")
	if w := s.get(planAt + "/rehearse"); w.Code != http.StatusUnprocessableEntity && w.Code != http.StatusBadRequest {
		t.Errorf("rehearsing nothing: status %d", w.Code)
	}
}

// A plan is kept, set beside the one that was found, opened, removed and brought back.
func TestKeptPlans(t *testing.T) {
	s := newSite(t, Options{})
	form := typed(asking("scenario", "One coring"), "2027-06-07", "core-8", "1", "2028-06-05", "dressing", "0.8")
	html := s.follow(planAt+"/keep", form)
	mustSay(t, html, "Kept the plan “One coring”.", "Kept plans", "as found", "One coring", "Undo")
	rs, err := s.app.Store.Records(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	if len(rs.Scenarios) != 2 || rs.Scenarios[0].TineDiameterMM != underfoot.Some(8.0) || rs.Scenarios[1].SandMM != underfoot.Some(0.8) {
		t.Errorf("kept %+v", rs.Scenarios)
	}
	html = s.follow(planAt+"/drop", url.Values{"drop": {"One coring"}, "back": {planAt + "?" + asking().Encode()}})
	mustSay(t, html, "Removed the plan “One coring”.")
	html = s.follow("/course/varrowmere/undo", url.Values{"change": {undo.FindStringSubmatch(html)[1]}, "back": {planAt + "?" + asking().Encode()}})
	mustSay(t, html, "One coring")

	for name, want := range map[string]string{
		"": "Empty: give the plan a name to tell it by.", "Accepted": `"Accepted" is the name of the plan that was accepted into the log: give another.`,
		strings.Repeat("x", 61): "Longer than 60 letters: give a shorter name.",
	} {
		form.Set("scenario", name)
		w := s.post(planAt+"/keep", form)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("name %q: status %d, want 422", name, w.Code)
		}
		mustSay(t, w.Body.String(), want)
	}
}

// A plan becomes planned entries in one change, in place of what was planned only after asking; undo takes all of it back.
func TestAcceptAndTickOff(t *testing.T) {
	s := newSite(t, Options{})
	before := s.work("varrowmere")
	form := typed(asking(), "2027-06-07", "core-8", "1", "2028-06-05", "dressing", "0.8")
	w := s.post(planAt+"/accept", form)
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	mustSay(t, w.Body.String(), "Work is planned in that time already: six entries.", "Replace them", "Keep them beside the plan")
	if n := len(s.work("varrowmere")); n != len(before) {
		t.Errorf("%d entries while being asked, want %d", n, len(before))
	}
	form.Set("replace", "yes")
	html := s.follow(planAt+"/accept", form)
	mustSay(t, html, "Accepted a season plan: 2 pieces of work from 7 June 2027 to 5 June 2028.", "The accepted plan begins on 7 June 2027", "accepted into the log")
	if n := len(s.work("varrowmere")); n != len(before)-6+2 {
		t.Errorf("%d entries, want %d", n, len(before)-6+2)
	}
	id := "varrowmere-season-2027-06-07-core-8"
	html = s.page("/course/varrowmere/log/" + id + "?tick=1")
	mustSay(t, html, "Hollow-tine coring")
	if !strings.Contains(html, `value="2026-11-25"`) || !strings.Contains(html, `<option value="done" selected>`) {
		t.Error("ticking off does not begin with today and done")
	}
	s.follow("/course/varrowmere/undo", url.Values{"change": {lastChange(t, s)}, "back": {planAt}})
	if n := len(s.work("varrowmere")); n != len(before) {
		t.Errorf("%d entries after undoing, want %d", n, len(before))
	}
	if strings.Contains(s.page(planAt), "The accepted plan begins") {
		t.Error("the accepted plan is still spoken of after undoing")
	}
}

func lastChange(t *testing.T, s *site) string {
	t.Helper()
	list, err := s.app.Store.Changes(t.Context(), "varrowmere", 1)
	if err != nil || len(list) != 1 {
		t.Fatalf("changes: %v, %v", list, err)
	}
	return underfoot.FormatNumber(float64(list[0].ID))
}

func TestSeasonFiles(t *testing.T) {
	s := newSite(t, Options{})
	q := "?" + typed(asking(), "2027-06-07", "core-8", "1", "2028-06-05", "dressing", "0.8").Encode()
	for name, kind := range map[string]string{"calendar.ics": "text/calendar; charset=utf-8", "work.csv": "text/csv; charset=utf-8", "order.csv": "text/csv; charset=utf-8"} {
		w := s.get(planAt + "/file/" + name + q)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != kind || !strings.Contains(w.Header().Get("Content-Disposition"), "varrowmere-"+name) {
			t.Errorf("%s: status %d, %v", name, w.Code, w.Header())
		}
		if name == "calendar.ics" {
			if text := w.Body.String(); strings.Count(text, "BEGIN:VEVENT") < 2 || !strings.Contains(text, "DTSTART;VALUE=DATE:20270607") {
				t.Errorf("calendar: %s", text)
			}
			continue
		}
		rows, err := csv.NewReader(w.Body).ReadAll()
		if err != nil || len(rows) < 3 {
			t.Errorf("%s: %d rows, %v", name, len(rows), err)
		}
	}
	if w := s.get(planAt + "/file/secrets.csv" + q); w.Code != http.StatusNotFound {
		t.Errorf("a file that is not there: status %d", w.Code)
	}
	html := s.page(planAt + "/crew" + q)
	mustSay(t, html, "7 June 2027: Hollow tines 8 mm at 38 mm", "Green 18", "Spread 1.00 mm, kg", "Into the holes", "maker’s manual", "Lift with two people", "Done on")
	if n := strings.Count(html, `class="tick-box"`); n != 2*18 {
		t.Errorf("%d boxes to tick, want %d", n, 2*18)
	}
}

// The terms of the sand order are fields: the order on the page, of a rehearsal and in the file follow them.
func TestSeasonOrderTerms(t *testing.T) {
	s := newSite(t, Options{})
	work := []string{"2027-05-03", "light-dressing", "0.4", "2027-07-05", "dressing", "0.9", "2028-06-05", "core-8", "1"}
	deliveries := func(over ...string) []string {
		t.Helper()
		rows, err := csv.NewReader(s.get(planAt + "/file/order.csv?" + typed(asking(over...), work...).Encode()).Body).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		var days []string
		for _, row := range rows[1:] {
			days = append(days, row[0]+" for "+row[7])
		}
		return days
	}
	for _, x := range []struct {
		name string
		over []string
		want []string
	}{
		{"usual", nil, []string{"2027-04-26 for 2027-05-03", "2027-06-28 for 2027-07-05", "2028-05-29 for 2028-06-05"}},
		{"ahead", []string{"lead", "21"}, []string{"2027-04-12 for 2027-05-03", "2027-06-14 for 2027-07-05", "2028-05-15 for 2028-06-05"}},
		{"room for more", []string{"storage", "400"}, []string{"2027-04-26 for 2027-05-03", "2028-05-29 for 2028-06-05"}},
		{"on days", []string{"deliver", "2027-04-20\n2028-05-02"}, []string{"2027-04-20 for 2027-05-03", "2028-05-02 for 2028-06-05"}},
	} {
		if got := deliveries(x.over...); !slices.Equal(got, x.want) {
			t.Errorf("%s: delivered %q, want %q", x.name, got, x.want)
		}
	}
	html := s.page(planAt + "?" + typed(asking("lead", "21", "storage", "400"), work...).Encode())
	mustSay(t, html, "Room to store sand", "Days of delivery", "12 Apr 2027")
	if !strings.Contains(html, `form="season-bench" class="n" id="f-lead" name="lead" value="21"`) {
		t.Error("the field of days ahead does not hold what was typed, or is not part of the form of the work")
	}
	for _, x := range []struct{ name, text, want string }{
		{"storage", "much", `"much" is not a number.`},
		{"storage", "0", "0.1 to 10000 t can be given; leave it empty for the usual."},
		{"lead", "2.5", "Give whole days."},
		{"lead", "100", "1 to 90 days can be given; leave it empty for the usual."},
		{"deliver", "in May", `Line 1, "in May": give a day, such as 2027-04-12.`},
	} {
		q := typed(asking(x.name, x.text), work...).Encode()
		mustSay(t, s.page(planAt+"?"+q), x.want, "Not ordered yet")
		if html := s.page(planAt + "/rehearse?" + q); !strings.Contains(html, `data-for="`+x.name+`"`) || !strings.Contains(html, "In the band") {
			t.Errorf("%s %q: the rehearsal does not say what is wrong, or says nothing else", x.name, x.text)
		}
		if w := s.get(planAt + "/file/order.csv?" + q); w.Code != http.StatusUnprocessableEntity && w.Code != http.StatusBadRequest {
			t.Errorf("%s %q: a file with status %d", x.name, x.text, w.Code)
		}
	}
}

// Nitrogen moved by hand is rehearsed, kept, set side by side and opened again.
func TestSeasonNitrogen(t *testing.T) {
	s := newSite(t, Options{})
	work := []string{"2027-06-07", "core-8", "1", "2028-06-05", "dressing", "0.8"}
	plainly := s.page(planAt + "/rehearse?" + typed(asking(), work...).Encode())
	moved := s.page(planAt + "/rehearse?" + typed(asking("nitrogen", "60"), work...).Encode())
	if plain(plainly) == plain(moved) {
		t.Error("moving nitrogen makes no difference")
	}
	html := s.follow(planAt+"/keep", typed(asking("nitrogen", "60", "scenario", "Hungry"), work...))
	mustSay(t, html, "Kept the plan “Hungry”.", "nitrogen moved to 60 kg/ha a season")
	if !strings.Contains(html, `class="strip"`) {
		t.Error("the kept plan has no picture")
	}
	open := regexp.MustCompile(`href="([^"]*)">Hungry</a>`).FindStringSubmatch(html)
	if open == nil {
		t.Fatal("the kept plan cannot be opened")
	}
	html = s.page(strings.TrimSuffix(strings.ReplaceAll(open[1], "&amp;", "&"), "#work"))
	if !strings.Contains(html, `id="f-nitrogen" name="nitrogen" value="60"`) {
		t.Error("opened, the kept plan does not hold its nitrogen")
	}
	for text, want := range map[string]string{"x": `"x" is not a number.`, "2000": "1 to 1000 kg/ha a season can be given; leave it empty for nitrogen as it is planned."} {
		mustSay(t, s.page(planAt+"/rehearse?"+typed(asking("nitrogen", text), work...).Encode()), want, "Not rehearsed yet")
	}
}

// Of an accepted plan that is under way the rest is rehearsed beside a plan made anew.
func TestPlanTheRest(t *testing.T) {
	s := newSite(t, Options{})
	s.follow(planAt+"/accept", typed(asking("replace", "yes"), "2027-06-07", "core-8", "1", "2028-06-05", "dressing", "0.8"))
	html := s.page(planAt)
	rest := regexp.MustCompile(`href="([^"]*)">Plan the rest from here</a>`).FindStringSubmatch(html)
	if rest == nil {
		t.Fatal("the rest cannot be planned")
	}
	html = s.page(strings.TrimSuffix(strings.ReplaceAll(rest[1], "&amp;", "&"), "#gone"))
	mustSay(t, html, "The rest of the accepted plan as it stands (two pieces of work", "Planned anew from here (", "accepted into the log")
	html = s.page(planAt + "?" + asking("from", "2027-07-01").Encode())
	mustSay(t, html, "The rest of the accepted plan as it stands (one piece of work", "the rest of the accepted plan", "without one piece of work before 1 Jul 2027")
}

// BenchmarkRehearsal measures what a change of one entry waits for on the server: a plan of 24 pieces of work, rehearsed.
func BenchmarkRehearsal(b *testing.B) {
	s := newSite(b, Options{})
	var work []string
	for i := range 24 {
		work = append(work, underfoot.MakeDate(2027, time.April, 5).Add(i*21).String(), "light-dressing", "0.4")
	}
	at := planAt + "/rehearse?" + typed(asking(), work...).Encode()
	s.page(at)
	for b.Loop() {
		s.page(at)
	}
}
