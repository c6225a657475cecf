package sieve_test

import (
	"fmt"

	"underfoot/sieve"
	"underfoot/unit"
)

// What stayed on the sieves of a dressing sand, what that says, and whether it goes with a root zone.
func Example() {
	start := unit.Grams(100.5)
	sand, err := sieve.Sheet{Start: &start, Retained: []sieve.Retained{
		{2, 0.2}, {1, 4.7}, {0.5, 24.8}, {0.25, 50.3}, {0.15, 16.8}, {0.053, 2.5}, {0, 0.8},
	}}.Curve()
	if err != nil {
		fmt.Println(err)
		return
	}
	d50, _ := sand.D(50)
	cu, _ := sand.Uniformity()
	fmt.Printf("half passes %.2f mm, D60/D10 %.1f, lost %.1f %%\n", float64(d50), cu, 100*float64(*sand.Loss))
	for _, c := range sieve.Construction().Classes(sand)[:3] {
		fmt.Printf("%s %.1f %%\n", c.Name, float64(c.Percent))
	}
	for _, j := range sieve.Judge(sand, sieve.RootZoneLimits()) {
		if j.Verdict != sieve.Met {
			fmt.Printf("%s, %s: %s\n", j.Name, j.Allowed(), j.Verdict)
		}
	}
	root, err := sieve.FromPassing([]sieve.Point{{2, 99.2}, {1, 91}, {0.5, 62}, {0.25, 22}, {0.15, 6}, {0.053, 1.8}})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := sieve.Suit(sand, sieve.Bed{Name: "the ash of 0–20 mm"}, sieve.Bed{Name: "the root zone", Curve: root})
	fmt.Println(m.Fit)
	for _, s := range m.Says {
		fmt.Println(s)
	}
	// Output:
	// half passes 0.38 mm, D60/D10 2.4, lost 0.4 %
	// fine gravel and gravel 0.2 %
	// very coarse sand 4.7 %
	// coarse sand 24.8 %
	// goes well
	// The sand is finer than the root zone: its grains are 5 % (1 to 9 %) smaller on the mean, and 8 points more of it pass 0.5 mm (± 4).
	// There is no sieve table of the ash of 0–20 mm: the sand cannot be set beside it.
}

func ExampleBlend() {
	root, _ := sieve.FromPassing([]sieve.Point{{1, 91}, {0.5, 62}, {0.25, 22}, {0.15, 6}})
	sand, _ := sieve.FromPassing([]sieve.Point{{1, 98.6}, {0.5, 84.5}, {0.25, 34.5}, {0.15, 7.6}})
	b, err := sieve.Blend(sieve.Part{Curve: root, Mass: 20}, sieve.Part{Curve: sand, Mass: 10}) // kg/m²
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range b.Points() {
		fmt.Printf("%g mm: %.1f %%\n", float64(p.Size), float64(p.Passing))
	}
	// Output:
	// 1 mm: 93.5 %
	// 0.5 mm: 69.5 %
	// 0.25 mm: 26.2 %
	// 0.15 mm: 6.5 %
}
