package catalogue_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot"
	"underfoot/coring"
	"underfoot/internal/catalogue"
	"underfoot/internal/golden"
	"underfoot/season"
)

func written(t interface{ Fatal(...any) }, list []season.Operation) string {
	var b bytes.Buffer
	if err := catalogue.Write(&b, list); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The built-in set goes into a file and comes back the same; the file itself is what people are given to edit.
func TestBuiltInSetComesBack(t *testing.T) {
	text := written(t, season.Usual())
	got, err := catalogue.Read(strings.NewReader(text), "usual.toml")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(season.Usual(), got); d != "" {
		t.Errorf("the built-in set came back otherwise (-want +got):\n%s", d)
	}
	golden.Equal(t, "testdata/usual.toml", []byte(text))
}

// Any catalogue that passes its check comes back the same.
func TestAnyCatalogueComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := []season.Kind{season.Topdress, season.HollowCore, season.SolidTine, season.Scarify, season.InjectSand}
		o := season.Operation{
			ID:        rapid.StringMatching(`[a-z0-9"\\#=\p{L}-]{1,20}`).Draw(t, "id"),
			Kind:      rapid.SampledFrom(kinds).Draw(t, "kind"),
			SandLow:   rapid.Float64Range(0, 5).Draw(t, "low"),
			SandHigh:  rapid.Float64Range(5.1, 20).Draw(t, "high"),
			Contract:  rapid.Float64Range(0, 1e7).Draw(t, "contract"),
			Labour:    rapid.Float64Range(0, 1000).Draw(t, "labour"),
			Disturbed: rapid.Float64Range(0.5, 60).Draw(t, "disturbed"),
			AtHalf:    rapid.SampledFrom([]float64{0, 60, 90.5}).Draw(t, "half"),
			Growth:    rapid.Float64Range(0, 1).Draw(t, "growth"),
			Spacing:   rapid.IntRange(1, 100).Draw(t, "spacing"),
			Apart:     rapid.IntRange(0, 366).Draw(t, "apart"),
			PerSeason: rapid.IntRange(0, 4).Draw(t, "season"),
			Source:    rapid.StringMatching(`[a-z "\\'#=\[\]]{0,30}x`).Draw(t, "source"),
		}
		o.Name = o.ID
		if o.Kind != season.Topdress {
			o.Depth = rapid.Float64Range(1, 400).Draw(t, "depth")
		}
		switch o.Kind {
		case season.HollowCore, season.SolidTine:
			o.Fill = rapid.Float64Range(0, 1).Draw(t, "fill")
			o.Tines = coring.Tines{Diameter: 6, Along: 40, Across: 40, Passes: rapid.IntRange(1, 20).Draw(t, "passes")}
			if rapid.Bool().Draw(t, "triangular") {
				o.Tines.Pattern = coring.Triangular
			} else {
				o.Tines.Across = 55.5
			}
		case season.Scarify:
			o.Blades = coring.Blades{Width: 1.5, Spacing: 25, Passes: rapid.IntRange(1, 20).Draw(t, "passes")}
		}
		text := written(t, []season.Operation{o})
		got, err := catalogue.Read(strings.NewReader(text), "any.toml")
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if d := cmp.Diff([]season.Operation{o}, got); d != "" {
			t.Errorf("came back otherwise (-want +got):\n%s\n%s", d, text)
		}
	})
}

// What is left out is filled with what the head of the file says.
func TestLeftOut(t *testing.T) {
	const text = `
[[operation]]
id = "dust"
kind = "topdress"
sand_high_mm = 0.3
spacing_days = 7
[[operation]]
id = "slit"
kind = "scarify"
blade_width_mm = 2
blade_spacing_mm = 25
depth_mm = 15
sand_high_mm = 0
spacing_days = 30
[[operation]]
id = "tines"
kind = "solid_tine"
tine_diameter_mm = 8
spacing_along_mm = 50
pattern = "triangular"
depth_mm = 100
sand_high_mm = 1
spacing_days = 30
`
	got, err := catalogue.Read(strings.NewReader(text), "c.toml")
	if err != nil {
		t.Fatal(err)
	}
	want := []season.Operation{
		{ID: "dust", Name: "dust", Kind: season.Topdress, SandHigh: 0.3, Spacing: 7},
		{ID: "slit", Name: "slit", Kind: season.Scarify, Blades: coring.Blades{Width: 2, Spacing: 25, Passes: 1}, Depth: 15, Spacing: 30},
		{ID: "tines", Name: "tines", Kind: season.SolidTine, Tines: coring.Tines{Diameter: 8, Along: 50, Across: 50, Pattern: coring.Triangular, Passes: 1}, Depth: 100, SandHigh: 1, Spacing: 30},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

// Every bad value is named with operation, key, value and what is allowed.
func TestBadCatalogues(t *testing.T) {
	const good = "[[operation]]\nid = \"a\"\nkind = \"hollow_core\"\ntine_diameter_mm = 12\nspacing_along_mm = 50\ndepth_mm = 75\nsand_high_mm = 2\nspacing_days = 60\n"
	swap := func(old, now string) string {
		if !strings.Contains(good, old) {
			t.Fatalf("no %q", old)
		}
		return strings.Replace(good, old, now, 1)
	}
	cases := []struct{ name, text, want string }{
		{"empty", "", "c.toml: the catalogue has no [[operation]]: give one or more"},
		{"not TOML", "id: a\n", "c.toml:1: the catalogue is not TOML: expected '.' or '=', but got ':' instead"},
		{"one table", strings.Replace(good, "[[operation]]", "[operation]", 1), "c.toml: operation is one table or a plain value: write each operation as a table headed [[operation]]"},
		{"strange table", good + "[[operations]]\nid = \"b\"\n", "c.toml: \"operations\" is not known at the top: allowed is [[operation]]"},
		{"twice", good + good, `c.toml: operation "a": id stands twice: give each operation its own`},
		{"key twice", good + "depth_mm = 80\n", "c.toml:9: the catalogue is not TOML: Key 'operation.depth_mm' has already been defined."},
		{"unknown key", good + "colour = \"green\"\n", `c.toml: operation "a": "colour" is not a key: allowed are id, name, kind, tine_diameter_mm, spacing_along_mm, spacing_across_mm, pattern, blade_width_mm, blade_spacing_mm, passes, depth_mm, backfill, sand_low_mm, sand_high_mm, contract, fuel, labour_h_per_ha, disturbed_days, disturbed_days_half, least_growth, spacing_days, apart_days, per_season, source`},
		{"no id", swap("id = \"a\"\n", ""), "c.toml: operation number 1: id is missing: allowed is a text in quotes of 1 to 80 letters on one line"},
		{"no kind", swap("kind = \"hollow_core\"\n", ""), `c.toml: operation "a": kind is missing: allowed is topdress, hollow_core, solid_tine, scarify or inject_sand`},
		{"strange kind", swap("hollow_core", "plough"), `c.toml: operation "a": kind is "plough": allowed is topdress, hollow_core, solid_tine, scarify or inject_sand`},
		{"no diameter", swap("tine_diameter_mm = 12\n", ""), `c.toml: operation "a": tine_diameter_mm is missing: allowed is a number from 1 to 100 mm`},
		{"too deep", swap("depth_mm = 75", "depth_mm = 900"), `c.toml: operation "a": depth_mm is 900: allowed is a number from 1 to 400 mm`},
		{"text for a number", swap("depth_mm = 75", "depth_mm = \"deep\""), `c.toml: operation "a": depth_mm is "deep": allowed is a number from 1 to 400 mm`},
		{"not a number", swap("depth_mm = 75", "depth_mm = nan"), `c.toml: operation "a": depth_mm is NaN: allowed is a number from 1 to 400 mm`},
		{"half a day", swap("spacing_days = 60", "spacing_days = 1.5"), `c.toml: operation "a": spacing_days is 1.5: allowed is a whole number from 1 to 366 d`},
		{"number for a text", swap("id = \"a\"", "id = 7"), `c.toml: operation number 1: id is 7: allowed is a text in quotes of 1 to 80 letters on one line`},
		{"two lines", swap("id = \"a\"", "id = \"a\\nb\""), `c.toml: operation number 1: id is "a\nb": allowed is a text in quotes of 1 to 80 letters on one line`},
		{"overfilled", good + "backfill = 1.2\n", `c.toml: operation "a": backfill is 1.2: allowed is a number from 0 to 1`},
		{"blades on tines", good + "blade_width_mm = 2\n", `c.toml: operation "a": blade_width_mm is 2: an operation of kind hollow_core has no such key: leave it out`},
		{"upside down", good + "sand_low_mm = 3\n", `c.toml: operation "a": sand_low_mm is 3, more than sand_high_mm 2: swap them, or correct one`},
		{"faster in the cold", good + "disturbed_days = 8\ndisturbed_days_half = 5\n", `c.toml: operation "a": disturbed_days_half is 5, disturbed_days 8: the surface recovers no faster when less grows: give 8 or more, or leave it out`},
		{"too many for a year", good + "per_season = 9\n", `c.toml: operation "a": per_season is 9 and spacing_days 60: so many events take 480 days, more than a year: lower one`},
		{"tines wider than their spacing", swap("spacing_along_mm = 50", "spacing_along_mm = 10"), `c.toml: operation "a": area opened by tines: diameter 12 mm is wider than the spacing of 10 mm: check both`},
		{"dressing without sand", "[[operation]]\nid = \"a\"\nkind = \"topdress\"\nsand_high_mm = 0\nspacing_days = 7\n", `c.toml: operation "a": sand_high_mm is 0: topdress puts sand on: allowed is a number above 0 to 20 mm`},
		{"two at once", swap("depth_mm = 75\n", "") + "backfill = -1\n", "c.toml: operation \"a\": depth_mm is missing: allowed is a number from 1 to 400 mm\nc.toml: operation \"a\": backfill is -1: allowed is a number from 0 to 1"},
		{"too many", strings.Repeat(good, 101), "c.toml: the catalogue has 101 operations: allowed are 1 to 100"},
		{"too large", "#" + strings.Repeat("x", 1<<20), "c.toml: the catalogue is larger than 1048576 bytes: leave out what the plan is not to use"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := catalogue.Read(strings.NewReader(c.text), "c.toml")
			if d := cmp.Diff(c.want, fmt.Sprint(err)); d != "" {
				t.Errorf("(-want +got):\n%s", d)
			}
			if err != nil && underfoot.KindOf(err) != underfoot.Invalid {
				t.Errorf("kind %v", underfoot.KindOf(err))
			}
		})
	}
}

// Any file is read or refused, and what is read can be planned with and comes back.
func FuzzRead(f *testing.F) {
	text, err := os.ReadFile("testdata/usual.toml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(text))
	f.Add("[[operation]]\nid = \"a\"\nkind = \"topdress\"\nsand_high_mm = 1e0\nspacing_days = 0x7\n")
	f.Add("operation = [{id = \"a\"}]")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := catalogue.Read(strings.NewReader(text), "f.toml")
		if err != nil {
			if underfoot.KindOf(err) != underfoot.Invalid {
				t.Fatalf("kind of %v", err)
			}
			return
		}
		for i := range list {
			if err := list[i].Check(); err != nil {
				t.Fatal(err)
			}
		}
		again, err := catalogue.Read(strings.NewReader(written(t, list)), "again.toml")
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(list, again); d != "" {
			t.Fatal(d)
		}
	})
}
