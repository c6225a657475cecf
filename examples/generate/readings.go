package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"
)

const readingColumns = "reading,course,green,date,kind,value,depth_mm,n"

// readingsTable walks the studied greens with a hammer and a moisture probe some days of every season, rolls balls on
// half of them and pours water twice a year.
func readingsTable(h history) *table {
	t := newTable("readings.csv", readingColumns)
	r, rain := chance(chanceReadings), antecedentRain(h.days)
	add := func(g green, day time.Time, kind, value, depth string, n int) {
		t.add(fmt.Sprintf("vm-r%04d", len(t.rows)+1), courseID, g.id, date(day), kind, value, depth, fmt.Sprint(n))
	}
	for year := 2021; year <= 2026; year++ {
		visits := 9 + r.IntN(6)
		for v := range visits {
			day := on(year, 4, 13).AddDate(0, 0, int(math.Round(float64(v)*175/float64(visits-1)))+r.IntN(4))
			mood := r.NormFloat64() // what the day does to all greens
			for i, g := range h.greens {
				if !slices.Contains(studied, g.id) {
					continue
				}
				s := surface(r, 100*h.top[i][dayNumber(day)], rain[dayNumber(day)], g.wetter, mood)
				add(g, day, "firmness_gmax", fixed(s.firmness, 0), "", 9)
				add(g, day, "moisture_vwc_percent", fixed(s.water, 1), "60", 9)
				if slices.Contains(fullGreens, g.id) {
					add(g, day, "speed_m", fixed(s.speed, 2), "", 6)
				}
				if slices.Contains(fullGreens, g.id) && (v == 1 || v == visits-2) {
					add(g, day, "infiltration_mm_h", fixed(s.infiltration, 0), "", 3)
				}
			}
		}
	}
	return t
}

// surfaceState is what the instruments would say.
type surfaceState struct{ firmness, water, speed, infiltration float64 }

// surface makes readings from the organic matter of the top layer [%], the rain still about [mm], the green's own
// wetness [points] and the day's mood. Invented relations with much scatter: organic matter explains only part.
func surface(r *rand.Rand, om, rain, wetter, mood float64) surfaceState {
	water := 17.5 + 1.9*(om-5) + 0.16*min(rain-12, 30) + wetter + 1.1*mood + 1.1*r.NormFloat64()
	water = max(7, water)
	firm := 95 - 1.25*(water-17) - 2.4*(om-5) - 1.0*mood + 3.2*r.NormFloat64()
	speed := 2.95 - 0.05*(om-5) - 0.018*(water-17) + 0.10*r.NormFloat64()
	infiltration := 150 * math.Exp(-0.32*(om-5)+0.30*r.NormFloat64())
	return surfaceState{firm, water, speed, infiltration}
}
