package main

import (
	"math"
	"math/rand/v2"
	"time"
)

// season is one year's programme on the larger course.
type season struct {
	year      int
	dressings int
	sandMM    float64 // mm in those dressings together
	nitrogen  float64 // kg/ha
	sand      string
	cored     []time.Time
	tined     []time.Time
	scarified []time.Time
}

// seasons tell the story: sand from 7 mm a year to 4, coring given up after 2022, nitrogen slowly rising.
var seasons = []season{
	{2021, 11, 7.0, 92, oldID, days(on(2021, 8, 24)), days(on(2021, 3, 30)), days(on(2021, 6, 8))},
	{2022, 11, 6.3, 96, oldID, days(on(2022, 3, 29), on(2022, 8, 23)), nil, days(on(2022, 6, 7), on(2022, 9, 13))},
	{2023, 10, 5.5, 102, oldID, nil, days(on(2023, 3, 28), on(2023, 8, 22)), days(on(2023, 6, 13))},
	{2024, 9, 4.9, 110, newID, nil, days(on(2024, 4, 2), on(2024, 6, 25)), days(on(2024, 6, 11))},
	{2025, 8, 4.4, 116, newID, nil, days(on(2025, 4, 1), on(2025, 8, 26)), days(on(2025, 6, 10))},
	{2026, 7, 4.0, 118, newID, nil, days(on(2026, 3, 31), on(2026, 8, 25)), nil},
}

func days(t ...time.Time) []time.Time { return t }

// mowings is the number of clipping logs a year from 2023 on, when somebody began to measure them.
const mowings = 12

// calendar draws the log of work of all seasons and what is planned for the spring of 2027; area [m²] is of all
// greens, for the costs.
func calendar(r *rand.Rand, area, ninth float64) []entry {
	var log []entry
	for _, s := range seasons {
		log = append(log, s.dress(r, area)...)
		log = append(log, s.openings(area)...)
		log = append(log, s.feeding(r, area)...)
		log = append(log, ninthGreen(s, ninth)...)
	}
	log = append(log, entry{
		date: on(2024, 9, 3), kind: "inject_sand", sand: newID, mm: 1.6, a: 75, b: 75, pattern: "square", passes: 1,
		depth: 60, cost: 2900, hours: 14, note: "contractor; sand blown in with water, no cores taken",
	})
	log = append(log, entry{
		date: on(2025, 10, 21), kind: "other", cost: 640, hours: 12,
		note: "crowns of two trees lifted south of green 9", green: "g09",
	})
	log = append(log, plannedSpring(area)...)
	byDate(log)
	return log
}

// dress spreads the year's sand over its dressings, April to September.
func (s season) dress(r *rand.Rand, area float64) []entry {
	var log []entry
	gap := 168 / float64(s.dressings-1)
	for i := range s.dressings {
		d := on(s.year, 4, 8).AddDate(0, 0, int(math.Round(float64(i)*gap+2*r.NormFloat64())))
		mm := round(s.sandMM/float64(s.dressings)*near(r, 0.11), 2)
		kg := mm * bulkDensity[s.sand] / 1000
		e := entry{date: d, kind: "topdress", sand: s.sand, mm: mm, hours: 9 + round(2*r.Float64(), 1)}
		switch { // some loads are weighed
		case i%4 == 3:
			e.kg = round(kg, 2)
		case s.year == 2024 && i == 2:
			e.mm, e.kg, e.note = 0, round(kg, 2), "from the weighbridge ticket"
		}
		e.cost = round(sandCost(s.sand, kg, area)+60, 0)
		log = append(log, e)
	}
	return log
}

// openings are the days on which holes and slits are made on every green.
func (s season) openings(area float64) []entry {
	var log []entry
	for _, d := range s.cored {
		sandKg := cored(9.5, 50, 50) * 60 * 0.9 * bulkDensity[s.sand] / 1000
		log = append(log, entry{
			date: d, kind: "hollow_core", sand: s.sand, tine: 9.5, a: 50, b: 50, pattern: "square", passes: 1, depth: 60,
			backfill: 0.9, coresGone: "yes", hours: 64, cost: round(sandCost(s.sand, sandKg, area)+480, 0),
			note: "holes filled by brush, twice over",
		})
	}
	for _, d := range s.tined {
		log = append(log, entry{
			date: d, kind: "solid_tine", tine: 8, a: 40, b: 50, pattern: "square", passes: 1, depth: 100, coresGone: "no",
			hours: 18, cost: 210,
		})
	}
	for _, d := range s.scarified {
		log = append(log, entry{
			date: d, kind: "scarify", blade: 1.5, gap: 25, depth: 8, coresGone: "yes", hours: 20, cost: 190,
		})
	}
	return log
}

// feeding is the nitrogen of the year in eight portions and the clippings that were measured.
func (s season) feeding(r *rand.Rand, area float64) []entry {
	var log []entry
	for i := range 8 {
		log = append(log, entry{
			date: on(s.year, 3, 18).AddDate(0, 0, 27*i), kind: "nitrogen",
			nitrogen: round(s.nitrogen/8*near(r, 0.08), 1), hours: 5, cost: round(area/10000*s.nitrogen/8*9.5+20, 0),
		})
	}
	for i := range mowings {
		if s.year < 2023 {
			break
		}
		wave := math.Sin(math.Pi * (float64(i) + 1) / (mowings + 1))
		log = append(log, entry{
			date: on(s.year, 4, 18).AddDate(0, 0, 14*i), kind: "clippings",
			clippings: round(s.nitrogen/110*(0.7+1.5*wave)*near(r, 0.18), 1),
		})
	}
	return log
}

// ninthGreen is the extra work on the shaded green, area [m²].
func ninthGreen(s season, area float64) []entry {
	var log []entry
	switch s.year {
	case 2022:
		log = append(log, entry{
			green: "g09", date: on(2022, 10, 25), kind: "scarify", blade: 2, gap: 25, depth: 10, coresGone: "yes",
			hours: 3, cost: 30, note: "thick and soft under the trees",
		})
	case 2023, 2024:
		log = append(log, entry{
			green: "g09", date: on(s.year, 10, 24), kind: "solid_tine", tine: 12, a: 75, b: 75, pattern: "triangular", passes: 1,
			depth: 150, coresGone: "no", hours: 3, cost: 25,
		})
	case 2025:
		kg := 0.6 * bulkDensity[newID] / 1000
		log = append(log, entry{
			green: "g09", date: on(2025, 7, 1), kind: "topdress", sand: newID, mm: 0.6, kg: round(kg, 2), hours: 1.5,
			cost: round(sandCost(newID, kg, area)+10, 0), note: "extra dressing on green 9 only",
		})
	}
	return log
}

// plannedSpring is what the manager has pencilled in for 2027.
func plannedSpring(area float64) []entry {
	next := season{year: 2027, sand: newID, cored: days(on(2027, 3, 23)), scarified: days(on(2027, 5, 25))}
	log := next.openings(area)
	for i, mm := range []float64{0.55, 0.60, 0.60, 0.65} {
		kg := mm * bulkDensity[newID] / 1000
		log = append(log, entry{
			date: on(2027, 4, 6).AddDate(0, 0, 16*i), kind: "topdress", sand: newID, mm: mm, hours: 10,
			cost: round(sandCost(newID, kg, area)+60, 0),
		})
	}
	for i := range 3 {
		log = append(log, entry{
			date: on(2027, 3, 18).AddDate(0, 0, 27*i), kind: "nitrogen", nitrogen: 13.5, hours: 5,
			cost: round(area/10000*13.5*9.5+20, 0),
		})
	}
	for i := range log {
		log[i].planned = true
	}
	return log
}
