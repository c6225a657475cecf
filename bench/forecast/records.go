package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"
)

// records are the measured means of a course's rounds, percent: by layer top, in order of days.
type records map[float64][]round

type round struct {
	years float64 // since 1970
	mean  float64
}

func readTable(path string) ([]map[string]string, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close() //nolint:errcheck // read only
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = r[i]
		}
		out = append(out, m)
	}
	return out, nil
}

// readRecords takes plain means of what was measured, as a person with a calculator would.
func readRecords(folder string) (records, error) {
	om := map[string]float64{}
	weighings, err := readTable(filepath.Join(folder, "weighings.csv"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, w := range weighings {
		if w["kind"] == "sample" {
			tare, dry, ash := number(w["tare_g"]), number(w["dry_g"]), number(w["ash_g"])
			om[w["sample"]] = 100 * (dry - ash) / (dry - tare)
		}
	}
	results, err := readTable(filepath.Join(folder, "results.csv"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, r := range results {
		om[r["sample"]] = number(r["om_percent"])
	}
	samples, err := readTable(filepath.Join(folder, "samples.csv"))
	if err != nil {
		return nil, err
	}
	type key struct {
		top  float64
		date string
	}
	sums, counts := map[key]float64{}, map[key]float64{}
	for _, s := range samples {
		if v, ok := om[s["sample"]]; ok {
			k := key{number(s["top_mm"]), s["date"]}
			sums[k], counts[k] = sums[k]+v, counts[k]+1
		}
	}
	out := records{}
	for k, sum := range sums {
		out[k.top] = append(out[k.top], round{years(k.date), sum / counts[k]})
	}
	for _, list := range out {
		sortRounds(list)
	}
	return out, nil
}

func number(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

func years(date string) float64 {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return 0
	}
	return float64(t.Unix()) / 86400 / 365.25
}
