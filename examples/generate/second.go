package main

import "time"

const secondID = "ostrelby"

// second is a small course with one round, little work and no readings: nothing to judge a direction by yet.
func second() ([]file, error) {
	r := chance(chanceSecond)
	greens := makeGreens(r, 9, 52.03, -11.46, []int{2008})
	log := secondLog()
	round := roundPlan{"2026-autumn", on(2026, 9, 29), []string{"g02", "g05", "g08"}, []string{"g01", "g04", "g07"}}
	t := truths{Surface: 4.6, Deep: 1.3, Shape: 24, Made: 0.0066, Spread: 10, Decay: 0.30, Q10: 2.0, ByNitrogen: 0.5}
	h := simulate(t, greens, simulateWeather(r, 10.8), log, []time.Time{round.date})
	taken := takeRound(r, "os", round, h.rounds[0], greens)

	courses := newTable("courses.csv", "course,name,latitude_deg,longitude_deg,country,time_zone")
	courses.add(secondID, "Ostrelby Common", "52.03", "-11.46", "IE", "Europe/Dublin")
	samples := newTable("samples.csv", sampleColumns)
	addSamples(samples, secondID, taken, "")
	sands := newTable("sands.csv", "sand,name,role,bulk_density_kg_m3,moisture_percent,price_per_t,currency,load_t")
	sands.add("os-dress", "Dressing sand", "topdressing", "1560", "6", "52.00", "EUR", "18")
	sands.add("os-root", "Root-zone sand", "rootzone", "1580", "", "", "", "")

	oven := newFurnace(r)
	oven.start("os-2026-autumn-1", 0.002)
	oven.burn("blank-os-1", "blank", 0, 0, 0)
	for _, c := range taken {
		oven.sample(c, 1, false)
	}
	files, err := filesOf(courses, greensTable(secondID, "creeping bent", "os-root", greens), samples, oven.table,
		workTable(secondID, "os", log), weatherTable(secondID, h.days, on(2026, 1, 1)), sands)
	if err != nil {
		return nil, err
	}
	outlines, err := outlinesFile(secondID, greens)
	return append(files, outlines), err
}

// secondLog is the one season that anybody wrote down.
func secondLog() []entry {
	var log []entry
	for i, mm := range []float64{0.6, 0.5, 0.5, 0.6, 0.5, 0.7} {
		log = append(log, entry{
			date: on(2026, 4, 14).AddDate(0, 0, 27*i), kind: "topdress", sand: "os-dress", mm: mm, hours: 5,
		})
	}
	for i := range 5 {
		log = append(log, entry{date: on(2026, 3, 24).AddDate(0, 0, 35*i), kind: "nitrogen", nitrogen: 18, hours: 2.5})
	}
	log = append(log, entry{
		date: on(2026, 3, 17), kind: "hollow_core", sand: "os-dress", tine: 9.5, a: 50, b: 50, pattern: "square", passes: 1,
		depth: 60, backfill: 0.8, coresGone: "yes", hours: 30,
	})
	byDate(log)
	return log
}
