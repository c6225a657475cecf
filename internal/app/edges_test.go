package app_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
)

// plain is a course of four greens, three layers and four autumn rounds, dressed ten times a year: whole numbers, no
// noise, so that a test may bend one thing.
func plain() *underfoot.Records {
	rs := &underfoot.Records{
		Course: underfoot.Course{ID: "a", Name: "Plain"},
		Sands:  []underfoot.Sand{{Course: "a", ID: "s", Role: "topdressing", BulkDensity: underfoot.Some(1550.0)}},
	}
	for g := 1; g <= 4; g++ {
		rs.Greens = append(rs.Greens, underfoot.Green{Course: "a", ID: fmt.Sprint(g), AreaM2: underfoot.Some(500.0)})
	}
	for y := 2022; y <= 2025; y++ {
		for g := 1; g <= 4; g++ {
			for k, om := range []float64{6, 4.5, 3} {
				id := fmt.Sprintf("%d-%d-%d", y, g, k)
				rs.Samples = append(rs.Samples, underfoot.Sample{
					ID: id, Course: "a", Green: fmt.Sprint(g), Round: fmt.Sprint(y), Date: underfoot.MakeDate(y, 10, 6), TopMM: float64(20 * k), BottomMM: float64(20*k + 20),
					Cores: underfoot.Some(5), CoreDiameterMM: underfoot.Some(20.0),
				})
				value := om * (1 + 0.05*float64(g-2) + 0.02*float64((y+g+k)%3-1))
				rs.Results = append(rs.Results, underfoot.Result{Course: "a", Sample: id, OMPercent: value, DryMassG: underfoot.Some(40.0), Method: "whole"})
			}
		}
		if y > 2022 {
			for n := range 10 {
				rs.Work = append(rs.Work, work(fmt.Sprintf("d%d-%d", y, n), underfoot.MakeDate(y, time.Month(4+n/2), 1+14*(n%2)), "topdress", func(w *underfoot.Work) { w.SandMM = underfoot.Some(0.6) }))
			}
		}
		for m := 4; m <= 10; m++ {
			rs.Readings = append(rs.Readings, underfoot.Reading{
				Course: "a", ID: fmt.Sprintf("f%d-%d", y, m), Green: "1", Date: underfoot.MakeDate(y, time.Month(m), 20), Kind: "firmness_gmax", Value: 90 + float64(m%3), N: underfoot.Some(9),
			})
		}
	}
	rs.Targets = []underfoot.Target{{Course: "a", Kind: "firmness_gmax", Low: underfoot.Some(100.0), High: underfoot.Some(115.0), FromMonth: underfoot.Some(4), ToMonth: underfoot.Some(10)}}
	return rs
}

func work(id string, date underfoot.Date, kind string, change func(*underfoot.Work)) underfoot.Work {
	w := underfoot.Work{Course: "a", ID: id, Date: date, Kind: kind, Status: "done", Sand: "s"}
	change(&w)
	return w
}

func everything(t *testing.T, s *app.Standing) string {
	t.Helper()
	var b strings.Builder
	for _, x := range []any{s.Bench, s.Findings(), s.BalanceFound(), s.AdviceFound()} {
		j, err := json.Marshal(x)
		if err != nil {
			t.Fatal(err)
		}
		b.Write(j)
	}
	return b.String()
}

// edge is a course bent in one way.
type edge struct {
	name string
	bend func(*underfoot.Records)
}

func edges() []edge {
	keep := func(rs *underfoot.Records, ok func(underfoot.Sample) bool) {
		var out []underfoot.Sample
		for _, s := range rs.Samples {
			if ok(s) {
				out = append(out, s)
			}
		}
		rs.Samples = out
	}
	om := func(rs *underfoot.Records, f func(i int, was float64) float64) {
		for i := range rs.Results {
			rs.Results[i].OMPercent = f(i, rs.Results[i].OMPercent)
		}
	}
	coring := func(kind string, backfill float64, removed string, depth float64) func(*underfoot.Records) {
		return func(rs *underfoot.Records) {
			rs.Work = append(rs.Work, work("c", underfoot.MakeDate(2024, 8, 20), kind, func(w *underfoot.Work) {
				w.TineDiameterMM, w.SpacingAlongMM, w.DepthMM = underfoot.Some(12.0), underfoot.Some(50.0), underfoot.Some(depth)
				w.BladeWidthMM, w.BladeSpacingMM = underfoot.Some(3.0), underfoot.Some(25.0)
				w.Backfill, w.CoresRemoved = underfoot.Some(backfill), removed
			}))
		}
	}
	return []edge{
		{"as it is", func(*underfoot.Records) {}},
		{"one green", func(rs *underfoot.Records) { keep(rs, func(s underfoot.Sample) bool { return s.Green == "1" }) }},
		{"one core", func(rs *underfoot.Records) {
			for i := range rs.Samples {
				rs.Samples[i].Cores = underfoot.Some(1)
			}
		}},
		{"one sample", func(rs *underfoot.Records) { rs.Samples = rs.Samples[:1] }},
		{"zero organic matter", func(rs *underfoot.Records) { om(rs, func(int, float64) float64 { return 0 }) }},
		{"zero in one round", func(rs *underfoot.Records) {
			om(rs, func(i int, x float64) float64 {
				if i < 12 {
					return 0
				}
				return x
			})
		}},
		{"all organic", func(rs *underfoot.Records) { om(rs, func(int, float64) float64 { return 100 }) }},
		{"nearly all organic", func(rs *underfoot.Records) { om(rs, func(int, float64) float64 { return 99.5 }) }},
		{"identical rounds", func(rs *underfoot.Records) {
			om(rs, func(i int, _ float64) float64 { return []float64{6, 4.5, 3}[i%3] })
		}},
		{"rounds days apart", func(rs *underfoot.Records) {
			for i := range rs.Samples {
				y := rs.Samples[i].Date.Year()
				rs.Samples[i].Date = underfoot.MakeDate(2025, 10, 1+2*(y-2022))
			}
		}},
		{"rounds of one day", func(rs *underfoot.Records) {
			for i := range rs.Samples {
				rs.Samples[i].Date = underfoot.MakeDate(2025, 10, 1)
			}
		}},
		{"other cuts", func(rs *underfoot.Records) {
			for i := range rs.Samples {
				if rs.Samples[i].Date.Year()%2 == 0 {
					rs.Samples[i].TopMM *= 1.25
					rs.Samples[i].BottomMM *= 1.25
				}
			}
		}},
		{"cut once differently", func(rs *underfoot.Records) {
			for i := range rs.Samples {
				if rs.Samples[i].Date.Year() == 2024 {
					rs.Samples[i].TopMM *= 1.25
					rs.Samples[i].BottomMM *= 1.25
				}
			}
		}},
		{"no cores nor diameter", func(rs *underfoot.Records) {
			for i := range rs.Samples {
				rs.Samples[i].Cores, rs.Samples[i].CoreDiameterMM = underfoot.Opt[int]{}, underfoot.Opt[float64]{}
			}
		}},
		{"no dry mass", func(rs *underfoot.Records) {
			for i := range rs.Results {
				rs.Results[i].DryMassG = underfoot.Opt[float64]{}
			}
		}},
		{"density once measured, once not", func(rs *underfoot.Records) {
			for i := range rs.Results {
				if i%2 == 0 {
					rs.Results[i].DryMassG = underfoot.Opt[float64]{}
				}
			}
		}},
		{"composites twice", func(rs *underfoot.Records) {
			for _, s := range rs.Samples[:48] {
				was := s.ID
				s.ID += "b"
				rs.Samples = append(rs.Samples, s)
				for _, r := range rs.Results {
					if r.Sample == was {
						r.Sample = s.ID
						rs.Results = append(rs.Results, r)
						break
					}
				}
			}
		}},
		{"work on one green only", func(rs *underfoot.Records) {
			for i := range rs.Work {
				rs.Work[i].Green = "3"
			}
		}},
		{"backfill, cores left", coring("hollow_core", 0.9, "no", 60)},
		{"solid tines with backfill", coring("solid_tine", 0.9, "", 60)},
		{"hollow tines", coring("hollow_core", 0.9, "yes", 60)},
		{"scarified deeper than the layer", coring("scarify", 0.5, "yes", 35)},
		{"tines without geometry", func(rs *underfoot.Records) {
			rs.Work = append(rs.Work, work("c", underfoot.MakeDate(2024, 8, 20), "hollow_core", func(w *underfoot.Work) { w.Backfill = underfoot.Some(0.8) }))
		}},
		{"tines wider than their spacing", func(rs *underfoot.Records) {
			rs.Work = append(rs.Work, work("c", underfoot.MakeDate(2024, 8, 20), "hollow_core", func(w *underfoot.Work) {
				w.TineDiameterMM, w.SpacingAlongMM, w.DepthMM = underfoot.Some(60.0), underfoot.Some(50.0), underfoot.Some(60.0)
			}))
		}},
		{"tines as wide as their spacing, 20 passes", func(rs *underfoot.Records) {
			rs.Work = append(rs.Work, work("c", underfoot.MakeDate(2024, 8, 20), "hollow_core", func(w *underfoot.Work) {
				w.TineDiameterMM, w.SpacingAlongMM, w.DepthMM, w.Passes = underfoot.Some(50.0), underfoot.Some(50.0), underfoot.Some(60.0), underfoot.Some(20)
			}))
		}},
		{"sand on the round's own day", func(rs *underfoot.Records) {
			rs.Work = append(rs.Work, work("c", underfoot.MakeDate(2024, 10, 6), "topdress", func(w *underfoot.Work) { w.SandMM = underfoot.Some(3.0) }))
		}},
		{"planned work before the last round", func(rs *underfoot.Records) {
			for i := range rs.Work {
				rs.Work[i].Status = "planned"
			}
		}},
		{"no work", func(rs *underfoot.Records) { rs.Work = nil }},
		{"organic matter falls fast without sand", func(rs *underfoot.Records) {
			rs.Work = rs.Work[:1]
			om(rs, func(i int, x float64) float64 { return x * []float64{1, 0.8, 0.6, 0.4}[i/12] })
		}},
		{"huge sand", func(rs *underfoot.Records) {
			for i := range rs.Work {
				rs.Work[i].SandMM = underfoot.Some(100.0)
			}
		}},
		{"target open above", func(rs *underfoot.Records) { rs.Targets[0].High = underfoot.Opt[float64]{} }},
		{"target open below", func(rs *underfoot.Records) { rs.Targets[0].Low = underfoot.Opt[float64]{} }},
		{"target open on both sides", func(rs *underfoot.Records) {
			rs.Targets[0].Low, rs.Targets[0].High = underfoot.Opt[float64]{}, underfoot.Opt[float64]{}
		}},
		{"season over the new year", func(rs *underfoot.Records) {
			rs.Course.Latitude = underfoot.Some(-37.8)
			rs.Targets[0].FromMonth, rs.Targets[0].ToMonth = underfoot.Some(10), underfoot.Some(4)
			for i := range rs.Readings {
				rs.Readings[i].Date = rs.Readings[i].Date.Add(182)
			}
			for i := range rs.Work {
				rs.Work[i].Date = rs.Work[i].Date.Add(182)
			}
		}},
		{"firm though wet", func(rs *underfoot.Records) {
			rs.Targets[0].Low, rs.Targets[0].High = underfoot.Some(70.0), underfoot.Some(80.0)
			rs.Targets = append(rs.Targets, underfoot.Target{Course: "a", Kind: "moisture_vwc_percent", Low: underfoot.Some(12.0), High: underfoot.Some(20.0)})
			for i, r := range rs.Readings {
				r.ID, r.Kind, r.Value = "w"+r.ID, "moisture_vwc_percent", 30+float64(i%2)
				rs.Readings = append(rs.Readings, r)
			}
		}},
		{"one reading", func(rs *underfoot.Records) { rs.Readings = rs.Readings[:1] }},
		{"readings that never change", func(rs *underfoot.Records) {
			for i := range rs.Readings {
				rs.Readings[i].Value = 90
			}
		}},
		{"no areas", func(rs *underfoot.Records) {
			for i := range rs.Greens {
				rs.Greens[i].AreaM2 = underfoot.Opt[float64]{}
			}
		}},
		{"nothing", func(rs *underfoot.Records) { *rs = underfoot.Records{Course: rs.Course} }},
	}
}

// Whatever the records, there is an answer in words and in JSON, without a number that is none.
func TestEdges(t *testing.T) {
	for _, e := range edges() {
		t.Run(e.name, func(t *testing.T) {
			rs := plain()
			e.bend(rs)
			s := stand(t, rs)
			want, ok := answers()[e.name]
			if !ok {
				t.Fatal("nothing is said of what the answer must be")
			}
			if d := cmp.Diff(want.says, s.Advice().Statement()); d != "" {
				t.Errorf("statement (−want +got):\n%s", d)
			}
			if d := cmp.Diff(want.notes, s.Notes); d != "" {
				t.Errorf("notes (−want +got):\n%s", d)
			}
			words := append(append(s.Advice().Sentences(), s.Notes...), s.Reasons()...)
			if s.Balance() != nil {
				words = append(words, s.Balance().Warnings...)
			}
			for _, w := range append(words, everything(t, s)) {
				if strings.Contains(w, "NaN") || strings.Contains(w, "Inf") || strings.Contains(w, "%!") {
					t.Errorf("no number: %s", w)
				}
			}
		})
	}
}

// answer is what is said of a course: the statement of the advice, and the notes beside it.
type answer struct {
	says  string
	notes []string
}

// answers are what must be said of the edges.
func answers() map[string]answer {
	return map[string]answer{
		"as it is": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.0 mm) of sand a year."},
		"one green": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.3 mm (5.9 to 11.1 mm) of sand a year.", notes: []string{
			"only one of the greens was sampled in the last round: what is said of the course rests on that one",
		}},
		"one core": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.2 mm (6.9 to 9.8 mm) of sand a year.", notes: []string{
			"48 composites have a density that no layer has (the bench sheet says which): the account estimates their density from their organic matter",
		}},
		"one sample": {says: "No sand can be advised yet: 0–20 mm needs two rounds that measured it and every layer above it; there is one.", notes: []string{
			"only one of the greens was sampled in the last round: what is said of the course rests on that one",
		}},
		"zero organic matter": {says: "No sand can be advised yet: the balance compares two rounds; there is none yet.", notes: []string{
			"0–20 mm: 4 rounds without any organic matter left out of the account, which needs some",
			"20–40 mm: 4 rounds without any organic matter left out of the account, which needs some",
			"40–60 mm: 4 rounds without any organic matter left out of the account, which needs some",
		}},
		"zero in one round": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.0 to 10.0 mm) of sand a year.", notes: []string{
			"0–20 mm: 1 round without any organic matter left out of the account, which needs some",
			"20–40 mm: 1 round without any organic matter left out of the account, which needs some",
			"40–60 mm: 1 round without any organic matter left out of the account, which needs some",
		}},
		"all organic":                     {says: "No sand can be advised yet: there is no balance: round \"2022\": layer 0–20 mm: organic matter is 100 %: the account needs more than 0 and less than 100 %."},
		"nearly all organic":              {says: "No sand can be advised yet: the account finds 310 kg/m² of organic matter formed a year in 0–20 mm, more than 5, which no turf makes: check the record of sand and the weighings."},
		"identical rounds":                {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.0 mm) of sand a year."},
		"rounds days apart":               {says: "No sand can be advised yet: 0–20 mm was measured from 1 Oct 2025 to 7 Oct 2025 only, which is too short to tell a year by; take the next round a year after the first."},
		"rounds of one day":               {says: "No sand can be advised yet: 0–20 mm needs two rounds that measured it and every layer above it; there is one."},
		"other cuts":                      {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.0 to 10.1 mm) of sand a year."},
		"cut once differently":            {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.1 mm) of sand a year."},
		"no cores nor diameter":           {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.2 mm (6.9 to 9.8 mm) of sand a year."},
		"no dry mass":                     {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.2 mm (6.9 to 9.8 mm) of sand a year."},
		"density once measured, once not": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.3 mm (7.0 to 9.9 mm) of sand a year."},
		"composites twice":                {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.0 mm) of sand a year."},
		"work on one green only": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 3.5 mm (2.5 to 5.0 mm) of sand a year.", notes: []string{
			"sand is on record for 1 of the 4 greens only: the account takes the others as undressed",
		}},
		"backfill, cores left":            {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.7 mm (7.4 to 10.2 mm) of sand a year."},
		"solid tines with backfill":       {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.7 mm (7.4 to 10.2 mm) of sand a year."},
		"hollow tines":                    {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.6 mm (7.3 to 10.2 mm) of sand a year."},
		"scarified deeper than the layer": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.7 mm (7.4 to 10.3 mm) of sand a year."},
		"tines without geometry": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.0 mm) of sand a year.", notes: []string{
			"work c of 2024-08-20 is left out of the account: tine diameter, spacing and depth are needed to know what it opened",
		}},
		"tines wider than their spacing": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.0 mm) of sand a year.", notes: []string{
			"work c of 2024-08-20 is left out of the account: area opened by tines: diameter 60 mm is wider than the spacing of 50 mm: check both",
		}},
		"tines as wide as their spacing, 20 passes": {says: "The surface asks for less organic matter (19 in 20 or better): put on about 7.7 mm (6.0 to 9.5 mm) of sand a year."},
		"sand on the round's own day":               {says: "The surface asks for less organic matter (19 in 20 or better): put on about 9.1 mm (7.2 to 11.3 mm) of sand a year."},
		"planned work before the last round": {says: "No sand can be advised yet: no sand is on record, and the account would take that as none put on; log what was put on, or one dressing of 0 mm if it really was none.", notes: []string{
			"30 planned entries are dated before the last record: mark what was done, for planned work counts for nothing",
		}},
		"no work":                                {says: "No sand can be advised yet: no sand is on record, and the account would take that as none put on; log what was put on, or one dressing of 0 mm if it really was none."},
		"organic matter falls fast without sand": {says: "The surface asks for less organic matter (19 in 20 or better): no sand is needed on top this year."},
		"huge sand":                              {says: "No sand can be advised yet: the account finds 85 kg/m² of organic matter formed a year in 0–20 mm, more than 5, which no turf makes: check the record of sand and the weighings."},
		"target open above":                      {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.0 mm) of sand a year."},
		"target open below":                      {says: "The surface asks for organic matter to stay as it is (19 in 20 or better): put on about 6.0 mm (4.8 to 7.2 mm) of sand a year."},
		"target open on both sides":              {says: "No direction yet (there are readings, but no targets for firmness or soil water to hold them against): set one from readings or by judgement before planning sand."},
		"season over the new year":               {says: "The surface asks for less organic matter (19 in 20 or better): put on about 7.0 mm (2.5 to 11.8 mm) of sand a year."},
		"firm though wet":                        {says: "The surface asks for more organic matter (7 in 10): put on about 4.6 mm (3.3 to 5.8 mm) of sand a year."},
		"one reading":                            {says: "No direction yet (the last readings are from 20 Apr 2022, more than 18 months ago): set one from readings or by judgement before planning sand."},
		"readings that never change":             {says: "No direction yet (readings that never change cannot be judged, and speed and infiltration alone do not decide): set one from readings or by judgement before planning sand."},
		"no areas":                               {says: "The surface asks for less organic matter (19 in 20 or better): put on about 8.4 mm (7.1 to 10.0 mm) of sand a year."},
		"nothing":                                {says: "No sand can be advised yet: the balance compares two rounds; there is none yet."},
	}
}

// A dressing season over the new year is one season: October to March, six months, not January to December.
func TestDressingSeasonOverTheNewYear(t *testing.T) {
	for _, e := range edges() {
		if e.name != "season over the new year" {
			continue
		}
		rs := plain()
		e.bend(rs)
		s := stand(t, rs)
		if got := s.Advice().Course.Months; got != 6 {
			t.Errorf("dressed over %g months, want 6", got)
		}
		return
	}
	t.Fatal("no such course")
}

// Nitrogen of last year is that of the twelve months up to the last record, whatever the calendar says.
func TestNitrogenOfTwelveMonths(t *testing.T) {
	rs := plain()
	for i, day := range []underfoot.Date{underfoot.MakeDate(2024, 9, 1), underfoot.MakeDate(2024, 11, 1), underfoot.MakeDate(2025, 5, 1)} {
		rs.Work = append(rs.Work, work(fmt.Sprintf("n%d", i), day, "nitrogen", func(w *underfoot.Work) { w.NitrogenKgHa = underfoot.Some(10 * math.Pow(2, float64(i))) }))
	}
	if got := stand(t, rs).Advice().Course.Nitrogen; got != 60 { // the last record is of 20 October 2025
		t.Errorf("nitrogen of last year is %g kg/ha, want 20 + 40", got)
	}
}
