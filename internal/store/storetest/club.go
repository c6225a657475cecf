package storetest

import (
	"time"

	"underfoot"
)

var day = underfoot.MakeDate(2026, time.October, 8)

// club returns a small course with at least one record in every table, sorted by key.
func club(course string) *underfoot.Records {
	return &underfoot.Records{
		Course: underfoot.Course{ID: course, Name: "Invented course", Latitude: underfoot.Some(51.25), Longitude: underfoot.Some(-1.5), TimeZone: "Europe/London"},
		Sands:  []underfoot.Sand{{Course: course, ID: "m", Role: "topdressing", BulkDensity: underfoot.Some(1600.0)}, {Course: course, ID: "r", Role: "rootzone"}},
		Controls: []underfoot.Control{
			{Course: course, ID: "k1", AcceptedPercent: underfoot.Some(3.2), SDPercent: underfoot.Some(0.08)},
		},
		Greens: []underfoot.Green{
			{Course: course, ID: "1", Kind: "green", AreaM2: underfoot.Some(480.5), BuiltYear: underfoot.Some(1998), RootzoneSand: "r"},
			{Course: course, ID: "2", Kind: "green"},
		},
		Outlines: []underfoot.Outline{{Course: course, Green: "1", Feature: `{"type":"Feature"}`}},
		Samples: []underfoot.Sample{
			sample(course, "s1", "1"),
			{Course: course, ID: "s2", Green: "2", Date: day, TopMM: 20, BottomMM: 40, Cores: underfoot.Some(5), CoreDiameterMM: underfoot.Some(19.5), Verdure: "kept", Position: "front"},
		},
		Weighings: []underfoot.Weighing{
			{Course: course, Sample: "blank", Crucible: "c9", TareG: underfoot.Some(20.0), Kind: "blank"},
			{Course: course, Sample: "k1", Crucible: "c8", TareG: underfoot.Some(20.0), Kind: "control"},
			{
				Course: course, Sample: "s1", Crucible: "c1", TareG: underfoot.Some(42.87), DryG: underfoot.Some(82.268), AshG: underfoot.Some(80.589), Kind: "sample",
				Extra: underfoot.Extra{"tare_g": "42.870", "operator_mood": "fair"},
			},
		},
		Results:  []underfoot.Result{{Course: course, Sample: "s2", OMPercent: 2.1, Method: "whole"}},
		Work:     []underfoot.Work{entry(course, "w1", ""), entry(course, "w2", "1")},
		Readings: []underfoot.Reading{{ID: "r1", Course: course, Green: "1", Date: day, Kind: "firmness_gmax", Value: 82, N: underfoot.Some(9)}, {ID: "r2", Course: course, Date: day, Kind: "speed_m", Value: 2.9}},
		Weather:  []underfoot.Weather{{Course: course, Date: day - 1, TMinC: underfoot.Some(-2.5), RainMM: underfoot.Some(0.0)}, {Course: course, Date: day}},
		Sieve:    []underfoot.Sieve{{Course: course, Source: "sample:s1", SieveMM: 0, RetainedG: 1}, {Course: course, Source: "sand:m", SieveMM: 0.25, RetainedG: 30.5}, {Course: course, Source: "sand:m", SieveMM: 10, RetainedG: 0}},
		Sievings: []underfoot.Sieving{{Course: course, Source: "sample:s1", Date: underfoot.Some(day), By: "ann", StartMassG: underfoot.Some(40.2), WashedG: underfoot.Some(0.3)}, {Course: course, Source: "sand:m", Note: "split twice"}},
		Targets:  []underfoot.Target{{Course: course, Kind: "firmness_gmax", Low: underfoot.Some(70.0), FromMonth: underfoot.Some(4)}},
		Judgements: []underfoot.Judgement{
			{Course: course, Date: day, Direction: "hold", Reason: "plays well", By: "ann"},
		},
		Scenarios: []underfoot.Scenario{
			{Scenario: "less sand", Entry: "01", Course: course, Date: day + 200, Kind: "topdress", Operation: "dressing", Sand: "m", SandMM: underfoot.Some(0.5)},
		},
		Runs:       []underfoot.FurnaceRun{{Course: course, ID: "f1", Date: underfoot.Some(day), By: "ann", AshC: underfoot.Some(440.0), TrayRows: underfoot.Some(3), TrayColumns: underfoot.Some(4)}, {Course: course, ID: "f2"}},
		TrayPlaces: []underfoot.TrayPlace{{Course: course, FurnaceRun: "f1", Place: "A1", Crucible: "c1"}, {Course: course, FurnaceRun: "f1", Place: "B12", Crucible: "c9"}},
		Releases:   []underfoot.Release{{Course: course, FurnaceRun: "f1", By: "ann", Date: day, Reason: "control jar left open; repeated since"}},
		Tares:      []underfoot.Tare{{Course: course, Crucible: "c1", Date: day - 30, TareG: 20.012}, {Course: course, Crucible: "c1", Date: day, TareG: 20.01}},
		Repeats: []underfoot.Repeat{
			{Course: course, Sample: "k1", Crucible: "c8", Stage: "dry", N: 1, MassG: 41.2, Kind: "control"},
			{Course: course, Sample: "s1", Crucible: "c1", Stage: "ash", N: 1, MassG: 80.61, Hours: underfoot.Some(0.0)},
			{Course: course, Sample: "s1", Crucible: "c1", Stage: "ash", N: 2, MassG: 80.6, Hours: underfoot.Some(1.5), Kind: "sample"},
			{Course: course, Sample: "s1", Crucible: "c1", Stage: "ash", N: 10, MassG: 80.589},
		},
		Custodies:   []underfoot.Custody{{Course: course, Sample: "s1", Step: "bagged", Date: day, By: "ann", Note: "dry"}, {Course: course, Sample: "s1", Step: "cut", Date: day, By: "ann"}},
		RoundPlans:  []underfoot.RoundPlan{{Course: course, Round: "spring", Date: day + 180, Layers: "0-20 20-40", TopGreens: "2", FullGreens: "1", Cores: underfoot.Some(12), Seed: underfoot.Some(1<<53 - 1)}},
		Positions:   []underfoot.Position{{Course: course, Green: "1", Round: "spring", Core: 2, Longitude: -1.50012, Latitude: 51.25}, {Course: course, Green: "1", Round: "spring", Core: 10, Longitude: -1.5, Latitude: 51.2501}},
		FixedPoints: []underfoot.FixedPoint{{Course: course, Green: "1", Point: "p1", Longitude: -1.5, Latitude: 51.25, About: "sprinkler head by the bunker"}},
		Mappings:    []underfoot.Mapping{{Course: course, ID: "their table", Kind: "results", Headings: "no|loi", Rule: `{"rows":1}`}},
		Operations: []underfoot.Operation{
			{Course: course, ID: "core-8", Kind: "hollow_core", Contract: underfoot.Some(950.0), PerSeason: underfoot.Some(1)}, {Course: course, ID: "inject", Used: "no", Kind: "inject_sand"},
		},
		Closings: []underfoot.Closing{
			{Course: course, From: day + 250, Why: "closed", Until: day + 256}, {Course: course, From: day + 250, Why: "tournament", Until: day + 251, Name: "Autumn cup", HealedDays: underfoot.Some(5)},
		},
		Documents: []underfoot.Document{{Course: course, ID: underfoot.TheReport, Kind: "committee", Sections: "needed layers", Note: "Two lines,\nas typed.", Paper: "letter", Logo: "iVBORw0KGgo="}},
		Crews:     []underfoot.Crew{{Course: course, From: day, HoursPerWeek: underfoot.Some(90.5)}},
	}
}

func sample(course, id, green string) underfoot.Sample {
	return underfoot.Sample{Course: course, ID: id, Green: green, Round: "autumn", Date: day, TopMM: 0, BottomMM: 20}
}

func entry(course, id, green string) underfoot.Work {
	return underfoot.Work{ID: id, Course: course, Green: green, Date: day, Status: "done", Kind: "topdress", Sand: "m", SandMM: underfoot.Some(0.6)}
}

// put returns the records of a course as a list.
func list(rs *underfoot.Records) []underfoot.Record {
	var out []underfoot.Record
	rs.Each(func(r underfoot.Record) { out = append(out, r) })
	return out
}

// import puts a small course in and returns the change.
func (b *bed) importClub(course string) underfoot.Change {
	b.Helper()
	return b.put("imported a package", list(club(course))...)
}
