package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"
)

// truth is what the generator of a virtual course knows about it.
type truth struct {
	Course       string  `json:"course"`
	Cut          string  `json:"cut"`
	FirmnessLow  float64 `json:"firmness_low"`
	FirmnessHigh float64 `json:"firmness_high"`
	Firmness     float64 `json:"firmness_2023"`
	Moisture     float64 `json:"moisture_2023"`
	Layers       []struct {
		Date  string  `json:"date"`
		Green string  `json:"green"`
		Top   float64 `json:"top_mm"`
		OM    float64 `json:"om_percent"`
	} `json:"layers"`
}

func readTruth(path string) (truth, error) {
	var t truth
	text, err := os.ReadFile(path)
	if err != nil {
		return t, err
	}
	if err := json.Unmarshal(text, &t); err != nil {
		return t, fmt.Errorf("truth %s: %w", path, err)
	}
	return t, nil
}

// sampled tells which greens were sampled on which days, by the top of the layer [mm].
func sampled(folder string) (map[float64]map[string][]string, error) {
	file, err := os.Open(filepath.Join(folder, "samples.csv"))
	if err != nil {
		return nil, err
	}
	defer file.Close() //nolint:errcheck // read only
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file.Name(), err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	out := map[float64]map[string][]string{}
	for _, r := range rows[1:] {
		top, err := strconv.ParseFloat(r[at["top_mm"]], 64)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file.Name(), err)
		}
		if out[top] == nil {
			out[top] = map[string][]string{}
		}
		date := r[at["date"]]
		out[top][date] = append(out[top][date], r[at["green"]])
	}
	return out, nil
}

// layerTruth is the noise-free side of one layer of one course.
type layerTruth struct {
	slope   float64 // least squares through the mean of the greens ever sampled, on every sampled day [points a year]
	patchy  float64 // the same with each day's own greens
	sd      float64 // between those greens on the last sampled day [points]
	sdAll   float64 // the same, root mean square over the days
	levels  map[string]float64
	growing float64 // least-squares slope of the spread between the greens [points a year]
	drift   float64 // standard deviation of the greens' own slopes [points a year]
}

func (t truth) layer(top float64, days map[string][]string) layerTruth {
	om := map[string]map[string]float64{}
	for _, l := range t.Layers {
		if l.Top == top {
			if om[l.Date] == nil {
				om[l.Date] = map[string]float64{}
			}
			om[l.Date][l.Green] = l.OM
		}
	}
	var greens, dates []string
	for date, gs := range days {
		dates = append(dates, date)
		for _, g := range gs {
			if !slices.Contains(greens, g) {
				greens = append(greens, g)
			}
		}
	}
	slices.Sort(dates)
	slices.Sort(greens)
	var at, same, own, spread []float64
	of := make([][]float64, len(greens))
	out := layerTruth{levels: map[string]float64{}}
	for _, date := range dates {
		day, _ := time.Parse(time.DateOnly, date)
		at = append(at, day.Sub(time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)).Hours()/24/365.25)
		var all, some []float64
		for i, g := range greens {
			all = append(all, om[date][g])
			of[i] = append(of[i], om[date][g])
			if slices.Contains(days[date], g) {
				some = append(some, om[date][g])
			}
			out.levels[g] = om[date][g] // the last day stands
		}
		same, own = append(same, mean(all)), append(own, mean(some))
		spread = append(spread, deviation(all))
		out.sd = deviation(all)
		out.sdAll += deviation(all) * deviation(all) / float64(len(dates))
	}
	out.sdAll = math.Sqrt(out.sdAll)
	out.slope, out.patchy, out.growing = slope(at, same), slope(at, own), slope(at, spread)
	var slopes []float64
	for _, line := range of {
		slopes = append(slopes, slope(at, line))
	}
	out.drift = deviation(slopes)
	return out
}

// direction is what the noise-free season mean of firmness asks, and how far it is from the nearest edge of the band.
func (t truth) direction() (verdict string, apart float64) {
	apart = min(math.Abs(t.Firmness-t.FirmnessLow), math.Abs(t.Firmness-t.FirmnessHigh))
	switch {
	case t.Firmness < t.FirmnessLow:
		return "lower", apart
	case t.Firmness > t.FirmnessHigh:
		return "raise", apart
	}
	return "hold", apart
}

// The band that every virtual course wants of soil water, % by volume.
const wettest, driest = 24, 14

// both is what firmness and, where that is in its band, soil water ask together.
func (t truth) both() string {
	v, _ := t.direction()
	switch {
	case v != "hold":
		return v
	case t.Moisture < driest:
		return "raise"
	case t.Moisture > wettest:
		return "lower"
	}
	return v
}

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func deviation(x []float64) float64 {
	m := mean(x)
	var ss float64
	for _, v := range x {
		ss += (v - m) * (v - m)
	}
	return math.Sqrt(ss / float64(len(x)-1))
}

// slope is the ordinary least-squares slope of y on x; NaN where x does not vary.
func slope(x, y []float64) float64 {
	mx, my := mean(x), mean(y)
	var xx, xy float64
	for i := range x {
		xx += (x[i] - mx) * (x[i] - mx)
		xy += (x[i] - mx) * (y[i] - my)
	}
	return xy / xx
}
