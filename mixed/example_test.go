package mixed_test

import (
	"fmt"

	"underfoot/mixed"
)

// Three plots measured at four times: a line common to all, and a level of each plot's own.
func ExampleFit() {
	x := []float64{0, 1, 2, 3, 0, 1, 2, 3, 0, 1, 2, 3}
	ones := []float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}
	f, err := mixed.Fit(&mixed.Design{
		Response: "y",
		Y:        []float64{1.2, 1.9, 3.4, 4.1, 2.0, 3.1, 3.9, 5.2, 0.3, 1.4, 2.1, 3.3},
		Columns:  [][]float64{ones, x},
		Names:    []string{"(Intercept)", "time"},
		Terms: []mixed.Term{{
			Group: "plot", Names: []string{"(Intercept)"}, Levels: []string{"north", "middle", "south"},
			Level: []int32{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2}, Z: [][]float64{nil},
		}},
	}, mixed.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	coefficients, err := f.Coefficients(mixed.Satterthwaite)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range coefficients {
		fmt.Printf("%-12s %.3f ± %.3f, %.1f degrees of freedom\n", c.Name, c.Value, c.SE, c.DF)
	}
	for _, c := range f.Components {
		fmt.Printf("%ss differ by %.3f, rows of one by %.3f\n", c.Group, c.SD, f.Sigma)
	}
	for _, m := range f.Modes() {
		fmt.Printf("%-6s %+.3f ± %.3f\n", m.Level, m.Estimate, m.PredictionSE)
	}
	// Output:
	// (Intercept)  1.143 ± 0.517, 2.1 degrees of freedom
	// time         1.010 ± 0.043, 8.0 degrees of freedom
	// plots differ by 0.884, rows of one by 0.168
	// north  -0.008 ± 0.515
	// middle +0.884 ± 0.515
	// south  -0.875 ± 0.515
}

func ExampleFitted_Predict() {
	f, err := mixed.Fit(sound(), mixed.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	at4 := func(level int32) mixed.At {
		return mixed.At{X: []float64{1, 4}, Level: []int32{level}, Z: [][]float64{{1}}}
	}
	rows, err := f.Predict([]mixed.At{at4(0), at4(-1)})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("plot a     %.2f ± %.2f, a new row of it ± %.2f\n", rows[0].Value, rows[0].SE, rows[0].SENew)
	fmt.Printf("a new plot %.2f ± %.2f, a new row of it ± %.2f\n", rows[1].Value, rows[1].SE, rows[1].SENew)
	// Output:
	// plot a     5.18 ± 0.14, a new row of it ± 0.22
	// a new plot 5.18 ± 1.03, a new row of it ± 1.04
}
