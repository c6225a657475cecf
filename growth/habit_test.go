package growth

import (
	"fmt"
	"testing"
)

func TestHabitOf(t *testing.T) {
	for _, c := range []struct {
		species string
		want    Habit
		known   bool
	}{
		{"creeping bentgrass", Cool, true},
		{"Agrostis stolonifera", Cool, true},
		{"annual bluegrass", Cool, true},
		{"Annual meadow-grass", Cool, true},
		{"fescue", Cool, true},
		{"perennial ryegrass", Cool, true},
		{"HYBRID BERMUDAGRASS", Warm, true},
		{"Cynodon dactylon × C. transvaalensis", Warm, true},
		{"seashore paspalum", Warm, true},
		{"zoysia", Warm, true},
		{"kikuyu", Warm, true},
		{"Kikuyu with annual bluegrass", Warm, true},
		{"moss", Cool, false},
		{"", Cool, false},
	} {
		if h, known := HabitOf(c.species); h != c.want || known != c.known {
			t.Errorf("%q: %v, known %t; wanted %v, %t", c.species, h, known, c.want, c.known)
		}
	}
}

func ExamplePotential() {
	for _, celsius := range []float64{10, 20, 30} {
		fmt.Printf("%.0f °C: %s %.2f, %s %.2f\n", celsius, Cool, Potential(celsius, Cool), Warm, Potential(celsius, Warm))
	}
	// Output:
	// 10 °C: cool-season 0.19, warm-season 0.01
	// 20 °C: cool-season 1.00, warm-season 0.29
	// 30 °C: cool-season 0.19, warm-season 0.99
}
