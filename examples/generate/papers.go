package main

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// Who had the bags, by trade; nobody in the example has a name.
const (
	byCrew  = "greens crew"
	byAdvis = "agronomist"
	byBench = "bench"
)

// trayRows and trayColumns are the places in the furnace.
const trayRows, trayColumns = 4, 4

// unsigned is the bag for which nobody signed when it came to the bench.
const unsigned = "vm-2026-autumn-g12-40-60"

// papers are the tables that say who had what in hand, and where it stood: custody, furnace runs, trays, sievings, fixed points.
func papers(h history, samples, weighings, sieve *table) []*table {
	return []*table{custodyTable(samples, weighings), runsTable(weighings), trayTable(weighings), sievingsTable(sieve), pointsTable(h.greens)}
}

// runDay is the day a run was burnt: three days after the round, and a day more for each run before it.
func runDay(run string) (time.Time, bool) {
	for _, p := range roundPlans {
		var n int
		if _, err := fmt.Sscanf(run, "vm-"+p.label+"-%d", &n); err == nil {
			return p.date.AddDate(0, 0, 2+n), true
		}
	}
	return time.Time{}, false
}

// runsOf lists the furnace runs of the weighings in order.
func runsOf(weighings *table) []string {
	var out []string
	for _, row := range weighings.rows {
		if run := row[2]; len(out) == 0 || out[len(out)-1] != run {
			out = append(out, run)
		}
	}
	return out
}

func runsTable(weighings *table) *table {
	t := newTable("runs.csv", "furnace_run,date,by,furnace,balance,dry_c,dry_hours,ash_c,ash_hours,tray_rows,tray_columns,note")
	temperature := map[string]string{}
	for _, row := range weighings.rows {
		temperature[row[2]] = row[8]
	}
	for _, run := range runsOf(weighings) {
		day, ok := runDay(run)
		if !ok {
			continue
		}
		note := ""
		if temperature[run] != "440" {
			note = "cold corner: the door did not close"
		}
		t.add(run, dayText(day), byBench, "chamber furnace", "three-place balance", "105", "24", temperature[run], "8", fmt.Sprint(trayRows), fmt.Sprint(trayColumns), note)
	}
	return t
}

// trayTable puts the crucibles of each run on their places, row by row, in the order in which they were weighed.
func trayTable(weighings *table) *table {
	t := newTable("tray.csv", "furnace_run,place,crucible")
	n, run := 0, ""
	for _, row := range weighings.rows {
		if row[2] != run {
			n, run = 0, row[2]
		}
		if n < trayRows*trayColumns {
			t.add(run, fmt.Sprintf("%c%d", 'A'+n/trayColumns, n%trayColumns+1), row[1])
		}
		n++
	}
	return t
}

// custodyTable follows the bags of the last two rounds; one of them was not signed for on its way.
func custodyTable(samples, weighings *table) *table {
	t := newTable("custody.csv", "sample,step,date,by,note")
	burnt := map[string]time.Time{}
	for _, row := range weighings.rows {
		if day, ok := runDay(row[2]); ok {
			burnt[row[0]] = day
		}
	}
	for _, p := range roundPlans[len(roundPlans)-2:] {
		for _, row := range samples.rows {
			sample := row[0]
			if row[3] != p.label || burnt[sample].IsZero() {
				continue
			}
			step := func(name string, day time.Time, by string) { t.add(sample, name, dayText(day), by, "") }
			step("cut", p.date, byCrew)
			step("bagged", p.date, byCrew)
			step("sent", p.date.AddDate(0, 0, 1), byAdvis)
			if sample != unsigned {
				step("received", p.date.AddDate(0, 0, 2), byBench)
			}
			step("weighed", burnt[sample].AddDate(0, 0, -1), byBench)
			step("burnt", burnt[sample], byBench)
			step("reported", p.date.AddDate(0, 0, 7), byAdvis)
		}
	}
	return t
}

// sievingsTable says what the sands weighed before they were sieved: what was found on the sieves, and 0.4 % that stayed in
// the mesh.
func sievingsTable(sieve *table) *table {
	t := newTable("sievings.csv", "source,date,by,start_mass_g,washed_g,note")
	for _, id := range []string{rootID, oldID, newID} {
		sum := 0.0
		for _, row := range sieve.rows {
			if mass, err := strconv.ParseFloat(row[2], 64); err == nil && row[0] == "sand:"+id {
				sum += mass
			}
		}
		day := on(2021, 9, 20)
		if id == newID {
			day = on(2024, 2, 12)
		}
		t.add("sand:"+id, dayText(day), byBench, fixed(1.004*sum, 2), "", "dry, not washed")
	}
	return t
}

// pointsTable gives three sprinkler heads around each green that is sampled, a metre and a half outside its edge.
func pointsTable(greens []green) *table {
	t := newTable("points.csv", "course,green,point,longitude_deg,latitude_deg,about")
	sampled := map[string]bool{}
	for _, id := range studied {
		sampled[id] = true
	}
	for _, g := range greens {
		if !sampled[g.id] {
			continue
		}
		ring := g.outline[:len(g.outline)-1]
		var x, y float64
		for _, c := range ring {
			x, y = x+c[0]/float64(len(ring)), y+c[1]/float64(len(ring))
		}
		perDegree := earthRadius * math.Pi / 180
		for i, name := range []string{"A", "B", "C"} {
			c := ring[(2+9*i)%len(ring)]
			east, north := (c[0]-x)*perDegree*math.Cos(y*math.Pi/180), (c[1]-y)*perDegree
			out := 1 + 1.5/math.Hypot(east, north)
			t.add(courseID, g.id, name, fixed(x+(c[0]-x)*out, 7), fixed(y+(c[1]-y)*out, 7), "sprinkler head")
		}
	}
	return t
}

func dayText(d time.Time) string { return d.Format("2006-01-02") }
