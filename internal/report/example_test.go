package report_test

import (
	"context"
	"fmt"
	"time"

	"underfoot/internal/app"
	"underfoot/internal/report"
)

func ExampleBuild() {
	now := time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)
	courses, err := app.ReadPackage(context.Background(), "../../examples/second", now, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	standing, err := app.Stand(courses[0], courses[0].Course.Today(now), app.Wishes{})
	if err != nil {
		fmt.Println(err)
		return
	}
	m := report.Build(standing, report.Options{PreparedBy: "the course manager", When: now})
	fmt.Println(m.Statement)
	for _, s := range m.Because {
		fmt.Println(s)
	}
	fmt.Println(m.Prepared)
	// Output:
	// No direction yet. Organic matter at 0–20 mm is 2.9 % (2.7 to 3.2).
	// There are no readings of firmness or soil water, and no targets for them.
	// There is one round so far, so there is a level and no trend.
	// Prepared by the course manager, 25 November 2026, with Underfoot
}
