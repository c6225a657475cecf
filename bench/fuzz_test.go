package bench

import (
	"math"
	"testing"

	"underfoot/unit"
)

// Whatever is written down, the answer is an error or a bounded number, never a panic.
func FuzzOrganicMatter(f *testing.F) {
	f.Add(25.1234, 48.9021, 44.8765, 43.7310, 0.001, 30.0, 80.0, 76.5, 440.0)
	f.Add(25.0, 45.0, 45.0, 45.01, 0.01, 25.0, 45.0, 44.0, 550.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.0, 0.0, 1e308, 5e-324, 0.0, -1.0)
	f.Fuzz(func(t *testing.T, tare, moist, dry, ash, res, tare2, dry2, ash2, temp float64) {
		list := []Crucible{
			{Name: "a", Tare: unit.Grams(tare), Moist: ptr(unit.Grams(moist)), Dry: unit.Grams(dry), Ash: unit.Grams(ash), Resolution: ptr(unit.Grams(res)), AshTemperature: ptr(unit.Celsius(temp))},
			{Tare: unit.Grams(tare2), Dry: unit.Grams(dry2), Ash: unit.Grams(ash2)},
		}
		r, err := Measure(Composite{Layer: Layer{0, 20}, Cores: &Cores{5, 20}, Crucibles: list}, Defaults())
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		var gain, material float64
		for _, c := range list {
			gain += float64(c.explainable())
			material += float64(c.dryMass())
		}
		if l := float64(r.OrganicMatter.Fraction()); !(l >= -gain/material-1e-12 && l < 1) {
			t.Errorf("organic matter %g outside %g to 1", l, -gain/material)
		}
		for name, v := range map[string]float64{
			"dry mass": float64(*r.DryMass), "density": float64(r.BulkDensity.Value), "mineral": float64(r.Mineral.Value),
			"expanded uncertainty": float64(r.Uncertainty.Expanded()), "density uncertainty": float64(r.BulkDensity.Standard),
		} {
			if !(v > 0) || math.IsInf(v, 0) {
				t.Errorf("%s %g is not a positive number", name, v)
			}
		}
		for _, s := range append(sentences(r.Warnings), sentences(r.Notes)...) {
			if s == "" {
				t.Error("a warning without words")
			}
		}
	})
}
