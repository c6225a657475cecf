package calibrate_test

import (
	"fmt"
	"math"

	"underfoot/calibrate"
	"underfoot/profile"
)

// Two greens sampled in three autumns, dressed in between; where will 0–20 mm be a year after the last round, and with half
// the sand?
func Example() {
	const start, years = 18262, 4 // 2020-01-01
	var daily profile.Daily
	daily.First = start
	for day := range years * 365 {
		temp := 11 + 9*math.Sin(2*math.Pi*float64(day-110)/365)
		daily.Temp = append(daily.Temp, temp)
		daily.Index = append(daily.Index, math.Exp(-math.Pow((temp-20)/5.5, 2)/2))
	}
	dressed := func(kilograms float64) (work []profile.Event) {
		for year := range years {
			for month := range 6 {
				work = append(work, profile.Event{Day: start + 365*year + 100 + 30*month, Sand: kilograms})
			}
		}
		return work
	}
	course := calibrate.Course{Settings: profile.Usual(), Daily: daily, Start: start}
	for _, name := range []string{"1", "2"} {
		course.Greens = append(course.Greens, calibrate.Green{Name: name, Work: dressed(1.2)})
	}
	for year, om := range []float64{0.052, 0.049, 0.047} {
		for green := range course.Greens {
			course.Measured = append(course.Measured, calibrate.Measured{
				Green: green, Round: fmt.Sprint(2020 + year), Day: start + 365*year + 280, Bottom: 20, OM: om + 0.002*float64(green), Cores: 5,
			})
		}
	}

	fit, err := calibrate.NewFit(&course, calibrate.Usual())
	if err != nil {
		fmt.Println(err)
		return
	}
	members, err := fit.Ensemble(200, course.Last(), 1, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	plan := calibrate.Ask{Days: []int{course.Last() + 365}, Seed: 1}
	forecast, err := members.Forecast(plan)
	if err != nil {
		fmt.Println(err)
		return
	}
	e := forecast.Estimate(-1, 0, 0)
	fmt.Printf("0–20 mm: %.1f %%, 9 in 10 between %.1f and %.1f %%\n", 100*e.Q50, 100*e.Q05, 100*e.Q95)

	half := plan
	half.Work = [][]profile.Event{dressed(0.6), dressed(0.6)}
	effects, err := members.Compare(plan, half)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("with half the sand %.1f points more\n", 100*effects[0].Change.Q50)
	for _, l := range fit.Learnt()[:2] {
		fmt.Printf("%s: %s\n", l.Entry().Name, l.Word())
	}
	_, err = members.Forecast(calibrate.Ask{Days: []int{start - 1}})
	fmt.Println(err)
	// Output:
	// 0–20 mm: 4.5 %, 9 in 10 between 3.5 and 5.4 %
	// with half the sand 0.7 points more
	// organic matter made at full growth: the rounds decided
	// decay of the slow pool at 20 °C: still the prior
	// forecasting a course: day 18261 lies before the first profile of day 18262
}
