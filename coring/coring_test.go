package coring_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"underfoot/coring"
	"underfoot/internal/reference"
	"underfoot/unit"
)

type set struct {
	DiameterIn float64 `json:"diameter_in"`
	AlongIn    float64 `json:"along_in"`
	AcrossIn   float64 `json:"across_in"`
	DiameterMM float64 `json:"diameter_mm"`
	AlongMM    float64 `json:"along_mm"`
	AcrossMM   float64 `json:"across_mm"`
	BladeMM    float64 `json:"blade_mm"`
	SpacingIn  float64 `json:"spacing_in"`
	Passes     int     `json:"passes"`
	Triangular bool    `json:"triangular"`
}

func (s set) open(t *testing.T, depth float64) coring.Opening {
	t.Helper()
	if depth == 0 {
		depth = 50
	}
	mm := func(in, mm float64) unit.Millimetres { return unit.Inches(in).Millimetres() + unit.Millimetres(mm) }
	var o coring.Opening
	var err error
	if s.BladeMM > 0 {
		o, err = coring.Blades{Width: unit.Millimetres(s.BladeMM), Spacing: mm(s.SpacingIn, 0), Passes: s.Passes, Depth: unit.Millimetres(depth)}.Open()
	} else {
		pattern := coring.Square
		if s.Triangular {
			pattern = coring.Triangular
		}
		o, err = coring.Tines{
			Diameter: mm(s.DiameterIn, s.DiameterMM), Along: mm(s.AlongIn, s.AlongMM), Across: mm(s.AcrossIn, s.AcrossMM),
			Pattern: pattern, Passes: s.Passes, Depth: unit.Millimetres(depth),
		}.Open()
	}
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestPublishedOpenings(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/openings.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Sets    []set   `json:"sets"`
				DepthMM float64 `json:"depth_mm"`
			}
			var want struct{ Counted, Touched, Volume, Sand, Ft3 float64 }
			c.Decode(t, &in, &want)
			var counted, touched []unit.Fraction
			var volume unit.LitresPerM2
			var sand unit.KgPerM2
			for _, s := range in.Sets {
				o := s.open(t, in.DepthMM)
				counted, touched = append(counted, o.Counted), append(touched, o.Touched)
				volume += o.Volume
				fill, err := o.SandToFill(1550, 1)
				if err != nil {
					t.Fatal(err)
				}
				sand += fill
			}
			near := func(name string, got, want float64) {
				if want != 0 {
					c.Near(t, name, got, want)
				}
			}
			near("counted", float64(coring.Counted(counted...)), want.Counted)
			near("touched", float64(coring.Touched(touched...)), want.Touched)
			near("volume", float64(volume), want.Volume)
			near("sand", float64(sand), want.Sand)
			near("sand in ft³/1000 ft²", float64(volume.Millimetres().CubicFeetPer1000Ft2()), want.Ft3)
		})
	}
}

func TestLayerAfterCoringAndFilling(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/refilled.json") {
		var in struct{ H, Density, OM, Touched, Sand float64 }
		var want struct{ Organic, Removed, OM float64 }
		c.Decode(t, &in, &want)
		mass := unit.Millimetres(in.H).Mass(unit.KgPerM3(in.Density))
		old := coring.Layer{Bottom: unit.Millimetres(in.H), Organic: mass * unit.KgPerM2(in.OM), Mineral: mass * unit.KgPerM2(1-in.OM)}
		o := coring.Opening{Touched: unit.Fraction(in.Touched), Depth: 50}
		got, err := coring.Refilled(o, old, unit.KgPerM3(in.Sand), 1)
		if err != nil {
			t.Fatal(err)
		}
		c.Near(t, "organic left", float64(got.Organic), want.Organic)
		c.Near(t, "organic removed", float64(old.Organic-got.Organic), want.Removed)
		c.Near(t, "organic matter after", float64(got.OM()), want.OM)
	}
}

func TestNonsenseIsRefused(t *testing.T) {
	good := coring.Tines{Diameter: 12, Along: 50, Across: 50, Depth: 60}
	with := func(change func(*coring.Tines)) func() error {
		return func() error { s := good; change(&s); _, err := s.Open(); return err }
	}
	blades := func(b coring.Blades) func() error {
		return func() error { _, err := b.Open(); return err }
	}
	fill := func(density unit.KgPerM3, filled unit.Fraction) func() error {
		return func() error { _, err := coring.Opening{Volume: 5}.SandToFill(density, filled); return err }
	}
	for _, c := range []struct {
		name string
		do   func() error
		want string
	}{
		{"no diameter", with(func(s *coring.Tines) { s.Diameter = 0 }), "area opened by tines: diameter is 0 mm: give a diameter above 0 mm"},
		{"diameter not a number", with(func(s *coring.Tines) { s.Diameter = unit.Millimetres(math.NaN()) }), "area opened by tines: diameter is NaN mm: give a diameter above 0 mm"},
		{"negative spacing", with(func(s *coring.Tines) { s.Across = -50 }), "area opened by tines: spacing is 50 by -50 mm: give spacings above 0 mm"},
		{"wider than spacing", with(func(s *coring.Tines) { s.Diameter = 51 }), "area opened by tines: diameter 51 mm is wider than the spacing of 50 mm: check both"},
		{"unknown pattern", with(func(s *coring.Tines) { s.Pattern = 7 }), "area opened by tines: pattern 7 is unknown: use square or triangular"},
		{"triangle with two sides", with(func(s *coring.Tines) { s.Pattern, s.Across = coring.Triangular, 43 }), "area opened by tines: a triangular pattern has one spacing, got 50 and 43 mm: give the side of the triangle, or square with the spacing of the rows"},
		{"negative passes", with(func(s *coring.Tines) { s.Passes = -1 }), "area opened by tines: -1 passes: give 1 to 20"},
		{"no depth", with(func(s *coring.Tines) { s.Depth = 0 }), "area opened by tines: depth is 0 mm: give a depth above 0 mm"},
		{"too deep", with(func(s *coring.Tines) { s.Depth = 600 }), "area opened by tines: depth is 600 mm: give at most 500 mm"},
		{"no width", blades(coring.Blades{Spacing: 25, Depth: 10}), "area opened by blades: width is 0 mm: give a width above 0 mm"},
		{"no spacing", blades(coring.Blades{Width: 2, Depth: 10}), "area opened by blades: spacing is 0 mm: give a spacing above 0 mm"},
		{"blade as wide as spacing", blades(coring.Blades{Width: 25, Spacing: 25, Depth: 10}), "area opened by blades: width 25 mm is not narrower than the spacing of 25 mm: check both"},
		{"blades with no depth", blades(coring.Blades{Width: 2, Spacing: 25}), "area opened by blades: depth is 0 mm: give a depth above 0 mm"},
		{"no density", fill(0, 1), "sand to fill: bulk density of the sand is 0 kg/m³: give one above 0, about 1500 to 1700"},
		{"overfilled", fill(1550, 1.2), "sand to fill: filled share is 1.2: give a number from 0 to 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := c.do()
			if err == nil {
				t.Fatal("accepted")
			}
			if err.Error() != c.want {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}

func TestWarnings(t *testing.T) {
	o, err := coring.Tines{Diameter: 12, Along: 20, Depth: 50}.Open()
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"one event opens 28.3 % of the surface, more than 15 % (a working default, no source): expect slow healing",
		"the gap between holes is 8.0 mm, less than one diameter of 12.0 mm (a working default, no source): turf may tear",
	}
	if fmt.Sprint(o.Warnings) != fmt.Sprint(want) {
		t.Errorf("got %q, want %q", o.Warnings, want)
	}
	if o, err = (coring.Tines{Diameter: 12, Along: 50, Depth: 50}).Open(); err != nil || o.Warnings != nil {
		t.Errorf("an ordinary set-up: %v, %q", err, o.Warnings)
	}
}

// Sand put into the holes and mass taken out of them account for every kilogram, and touched area is never
// more than counted.
func TestMassCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tines := coring.Tines{
			Diameter: unit.Millimetres(rapid.Float64Range(3, 25).Draw(t, "diameter")),
			Along:    unit.Millimetres(rapid.Float64Range(25, 100).Draw(t, "along")),
			Across:   unit.Millimetres(rapid.Float64Range(25, 100).Draw(t, "across")),
			Passes:   rapid.IntRange(1, 5).Draw(t, "passes"),
			Depth:    unit.Millimetres(rapid.Float64Range(5, 150).Draw(t, "depth")),
		}
		o, err := tines.Open()
		if err != nil {
			t.Fatal(err)
		}
		if o.Touched > o.Counted+1e-15 || o.Touched < o.PerPass-1e-15 {
			t.Fatalf("touched %g, counted %g, one pass %g", o.Touched, o.Counted, o.PerPass)
		}
		all, err := o.SandToFill(1550, 0.8)
		if err != nil {
			t.Fatal(err)
		}
		var sand, before, after, out float64
		for _, top := range []unit.Millimetres{0, 50, 100} {
			l := coring.Layer{Top: top, Bottom: top + 50, Organic: 2, Mineral: 70}
			r, err := coring.Refilled(o, l, 1550, 0.8)
			if err != nil {
				t.Fatal(err)
			}
			gone := coring.TakenOut(o.Touched, o.Depth, l)
			before += float64(l.Organic + l.Mineral)
			after += float64(r.Organic + r.Mineral)
			out += float64(gone.Organic + gone.Mineral)
			sand += float64(r.Mineral - l.Mineral + gone.Mineral)
		}
		if math.Abs(sand-float64(all)) > 1e-9 || math.Abs(before+sand-out-after) > 1e-9 {
			t.Fatalf("sand %g in layers, %g in all; %g + %g − %g is not %g", sand, float64(all), before, sand, out, after)
		}
	})
}

func ExampleTines_Open() {
	o, err := coring.Tines{Diameter: 12, Along: 50, Across: 50, Depth: 60}.Open()
	if err != nil {
		fmt.Println(err)
		return
	}
	sand, err := o.SandToFill(1550, 0.8)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %% of the surface, %.1f L/m² of holes, %.1f kg/m² of sand fills them to 80 %%\n", o.Touched.Percent(), o.Volume, sand)
	// Output: 4.5 % of the surface, 2.7 L/m² of holes, 3.4 kg/m² of sand fills them to 80 %
}
