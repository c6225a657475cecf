package bench_test

import (
	"fmt"

	"underfoot/bench"
	"underfoot/unit"
)

func ExampleOrganicMatter() {
	fine := unit.Grams(0.001)
	ig, err := bench.OrganicMatter([]bench.Crucible{
		{Name: "c02", Tare: 25.123, Dry: 44.877, Ash: 43.731, Resolution: &fine},
		{Name: "c03", Tare: 24.870, Dry: 46.020, Ash: 44.812, Resolution: &fine},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("organic matter %.2f %% of %.1f g\n", ig.OrganicMatter.Percent(), ig.DryMass)
	for _, c := range ig.Uncertainty.Components {
		fmt.Printf("%s: %.4f points\n", c.Name, c.Standard)
	}
	// Output:
	// organic matter 5.75 % of 40.9 g
	// scatter between crucibles: 0.0449 points
	// balance readings: 0.0014 points
}

func ExampleMeasure() {
	furnace, fine := unit.Celsius(440), unit.Grams(0.01)
	r, err := bench.Measure(bench.Composite{
		Layer:     bench.Layer{Top: 0, Bottom: 20},
		Cores:     &bench.Cores{Count: 4, Diameter: 20},
		Crucibles: []bench.Crucible{{Tare: 30, Dry: 64, Ash: 62.03, AshTemperature: &furnace, Resolution: &fine}},
	}, bench.Defaults())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("organic matter %.2f ± %.2f %%\n", r.OrganicMatter, r.Uncertainty.Expanded())
	fmt.Printf("density %.2f g/cm³ (%s), relative uncertainty %.1f %%\n",
		r.BulkDensity.Value.GramsPerCm3(), r.BulkDensityFrom, 100*r.BulkDensity.Relative())
	fmt.Printf("stock %.2f ± %.2f kg/m²\n", r.OrganicStock.Value, r.OrganicStock.Standard)
	for _, w := range r.Warnings {
		fmt.Println(w)
	}
	// Output:
	// organic matter 5.79 ± 0.02 %
	// density 1.35 g/cm³ (measured), relative uncertainty 2.7 %
	// stock 1.57 ± 0.02 kg/m²
	// the composite is 25.1 cm³, outside 30 to 150 cm³: take at least 5 cores of this diameter, or use a wider corer
}

func ExampleMixture_Density() {
	density, err := bench.Defaults().Mixture.Density(0.05)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f g/cm³\n", density.GramsPerCm3())
	// Output: 1.22 g/cm³
}

func ExampleJudgeRuns() {
	accepted, sd := unit.Percent(5.20), unit.Percent(0.08)
	control := func(run, crucible string, v unit.Percent) bench.Burn {
		return bench.Burn{Material: "turf mix", Run: run, Crucible: crucible, Value: v}
	}
	list, err := bench.JudgeRuns([]bench.Run{
		{Name: "spring", Controls: []bench.Burn{control("spring", "c02", 5.24)}},
		{Name: "summer", Controls: []bench.Burn{control("summer", "c02", 5.38)}},
		{Name: "autumn", Controls: []bench.Burn{control("autumn", "c02", 5.41)}},
	}, []bench.Material{{Name: "turf mix", Accepted: &accepted, SD: &sd}}, bench.QualityDefaults())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, j := range list {
		fmt.Println(j.Run, j.Verdict, j.Rules)
	}
	fmt.Println(list[2].Reasons()[0])
	// Output:
	// spring pass []
	// summer look [one burn more than two standard deviations out (1-2s)]
	// autumn failed [one burn more than two standard deviations out (1-2s) two burns in a row more than two standard deviations out on the same side (2-2s)]
	// control turf mix, crucible c02: 5.41 %, 2.6 standard deviations above the accepted 5.20 %: two burns in a row more than two standard deviations out on the same side (2-2s)
}

func ExampleReadMass() {
	m, err := bench.ReadMass("S S     29.1034 g")
	fmt.Println(m.Written, err)
	_, err = bench.ReadMass("S D     29.1034 g")
	fmt.Println(err)
	// Output:
	// 29.1034 <nil>
	// mass "S D     29.1034 g": the balance had not settled: wait and weigh again
}
