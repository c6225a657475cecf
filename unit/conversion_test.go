package unit_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"underfoot/internal/reference"
	"underfoot/unit"
)

func convert(t *testing.T, from string, v float64) float64 {
	t.Helper()
	switch from {
	case "ft3/1000ft2":
		return float64(unit.CubicFeetPer1000Ft2(v).Millimetres())
	case "yd3/1000ft2":
		return float64(unit.CubicYardsPer1000Ft2(v).Millimetres())
	case "lb/1000ft2":
		return float64(unit.PoundsPer1000Ft2(v).KgPerM2())
	case "lb/1000ft2 in kg/ha":
		return float64(unit.PoundsPer1000Ft2(v).KgPerM2().KilogramsPerHectare())
	case "ton/1000ft2":
		return float64(unit.ShortTonsPer1000Ft2(v).KgPerM2())
	case "lb/ft3":
		return float64(unit.PoundsPerFt3(v).KgPerM3())
	case "g/m2 in 0.4 mm":
		return float64(unit.BulkDensity(unit.KgPerM2(v/1000), 0.4))
	case "5000 ft2 in yd3":
		depth := unit.Inches(v).Millimetres()
		return float64(depth.Volume(unit.SquareFeet(5000).SquareMetres()).CubicYards())
	}
	t.Fatalf("no conversion called %q", from)
	return 0
}

func TestPublishedConversions(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/conversions.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				From  string
				Value float64
			}
			var want float64
			c.Decode(t, &in, &want)
			c.Near(t, c.What, convert(t, in.From, in.Value), want)
		})
	}
}

func TestConversionsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1e-6, 1e6).Draw(t, "value")
		for name, got := range map[string]float64{
			"inches":         float64(unit.Inches(x).Millimetres().Inches()),
			"square feet":    float64(unit.SquareFeet(x).SquareMetres().SquareFeet()),
			"cubic yards":    float64(unit.CubicYards(x).CubicMetres().CubicYards()),
			"ft³/1000 ft²":   float64(unit.CubicFeetPer1000Ft2(x).Millimetres().CubicFeetPer1000Ft2()),
			"yd³/1000 ft²":   float64(unit.CubicYardsPer1000Ft2(x).Millimetres().CubicYardsPer1000Ft2()),
			"lb/1000 ft²":    float64(unit.PoundsPer1000Ft2(x).KgPerM2().PoundsPer1000Ft2()),
			"tons/1000 ft²":  float64(unit.ShortTonsPer1000Ft2(x).KgPerM2().ShortTonsPer1000Ft2()),
			"kg/ha":          float64(unit.KilogramsPerHectare(x).KgPerM2().KilogramsPerHectare()),
			"lb/ft³":         float64(unit.PoundsPerFt3(x).KgPerM3().PoundsPerFt3()),
			"depth and mass": float64(unit.Millimetres(x).Mass(1550).Depth(1550)),
		} {
			if math.Abs(got-x) > 1e-12*x {
				t.Fatalf("%s: %g came back as %g", name, x, got)
			}
		}
	})
}

func ExampleMillimetres_Mass() {
	dressing := unit.Millimetres(0.5)
	mass := dressing.Mass(1550)
	dry := mass.Over(9400).Tonnes()
	fmt.Printf("%.3f kg/m², %.2f t dry, %.2f t as delivered at 5 %% water\n", mass, dry, dry.Delivered(0.05))
	// Output: 0.775 kg/m², 7.29 t dry, 7.65 t as delivered at 5 % water
}
