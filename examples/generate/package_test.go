package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rows reads one made table as maps by heading; a package without the table has no rows.
func rows(t *testing.T, files map[string][]byte, name string) []map[string]string {
	t.Helper()
	data, ok := files[name]
	if !ok {
		return nil
	}
	all, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var out []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			row[h] = cells[i]
		}
		out = append(out, row)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// keyed checks that the columns named are a key and gives the set of keys.
func keyed(t *testing.T, name string, table []map[string]string, columns ...string) map[string]bool {
	t.Helper()
	set := map[string]bool{}
	for i, row := range table {
		var parts []string
		for _, c := range columns {
			parts = append(parts, row[c])
		}
		key := strings.Join(parts, "|")
		if set[key] {
			t.Errorf("%s:%d: key %s twice", name, i+2, key)
		}
		set[key] = true
	}
	return set
}

func TestKeysResolve(t *testing.T) {
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{"varrowmere/", "second/"} {
		read := func(name string, key ...string) ([]map[string]string, map[string]bool) {
			table := rows(t, files, p+name)
			return table, keyed(t, p+name, table, key...)
		}
		_, courses := read("courses.csv", "course")
		greens, greenKeys := read("greens.csv", "course", "green")
		samples, sampleKeys := read("samples.csv", "sample")
		weighings, _ := read("weighings.csv", "sample", "crucible")
		results, resultKeys := read("results.csv", "sample")
		work, _ := read("work.csv", "entry")
		readings, _ := read("readings.csv", "reading")
		weather, _ := read("weather.csv", "course", "date")
		_, sands := read("sands.csv", "sand")
		sieve, _ := read("sieve.csv", "source", "sieve_mm")
		_, controls := read("controls.csv", "control")
		targets, _ := read("targets.csv", "course", "kind")
		must := func(ok bool, where string, row map[string]string) {
			if !ok {
				t.Errorf("%s%s: does not resolve: %v", p, where, row)
			}
		}
		keyed(t, p+"samples.csv", samples, "course", "green", "date", "top_mm")
		for _, r := range greens {
			must(courses[r["course"]] && sands[r["rootzone_sand"]], "greens.csv", r)
		}
		for _, r := range append(samples, readings...) {
			must(greenKeys[r["course"]+"|"+r["green"]], "samples or readings", r)
		}
		weighed := map[string]bool{}
		for _, r := range weighings {
			switch r["kind"] {
			case "control":
				must(controls[r["sample"]], "weighings.csv", r)
			case "blank":
				must(!sampleKeys[r["sample"]], "weighings.csv", r)
			default:
				must(sampleKeys[r["sample"]], "weighings.csv", r)
				weighed[r["sample"]] = true
			}
		}
		for _, r := range results {
			must(sampleKeys[r["sample"]] && !weighed[r["sample"]], "results.csv", r)
		}
		for s := range sampleKeys {
			if !weighed[s] && !resultKeys[s] {
				t.Errorf("%ssamples.csv: %s has neither weighings nor a result", p, s)
			}
		}
		for _, r := range work {
			must(courses[r["course"]] && (r["green"] == "" || greenKeys[r["course"]+"|"+r["green"]]), "work.csv", r)
			must(r["sand"] == "" || sands[r["sand"]], "work.csv", r)
		}
		for _, r := range append(weather, targets...) {
			must(courses[r["course"]], "weather or targets", r)
		}
		for _, r := range sieve {
			kind, id, _ := strings.Cut(r["source"], ":")
			must(kind == "sand" && sands[id] || kind == "sample" && sampleKeys[id], "sieve.csv", r)
		}
	}
}

func TestMassesAndAmountsArePossible(t *testing.T) {
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{"varrowmere/", "second/"} {
		density := map[string]float64{}
		for _, r := range rows(t, files, p+"sands.csv") {
			density[r["sand"]] = number(t, r["bulk_density_kg_m3"])
		}
		for _, r := range rows(t, files, p+"weighings.csv") {
			tare, dry, ash := number(t, r["tare_g"]), number(t, r["dry_g"]), number(t, r["ash_g"])
			if tare <= 0 || dry < ash || ash < tare || r["moist_g"] != "" && number(t, r["moist_g"]) < dry {
				t.Errorf("%sweighings.csv: impossible masses: %v", p, r)
			}
		}
		both := 0
		for _, r := range rows(t, files, p+"work.csv") {
			if r["sand_mm"] == "" || r["sand_kg_m2"] == "" {
				continue
			}
			both++
			if x := number(t, r["sand_mm"]) * density[r["sand"]] / 1000 / number(t, r["sand_kg_m2"]); math.Abs(x-1) > 0.02 {
				t.Errorf("%swork.csv: sand given twice disagrees by %.1f %%: %v", p, 100*(x-1), r)
			}
		}
		if p == "varrowmere/" && both < 5 {
			t.Errorf("%swork.csv: sand given as mm and kg/m² %d times, want some", p, both)
		}
		for _, r := range rows(t, files, p+"samples.csv") {
			d, n := number(t, r["core_diameter_mm"]), number(t, r["cores"])
			volume := n * math.Pi * d * d / 4 * (number(t, r["bottom_mm"]) - number(t, r["top_mm"])) / 1000
			if volume < 30 || volume > 150 {
				t.Errorf("%ssamples.csv: %.1f cm³ is outside 30–150 cm³: %v", p, volume, r)
			}
		}
	}
}

func TestOutlinesMatchAreas(t *testing.T) {
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{"varrowmere/", "second/"} {
		var c collection
		if err := json.Unmarshal(files[p+"greens.geojson"], &c); err != nil {
			t.Fatal(err)
		}
		greens := rows(t, files, p+"greens.csv")
		if len(c.Features) != len(greens) {
			t.Fatalf("%s: %d outlines of %d greens", p, len(c.Features), len(greens))
		}
		for i, f := range c.Features {
			ring := f.Geometry.Coordinates[0]
			want, got := number(t, greens[i]["area_m2"]), ringArea(ring) // positive: counter-clockwise
			if f.Properties.Green != greens[i]["green"] || ring[0] != ring[len(ring)-1] || math.Abs(got/want-1) > 0.02 {
				t.Errorf("%s%s: outline encloses %.1f m² counter-clockwise, greens.csv says %g m²", p, f.Properties.Green, got, want)
			}
			if want < 380 || want > 700 {
				t.Errorf("%s%s: %g m² is no usual green", p, f.Properties.Green, want)
			}
		}
	}
}

func TestStoryHolds(t *testing.T) {
	h, log := lived().history, lived().log
	mean := func(s snapshot) float64 {
		sum := 0.0
		for _, c := range s.columns {
			sum += 100 * c.between(0, topWindow).fraction() / float64(len(s.columns))
		}
		return sum
	}
	first, last := h.rounds[0], h.rounds[len(h.rounds)-1]
	if m := mean(first); m < 4.6 || m > 5.4 {
		t.Errorf("0–20 mm begins at %.2f %%, the story says about 5 %%", m)
	}
	if m := mean(last); m < 6.7 || m > 7.5 {
		t.Errorf("0–20 mm ends at %.2f %%, the story says about 7 %%", m)
	}
	sand := map[int]float64{}
	for _, e := range log {
		if e.kind == "topdress" && e.green == "" && !e.planned {
			sand[e.date.Year()] += max(e.mm, e.kg/1.54)
		}
	}
	if sand[2021] < 6.4 || sand[2021] > 7.6 || sand[2026] < 3.6 || sand[2026] > 4.5 {
		t.Errorf("topdressing was %.2f mm in 2021 and %.2f mm in 2026, the story says about 7 and about 4", sand[2021], sand[2026])
	}
	ninth := 100 * last.columns[8].between(0, topWindow).fraction()
	if ninth < mean(last)+0.8 {
		t.Errorf("green 9 holds %.2f %%, the course %.2f %%: it should stand out", ninth, mean(last))
	}
}

func TestLastSeasonIsSoftAndWet(t *testing.T) {
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	values := map[string][]float64{}
	for _, r := range rows(t, files, "varrowmere/readings.csv") {
		key := r["kind"] + " " + r["date"][:4]
		values[key] = append(values[key], number(t, r["value"]))
	}
	mean := func(key string) float64 {
		sum := 0.0
		for _, v := range values[key] {
			sum += v
		}
		return sum / float64(len(values[key]))
	}
	if m := mean("firmness_gmax 2026"); m >= 84 {
		t.Errorf("firmness in 2026 is %.1f, want below the 85 the manager asks for", m)
	}
	if m := mean("moisture_vwc_percent 2026"); m <= 22.5 {
		t.Errorf("water content in 2026 is %.1f %%, want above the 22 %% the manager asks for", m)
	}
	if m := mean("firmness_gmax 2022"); m < 85 || m > 100 {
		t.Errorf("firmness in 2022 is %.1f, want within 85 to 100", m)
	}
}

func TestBenchHasSomethingToSay(t *testing.T) {
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	kinds, cold, crucibles := map[string]int{}, 0, map[string]int{}
	for _, r := range rows(t, files, "varrowmere/weighings.csv") {
		kinds[r["kind"]]++
		if r["ash_c"] != "440" {
			cold++
		}
		if r["kind"] == "sample" {
			crucibles[r["sample"]]++
		}
	}
	several := 0
	for _, n := range crucibles {
		if n > 1 {
			several++
		}
	}
	if kinds["control"] < 20 || kinds["blank"] < 10 || kinds["duplicate"] < 8 || cold != 1 || several < 4 {
		t.Errorf("weighings %v, %d burnt cold, %d composites in several crucibles", kinds, cold, several)
	}
	methods := map[string]int{}
	for _, r := range rows(t, files, "varrowmere/results.csv") {
		methods[r["method"]]++
	}
	if methods["whole"] != 12 || methods["screened"] != 2 {
		t.Errorf("results by method %v, want 12 whole and 2 screened", methods)
	}
	if none := []string{"readings.csv", "targets.csv"}; slices.ContainsFunc(none, func(n string) bool { return files["second/"+n] != nil }) {
		t.Error("the second course has readings or targets, want neither")
	}
}
