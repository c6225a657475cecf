package bench

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/unit"
)

func ptr[T any](v T) *T { return &v }

// errorText is the whole message, or nothing.
func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func sentences[S fmt.Stringer](list []S) []string {
	out := []string{}
	for _, s := range list {
		out = append(out, s.String())
	}
	return out
}

func TestOrganicMatterRefusesBadWeighings(t *testing.T) {
	good := Crucible{Name: "c02", Tare: 25, Dry: 45, Ash: 44}
	with := func(change func(*Crucible)) []Crucible {
		c := good
		change(&c)
		return []Crucible{c}
	}
	for _, tc := range []struct {
		name string
		in   []Crucible
		want string
	}{
		{"good", []Crucible{good}, ""},
		{"none", nil, "organic matter: no crucible: give the weighings of at least one"},
		{
			"ash above dry, no name",
			[]Crucible{{Tare: 20, Dry: 29.1, Ash: 29.6}},
			"dry mass 29.10 g is below ash mass 29.60 g: weigh the crucible again or take the row out",
		},
		{
			"ash two steps above dry", with(func(c *Crucible) { c.Ash = 45.02 }),
			"crucible c02: dry mass 45.00 g is below ash mass 45.02 g: weigh the crucible again or take the row out",
		},
		{
			"milligrams are shown when the balance shows them", with(func(c *Crucible) { c.Ash, c.Resolution = 45.002, ptr(unit.Grams(0.001)) }),
			"crucible c02: dry mass 45.000 g is below ash mass 45.002 g: weigh the crucible again or take the row out",
		},
		{
			"tare above dry", with(func(c *Crucible) { c.Tare = 45.5 }),
			"crucible c02: dry mass 45.00 g is not above tare 45.50 g: weigh the crucible again or take the row out\n" +
				"crucible c02: ash mass 44.00 g is not above tare 45.50 g: weigh the crucible again or take the row out",
		},
		{
			"nothing in the crucible", with(func(c *Crucible) { c.Dry, c.Ash = 25.01, 25.01 }),
			"crucible c02: dry mass 25.01 g is above tare 25.00 g by no more than the balance can explain (0.01 g): weigh the crucible again or take the row out",
		},
		{
			"ash below tare", with(func(c *Crucible) { c.Ash = 24.5 }),
			"crucible c02: ash mass 24.50 g is not above tare 25.00 g: weigh the crucible again or take the row out",
		},
		{
			"moist below dry", with(func(c *Crucible) { c.Moist = ptr(unit.Grams(44.5)) }),
			"crucible c02: moist mass 44.50 g is below dry mass 45.00 g: weigh the crucible again or take the row out",
		},
		{
			"negative tare", with(func(c *Crucible) { c.Tare = -1 }),
			"crucible c02: tare −1 g: give grams from 0 to 10000, crucible included",
		},
		{
			"not a number", with(func(c *Crucible) { c.Dry, c.Ash = unit.Grams(math.NaN()), unit.Grams(math.Inf(1)) }),
			"crucible c02: dry mass NaN g: give grams from 0 to 10000, crucible included\n" +
				"crucible c02: ash mass +Inf g: give grams from 0 to 10000, crucible included",
		},
		{
			"resolution zero", with(func(c *Crucible) { c.Resolution = ptr(unit.Grams(0)) }),
			"crucible c02: balance resolution 0 g: give a number above 0 and up to 1 g",
		},
		{
			"impossible furnace", with(func(c *Crucible) { c.AshTemperature, c.AshHours = ptr(unit.Celsius(4400)), ptr(-2.0) }),
			"crucible c02: furnace temperature 4400 °C: give degrees Celsius above 0 and up to 1500, or leave it out\n" +
				"crucible c02: ash time −2 h: give zero or more hours, or leave it out",
		},
		{
			"every bad crucible is named",
			[]Crucible{good, {Name: "a", Tare: 30, Dry: 20, Ash: 31}, {Name: "b", Tare: -3, Dry: 20, Ash: 19}},
			"crucible a: dry mass 20.00 g is not above tare 30.00 g: weigh the crucible again or take the row out\n" +
				"crucible a: dry mass 20.00 g is below ash mass 31.00 g: weigh the crucible again or take the row out\n" +
				"crucible b: tare −3 g: give grams from 0 to 10000, crucible included",
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := OrganicMatter(tc.in)
			if diff := cmp.Diff(tc.want, errorText(err)); diff != "" {
				t.Errorf("error (-want +got):\n%s", diff)
			}
		})
	}
}

func TestOrganicMatterWarns(t *testing.T) {
	for _, tc := range []struct {
		name            string
		in              []Crucible
		warnings, notes []string
	}{
		{
			"all in order",
			[]Crucible{{Tare: 25, Dry: 45, Ash: 44, Resolution: ptr(unit.Grams(0.01)), AshTemperature: ptr(unit.Celsius(400)), DryTemperature: ptr(unit.Celsius(115))}},
			[]string{},
			[]string{},
		},
		{
			"furnace and oven",
			[]Crucible{
				{Name: "c3", Tare: 25, Dry: 45, Ash: 44, AshTemperature: ptr(unit.Celsius(550)), DryTemperature: ptr(unit.Celsius(80))},
				{Name: "c1", Tare: 25, Dry: 45, Ash: 44, AshTemperature: ptr(unit.Celsius(360)), DryTemperature: ptr(unit.Celsius(130))},
				{Name: "c2", Tare: 25, Dry: 45, Ash: 44, AshTemperature: ptr(unit.Celsius(550)), Resolution: ptr(unit.Grams(0.001))},
			},
			[]string{
				"ignition at 360 °C (crucible c1) is outside 440 ± 40 °C: compare only with results burnt at the same temperature",
				"ignition at 550 °C (crucibles c2 and c3) is outside 440 ± 40 °C: compare only with results burnt at the same temperature",
				"drying at 80 °C (crucible c3) is outside 100 to 115 °C, too cool to drive off all the water: the organic matter may read high",
				"drying at 130 °C (crucible c1) is outside 100 to 115 °C, hot enough to drive off more than water: the organic matter may read low",
			},
			[]string{"balance resolution not written down (crucibles c1 and c3): 0.01 g assumed"},
		},
		{
			"ash gained mass, one step of the balance",
			[]Crucible{{Name: "c9", Tare: 25, Dry: 45, Ash: 45.01}},
			[]string{"ash weighs 0.0100 g more than the dry material (crucible c9), within the 0.0122 g the balance can explain: kept as measured; look for damp ash or a swapped crucible"},
			[]string{
				"balance resolution not written down (crucible c9): 0.01 g assumed",
				"furnace temperature not written down (crucible c9): 440 ± 40 °C could not be checked",
			},
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := OrganicMatter(tc.in)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tc.warnings, sentences(got.Warnings)); diff != "" {
				t.Errorf("warnings (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tc.notes, sentences(got.Notes)); diff != "" {
				t.Errorf("notes (-want +got):\n%s", diff)
			}
		})
	}
}

func TestAshThatGainedMassIsKeptAsMeasured(t *testing.T) {
	got, err := OrganicMatter([]Crucible{{Tare: 25, Dry: 45, Ash: 45.01}})
	if err != nil {
		t.Fatal(err)
	}
	if l := float64(got.OrganicMatter); math.Abs(l+0.01/20) > 1e-12 {
		t.Errorf("organic matter %g, want −0.0005", l)
	}
}

func TestWaterContent(t *testing.T) {
	for _, tc := range []struct {
		name             string
		tare, moist, dry unit.Grams
		want             unit.Fraction
		err              string
	}{
		{"a fifth", 20, 44, 40, 0.2, ""},
		{"more water than matter", 20, 50, 30, 2, ""},
		{"moist below dry", 20, 39, 40, 0, "moist mass 39.00 g is below dry mass 40.00 g: weigh the crucible again or take the row out"},
		{"empty", 20, 39, 20, 0, "dry mass 20.00 g is not above tare 20.00 g: weigh the crucible again or take the row out"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := WaterContent(tc.tare, tc.moist, tc.dry)
			if diff := cmp.Diff(tc.err, errorText(err)); diff != "" {
				t.Errorf("error (-want +got):\n%s", diff)
			}
			if math.Abs(float64(got-tc.want)) > 1e-12 {
				t.Errorf("water %g, want %g", got, tc.want)
			}
		})
	}
}
