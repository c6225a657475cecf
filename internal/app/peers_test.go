package app_test

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/store"
)

// courseOf is a course of four greens whose composites of the two top layers were reported around om percent.
func courseOf(id, species string, om float64, years ...int) []underfoot.Record {
	records := []underfoot.Record{&underfoot.Course{ID: id}}
	for g := range 4 {
		records = append(records, &underfoot.Green{Course: id, ID: fmt.Sprint(g), Species: species})
	}
	for _, year := range years {
		for g := range 4 {
			for layer := range 2 {
				name := fmt.Sprintf("%s-%d-%d-%d", id, year, g, layer)
				value := om*(1-0.3*float64(layer)) + 0.2*float64(g-1) - 0.1
				records = append(records,
					&underfoot.Sample{ID: name, Course: id, Green: fmt.Sprint(g), Round: fmt.Sprint(year), Date: underfoot.MakeDate(year, 10, 1), TopMM: float64(20 * layer), BottomMM: float64(20*layer + 20), Cores: underfoot.Some(5), CoreDiameterMM: underfoot.Some(20.0)},
					&underfoot.Result{Course: id, Sample: name, OMPercent: math.Round(value*1000) / 1000, Method: "whole"})
			}
		}
	}
	return records
}

func peerStore(t testing.TB, clubs ...[]underfoot.Record) *app.App {
	t.Helper()
	st, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "s.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	_, err = st.Change(t.Context(), "ann", "put courses in", func(tx underfoot.Tx) error {
		for _, c := range clubs {
			for _, r := range c {
				if _, err := tx.Put(r); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return app.New(st, func() time.Time { return now }, "ann")
}

func peersOf(t testing.TB, a *app.App, course string, tables []app.PeerRow) *app.PeersFound {
	t.Helper()
	p, err := a.Peers(t.Context(), course, tables)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func six(species string) [][]underfoot.Record {
	var out [][]underfoot.Record
	for i, om := range []float64{3.5, 4.2, 4.8, 5.1, 5.9, 6.6} {
		out = append(out, courseOf(fmt.Sprint("c", i), species, om, 2024, 2026))
	}
	return out
}

func TestPeersOfTheSameSpeciesAndLayer(t *testing.T) {
	clubs := append(six("Creeping  Bent"), courseOf("other", "fescue", 9, 2026), courseOf("old", "creeping bent", 9, 2019), courseOf("none", "", 9, 2026))
	a := peerStore(t, clubs...)
	p := peersOf(t, a, "c4", nil)
	if len(p.Layers) != 2 || p.Caution != findings.PeerCaution {
		t.Fatalf("%d layers, caution %q", len(p.Layers), p.Caution)
	}
	top := p.Layers[0]
	if top.Courses != 5 || top.Species != "creeping bent" || top.Year != 2026 || math.Abs(top.Measured-5.9) > 1e-9 {
		t.Errorf("top layer: %+v", top)
	}
	if *top.Percentile < 60 || *top.Percentile > 95 {
		t.Errorf("percentile %g of the second highest of six", *top.Percentile)
	}
	if diff := cmp.Diff([]string{"1 course last sampled more than 5 years before this one left out"}, p.Notes); diff != "" {
		t.Error(diff)
	}
	if got, want := peersOf(t, a, "other", nil).Layers[0].Why, "Nothing is shown: no other course has this species and layer on record, and it takes 5."; got != want {
		t.Errorf("another species: %q", got)
	}
	if got, want := peersOf(t, a, "none", nil).Why, "Nothing is shown: the greens of this course have no species on record, and peers are courses of the same species."; got != want {
		t.Errorf("no species: %q", got)
	}
	if _, err := a.Peers(t.Context(), "nowhere", nil); underfoot.KindOf(err) != underfoot.NotFound {
		t.Errorf("a course that is not there: %v", err)
	}
}

// What is remembered of a course gives way when its records change.
func TestPeersFollowTheRecords(t *testing.T) {
	a := peerStore(t, six("bent")...)
	before := *peersOf(t, a, "c0", nil).Layers[0].Percentile
	_, err := a.Store.Change(t.Context(), "ann", "sampled", func(tx underfoot.Tx) error {
		for _, r := range courseOf("c0", "bent", 8, 2026)[5:] {
			if _, err := tx.Put(r); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if after := *peersOf(t, a, "c0", nil).Layers[0].Percentile; before > 30 || after < 70 {
		t.Errorf("percentile %g before and %g after the highest value of all", before, after)
	}
}

// The summary of one adviser serves another: no course is named, and it stands in for the courses.
func TestPeersExchanged(t *testing.T) {
	var out bytes.Buffer
	written, err := peerStore(t, append(six("bent"), courseOf("x", "fescue", 4, 2026))...).ExportPeers(t.Context(), &out, "north")
	if err != nil {
		t.Fatal(err)
	}
	// Type 8 of 3.5, 4.2, 4.8, 5.1, 5.9, 6.6 at 0.25: h = 6⅓·0.25 + ⅓ = 1.917, so 3.5 + 0.917·0.7.
	want := `source,species,top_mm,bottom_mm,year,courses,mean_se_percent,q05_percent,q10_percent,q25_percent,q50_percent,q75_percent,q90_percent,q95_percent
north,bent,0,20,2026,6,0.129,,,4.142,4.95,5.958,,
north,bent,20,40,2026,6,0.129,,,2.899,3.465,4.171,,
`
	if diff := cmp.Diff(want, out.String()); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"fescue, 0–20 mm, 2026: 1 course, and 5 are needed", "fescue, 20–40 mm, 2026: 1 course, and 5 are needed"}, written.LeftOut); diff != "" {
		t.Error(diff)
	}
	tables, err := app.ReadPeerTable(&out, "north.csv")
	if err != nil {
		t.Fatal(err)
	}
	top := peersOf(t, peerStore(t, courseOf("mine", "Bent", 6.3, 2026)), "mine", tables).Layers[0]
	if top.Courses != 6 || top.FromTables != 6 || *top.Percentile < 65 {
		t.Errorf("%d courses, %d from the table, percentile %v", top.Courses, top.FromTables, *top.Percentile)
	}
	if _, err := peerStore(t, courseOf("mine", "bent", 6.3, 2026)).ExportPeers(t.Context(), &out, ""); underfoot.KindOf(err) != underfoot.Negative {
		t.Errorf("one course: %v", err)
	}
}

func TestPeerTableRefuses(t *testing.T) {
	const head = "species,top_mm,bottom_mm,year,courses,mean_se_percent,q25_percent,q50_percent,q75_percent\n"
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "t.csv: no heading: the first line must hold the columns source,species,top_mm,bottom_mm,year,courses,mean_se_percent,q05_percent,q10_percent,q25_percent,q50_percent,q75_percent,q90_percent,q95_percent"},
		{"no rows", head, "t.csv: no rows under the heading: a table of peers has one or more"},
		{"column", "om\n", `t.csv:1: column "om" is not known: allowed are source, species, top_mm, bottom_mm, year, courses, mean_se_percent, q05_percent, q10_percent, q25_percent, q50_percent, q75_percent, q90_percent, q95_percent`},
		{"twice", "year,year\n", `t.csv:1: column "year" is there twice`},
		{"missing", "species,top_mm\n", `t.csv:1: column "bottom_mm" is missing`},
		{"few", head + "bent,0,20,2026,4,0.3,4,5,6\n", `t.csv:2: courses: "4": allowed is a number from 5 to 1000000`},
		{"part of a course", head + "bent,0,20,2026,5.5,0.3,4,5,6\n", `t.csv:2: courses: "5.5": allowed is a whole number`},
		{"upside down", head + "bent,20,20,2026,9,0.3,4,5,6\n", `t.csv:2: bottom_mm: "20": allowed is a depth below top_mm 20`},
		{"falling", head + "bent,0,20,2026,9,0.3,4,3,6\n", `t.csv:2: q50_percent: "3": allowed is no less than the quantile before it, 4`},
		{"empty cell", head + "bent,0,20,2026,9,0.3,,5,6\n", `t.csv:2: q25_percent: "": allowed is a number from 0 to 100`},
		{"no species", head + " ,0,20,2026,9,0.3,4,5,6\n", "t.csv:2: species: empty: allowed are the grasses in words, as in greens.csv"},
		{"cells", head + "bent,0,20\n", "t.csv:2: 3 cells: allowed is as many as the heading has, 9"},
		{"same row", head + "bent,0,20,2026,9,0.3,4,5,6\nBent,0,20,2026,9,0.3,4,5,6\n", "t.csv:3: the same source, species, layer and year as line 2: allowed is one row for each"},
		{"two faults", head + "bent,0,20,26,9,0.3,4,5,6\nbent,0,20,2026,9,-1,4,5,6\n", "t.csv:2: year: \"26\": allowed is a number from 1900 to 2200\nt.csv:3: mean_se_percent: \"-1\": allowed is a number from 0 to 100"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := app.ReadPeerTable(strings.NewReader(c.text), "t.csv")
			if err == nil || underfoot.KindOf(err) != underfoot.Invalid {
				t.Fatalf("got %v", err)
			}
			if diff := cmp.Diff(c.want, err.Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// BenchmarkPeersCold and BenchmarkPeersWarm set one of many courses among the others: the first time, and again.
func BenchmarkPeersCold(b *testing.B) { benchmarkPeers(b, true) }

func BenchmarkPeersWarm(b *testing.B) { benchmarkPeers(b, false) }

func benchmarkPeers(b *testing.B, cold bool) {
	for _, n := range []int{500, 5000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var clubs [][]underfoot.Record
			for i := range n {
				clubs = append(clubs, courseOf(fmt.Sprintf("c%04d", i), "bent", 3+float64(i%400)/100, 2023, 2024, 2025, 2026))
			}
			a := peerStore(b, clubs...)
			peersOf(b, a, "c0007", nil)
			for b.Loop() {
				if cold {
					a = app.New(a.Store, a.Now, "ann")
				}
				peersOf(b, a, "c0007", nil)
			}
		})
	}
}
