package main

import "time"

const courseID = "varrowmere"

// varrowmereTruths were chosen so that the top layer goes from about 5 to about 7 % as the sand is cut back.
var varrowmereTruths = truths{
	Surface: 6.6, Deep: 1.8, Shape: 34, Made: 0.0103, Spread: 10, Decay: 0.40, Q10: 2.2, ByNitrogen: 0.3,
}

var (
	fullGreens = []string{"g03", "g09", "g16"}
	topGreens  = []string{"g06", "g12", "g18"}
	studied    = append(append([]string{}, fullGreens...), topGreens...)
)

var roundPlans = []roundPlan{
	{"2021-autumn", on(2021, 10, 12), fullGreens, topGreens},
	{"2022-autumn", on(2022, 10, 11), fullGreens, topGreens},
	{"2023-spring", on(2023, 4, 4), nil, studied},
	{"2023-autumn", on(2023, 10, 10), fullGreens, topGreens},
	{"2024-autumn", on(2024, 10, 8), fullGreens, topGreens},
	{"2025-autumn", on(2025, 10, 14), fullGreens, topGreens},
	{"2026-autumn", on(2026, 10, 13), studied, nil},
}

// screenedGreens had a screened test in 2021 by another laboratory: another quantity, kept out of every trend.
var screenedGreens = []string{"g05", "g14"}

// varrowmereHistory is the course as it really was, with its log of work.
func varrowmereHistory() (history, []entry) {
	greens := makeGreens(chance(chanceGreens), 18, 54.42, 1.18, []int{1994, 1994, 2003, 1994, 2003, 1994, 2011, 1994, 1994})
	ninth := &greens[8]
	ninth.vigour, ninth.rich, ninth.wetter = 1.24, 1.16, 2.6
	area := 0.0
	for _, g := range greens {
		area += float64(g.area)
	}
	log := calendar(chance(chanceWork), area, float64(ninth.area))
	var dates []time.Time
	for _, p := range roundPlans {
		dates = append(dates, p.date)
	}
	return simulate(varrowmereTruths, greens, simulateWeather(chance(chanceWeather), 9.9), log, dates), log
}

// varrowmere is the larger course as a package.
func varrowmere() ([]file, error) {
	h, log := varrowmereHistory()
	courses := newTable("courses.csv", "course,name,latitude_deg,longitude_deg,country,time_zone")
	courses.add(courseID, "Varrowmere Links", "54.42", "1.18", "GB", "Europe/London")

	samples, results, weighings, sieve := benchTables(h)
	controls := newTable("controls.csv", "control,accepted_percent,sd_percent")
	controls.add(controlID, fixed(controlTrue, 2), fixed(controlSD, 2))
	targets := newTable("targets.csv", "course,kind,low,high,from_month,to_month")
	for _, row := range [][]string{
		{"firmness_gmax", "85", "100"},
		{"infiltration_mm_h", "60", "300"},
		{"moisture_vwc_percent", "15", "22"},
		{"speed_m", "2.6", "3.1"},
	} {
		targets.add(courseID, row[0], row[1], row[2], "4", "10")
	}
	tables := []*table{
		courses, greensTable(courseID, "fescue and browntop bent", rootID, h.greens), samples, weighings,
		results, workTable(courseID, "vm", log), readingsTable(h), weatherTable(courseID, h.days, firstDay), sandsTable(),
		sieve, controls, targets,
	}
	files, err := filesOf(append(tables, papers(h, samples, weighings, sieve)...)...)
	if err != nil {
		return nil, err
	}
	outlines, err := outlinesFile(courseID, h.greens)
	return append(files, outlines), err
}

// benchTables takes every round and burns it.
func benchTables(h history) (samples, results, weighings, sieve *table) {
	cores, bench, shaker := chance(chanceCores), chance(chanceBench), chance(chanceSieve)
	samples = newTable("samples.csv", sampleColumns)
	results = newTable("results.csv", "sample,om_percent,om_sd_percent,dry_mass_g,method,lab")
	sieve = newTable("sieve.csv", "source,sieve_mm,retained_g")
	for _, id := range []string{rootID, oldID, newID} {
		var p parcel
		p.sand[sandKind[id]] = 1
		addSieve(sieve, "sand:"+id, sieved(shaker, p, 100, 0))
	}
	oven := newFurnace(bench)
	for i, p := range roundPlans {
		taken := takeRound(cores, "vm", p, h.rounds[i], h.greens)
		addSamples(samples, courseID, taken, "")
		if i == 0 { // the first round went to an outside laboratory
			for _, c := range taken {
				results.add(c.sample, fixed(100*c.fraction*near(bench, 0.02), 2), "0.15", fixed(c.dry, 2), "whole", "outside laboratory A")
			}
			screened := takeRound(cores, "vm", roundPlan{p.label, p.date, nil, screenedGreens}, h.rounds[i], h.greens)
			addSamples(samples, courseID, screened, "")
			for _, c := range screened { // the screen takes out the coarse roots and the verdure
				results.add(c.sample, fixed(100*c.fraction*0.62*near(bench, 0.05), 2), "", "", "screened", "outside laboratory B")
			}
			continue
		}
		burnRound(oven, p, taken)
		if p.date.Year()%2 == 0 {
			for _, c := range taken {
				if sievesAsh(c) {
					addSieve(sieve, "sample:"+c.sample, sieved(shaker, c.sands, oven.burned[c.sample], 0.002))
				}
			}
		}
	}
	return samples, results, oven.table, sieve
}
