package bench

import (
	"testing"

	"underfoot/unit"
)

// 10,000 composites of two crucibles; the command has 300 ms for them with reading and printing.
func BenchmarkMeasure10000(b *testing.B) {
	temp, res := unit.Celsius(440), unit.Grams(0.001)
	c := Composite{
		Layer: Layer{0, 20}, Cores: &Cores{10, 20},
		Crucibles: []Crucible{
			{Name: "c02", Tare: 25.1234, Dry: 64.8765, Ash: 62.7310, AshTemperature: &temp, Resolution: &res},
			{Name: "c03", Tare: 24.2, Dry: 70.1, Ash: 67.5, AshTemperature: &temp, Resolution: &res},
		},
	}
	s := Defaults()
	b.ReportAllocs()
	for b.Loop() {
		for range 10_000 {
			r, err := Measure(c, s)
			if err != nil {
				b.Fatal(err)
			}
			if r.Uncertainty.Expanded() <= 0 {
				b.Fatal("no uncertainty")
			}
		}
	}
}
