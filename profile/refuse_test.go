package profile_test

import (
	"math"
	"testing"

	"underfoot/profile"
)

func TestRefusals(t *testing.T) {
	s := profile.Usual()
	looks := []int{100, 107, 114}
	track := func(e ...profile.Event) error {
		_, err := profile.NewTrack(s, looks, e, nil)
		return err
	}
	sight := func(v profile.Sight) error {
		_, err := profile.NewTrack(s, looks, nil, []profile.Sight{v})
		return err
	}
	drive := func(d profile.Daily, looks ...int) error {
		_, err := profile.NewForcing(d, looks, s)
		return err
	}
	settings := func(change func(*profile.Settings)) error {
		s := profile.Usual()
		change(&s)
		return s.Check()
	}
	params := func(u profile.Unknown, v float64) error {
		p := profile.Default()
		p[u] = v
		return p.Check()
	}
	for _, c := range []struct {
		name string
		err  error
		want string
	}{
		{
			"coring deeper than the column", track(profile.Event{Day: 100, Opening: profile.Opening{Touched: 0.1, Depth: 200}}),
			"work 1 of a green: depth of tines or blades is 200 mm: allowed are 0 to 140 mm",
		},
		{
			"more than full", track(profile.Event{Day: 107, Opening: profile.Opening{Touched: 0.1, Depth: 50, Fill: 1.2}}),
			"work 1 of a green: share of the holes filled is 1.2: allowed are 0 to 1",
		},
		{
			"more than the green", track(profile.Event{Day: 107, Opening: profile.Opening{Touched: 1.5, Depth: 50}}),
			"work 1 of a green: share of the surface opened is 1.5: allowed are 0 to 0.95",
		},
		{
			"sand below nothing", track(profile.Event{Day: 107, Sand: 1}, profile.Event{Day: 107, Sand: -1}),
			"work 2 of a green: sand is -1 kg/m²: allowed are 0 to 200 kg/m²",
		},
		{
			"sand that is no number", track(profile.Event{Day: 107, Sand: math.NaN()}),
			"work 1 of a green: sand is NaN kg/m²: allowed are 0 to 200 kg/m²",
		},
		{
			"sand placed upside down", track(profile.Event{Day: 107, Sand: 1, Top: 40, Bottom: 30}),
			"work 1 of a green: sand is placed from 40 to 30 mm: the second has to be deeper",
		},
		{
			"sand placed below the column", track(profile.Event{Day: 107, Sand: 1, Top: 40, Bottom: 150}),
			"work 1 of a green: depth sand is placed to is 150 mm: allowed are 0 to 140 mm",
		},
		{
			"two things in one", track(profile.Event{Day: 107, Sand: 2, Opening: profile.Opening{Touched: 0.1, Depth: 30}}),
			"work 1 of a green: 2 kg/m² of sand and an opening of 0.1 in one entry: give sand for the holes as the share filled, and other sand as an entry of its own",
		},
		{
			"out of order", track(profile.Event{Day: 50, Sand: 1}, profile.Event{Day: 107, Sand: 1}, profile.Event{Day: 100, Sand: 1}),
			"work 3 of a green is dated before the one above it: sort it by day",
		},
		{
			"work on a day not looked at", track(profile.Event{Day: 103, Sand: 1}),
			"work 1 of a green: day 103 is not among the days looked at",
		},
		{
			"sight deeper than the column", sight(profile.Sight{Day: 100, Top: 120, Bottom: 160}),
			"sight 1: 120 to 160 mm: give depths from 0 to 140 mm, the second deeper",
		},
		{
			"sight of nothing", sight(profile.Sight{Day: 100, Top: 20, Bottom: 20}),
			"sight 1: 20 to 20 mm: give depths from 0 to 140 mm, the second deeper",
		},
		{
			"sight on a day not looked at", sight(profile.Sight{Day: 101, Bottom: 20}),
			"sight 1: day 101 is not among the days looked at",
		},
		{"no weather", drive(profile.Daily{}), "driving a profile: there is no weather"},
		{
			"half the weather", drive(profile.Daily{Temp: []float64{1, 2}, Index: []float64{1}}),
			"driving a profile: 2 days of temperature, 1 of growth, 0 of nitrogen: give as many of each",
		},
		{
			"weather of another world", drive(profile.Daily{First: 7, Temp: []float64{10, 99}, Index: []float64{1, 1}}),
			"driving a profile: day 8 has 99 °C, growth 1, nitrogen 1: allowed are -90 to 60, 0 to 20, 0 to 50",
		},
		{
			"look before the weather", drive(constant(10, 20, 1), -1, 3),
			"driving a profile: look 1 on day -1 is out of order or outside the weather of days 0 to 10",
		},
		{
			"looks out of order", drive(constant(10, 20, 1), 5, 3),
			"driving a profile: look 2 on day 3 is out of order or outside the weather of days 0 to 10",
		},
		{
			"column of no depth", settings(func(s *profile.Settings) { s.Depth = 10 }),
			"settings of the profile: depth of the column is 10 mm: give 40 to 600",
		},
		{
			"no step", settings(func(s *profile.Settings) { s.Step = 0 }),
			"settings of the profile: longest step is 0 d: give 1 to 31",
		},
		{"decay that explodes", settings(func(s *profile.Settings) { s.Q10 = 7 }), "settings of the profile: Q10 is 7: give 1 to 5"},
		{
			"all made by deep roots", params(profile.DeepShare, 0.9),
			"share made by deeper roots is 0.9: give 0.005 to 0.8",
		},
		{"a rate out of reach", params(profile.SlowRate, 40), "decay of the slow pool at 20 °C is 40 1/a: give 0.005 to 3"},
		{"a rate that is no number", params(profile.SlowRate, math.NaN()), "decay of the slow pool at 20 °C is NaN 1/a: give 0.005 to 3"},
	} {
		if c.err == nil || c.err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.name, c.err, c.want)
		}
	}
	if err := s.Check(); err != nil {
		t.Errorf("the usual settings are refused: %v", err)
	}
	if err := profile.Default().Check(); err != nil {
		t.Errorf("the middle of the table is refused: %v", err)
	}
}

func TestRunsThatDoNotFit(t *testing.T) {
	c := scene{set: profile.Usual(), p: profile.Default()}
	c.daily, _ = season(1)
	c.look()
	f, track, _, out := c.build(t, nil)
	want := "starting a column: 35 parcels do not fit into room for 3"
	if err := track.Run(profile.NewColumn(c.set, 3, nil), f, c.p, out); err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	want = "keeping a ledger: day 18263 is not among the days looked at"
	if _, err := track.Ledger(track.NewColumn(c.set, nil), f, c.p, out, []float64{20}, []int{18262, 18263}); err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	c.p[profile.Growth] = math.NaN()
	f.Set(c.p, false)
	want = "mass account of a column: parcel 1 from the bottom holds less than nothing or no number"
	if err := track.Run(track.NewColumn(c.set, nil), f, c.p, out); err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}
