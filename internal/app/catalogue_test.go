package app_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/catalogue"
	"underfoot/season"
)

// A plan of the course follows its own catalogue: what is dear or switched off is not done, limits hold, closed weeks stay empty,
// and undoing the changes brings the plan back.
func TestPlanFollowsTheCourse(t *testing.T) {
	a, _ := club(t, noon)
	ask := app.SeasonAsk{From: underfoot.MakeDate(2027, time.March, 1), Until: underfoot.MakeDate(2027, time.October, 31), Bands: []app.SeasonBand{{TopMM: 0, BottomMM: 20, Low: 4, High: 9}}, Probability: 0.7}
	standing := func() *app.Standing {
		s, err := a.Standing(t.Context(), "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	plan := func() *app.SeasonPlan {
		t.Helper()
		m, err := standing().Model()
		if err != nil {
			t.Fatal(err)
		}
		p, err := m.Season(t.Context(), ask)
		if err != nil {
			t.Fatal(err)
		}
		if p.Answer.Best == nil {
			t.Fatal("no plan")
		}
		return p
	}
	before := plan()
	entries := before.Answer.Best.Plan.Entries
	if len(entries) < 2 {
		t.Fatalf("the plan has %d entries", len(entries))
	}
	o := *entries[0].Operation
	save := func(o season.Operation, texts map[string]string) underfoot.Change {
		t.Helper()
		e := catalogue.Typed(o.ID, o.Kind, texts)
		change, err := a.SaveOperation(t.Context(), "ann", standing(), e, false)
		if err != nil {
			t.Fatal(err)
		}
		return change
	}

	// a cost: the same work costs more, and another operation may be cheaper now
	first := save(o, map[string]string{"contract": "2500"})
	dear := plan()
	for _, e := range dear.Answer.Best.Plan.Entries {
		if e.Operation.ID == o.ID && e.Operation.Contract != 2500 {
			t.Errorf("%s is planned at %g, want 2500", o.ID, e.Operation.Contract)
		}
	}
	if was, now := before.Answer.Best.Weight, dear.Answer.Best.Weight; now <= was {
		t.Errorf("the plan weighs %g, no more than before its work became dear: %g", now, was)
	}
	if cost := func(p *app.SeasonPlan) (c float64) {
		for _, e := range p.Answer.Best.Plan.Entries {
			if e.Operation.ID == o.ID {
				c++
			}
		}
		return c
	}; cost(dear) >= cost(before) {
		t.Errorf("%s is done %g times although it is dear, before %g times", o.ID, cost(dear), cost(before))
	}

	// a limit: once a season at most
	if _, err := a.Store.Undo(t.Context(), "ann", first.ID); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(dates(before), dates(plan())); d != "" {
		t.Errorf("after undoing the plan is another\n%s", d)
	}
	second := save(o, map[string]string{"per_season": "1"})
	n := 0
	for _, e := range plan().Answer.Best.Plan.Entries {
		if e.Operation.ID == o.ID {
			n++
		}
	}
	if n > 1 {
		t.Errorf("%s is planned %d times in a season, 1 is allowed", o.ID, n)
	}
	if _, err := a.Store.Undo(t.Context(), "ann", second.ID); err != nil {
		t.Fatal(err)
	}

	// closed weeks about a day of the plan
	day := underfoot.Date(entries[0].Day)
	c := underfoot.Closing{Course: "varrowmere", From: day - 10, Until: day + 10, Why: "closed", Name: "drainage"}
	if _, err := a.SaveClosing(t.Context(), "ann", standing(), c, nil); err != nil {
		t.Fatal(err)
	}
	shut := plan()
	for _, e := range shut.Answer.Best.Plan.Entries {
		if d := underfoot.Date(e.Day); d >= c.From && d <= c.Until {
			t.Errorf("work on %s, closed from %s to %s", d, c.From, c.Until)
		}
	}
	// a plan looked for before is not taken over
	m, err := standing().Model()
	if err != nil {
		t.Fatal(err)
	}
	if _, same := before.For(m); same {
		t.Error("a plan from before the closed weeks is taken over")
	}
}

func dates(p *app.SeasonPlan) (list []string) {
	for _, e := range p.Answer.Best.Plan.Entries {
		list = append(list, underfoot.Date(e.Day).String()+" "+e.Operation.ID)
	}
	return list
}

// A file takes the place of the catalogue and can be undone; an operation goes back as built in; past and doubled days are refused.
func TestCatalogueAndCalendarOfACourse(t *testing.T) {
	a, _ := club(t, noon)
	standing := func() *app.Standing {
		t.Helper()
		s, err := a.Standing(t.Context(), "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	used := func() (ids []string) {
		t.Helper()
		list, err := standing().OperationsUsed()
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range list {
			ids = append(ids, o.ID)
		}
		return ids
	}
	var built []string
	for _, o := range season.Usual() {
		built = append(built, o.ID)
	}
	own := season.Usual()[:2]
	own[0].Fuel = 99
	own = append(own, season.Operation{ID: "dust", Name: "dust", Kind: season.Topdress, SandHigh: 0.3, Spacing: 7})
	change, err := a.TakeCatalogue(t.Context(), "ann", standing(), own)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{built[0], built[1], "dust"}, used()); d != "" {
		t.Error(d)
	}
	if change.What != "took a catalogue of 3 operations" {
		t.Errorf("the change says %q", change.What)
	}
	if _, err := a.TakeCatalogue(t.Context(), "ann", standing(), season.Usual()); err != nil {
		t.Fatal(err)
	}
	if n := len(standing().Records.Operations); n != 0 {
		t.Errorf("the built-in catalogue leaves %d rows", n)
	}
	if _, err := a.SwitchOperation(t.Context(), "ann", standing(), built[0], false); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(built[1:], used()); d != "" {
		t.Error(d)
	}
	if _, err := a.ForgetOperation(t.Context(), "ann", standing(), built[0]); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(built, used()); d != "" {
		t.Error(d)
	}

	today := standing().Today
	good := underfoot.Closing{Course: "varrowmere", From: today + 30, Until: today + 31, Why: "tournament"}
	if _, err := a.SaveClosing(t.Context(), "ann", standing(), good, nil); err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		name string
		c    underfoot.Closing
		want string
	}{
		{"past", underfoot.Closing{From: today - 9, Until: today - 1, Why: "closed"}, "until: 2026-11-24 is past, today is 2026-11-25: closed times count for plans ahead"},
		{"upside down", underfoot.Closing{From: today + 9, Until: today + 8, Why: "closed"}, "until: it ends on 2026-12-03, before it begins on 2026-12-04"},
		{"there already", good, "from: a tournament from 2026-12-25 on is there already: change that one"},
		{"far", underfoot.Closing{From: today + 4000, Until: today + 4000, Why: "holiday"}, "from: 2037-11-07 is more than ten years ahead: give an earlier day"},
		{"healed for nothing", underfoot.Closing{From: today + 9, Until: today + 9, Why: "holiday", HealedDays: underfoot.Some(3)}, "healed_days: it is said of what is no tournament: leave it empty"},
	} {
		x.c.Course = "varrowmere"
		_, err := a.SaveClosing(t.Context(), "ann", standing(), x.c, nil)
		if err == nil || err.Error() != x.want || underfoot.KindOf(err) != underfoot.Invalid {
			t.Errorf("%s: %v, want %s", x.name, err, x.want)
		}
	}
	moved := good
	moved.From, moved.Until, moved.UnopenedDays = today+40, today+40, underfoot.Some(21)
	if _, err := a.SaveClosing(t.Context(), "ann", standing(), moved, underfoot.Closings.Key(&good)); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]underfoot.Closing{moved}, standing().Records.Closings); d != "" {
		t.Error(d)
	}
}

// The fewest hours of a time count, and the price at its beginning.
func TestCrewOf(t *testing.T) {
	d := func(y int) underfoot.Date { return underfoot.MakeDate(y, time.January, 1) }
	s := app.Standing{Records: &underfoot.Records{Crews: []underfoot.Crew{
		{From: d(2025), HoursPerWeek: underfoot.Some(40.0), PricePerH: underfoot.Some(20.0)},
		{From: d(2027), HoursPerWeek: underfoot.Some(90.0), PricePerH: underfoot.Some(25.0)},
		{From: d(2028), HoursPerWeek: underfoot.Some(70.0), PricePerH: underfoot.Some(30.0)},
	}}}
	for _, x := range []struct {
		from, until  underfoot.Date
		hours, price float64
	}{{d(2024), d(2024) + 9, 0, 0}, {d(2024), d(2025), 40, 20}, {d(2027), d(2027) + 200, 90, 25}, {d(2027) + 100, d(2028) + 100, 70, 25}, {d(2026), d(2027) + 100, 40, 20}} {
		if hours, price := s.CrewOf(x.from, x.until); hours != x.hours || price != x.price {
			t.Errorf("from %s to %s: %g h at %g, want %g at %g", x.from, x.until, hours, price, x.hours, x.price)
		}
	}
}
