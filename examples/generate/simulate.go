package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"
)

// truths are what the fitted models will never be told.
type truths struct {
	Surface    float64 `json:"first_surface_percent"`
	Deep       float64 `json:"first_deep_percent"`
	Shape      float64 `json:"first_shape_mm"`
	Made       float64 `json:"made_at_full_growth_kg_m2_day"` // κ, at 100 kg N/ha a year
	Spread     float64 `json:"made_depth_mm"`                 // λ
	Decay      float64 `json:"decay_at_20_c_per_year"`        // k
	Q10        float64 `json:"decay_q10"`
	ByNitrogen float64 `json:"growth_power_of_nitrogen"` // κ grows with (N/100 kg/ha)^this
}

// history is what happened to every green of a course.
type history struct {
	truths truths
	greens []green
	days   []weatherDay
	top    [][]float64 // by green and day: fraction of organic matter in 0–20 mm
	rounds []snapshot
	last   []*column
	first  []*column
}

// snapshot is every column on the morning of a round.
type snapshot struct {
	date    time.Time
	columns []*column
}

func (c *column) clone() *column { return &column{slices.Clone(c.parcels), c.ledger} }

// simulate runs every green through weather and work, keeping the columns as they were on the given mornings.
func simulate(t truths, greens []green, weather []weatherDay, log []entry, rounds []time.Time) history {
	h := history{truths: t, greens: greens, days: weather, top: make([][]float64, len(greens))}
	soil, landing := soilTemperatures(weather), chance(chanceSpreading)
	nitrogen := nitrogenByYear(log)
	var columns []*column
	for _, g := range greens {
		deep := t.Deep * math.Sqrt(g.rich)
		columns = append(columns, newColumn(t.Surface*g.rich/100, deep/100, t.Shape))
	}
	h.first = cloneAll(columns)
	for d := range weather {
		now := firstDay.AddDate(0, 0, d)
		if slices.ContainsFunc(rounds, now.Equal) {
			h.rounds = append(h.rounds, snapshot{now, cloneAll(columns)})
		}
		index := growthPotential(soil[d]) * math.Pow(nitrogen[now.Year()]/100, t.ByNitrogen)
		rot := 1 - math.Exp(-t.Decay/365.25*math.Pow(t.Q10, (soil[d]-20)/10))
		for i, g := range greens {
			columns[i].grow(t.Made*index*g.vigour, t.Spread)
			columns[i].decay(rot)
		}
		for _, e := range log {
			if e.date.Equal(now) && !e.planned {
				doWork(landing, e, greens, columns)
			}
		}
		for i := range greens {
			h.top[i] = append(h.top[i], columns[i].between(0, topWindow).fraction())
		}
	}
	h.last = columns
	return h
}

// doWork applies one entry to the greens it names; each event lands a little more or less than was written down.
func doWork(r *rand.Rand, e entry, greens []green, columns []*column) {
	event := near(r, 0.05)
	for i, g := range greens {
		if e.green == "" || e.green == g.id {
			e.apply(columns[i], event*g.spread)
		}
	}
}

func nitrogenByYear(log []entry) map[int]float64 {
	sum := map[int]float64{}
	for _, e := range log {
		if e.green == "" {
			sum[e.date.Year()] += e.nitrogen
		}
	}
	return sum
}

func cloneAll(columns []*column) []*column {
	var all []*column
	for _, c := range columns {
		all = append(all, c.clone())
	}
	return all
}
