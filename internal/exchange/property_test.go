package exchange

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"underfoot"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Whatever records a course has, writing and reading them gives the same records.
func TestWriteThenReadIsIdentity(t *testing.T) {
	root := t.TempDir()
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		dir := filepath.Join(root, strconv.Itoa(n))
		want := drawRecords(rt)
		if err := Write(t.Context(), dir, []*underfoot.Records{want}); err != nil {
			rt.Fatal(err)
		}
		defer os.RemoveAll(dir)
		var c Collector
		_, err := Read(t.Context(), dir, Options{Sink: c.Add, OnProblem: func(p Problem) { rt.Error(p) }})
		if err != nil {
			rt.Fatal(err)
		}
		got := c.Courses()
		if len(got) != 1 {
			rt.Fatalf("%d courses", len(got))
		}
		if diff := cmp.Diff(cellsOf(want), cellsOf(got[0])); diff != "" {
			rt.Fatal(diff)
		}
	})
}

// cellsOf returns all records of a course as text, by table and key.
func cellsOf(rs *underfoot.Records) map[string]map[string]string {
	out := map[string]map[string]string{}
	rs.Each(func(r underfoot.Record) { out[r.Table().Name+" "+r.Table().Key(r).String()] = r.Table().Cells(r) })
	return out
}

// drawRecords makes the records of course "a" out of the descriptions of the tables, and mends what single columns
// do not know of one another.
func drawRecords(t *rapid.T) *underfoot.Records {
	rs := &underfoot.Records{}
	for _, table := range underfoot.Tables() {
		n := rapid.IntRange(0, 4).Draw(t, table.Name)
		if table == underfoot.Courses {
			n = 1
		}
		for i := range n {
			if r := drawRecord(t, table, i, rs); r != nil {
				rs.Add(r)
			}
		}
	}
	return rs
}

func drawRecord(t *rapid.T, table *underfoot.Table, n int, rs *underfoot.Records) underfoot.Record {
	cells := map[string]string{}
	for i := range table.Columns {
		c := &table.Columns[i]
		if c.Need || rapid.Bool().Draw(t, "known") {
			cells[c.Name] = drawCell(t, c)
		}
	}
	for _, name := range []string{"mood", "a;b", "quoted \"name\""} {
		if rapid.IntRange(0, 5).Draw(t, "unknown") == 0 {
			cells[name] = drawText(t)
		}
	}
	if !mend(table, cells, n, rs) {
		return nil
	}
	for name, text := range cells {
		if text == "" {
			delete(cells, name)
		}
	}
	r, err := table.FromCells("a", cells)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Check()) > 0 {
		return nil
	}
	return r
}

func drawCell(t *rapid.T, c *underfoot.Column) string {
	low, high := 0.0, 50.0
	switch {
	case c.OneOf != nil:
		return rapid.SampledFrom(c.OneOf).Draw(t, c.Name)
	case c.Min != nil:
		low = *c.Min
	case c.Above != nil:
		low = *c.Above + 0.001
	}
	if c.Max != nil {
		high = min(*c.Max, low+50)
	}
	switch c.Kind {
	case underfoot.Number:
		digits := rapid.IntRange(-1, 4).Draw(t, "digits")
		text := strconv.FormatFloat(rapid.Float64Range(low, high).Draw(t, c.Name), 'f', digits, 64)
		if v, _ := strconv.ParseFloat(text, 64); v < low || v > high {
			return underfoot.FormatNumber(low)
		}
		return text
	case underfoot.Whole:
		return strconv.Itoa(rapid.IntRange(int(low)+1, int(high)).Draw(t, c.Name))
	case underfoot.Day:
		return underfoot.Date(rapid.IntRange(0, 20000).Draw(t, c.Name)).String()
	}
	return drawText(t)
}

func drawText(t *rapid.T) string {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"plain", " spaced ", "a,b", "a;b", `say "x"`, "two\nlines", "CR\rLF\r\n", "=1+1", "Grün – 3 °C", `\.`, "'", "\ufeff"}),
		rapid.StringN(1, 8, -1),
	).Filter(func(s string) bool { return !strings.ContainsRune(s, 0) && strings.ToValidUTF8(s, "") == s }).Draw(t, "text")
}

// mend gives a record a key of its own and references to what is there; false when there is nothing to refer to.
func mend(table *underfoot.Table, cells map[string]string, n int, rs *underfoot.Records) bool {
	for i := range table.Columns {
		c := &table.Columns[i]
		switch {
		case c.Name == "course":
			cells[c.Name] = "a"
		case c.Refers == "greens" && len(rs.Greens) > 0:
			cells[c.Name] = rs.Greens[n%len(rs.Greens)].ID
		case c.Refers == "sands" && len(rs.Sands) > 0:
			cells[c.Name] = rs.Sands[n%len(rs.Sands)].ID
		case c.Refers == "samples" && n < len(rs.Samples):
			cells[c.Name] = rs.Samples[n].ID
		case c.Refers != "" && c.Need:
			return false
		case c.Refers != "":
			delete(cells, c.Name)
		case c.Key && c.Kind == underfoot.Text && c.OneOf == nil:
			cells[c.Name] = strconv.Itoa(n) + strings.TrimSpace(cells[c.Name]) + "."
		}
	}
	switch table {
	case underfoot.Courses:
		cells["time_zone"] = "Europe/London"
	case underfoot.Samples:
		cells["round"] = strconv.Itoa(n)
	case underfoot.Weighings:
		delete(cells, "tare_g")
		delete(cells, "moist_g")
		delete(cells, "dry_g")
		if cells["kind"] = "blank"; len(rs.Samples) > 0 {
			cells["kind"], cells["sample"] = "sample", rs.Samples[0].ID
		}
	case underfoot.Results:
		return len(rs.Weighings) == 0
	case underfoot.WorkLog:
		delete(cells, "sand_mm")
	case underfoot.Documents:
		delete(cells, "logo")
	case underfoot.Sievings:
		delete(cells, "washed_g")
		if n >= len(rs.Samples) {
			return false
		}
		cells["source"] = "sample:" + rs.Samples[n].ID
	case underfoot.SieveMasses:
		cells["sieve_mm"] = strconv.Itoa(n) + ".50"
		if len(rs.Samples) == 0 {
			return false
		}
		cells["source"] = "sample:" + rs.Samples[0].ID
	case underfoot.Outlines:
		cells["feature"] = strings.Replace(featureOf("x", square), `"x"`, strconv.Quote(cells["green"]), 1)
		o, problem := outlineOf([]byte(cells["feature"]))
		if problem != "" || n >= len(rs.Greens) {
			return false
		}
		for name := range cells {
			delete(cells, name)
		}
		cells["course"], cells["green"], cells["feature"] = o.Course, o.Green, o.Feature
	case underfoot.Targets:
		return !slices.ContainsFunc(rs.Targets, func(x underfoot.Target) bool { return x.Kind == cells["kind"] })
	case underfoot.Closings, underfoot.Crews:
		cells["from"] = underfoot.Date(n).String()
		if table == underfoot.Closings {
			cells["until"] = cells["from"]
		}
	case underfoot.TrayPlaces:
		cells["place"] = "C" + strconv.Itoa(n+8)
	case underfoot.Repeats:
		delete(cells, "hours")
		if cells["kind"] = "blank"; len(rs.Samples) > 0 {
			cells["kind"], cells["sample"] = "duplicate", rs.Samples[0].ID
		}
	case underfoot.RoundPlans:
		cells["layers"] = "0-20 20-" + strconv.Itoa(n+40)
		delete(cells, "full_greens")
	case underfoot.Mappings:
		cells["rule"] = `{"rows": [1, "a"]}`
	case underfoot.Operations:
		delete(cells, "sand_low_mm")
		delete(cells, "disturbed_days_half")
		delete(cells, "tine_diameter_mm")
		delete(cells, "blade_width_mm")
	case underfoot.Closings:
		cells["from"] = underfoot.Date(n).String()
		cells["until"], cells["why"] = cells["from"], "tournament"
	case underfoot.Crews:
		cells["from"], cells["hours_per_week"] = underfoot.Date(n).String(), "40.0"
	case underfoot.WeatherDays, underfoot.Judgements:
		cells["date"] = underfoot.Date(n).String()
	}
	return true
}
