package app_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/season"
)

var seasonNow = time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)

// planned is the example course with a season plan that opens the greens once; worked out once for all tests.
var planned = sync.OnceValues(func() (*app.SeasonPlan, error) {
	list, err := app.ReadPackage(context.Background(), "../../examples/varrowmere", seasonNow, nil, nil)
	if err != nil {
		return nil, err
	}
	s, err := app.Stand(list[0], list[0].Course.Today(seasonNow), app.Wishes{})
	if err != nil {
		return nil, err
	}
	m, err := s.Model()
	if err != nil {
		return nil, err
	}
	return m.Season(context.Background(), app.SeasonAsk{
		From: underfoot.MakeDate(2027, 3, 1), Until: underfoot.MakeDate(2028, 10, 31),
		Closed: []season.Closed{{From: int(underfoot.MakeDate(2027, 5, 3)), Until: int(underfoot.MakeDate(2027, 5, 7))}},
	})
})

func aPlan(t *testing.T) (*app.SeasonPlan, season.Plan) {
	t.Helper()
	p, err := planned()
	if err != nil {
		t.Fatal(err)
	}
	if p.Answer.Best == nil {
		t.Fatal(p.Answer.Unmet)
	}
	// Every kind of operation, so that none is left untried.
	plan := season.Plan{}
	list := season.Usual()
	for i := range list {
		o := &list[i]
		plan.Entries = append(plan.Entries, season.Entry{Day: int(underfoot.MakeDate(2027, 4, 5)) + 28*i, Operation: o, SandMM: o.SandLow})
	}
	solid := season.Operation{ID: "solid", Name: "solid tines", Kind: season.SolidTine, Tines: list[2].Tines, Depth: 120, Fill: 0.3, SandHigh: 1, Spacing: 30}
	plan.Entries = append(plan.Entries, season.Entry{Day: int(underfoot.MakeDate(2028, 5, 1)), Operation: &solid, SandMM: 0.4})
	return p, plan
}

// The rows of work.csv say the same as the plan: put into the log as planned work, the forecast comes out the same.
func TestPlanAsRowsOfTheLog(t *testing.T) {
	p, plan := aPlan(t)
	list, err := app.ReadPackage(context.Background(), "../../examples/varrowmere", seasonNow, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	rs := list[0]
	rs.Work = slices.DeleteFunc(rs.Work, func(w underfoot.Work) bool {
		return w.Planned() && w.Date >= underfoot.MakeDate(2027, 3, 1)
	})
	rows := p.Work(plan)
	ids := map[string]bool{}
	for _, w := range rows {
		if ids[w.ID] || !w.Planned() || len(w.Check()) > 0 {
			t.Errorf("row %+v", w)
		}
		ids[w.ID] = true
	}
	rs.Work = append(rs.Work, rows...)
	s, err := app.Stand(rs, rs.Course.Today(seasonNow), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	m, err := s.Model()
	if err != nil {
		t.Fatal(err)
	}
	until := underfoot.MakeDate(2028, 10, 31)
	got, err := m.Forecast([]underfoot.Date{until})
	if err != nil {
		t.Fatal(err)
	}
	want, err := p.Outlook(plan, []int{int(until)})
	if err != nil {
		t.Fatal(err)
	}
	for l := range want.Layers {
		a, b := want.Estimate(-1, 0, l), got.Estimate(-1, 0, l)
		if math.Abs(a.Mean-b.Mean) > 1e-6 || math.Abs(a.Q95-b.Q95) > 1e-6 {
			t.Errorf("layer %v: %+v by the log, %+v by the plan", want.Layers[l], b, a)
		}
	}
}

// The file of rows has the columns of work.csv, and every row is one of the plan or of the planned nitrogen.
func TestWorkFile(t *testing.T) {
	p, plan := aPlan(t)
	var b bytes.Buffer
	if err := p.WriteWork(&b, plan); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, c := range underfoot.WorkLog.Columns {
		want = append(want, c.Name)
	}
	if d := cmp.Diff(want, rows[0]); d != "" {
		t.Errorf("columns (-want +got):\n%s", d)
	}
	if len(p.Gifts) == 0 || len(rows) != 1+len(plan.Entries)+len(p.Gifts) {
		t.Errorf("%d rows for %d entries and %d gifts", len(rows)-1, len(plan.Entries), len(p.Gifts))
	}
	text, err := json.Marshal(app.WorkRow(p.Work(plan)[0]))
	if err != nil {
		t.Fatal(err)
	}
	var members map[string]any
	if err := json.Unmarshal(text, &members); err != nil {
		t.Fatal(err)
	}
	if len(members) != len(want) || members["status"] != "planned" || members["green"] != "" || members["clippings_l_100m2"] != nil {
		t.Errorf("as JSON %s", text)
	}
}

// A calendar made later carries the same events under the same names; another reader finds every one.
func TestCalendarFile(t *testing.T) {
	p, plan := aPlan(t)
	write := func(now time.Time) string {
		var b bytes.Buffer
		if err := p.WriteCalendar(&b, plan, now); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	parse := func(text string) map[string]*ics.VEvent {
		c, err := ics.ParseCalendar(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		events := map[string]*ics.VEvent{}
		for _, e := range c.Events() {
			events[e.Id()] = e
		}
		return events
	}
	now, later := parse(write(seasonNow)), parse(write(seasonNow.AddDate(0, 1, 0)))
	if len(now) != len(plan.Entries)+len(p.Gifts) {
		t.Errorf("%d events for %d entries and %d gifts", len(now), len(plan.Entries), len(p.Gifts))
	}
	for id, e := range now {
		if later[id] == nil || later[id].GetProperty(ics.ComponentPropertySummary).Value != e.GetProperty(ics.ComponentPropertySummary).Value {
			t.Errorf("event %s is another one a month later", id)
		}
	}
	e := now["varrowmere-season-2027-04-05-light-dressing@underfoot"]
	if e == nil {
		t.Fatalf("events %v", now)
	}
	if got := e.GetProperty(ics.ComponentPropertySummary).Value; got != "Light topdressing 0.15 mm, 2.5 t" {
		t.Errorf("summary %q", got)
	}
	// 688 m² · 0.15 mm · 1.54 kg/L dry · 1.05 moist
	if got := e.GetProperty(ics.ComponentPropertyDescription).Value; !strings.Contains(got, "Green 1: 167 kg, 103 L\n") || !strings.Contains(got, "respirable crystalline silica") {
		t.Errorf("description %q", got)
	}
}

// The sand of the greens of a day, in the hopper, is what is bought for it less what is lost.
func TestCrewSheet(t *testing.T) {
	p, plan := aPlan(t)
	days := p.CrewSheet(plan)
	var bought float64
	for _, d := range days {
		for _, task := range d.Tasks {
			var kg float64
			for _, g := range task.Greens {
				kg += g.SpreadKg + g.FillKg
			}
			want := task.Tonnes * 1000 * (1 - p.Search.Prices.Losses)
			if math.Abs(kg-want) > 1e-6*want || len(task.Greens) != 18 {
				t.Errorf("%s on %s: %g kg on %d greens, want %g", task.What, d.Day, kg, len(task.Greens), want)
			}
			bought += task.Tonnes
		}
	}
	o, err := p.Order(plan, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	if len(days) != len(plan.Entries) || math.Abs(o.Tonnes-bought) > 1e-9*bought || o.Loads*20 != int(o.Ordered) {
		t.Errorf("%d days, %g t by day, order %+v", len(days), bought, o)
	}
	if got := days[2].Tasks[0].Setup; got != "hollow tines of 8 mm at 38 × 38 mm, 60 mm deep" {
		t.Errorf("set-up %q", got)
	}
}

func TestSandBesideWhatLiesBelow(t *testing.T) {
	p, _ := aPlan(t)
	want := []string{
		"Beside what it is put on, by sieving: with care.",
		"The sand is finer than the root zone: its grains are 27 % (23 to 30 %) smaller on the mean, and 23 points more of it pass 0.5 mm (± 3). With care: a layer of it would hold water above the root zone until it is full.",
		"The sand and the ash of 0–20 mm cannot be told apart by sieving.",
		"Limit not met: fine sand, 0.15–0.25 mm 27.3 %, allowed at most 20 %.",
		"Limit not met: very fine sand, 0.05–0.15 mm 6.5 %, allowed at most 5 %.",
	}
	if d := cmp.Diff(want, p.Grains()); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

// What is said for scripts hangs together: amounts by month and by part sum up, the forecast has every layer and green,
// half of the plan leaves more organic matter than all of it, and nothing done the most.
func TestSeasonFoundHangsTogether(t *testing.T) {
	p, _ := aPlan(t)
	f, err := p.Found(1.5, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	var months, events float64
	for _, m := range f.Months {
		months += m.Cost
		events += float64(m.Events)
	}
	parts := f.Costs.Sand + f.Costs.Contract + f.Costs.Fuel + f.Costs.Labour
	if math.Abs(months-f.Cost) > 1e-6 || math.Abs(parts-f.Cost) > 1e-6 || int(events)+len(p.Gifts) != len(f.Work) {
		t.Errorf("cost %g, by month %g, by part %g; %g events, %d rows", f.Cost, months, parts, events, len(f.Work))
	}
	if len(f.Forecast) != 3*19 {
		t.Errorf("%d rows of forecast, want 3 layers of 18 greens and their mean", len(f.Forecast))
	}
	top := func(rows []app.ForecastRow) float64 { return rows[0].Mean }
	if !(top(f.Forecast) < top(f.Half.Forecast) && top(f.Half.Forecast) < top(f.Nothing.Forecast)) {
		t.Errorf("0–20 mm: %g planned, %g half done, %g nothing done", top(f.Forecast), top(f.Half.Forecast), top(f.Nothing.Forecast))
	}
	if f.Hot == nil || top(f.Hot.Forecast) <= top(f.Forecast) { // the example grows faster when it is warm
		t.Errorf("hot summers %+v", f.Hot)
	}
	if !(f.Feasible && f.Probability >= 0.8 && f.Search.Bound <= f.Search.Weight && f.Search.Seconds == 1.5) {
		t.Errorf("feasible %v, probability %g, search %+v", f.Feasible, f.Probability, f.Search)
	}
}

// A search that is stopped gives the best so far, and its files can be written.
func TestStoppedSearch(t *testing.T) {
	m := exampleModel(t)
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	p, err := m.Season(ctx, app.SeasonAsk{
		From: underfoot.MakeDate(2027, 3, 1), Until: underfoot.MakeDate(2028, 10, 31), Direction: "lower",
		Progress: func(_, _ int, best *season.Found) {
			if best != nil {
				stop()
			}
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	if p.Answer.Best == nil || len(p.Answer.Others) > 0 {
		t.Fatalf("best %v, %d others", p.Answer.Best, len(p.Answer.Others))
	}
	var b bytes.Buffer
	if err := p.WriteWork(&b, p.Answer.Best.Plan); err != nil || b.Len() == 0 {
		t.Errorf("%d bytes, %v", b.Len(), err)
	}
}

// What a search says of its finalists is what a forecast of them on every member and green says.
func TestSeasonFinalistsAreVerified(t *testing.T) {
	p, _ := aPlan(t)
	aim := p.Search.Aim
	all := slices.Concat(aim.Wanted, aim.OnTheWay)
	var days []int
	for _, w := range all {
		days = append(days, w.Day)
	}
	slices.Sort(days)
	days = slices.Compact(days)
	for _, f := range append([]season.Found{*p.Answer.Best, p.Answer.Nothing}, p.Answer.Others...) {
		forecast, err := p.Outlook(f.Plan, days)
		if err != nil {
			t.Fatal(err)
		}
		in := 0
		for m := range forecast.Members() {
			ok := true
			for _, w := range all {
				v := forecast.Draws(-1, slices.Index(forecast.Days, w.Day), slices.Index(forecast.Layers, w.Layer))[m]
				ok = ok && v >= w.Low && v <= w.High
			}
			if ok {
				in++
			}
		}
		share := float64(in) / float64(forecast.Members())
		if share != f.Probability || f.Name != p.Answer.Nothing.Name && share < aim.Probability {
			t.Errorf("%s: found at %.4f, forecast at %.4f, wanted %.2f", f.Name, f.Probability, share, aim.Probability)
		}
		r, err := p.Rehearse(f.Plan)
		if err != nil || r.Probability != share {
			t.Errorf("%s: rehearsed at %.4f, forecast at %.4f, %v", f.Name, r.Probability, share, err)
		}
	}
}

// Sentences are whole: they end in a full stop, hold no number that is none and no hyphen for a minus.
func TestSeasonSentences(t *testing.T) {
	p, _ := aPlan(t)
	w, err := p.WhatIf(p.Answer.Best.Plan)
	if err != nil {
		t.Fatal(err)
	}
	says := p.Sentences(w)
	if len(says) < 5 || !strings.Contains(says[1], "of sand (") || !strings.HasPrefix(says[len(says)-1], "The price of doing nothing: 0–20 mm at ") {
		t.Errorf("sentences %q", says)
	}
	for _, s := range says {
		if !strings.HasSuffix(s, ".") || strings.Contains(s, "NaN") || strings.Contains(s, " -") || strings.Contains(s, "  ") || strings.Contains(s, "..") {
			t.Errorf("sentence %q", s)
		}
	}
}

// Bands on two days: both count, both are said, and days outside the plan or twice the same are refused.
func TestSeasonBandsOnTwoDays(t *testing.T) {
	m := exampleModel(t)
	from, until, between := underfoot.MakeDate(2027, 3, 1), underfoot.MakeDate(2028, 10, 31), underfoot.MakeDate(2027, 10, 31)
	end := app.SeasonBand{BottomMM: 20, Low: 4, High: 7.5}
	early := app.SeasonBand{BottomMM: 20, Low: 5, High: 7.2, On: between}
	ask := app.SeasonAsk{From: from, Until: until, Bands: []app.SeasonBand{end}}
	one, err := m.Season(t.Context(), ask)
	if err != nil {
		t.Fatal(err)
	}
	ask.Bands = append(ask.Bands, early)
	two, err := m.Season(t.Context(), ask)
	if err != nil {
		t.Fatal(err)
	}
	if one.Answer.Best == nil || two.Answer.Best == nil {
		t.Fatalf("no plan: %q, %q", one.Answer.Unmet, two.Answer.Unmet)
	}
	if two.Answer.Best.Weight < one.Answer.Best.Weight {
		t.Errorf("two bands weigh %.0f, less than one of them, %.0f", two.Answer.Best.Weight, one.Answer.Best.Weight)
	}
	f, err := two.Found(0, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Bands) != 2 || f.Bands[1].On != "2027-10-31" || f.Bands[1].Probability == nil || *f.Bands[1].Probability < 0.8 {
		t.Errorf("bands %+v", f.Bands)
	}
	if said := strings.Join(f.Says, " "); !strings.Contains(said, "On 31 October 2027 0–20 mm at ") {
		t.Errorf("nothing is said of the earlier day: %s", said)
	}
	days := map[string]bool{}
	for _, r := range f.Forecast {
		days[r.Date] = true
	}
	if len(days) != 2 || !days[until.String()] || !days[between.String()] {
		t.Errorf("forecast of %v", days)
	}
	for _, c := range []struct {
		bands []app.SeasonBand
		want  string
	}{
		{[]app.SeasonBand{{BottomMM: 20, Low: 4, High: 7, On: from}}, "season: 0–20 mm is wanted on 2027-03-01: give a day after 2027-03-01, when the plan begins, up to 2028-10-31, when it ends"},
		{[]app.SeasonBand{end, {BottomMM: 20, Low: 5, High: 6, On: until}}, "season: 0–20 mm has two bands on 2028-10-31: give one"},
	} {
		ask.Bands = c.bands
		if _, err := m.Season(t.Context(), ask); err == nil || err.Error() != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
}
