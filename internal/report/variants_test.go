package report

import (
	"context"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
)

// records reads an example course, to be changed by a test.
func records(t testing.TB, folder string) *underfoot.Records {
	t.Helper()
	list, err := app.ReadPackage(context.Background(), filepath.Join("..", "..", "examples", folder), prepared, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return list[0]
}

func stand(t testing.TB, rs *underfoot.Records) *app.Standing {
	t.Helper()
	s, err := app.Stand(rs, rs.Course.Today(prepared), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// variant is a course with something missing or different.
type variant struct {
	name   string
	change func(*underfoot.Records)
}

func variants() []variant {
	judge := func(direction string) func(*underfoot.Records) {
		return func(rs *underfoot.Records) {
			rs.Judgements = []underfoot.Judgement{{
				Course: rs.Course.ID, Date: underfoot.MakeDate(2026, 11, 2), Direction: direction, Reason: "the winter greens are being rebuilt", By: "the course manager",
			}}
		}
	}
	return []variant{
		{"as it is", func(*underfoot.Records) {}},
		{"nothing", func(rs *underfoot.Records) {
			*rs = underfoot.Records{Course: rs.Course}
		}},
		{"no readings", func(rs *underfoot.Records) { rs.Readings, rs.Targets = nil, nil }},
		{"readings and no targets", func(rs *underfoot.Records) { rs.Targets = nil }},
		{"judged hold", judge("hold")},
		{"judged raise, no readings", func(rs *underfoot.Records) {
			judge("raise")(rs)
			rs.Readings, rs.Targets = nil, nil
		}},
		{"no areas", func(rs *underfoot.Records) {
			for i := range rs.Greens {
				rs.Greens[i].AreaM2 = underfoot.Opt[float64]{}
			}
		}},
		{"no work", func(rs *underfoot.Records) { rs.Work = nil }},
		{"one round", func(rs *underfoot.Records) {
			rs.Samples = slices.DeleteFunc(rs.Samples, func(s underfoot.Sample) bool { return s.RoundLabel() != "2026-autumn" })
		}},
		{"two rounds", func(rs *underfoot.Records) {
			rs.Samples = slices.DeleteFunc(rs.Samples, func(s underfoot.Sample) bool { return s.Date < underfoot.MakeDate(2025, 1, 1) })
		}},
		{"nothing at the surface", func(rs *underfoot.Records) {
			rs.Samples = slices.DeleteFunc(rs.Samples, func(s underfoot.Sample) bool { return s.TopMM == 0 })
		}},
		{"one green", func(rs *underfoot.Records) {
			rs.Samples = slices.DeleteFunc(rs.Samples, func(s underfoot.Sample) bool { return s.Green != "g09" })
		}},
		{"work and readings only", func(rs *underfoot.Records) { rs.Samples = nil }},
		{"bowling greens", func(rs *underfoot.Records) {
			for i := range rs.Greens {
				rs.Greens[i].Kind = "bowling"
			}
		}},
	}
}

// heading is the part of a report that everybody reads.
type heading struct {
	Statement string
	Because   []string
	Strip     []string
}

// headOf builds the head of a report alone: the rest takes a calibration.
func headOf(s *app.Standing) Model {
	b := builder{s: s, o: options()}
	return Model{Statement: b.statement(), Because: b.because(), Strip: b.strip()}
}

func headingOf(m Model) heading {
	h := heading{Statement: m.Statement, Because: m.Because}
	for _, a := range m.Strip {
		words := a.Value
		if a.Chance != nil {
			words += a.Chance.Words
		}
		if a.Note != "" {
			words += "; " + a.Note
		}
		h.Strip = append(h.Strip, words)
	}
	return h
}

func TestHeadings(t *testing.T) {
	const (
		surface = "Softer than wanted on 7 and wetter on 8 of 11 reading days in 2026."
		trend   = "Organic matter at 0–20 mm is 7.5 % (6.7 to 8.2), rising by 0.55 points a year (0.44 to 0.66) since October 2021."
		bare    = "Organic matter at 0–20 mm is rising by 0.55 points a year (0.44 to 0.66) since October 2021."
		sand    = "Sand into that layer has been 4.0 mm a year since October 2024; holding it as it is takes 4.0 mm (3.1 to 5.4)."
		soft    = "The greens play softer and wetter than wanted."
		seven   = "about 5.9 mm; 4.9 to 7.4 mm, 9 chances in 10"
		sure    = "19 in 20 or better"
		judged  = "Judged by the course manager on 2 November 2026: the winter greens are being rebuilt."
	)
	want := map[string]heading{
		"as it is": {soft + " Next season takes about 5.9 mm of sand.", []string{surface, trend, sand}, []string{"lower", seven, sure}},
		"nothing":  {"Nothing has been recorded yet, so there is nothing to report.", []string{"The list below says what to enter, and what each thing will show."}, nil},
		"no readings": {
			"No direction yet. Organic matter at 0–20 mm is 7.5 % (6.7 to 8.2).",
			[]string{"There are no readings of firmness or soil water, and no targets for them.", bare, sand},
			[]string{"no direction yet", "no advice without a direction; holding takes 4.0 mm (3.1 to 5.4)", "nothing to judge by"},
		},
		"readings and no targets": {
			"No direction yet. Organic matter at 0–20 mm is 7.5 % (6.7 to 8.2).",
			[]string{"There are readings, but no targets for firmness or soil water to hold them against.", bare, sand},
			[]string{"no direction yet", "no advice without a direction; holding takes 4.0 mm (3.1 to 5.4)", "nothing to judge by"},
		},
		"judged hold": {
			"By the judgement on record, organic matter should be held where it is. Next season takes about 4.0 mm of sand.",
			[]string{judged + " The readings alone ask for less organic matter.", trend, sand},
			[]string{"hold; as judged", "about 4.0 mm; 3.1 to 5.4 mm, 9 chances in 10", "less than 1 in 20; by the readings"},
		},
		"judged raise, no readings": {
			"By the judgement on record, organic matter should be allowed to rise. Next season takes about 3.0 mm of sand.",
			[]string{judged, trend, sand},
			[]string{"raise; as judged", "about 3.0 mm; 2.1 to 4.3 mm, 9 chances in 10", "a judgement, no readings"},
		},
		"no areas": {soft + " Next season takes about 5.9 mm of sand.", []string{surface, trend, sand}, []string{"lower", seven, sure}},
		"no work": {
			soft + " How much sand that takes cannot be said yet.",
			[]string{surface, trend, "No sand into that layer is on record since October 2024, and what is not recorded counts as none; holding it would then take 1.0 mm (0.0 to 3.7)."},
			[]string{"lower", "not known yet", sure},
		},
		"one round": {
			soft + " How much sand that takes cannot be said yet.",
			[]string{surface, "Organic matter at 0–20 mm is 7.5 % (6.4 to 8.5) in the one round so far, so there is no trend yet."},
			[]string{"lower", "not known yet", sure},
		},
		"two rounds": {
			soft + " Next season takes about 6.9 mm of sand.",
			[]string{
				surface, "Organic matter at 0–20 mm is 7.5 % (6.4 to 8.6): no change that this sampling could see in two rounds since October 2025.",
				"Sand into that layer has been 3.8 mm a year since October 2025; holding it as it is takes 4.9 mm (3.3 to 6.6).",
			},
			[]string{"lower", "about 6.9 mm; 5.1 to 9.0 mm, 9 chances in 10", sure},
		},
		"nothing at the surface": {soft + " How much sand that takes cannot be said yet.", []string{surface}, []string{"lower", "not known yet", sure}},
		"one green": {
			soft + " Next season takes about 5.8 mm of sand.",
			[]string{
				surface, "Organic matter at 0–20 mm is 9.7 % (7.3 to 12.1), rising by 0.99 points a year (0.48 to 1.50) since October 2021.",
				"Sand into that layer has been 4.0 mm a year since October 2024; holding it as it is takes 4.0 mm (3.0 to 5.3).",
			},
			[]string{"lower", "about 5.8 mm; 4.7 to 7.2 mm, 9 chances in 10", sure},
		},
		"work and readings only": {soft + " How much sand that takes cannot be said yet.", []string{surface}, []string{"lower", "not known yet", sure}},
		"bowling greens": {
			"The bowling greens play softer and wetter than wanted. Next season takes about 5.9 mm of sand.", []string{surface, trend, sand}, []string{"lower", seven, sure},
		},
	}
	for _, v := range variants() {
		t.Run(v.name, func(t *testing.T) {
			rs := records(t, "varrowmere")
			v.change(rs)
			if diff := cmp.Diff(want[v.name], headingOf(headOf(stand(t, rs)))); diff != "" {
				t.Error(diff)
			}
		})
	}
}
