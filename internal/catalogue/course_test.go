package catalogue

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot"
	"underfoot/season"
)

// The keys of the file and the columns of the table are the same, with the same limits.
func TestKeysAreColumns(t *testing.T) {
	var names []string
	for _, k := range keys() {
		c := underfoot.Operations.Columns[column(k.name)]
		names = append(names, c.Name)
		if k.number != nil && (c.Min == nil || c.Max == nil || *c.Min != k.low || *c.Max != k.high || k.unit != c.Unit || k.whole != (c.Kind == underfoot.Whole)) {
			t.Errorf("key %s and column %+v differ", k.name, c)
		}
		if k.words != nil && !slices.Equal(k.words, c.OneOf) {
			t.Errorf("key %s allows %v, its column %v", k.name, k.words, c.OneOf)
		}
	}
	for _, c := range underfoot.Operations.Columns {
		if c.Name != "course" && c.Name != "used" && !slices.Contains(names, c.Name) {
			t.Errorf("column %s is no key", c.Name)
		}
	}
}

func TestNothingChanged(t *testing.T) {
	got, err := Used(nil)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(season.Usual(), got); d != "" {
		t.Error(d)
	}
	if rows := Rows("c", season.Usual()); len(rows) != 0 {
		t.Errorf("the built-in set leaves rows: %+v", rows)
	}
}

// A course changes single values, switches off, adds and copies; the rest stays as built in.
func TestCourseChanges(t *testing.T) {
	rows := []underfoot.Operation{
		{Course: "c", ID: "core-8", Kind: "hollow_core", Contract: underfoot.Some(1500.0), PerSeason: underfoot.Some(1)},
		{Course: "c", ID: "dust", Kind: "topdress", SandHighMM: underfoot.Some(0.3), SpacingDays: underfoot.Some(7)},
		{Course: "c", ID: "inject", Kind: "inject_sand", Used: "no"},
	}
	got, err := Used(rows)
	if err != nil {
		t.Fatal(err)
	}
	var want []season.Operation
	for _, o := range season.Usual() {
		switch o.ID {
		case "core-8":
			o.Contract, o.PerSeason = 1500, 1
		case "inject":
			continue
		}
		want = append(want, o)
	}
	want = append(want, season.Operation{ID: "dust", Name: "dust", Kind: season.Topdress, SandHigh: 0.3, Spacing: 7})
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	list := Course(rows)
	if d := cmp.Diff([]string{"contract", "per_season"}, list[2].Own); d != "" {
		t.Error(d)
	}
	again, err := Used(Rows("c", got))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, again); d != "" {
		t.Errorf("kept as a whole it comes back otherwise\n%s", d)
	}
}

// Whatever a file may hold is kept in rows and comes back.
func TestAnyCatalogueIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []season.Operation
		for _, o := range season.Usual() {
			if !rapid.Bool().Draw(t, "used") {
				continue
			}
			if rapid.Bool().Draw(t, "changed") {
				o.Contract = rapid.Float64Range(0, 1e7).Draw(t, "contract")
				o.SandHigh = rapid.Float64Range(o.SandLow, 20).Draw(t, "high")
				o.PerSeason = rapid.IntRange(0, 4).Draw(t, "season")
				o.Growth = rapid.Float64Range(0, 1).Draw(t, "growth")
			}
			list = append(list, o)
		}
		list = append(list, season.Operation{
			ID: "z", Name: rapid.StringMatching(`[a-z\p{L}"]{1,20}`).Draw(t, "name"), Kind: season.InjectSand, Depth: rapid.Float64Range(1, 400).Draw(t, "depth"),
			SandHigh: 3, Spacing: rapid.IntRange(1, 366).Draw(t, "spacing"), AtHalf: 7, Disturbed: rapid.Float64Range(0.1, 7).Draw(t, "disturbed"),
		})
		rows := Rows("c", list)
		for i := range rows {
			if faults := rows[i].Check(); len(faults) > 0 {
				t.Fatalf("%+v: %v", rows[i], faults)
			}
		}
		got, err := Used(rows)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(list, got); d != "" {
			t.Error(d)
		}
	})
}

// What contradicts itself, within a row or with the built-in values it leaves, is named with its key.
func TestContradictingRows(t *testing.T) {
	cases := []struct {
		name string
		row  underfoot.Operation
		want string
	}{
		{"least above the built-in most", underfoot.Operation{ID: "dressing", Kind: "topdress", SandLowMM: underfoot.Some(2.0)}, `operation "dressing": sand_low_mm is 2, more than sand_high_mm 1: swap them, or correct one`},
		{"tines wider than their spacing", underfoot.Operation{ID: "core-12", Kind: "hollow_core", TineDiameterMM: underfoot.Some(60.0)}, `operation "core-12": area opened by tines: diameter 60 mm is wider than the spacing of 50 mm: check both`},
		{"faster in the cold", underfoot.Operation{ID: "core-12", Kind: "hollow_core", DisturbedDaysHalf: underfoot.Some(5.0)}, `operation "core-12": disturbed_days_half is 5, disturbed_days 11: the surface recovers no faster when less grows: give 11 or more, or leave it out`},
		{"too many for a year", underfoot.Operation{ID: "core-12", Kind: "hollow_core", PerSeason: underfoot.Some(20)}, `operation "core-12": per_season is 20 and spacing_days 60: so many events take 1140 days, more than a year: lower one`},
		{"a depth of nothing", underfoot.Operation{ID: "dressing", Kind: "topdress", DepthMM: underfoot.Some(20.0)}, `operation "dressing": depth_mm is "20": an operation of kind topdress has no such value: leave it empty`},
		{"not enough said", underfoot.Operation{ID: "mine", Kind: "topdress", SpacingDays: underfoot.Some(7)}, `operation "mine": sand_high_mm is empty: give a number from 0 to 20 mm`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Used([]underfoot.Operation{c.row})
			if d := cmp.Diff("the course's own catalogue: "+c.want, fmt.Sprint(err)); d != "" {
				t.Error(d)
			}
			c.row.Used = "no"
			if _, err := Used([]underfoot.Operation{c.row}); err != nil {
				t.Errorf("switched off it still stands in the way: %v", err)
			}
		})
	}
	var none []underfoot.Operation
	for _, o := range season.Usual() {
		none = append(none, underfoot.Operation{ID: o.ID, Kind: string(o.Kind), Used: "no"})
	}
	if _, err := Used(none); err == nil || !strings.Contains(err.Error(), "every operation is switched off") {
		t.Errorf("all switched off: %v", err)
	}
}

// What is typed beside a field is refused there.
func TestTyped(t *testing.T) {
	e := Typed("core-8", season.HollowCore, map[string]string{"contract": "lots", "depth_mm": "900", "passes": "1.5", "pattern": "round", "name": strings.Repeat("x", 81), "fuel": " 60 "})
	want := []Fault{
		{Key: "name", Text: `"` + strings.Repeat("x", 59) + `…: allowed is a text of 1 to 80 letters on one line`},
		{Key: "pattern", Text: `"round": allowed is square or triangular`},
		{Key: "passes", Text: "1.5: allowed is a whole number from 1 to 20"},
		{Key: "depth_mm", Text: "900: allowed is a number from 1 to 400 mm"},
		{Key: "contract", Text: `"lots" is not a number: allowed is a number from 0 to 10000000`},
	}
	if d := cmp.Diff(want, e.Faults, cmp.AllowUnexported(Fault{})); d != "" {
		t.Error(d)
	}
	if e.Own != nil {
		t.Errorf("own values: %v", e.Own)
	}
}
