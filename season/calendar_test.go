package season

import (
	"testing"
	"time"
)

// Recovery follows the days at full and at half growth; without the latter half the growth takes twice as long.
func TestDisturbedDays(t *testing.T) {
	for _, c := range []struct {
		full, half, index, want float64
	}{
		{7, 0, 1, 7},
		{7, 0, 0.5, 14},
		{7, 0, 0.05, 7 / slowest},
		{7, 21, 1, 7},
		{7, 21, 0.5, 21},
		{7, 21, 0.25, 63},
		{7, 7, 0.3, 7},
		{7, 14, 0.5, 14},
	} {
		o := Operation{Disturbed: c.full, AtHalf: c.half}
		if got := o.DisturbedDays(c.index); !(got > c.want-1e-9 && got < c.want+1e-9) {
			t.Errorf("%g d at full and %g d at half growth: %g d at %g, want %g", c.full, c.half, got, c.index, c.want)
		}
	}
}

func TestCalendarAllows(t *testing.T) {
	day := func(m time.Month, d int) int { return int(time.Date(2027, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400) }
	c := Calendar{
		From: day(3, 1), Until: day(10, 31), Index: func(int) float64 { return 1 },
		Closed:      []Closed{{From: day(7, 1), Until: day(7, 14)}},
		Tournaments: []Tournament{{Day: day(6, 12), Before: 3, Unopened: 28}},
	}
	dress, core := Operation{Kind: Topdress, Disturbed: 2}, Operation{Kind: HollowCore, Disturbed: 2}
	for _, x := range []struct {
		name string
		o    *Operation
		day  int
		want bool
	}{
		{"before the season", &dress, day(2, 28), false},
		{"the first day", &dress, day(3, 1), true},
		{"the last day", &dress, day(10, 31), true},
		{"closed", &dress, day(7, 14), false},
		{"open again", &dress, day(7, 15), true},
		{"dressing heals in time", &dress, day(6, 7), true},
		{"dressing does not", &dress, day(6, 8), false},
		{"after the tournament", &core, day(6, 13), true},
		{"opened four weeks before", &core, day(5, 15), false},
		{"and a day", &core, day(5, 14), true},
	} {
		if got := c.Allows(x.o, x.day); got != x.want {
			t.Errorf("%s: %t, want %t", x.name, got, x.want)
		}
	}
}

func TestCalendarCheck(t *testing.T) {
	for _, x := range []struct {
		name string
		c    Calendar
		want string
	}{
		{"ends first", Calendar{From: 10, Until: 9}, "season: it ends before it begins: give a last day after the first"},
		{"too long", Calendar{From: 0, Until: 1500}, "season: 1500 days are planned for: 4 years at most"},
		{"closed upside down", Calendar{Until: 9, Closed: []Closed{{From: 5, Until: 4}}}, "season: a closed time ends before it begins: give a last day after the first"},
		{"tournament", Calendar{Until: 9, Tournaments: []Tournament{{Day: 5, Before: 91}}}, "season: a tournament wants the greens healed 91 days and unopened 0 days before: 0 to 90 and 0 to 200 are allowed"},
	} {
		if err := x.c.Check(); err == nil || err.Error() != x.want {
			t.Errorf("%s: %v, want %s", x.name, err, x.want)
		}
	}
}
