package app_test

import (
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/balance"
	"underfoot/internal/app"
	"underfoot/unit"
)

// What the log of work becomes in the account: amounts are the mean over the whole surface, backfill belongs to its
// holes, injected sand to its depth, and what is planned or done on another surface is not there.
func TestEventsOfTheAccount(t *testing.T) {
	day := underfoot.MakeDate(2025, time.May, 1)
	f := underfoot.Some[float64]
	rs := &underfoot.Records{
		Course: underfoot.Course{ID: "c"},
		Greens: []underfoot.Green{
			{Course: "c", ID: "1", AreaM2: f(300)},
			{Course: "c", ID: "2", AreaM2: f(100)},
			{Course: "c", ID: "t", Kind: "tee", AreaM2: f(1000)},
		},
		Sands: []underfoot.Sand{{Course: "c", ID: "s", Role: "topdressing", BulkDensity: f(1500)}},
		Work: []underfoot.Work{
			{ID: "1", Course: "c", Date: day, Kind: "topdress", Sand: "s", SandMM: f(2)},
			{ID: "2", Course: "c", Date: day + 1, Kind: "topdress", Sand: "s", SandKgM2: f(1), Green: "2"},
			{
				ID: "3", Course: "c", Date: day + 2, Kind: "hollow_core", Sand: "s", SandMM: f(1), TineDiameterMM: f(12), SpacingAlongMM: f(60),
				SpacingAcrossMM: f(50), DepthMM: f(80), Backfill: f(0.75), Green: "1",
			},
			{ID: "4", Course: "c", Date: day + 3, Kind: "solid_tine", TineDiameterMM: f(10), SpacingAlongMM: f(50), DepthMM: f(100)},
			{ID: "5", Course: "c", Date: day + 4, Kind: "scarify", BladeWidthMM: f(2), BladeSpacingMM: f(40), DepthMM: f(10)},
			{ID: "6", Course: "c", Date: day + 5, Kind: "inject_sand", Sand: "s", SandKgM2: f(3), DepthMM: f(50)},
			{ID: "7", Course: "c", Date: day + 6, Kind: "hollow_core", TineDiameterMM: f(12), SpacingAlongMM: f(60), DepthMM: f(80), CoresRemoved: "no"},
			{ID: "8", Course: "c", Date: day + 7, Kind: "topdress", Sand: "s", SandMM: f(9), Status: "planned"},
			{ID: "9", Course: "c", Date: day + 8, Kind: "topdress", Sand: "s", SandMM: f(9), Green: "t"},
			{ID: "10", Course: "c", Date: day + 9, Kind: "hollow_core", TineDiameterMM: f(12)},
			{ID: "11", Course: "c", Date: day + 10, Kind: "topdress", SandMM: f(1)},
		},
	}
	for i, round := range []string{"a", "b"} {
		at := underfoot.MakeDate(2024+2*i, time.October, 1)
		for _, green := range []string{"1", "2"} {
			id := round + green
			rs.Samples = append(rs.Samples, underfoot.Sample{
				ID: id, Course: "c", Green: green, Round: round, Date: at, BottomMM: 20, Cores: underfoot.Some(5), CoreDiameterMM: f(20),
			})
			rs.Results = append(rs.Results, underfoot.Result{Course: "c", Sample: id, OMPercent: 5, Method: "whole"})
		}
	}
	s, err := app.Stand(rs, underfoot.MakeDate(2026, time.November, 25), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	near := cmp.Options{cmp.Comparer(alike[unit.Fraction]), cmp.Comparer(alike[unit.KgPerM2])}
	at := func(days int) time.Time { return day.Add(days).Time() }
	sand := []balance.Sand{
		{At: at(0), Amount: 3},             // 2 mm at 1500 kg/m³
		{At: at(1), Amount: 0.25},          // 1 kg/m² on 100 of 400 m²
		{At: at(2), Amount: 1.5 * 0.75},    // spread beside what filled the holes, on 300 of 400 m²
		{At: at(5), Amount: 3, Bottom: 50}, // injected
		{At: at(10), Amount: 1.55},         // sand nobody named: 1550 kg/m³
	}
	if diff := cmp.Diff(sand, s.History.Sand, near); diff != "" {
		t.Errorf("sand (-want +got):\n%s", diff)
	}
	hole := func(d float64) float64 { return math.Pi / 4 * d * d }
	cored := hole(12) / (60 * 50)
	events := []balance.Coring{
		{At: at(2), Touched: unit.Fraction(0.75 * cored), Depth: 80, Removed: true, Backfill: unit.KgPerM2(0.75 * cored * 80 * 0.75 * 1.5)},
		{At: at(3), Touched: unit.Fraction(hole(10) / (50 * 50)), Depth: 100},
		{At: at(4), Touched: unit.Fraction(2.0 / 40), Depth: 10, Removed: true},
		{At: at(6), Touched: unit.Fraction(hole(12) / (60 * 60)), Depth: 80},
	}
	if diff := cmp.Diff(events, s.History.Coring, near); diff != "" {
		t.Errorf("openings (-want +got):\n%s", diff)
	}
	want := "work 10 of 2025-05-10 is left out of the account: tine diameter, spacing and depth are needed to know what it opened"
	if len(s.Notes) == 0 || s.Notes[0] != want {
		t.Errorf("notes %q, want first %q", s.Notes, want)
	}
}

func alike[T ~float64](a, b T) bool { return math.Abs(float64(a-b)) <= 1e-12*math.Abs(float64(b)) }
