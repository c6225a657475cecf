package bench

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/unit"
)

func weighed() []Crucible {
	return []Crucible{{
		Name: "c02", Tare: 30, Dry: 115, Ash: 110.07,
		AshTemperature: ptr(unit.Celsius(440)), Resolution: ptr(unit.Grams(0.01)),
	}}
}

func TestMeasureChecksTheComposite(t *testing.T) {
	top := Layer{0, 20}
	report := &Reported{OrganicMatter: 5}
	for _, tc := range []struct {
		name string
		in   Composite
		want string
	}{
		{"nothing to measure", Composite{Layer: top}, "organic matter: no crucible: give the weighings of at least one"},
		{"both", Composite{Layer: top, Crucibles: weighed(), Reported: report}, "composite has both weighings and a reported result: give one of them"},
		{"upside down", Composite{Layer: Layer{20, 0}, Reported: report}, "layer 20–0 mm: give a top of 0 or more and a bottom below it, down to 2000 mm"},
		{"unknown method", Composite{Layer: top, Method: "guessed", Reported: report}, `method "guessed": use whole, screened or scooped`},
		{
			"no cores and no corer",
			Composite{Layer: top, Cores: &Cores{}, Reported: report},
			"0 cores: give a number from 1 to 10000, or leave it out if it is not known\n" +
				"corer diameter 0 mm: give millimetres above 0 and up to 500, or leave it out if it is not known",
		},
		{
			"reported nonsense",
			Composite{Layer: top, Reported: &Reported{OrganicMatter: 105, SD: ptr(unit.Percent(-1)), DryMass: ptr(unit.Grams(0))}},
			"reported organic matter 105 %: give percent of oven-dry mass, 0 to 100\n" +
				"reported standard deviation −1: give percentage points, 0 to 100, or leave it out\n" +
				"reported dry mass 0 g: give grams above 0 and up to 100000, or leave it out",
		},
		{
			"sand loses more than burns",
			Composite{Layer: top, Reported: report, Mineral: &MineralLoss{Loss: 0.5, Completeness: 0.4}},
			"mineral correction: loss of the sand 0.5: give a fraction from 0 to below the completeness of burning, 0.4",
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := Measure(tc.in, Defaults())
			if diff := cmp.Diff(tc.want, errorText(err)); diff != "" {
				t.Errorf("error (-want +got):\n%s", diff)
			}
		})
	}
}

func TestMeasureChecksTheSettings(t *testing.T) {
	s := Defaults()
	s.Mixture.Organic = 1700
	s.CutStandard = unit.Millimetres(math.NaN())
	_, err := Measure(Composite{Layer: Layer{0, 20}, Crucibles: weighed()}, s)
	want := "setting \"thickness cut, standard uncertainty\" is NaN mm: give a number from 0 to 5\n" +
		"setting \"organic part, dry bulk density\" is 1700 kg/m³: give a number from 50 to 500"
	if diff := cmp.Diff(want, errorText(err)); diff != "" {
		t.Errorf("error (-want +got):\n%s", diff)
	}
}

func TestMeasureWarnsAndNotes(t *testing.T) {
	top := Layer{0, 20}
	for _, tc := range []struct {
		name            string
		in              Composite
		from            DensityFrom
		warnings, notes []string
	}{
		{"ten cores", Composite{Layer: top, Cores: &Cores{10, 20}, Crucibles: weighed()}, Measured, []string{}, []string{}},
		{
			"one core of a whole composite: volume and density",
			Composite{Layer: top, Cores: &Cores{1, 20}, Crucibles: weighed()},
			Measured,
			[]string{
				"the composite is 6.28 cm³, outside 30 to 150 cm³: take at least 5 cores of this diameter, or use a wider corer",
				"dry bulk density 13.5 g/cm³ is outside 0.1 to 2.0 g/cm³: the number of cores (1), the corer's inner diameter (20 mm), the layer (0–20 mm) or the dry mass is probably wrong",
			},
			[]string{},
		},
		{
			"thirty cores",
			Composite{Layer: top, Cores: &Cores{30, 20}, Crucibles: weighed()},
			Measured,
			[]string{"the composite is 188 cm³, outside 30 to 150 cm³: take at most 23 of these cores, or use a narrower corer"},
			[]string{},
		},
		{
			"a hole cutter",
			Composite{Layer: top, Cores: &Cores{1, 108}, Method: Whole, Reported: &Reported{OrganicMatter: 5, SD: ptr(unit.Percent(0.1)), DryMass: ptr(unit.Grams(240))}},
			Measured,
			[]string{"the composite is 183 cm³, outside 30 to 150 cm³: use a narrower corer or a thinner layer"},
			[]string{},
		},
		{
			"weighings without cores",
			Composite{Layer: top, Crucibles: weighed()},
			FromMixture,
			[]string{},
			[]string{"density and stocks are estimated from the organic matter, not measured, because the number and diameter of the cores are not known"},
		},
		{
			"screened, mass not known",
			Composite{Layer: top, Cores: &Cores{10, 20}, Method: Screened, Reported: &Reported{OrganicMatter: 3}},
			FromMixture,
			[]string{"material was screened out before burning: this is another quantity than the organic matter of the whole layer; it is kept, labelled and left out of trends"},
			[]string{
				"the laboratory gave no standard deviation: the uncertainty of the organic matter is not known, and that of the stocks counts only what else is uncertain",
				"density and stocks are estimated from the organic matter, not measured, because the dry mass is not known",
			},
		},
		{
			"scooped, nothing known",
			Composite{Layer: top, Method: Scooped, Reported: &Reported{OrganicMatter: 3, SD: ptr(unit.Percent(0.2))}},
			FromMixture,
			[]string{"a portion was scooped instead of burning the whole layer: this is another quantity than the organic matter of the whole layer; it is kept, labelled and left out of trends"},
			[]string{"density and stocks are estimated from the organic matter, not measured, because the dry mass and the number and diameter of the cores are not known"},
		},
		{
			"method not stated",
			Composite{Layer: top, Cores: &Cores{10, 20}, Reported: &Reported{OrganicMatter: 3, SD: ptr(unit.Percent(0.2)), DryMass: ptr(unit.Grams(85))}},
			Measured,
			[]string{"the method is not stated: ask the laboratory whether the whole layer was burnt; until then the result is left out of trends"},
			[]string{},
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := Measure(tc.in, Defaults())
			if err != nil {
				t.Fatal(err)
			}
			if got.BulkDensityFrom != tc.from {
				t.Errorf("density from %q, want %q", got.BulkDensityFrom, tc.from)
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

// The stock needs the area of the cores, not the thickness cut: a layer written down 1 mm too thick changes the density
// and leaves the stock alone.
func TestStockDoesNotDependOnTheCut(t *testing.T) {
	at := func(bottom unit.Millimetres) Result {
		r, err := Measure(Composite{Layer: Layer{0, bottom}, Cores: &Cores{10, 20}, Crucibles: weighed()}, Defaults())
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	thin, thick := at(20), at(21)
	if thin.OrganicStock != thick.OrganicStock || thin.Mineral != thick.Mineral {
		t.Errorf("stocks differ: %v %v, %v %v", thin.OrganicStock, thick.OrganicStock, thin.Mineral, thick.Mineral)
	}
	if thin.BulkDensity.Value <= thick.BulkDensity.Value {
		t.Errorf("density %g at 20 mm, %g at 21 mm", thin.BulkDensity.Value, thick.BulkDensity.Value)
	}
}

// The uncertainties of the mixture's density and stocks, against brute force on the formula itself.
func TestMixtureUncertainty(t *testing.T) {
	const f, u, h = 0.06, 0.004, 0.020
	s := Defaults()
	r, err := Measure(Composite{Layer: Layer{0, 20}, Method: Whole, Reported: &Reported{OrganicMatter: 100 * f, SD: ptr(unit.Percent(100 * u))}}, s)
	if err != nil {
		t.Fatal(err)
	}
	rho := func(f float64) float64 { return float64(s.Mixture.density(unit.Fraction(f))) }
	slope := func(of func(float64) float64) float64 { return (of(f+1e-6) - of(f-1e-6)) / 2e-6 }
	for _, tc := range []struct {
		name     string
		of       func(f float64) float64
		relative float64 // of rule and cut
		got      float64
	}{
		{"density", rho, 0.14, float64(r.BulkDensity.Standard)},
		{"organic stock", func(f float64) float64 { return f * rho(f) * h }, math.Hypot(0.14, 0.5/20), float64(r.OrganicStock.Standard)},
		{"mineral stock", func(f float64) float64 { return (1 - f) * rho(f) * h }, math.Hypot(0.14, 0.5/20), float64(r.Mineral.Standard)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			want := math.Hypot(slope(tc.of)*u, tc.of(f)*tc.relative)
			if math.Abs(tc.got-want) > 1e-6*want {
				t.Errorf("standard uncertainty %g, brute force %g", tc.got, want)
			}
		})
	}
}

func TestCoresFor(t *testing.T) {
	for _, tc := range []struct {
		name     string
		least    unit.CubicCentimetres
		diameter unit.Millimetres
		layer    Layer
		want     int
		err      string
	}{
		{"30 cm³ of 0–20 mm", 30, 20, Layer{0, 20}, 5, ""},
		{"a whole number stays whole", unit.CubicCentimetres(2 * math.Pi), 20, Layer{0, 20}, 1, ""},
		{"no volume", 0, 20, Layer{0, 20}, 0, "cores for 0 cm³: give a volume above 0 that no more than 10000 cores can hold"},
		{"no corer", 30, 0, Layer{0, 20}, 0, "corer diameter 0 mm: give millimetres above 0 and up to 500, or leave it out if it is not known"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := CoresFor(tc.least, tc.diameter, tc.layer)
			if diff := cmp.Diff(tc.err, errorText(err)); diff != "" {
				t.Errorf("error (-want +got):\n%s", diff)
			}
			if got != tc.want {
				t.Errorf("%d cores, want %d", got, tc.want)
			}
		})
	}
}

func TestMixtureRefuses(t *testing.T) {
	for _, tc := range []struct {
		name string
		m    Mixture
		f    unit.Fraction
		want string
	}{
		{"percent for fraction", Defaults().Mixture, 5, "mixture density: organic fraction 5: give a number from 0 to 1"},
		{"parts swapped", Mixture{Organic: 1600, Mineral: 220}, 0.1, "mixture density: densities 1600 (organic) and 220 kg/m³ (mineral): give numbers above 0, the organic no more than the mineral, up to 2650"},
		{"no densities", Mixture{}, 0.1, "mixture density: densities 0 (organic) and 0 kg/m³ (mineral): give numbers above 0, the organic no more than the mineral, up to 2650"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := tc.m.Density(tc.f)
			if diff := cmp.Diff(tc.want, errorText(err)); diff != "" {
				t.Errorf("error (-want +got):\n%s", diff)
			}
		})
	}
}
