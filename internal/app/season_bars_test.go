package app_test

import (
	"testing"
	"time"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/season"
)

// Every day of the time planned for is barred for an operation exactly when the calendar does not allow it, and says why.
func TestBarredDays(t *testing.T) {
	a, _ := club(t, noon)
	s, err := a.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	m, err := s.Model()
	if err != nil {
		t.Fatal(err)
	}
	day := func(y int, m time.Month, d int) underfoot.Date { return underfoot.MakeDate(y, m, d) }
	from, until := m.SeasonDates()
	p, err := m.Season(t.Context(), app.SeasonAsk{
		From: from, Until: until, Direction: "lower", Closed: []season.Closed{{From: int(day(2027, time.July, 1)), Until: int(day(2027, time.July, 14))}},
		Tournaments: []season.Tournament{{Day: int(day(2027, time.June, 12)), Before: 3, Unopened: 30}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Search.Operations {
		o := &p.Search.Operations[i]
		barred := map[underfoot.Date]app.Barred{}
		for _, b := range p.Barred(o) {
			for d := b.From; d <= b.Until; d++ {
				if _, twice := barred[d]; twice {
					t.Errorf("%s is barred twice on %s", o.ID, d)
				}
				barred[d] = b
			}
		}
		for d := from; d <= until; d++ {
			if b, is := barred[d]; is == p.Search.Calendar.Allows(o, int(d)) {
				t.Errorf("%s on %s: barred %t (%s), but the calendar allows it: %t", o.ID, d, is, b.Why, !is)
			}
		}
		for d, want := range map[underfoot.Date]app.Barred{
			day(2027, time.July, 7):      {Why: "the course is closed for work from 1 July 2027 to 14 July 2027", Hard: true},
			day(2027, time.June, 10):     {Why: "the greens are kept for the tournament of 12 June 2027", Hard: true},
			day(2026, time.December, 30): {Hard: false},
		} {
			if got := barred[d]; got.Hard != want.Hard || want.Why != "" && got.Why != want.Why {
				t.Errorf("%s on %s: %+v", o.ID, d, got)
			}
		}
		if why := barred[day(2027, time.May, 20)].Why; o.Kind == season.HollowCore && why == "" {
			t.Errorf("%s may open the surface 23 days before a tournament that wants 30", o.ID)
		}
	}
}
