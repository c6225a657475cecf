package sampling_test

import (
	"fmt"
	"log"

	"underfoot/sampling"
)

// What a design can see: six greens of five cores on a course that holds about 5 % organic matter.
func ExampleEvaluate() {
	components, err := sampling.DefaultComponents(5)
	if err != nil {
		log.Fatal(err)
	}
	design := sampling.Design{Greens: 6, OnCourse: 18, Cores: 5, Determinations: 1}
	goal := sampling.Goal{Figure: sampling.SlopeOfTrend, Test: sampling.UsualTest()}
	for _, s := range []sampling.Schedule{{PerYear: 1, Years: 3}, {PerYear: 2, Years: 3}, {PerYear: 1, Years: 6}} {
		o, err := sampling.Evaluate(components, sampling.DefaultPrices(), design, s, goal)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(o.Sentence(goal))
	}
	// Output:
	// With 6 greens of 5 cores, once a year for 3 years, a change of 4.35 percentage points a year would be seen in 8 of 10 cases.
	// With 6 greens of 5 cores, twice a year for 3 years, a change of 0.68 percentage points a year would be seen in 8 of 10 cases.
	// With 6 greens of 5 cores, once a year for 6 years, a change of 0.35 percentage points a year would be seen in 8 of 10 cases.
}

// The cheapest way to see a change of half a point a year over five years.
func ExampleCheapest() {
	components, err := sampling.DefaultComponents(5)
	if err != nil {
		log.Fatal(err)
	}
	goal := sampling.Goal{
		Figure: sampling.SlopeOfTrend, Points: 0.5, Test: sampling.UsualTest(),
		Schedules: []sampling.Schedule{{PerYear: 1, Years: 5}, {PerYear: 2, Years: 5}},
	}
	answer, err := sampling.Cheapest(components, sampling.DefaultPrices(), sampling.DefaultLimits(18), goal)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(answer.Sentence())
	for _, s := range answer.RunnersUp() {
		fmt.Println(s)
	}
	// Output:
	// Seeing a change of 0.5 percentage points a year in 8 of 10 cases costs 1,245: 3 greens of 13 cores, once a year for 5 years.
	// More greens, fewer cores (4 greens of 9 cores, once a year for 5 years) costs 85 more.
	// More rounds, fewer cores (3 greens of 3 cores, twice a year for 5 years) costs 945 more.
}

// What a fourth round adds to three.
func ExampleComponents_NextRound() {
	components, err := sampling.DefaultComponents(5)
	if err != nil {
		log.Fatal(err)
	}
	components.Origin = 2025
	greens := []string{"2", "5", "9", "11", "14", "18"}
	var record []sampling.Composite
	for _, year := range []float64{2023, 2024, 2025} {
		for _, green := range greens {
			record = append(record, sampling.Composite{Green: green, Round: fmt.Sprint(year), Year: year, Cores: 5, Determinations: 1})
		}
	}
	next := sampling.Planned{Year: 2026, Greens: greens, Cores: 5, Determinations: 1}
	worth, err := components.NextRound(record, next, sampling.GreensLikeThese, sampling.UsualTest())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(worth.Sentence())
	// Output:
	// A round of 6 greens of 5 cores would bring the smallest change that is seen in 8 of 10 cases from 4.35 to 0.96 percentage points a year.
}

// How many measurements in each of two groups.
func ExampleNumberForChange() {
	n, err := sampling.NumberForChange(sampling.TwoSample, 0.6, 0.5, sampling.UsualTest())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f\n", n)
	// Output: 23.6
}

// Twenty samples shared among three strata of different size and scatter.
func ExampleAllocate() {
	shares, err := sampling.Allocate(20, []sampling.Stratum{
		{Name: "old greens", Size: 600, SD: 0.6, Cost: 1},
		{Name: "new greens", Size: 400, SD: 1.0, Cost: 1},
		{Name: "shade", Size: 500, SD: 0.8, Cost: 4},
	})
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range shares {
		fmt.Printf("%s %.2f: %d\n", s.Name, s.Exact, s.N)
	}
	// Output:
	// old greens 7.50: 8
	// new greens 8.33: 8
	// shade 4.17: 4
}
