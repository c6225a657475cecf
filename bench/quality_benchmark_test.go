package bench

import (
	"fmt"
	"testing"

	"underfoot/unit"
)

// 10,000 composites of two crucibles in runs of twenty, each run with a blank, two controls and a pair: measured, judged
// and their controls charted. The bench as a whole has 500 ms for them.
func BenchmarkQuality10000(b *testing.B) {
	temp, fine := unit.Celsius(440), unit.Grams(0.001)
	var runs []Run
	for i := range 500 {
		name := fmt.Sprintf("run %d", i)
		runs = append(runs, Run{
			Name: name, Lightest: 39, Furnace: 440,
			Blanks:   []Crucible{{Name: "c01", Tare: 40, Dry: 40, Ash: 40, Resolution: &fine}},
			Controls: []Burn{{"m", name, "c02", unit.Percent(5 + 0.1*normal(2*i))}, {"m", name, "c03", unit.Percent(5 + 0.1*normal(2*i+1))}},
			Pairs:    []Pair{{"x", 5.2, unit.Percent(5.2 + 0.1*normal(3*i))}},
		})
	}
	c := Composite{
		Layer: Layer{0, 20}, Cores: &Cores{10, 20},
		Crucibles: []Crucible{
			{Name: "c04", Tare: 25.1234, Dry: 64.8765, Ash: 62.7310, AshTemperature: &temp, Resolution: &fine},
			{Name: "c05", Tare: 24.2, Dry: 70.1, Ash: 67.5, AshTemperature: &temp, Resolution: &fine},
		},
	}
	s := Defaults()
	b.ReportAllocs()
	for b.Loop() {
		for range 10_000 {
			if _, err := Measure(c, s); err != nil {
				b.Fatal(err)
			}
			if _, err := Constant(StageAsh, 25.1234, []Weighed{{Mass: 62.74}, {Mass: 62.731}}, &fine); err != nil {
				b.Fatal(err)
			}
		}
		list, err := JudgeRuns(runs, known(5, 0.1), QualityDefaults())
		if err != nil || len(list) != len(runs) {
			b.Fatal(err)
		}
	}
}
