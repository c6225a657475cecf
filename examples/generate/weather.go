package main

import (
	"math"
	"math/rand/v2"
	"time"
)

var (
	firstDay = on(2021, 1, 1)
	lastDay  = on(2026, 11, 20)
)

// weatherDay is one day as a screen and a rain gauge give it.
type weatherDay struct {
	low, high, rain float64 // °C, °C, mm
}

func (d weatherDay) mean() float64 { return (d.low + d.high) / 2 }

// wetness multiplies the chance of rain in the growing season: a dry 2022, a wet 2026.
var wetness = map[int]float64{2021: 0.95, 2022: 0.78, 2023: 1.0, 2024: 1.05, 2025: 1.0, 2026: 1.22}

// simulateWeather draws days from the first to the last of the records: a yearly wave, spells of a week or so
// (first-order autoregression), and wet and dry days that follow their like.
func simulateWeather(r *rand.Rand, annualMean float64) []weatherDay {
	var days []weatherDay
	spell, wet := 0.0, true
	for t := firstDay; !t.After(lastDay); t = t.AddDate(0, 0, 1) {
		wave := math.Cos(2 * math.Pi * float64(t.YearDay()-203) / 365.25)
		spell = 0.7*spell + 1.6*r.NormFloat64()
		chanceOfRain := 0.33
		if wet {
			chanceOfRain = 0.60
		}
		if m := t.Month(); m >= time.April && m <= time.October {
			chanceOfRain *= wetness[t.Year()]
		}
		wet = r.Float64() < chanceOfRain
		spread, rain := 7.6+1.8*wave+1.2*r.NormFloat64(), 0.0
		if wet {
			spread -= 1.6
			rain = round(r.ExpFloat64()*(4.4-0.6*wave)+0.2, 1)
		}
		spread = max(spread, 2)
		mean := annualMean + 5.4*wave + spell
		days = append(days, weatherDay{round(mean-spread/2, 1), round(mean+spread/2, 1), rain})
	}
	return days
}

// soilTemperatures follow the air with a memory of about a week [°C].
func soilTemperatures(days []weatherDay) []float64 {
	soil := make([]float64, len(days))
	t := days[0].mean()
	for i, d := range days {
		t += (d.mean() - t) / 7
		soil[i] = t
	}
	return soil
}

// antecedent rain: yesterday's carried over at 0.85 a day, plus today's [mm].
func antecedentRain(days []weatherDay) []float64 {
	rain := make([]float64, len(days))
	for i, d := range days {
		if i > 0 {
			rain[i] = 0.85 * rain[i-1]
		}
		rain[i] += d.rain
	}
	return rain
}

func weatherTable(course string, days []weatherDay, from time.Time) *table {
	t := newTable("weather.csv", "course,date,tmin_c,tmax_c,rain_mm")
	for i, d := range days {
		if day := firstDay.AddDate(0, 0, i); !day.Before(from) {
			t.add(course, date(day), fixed(d.low, 1), fixed(d.high, 1), fixed(d.rain, 1))
		}
	}
	return t
}

// round gives x as an instrument with so many decimals shows it, without a negative zero.
func round(x float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(x*p)/p + 0
}
