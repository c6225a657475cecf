package profile_test

import (
	"fmt"
	"math"

	"underfoot/profile"
)

// A green through three years of mild weather: dressed every three weeks of the season, cored each spring.
func Example() {
	daily := profile.Daily{First: 19724} // 2024-01-01
	for i := range 3 * 365 {
		temp := 11 + 9*math.Sin(2*math.Pi*float64(i-110)/365.25) // °C
		daily.Temp = append(daily.Temp, temp)
		daily.Index = append(daily.Index, math.Exp(-0.5*math.Pow((temp-20)/5.5, 2)))
	}
	var work []profile.Event
	var sights []profile.Sight
	days := []int{}
	for year := range 3 {
		first := daily.First + year*365
		work = append(work, profile.Event{Day: first + 90, Opening: profile.Opening{Touched: 0.05, Depth: 60, Fill: 0.8}})
		for day := 100; day < 300; day += 21 {
			work = append(work, profile.Event{Day: first + day, Sand: 0.9})
		}
		for _, top := range []float64{0, 20, 40} {
			sights = append(sights, profile.Sight{Day: first + 280, Top: top, Bottom: top + 20})
		}
	}
	for _, e := range work {
		days = append(days, e.Day)
	}
	for _, v := range sights {
		days = append(days, v.Day)
	}

	set := profile.Usual()
	p := profile.Params{ // as calibration would give them
		profile.Growth: 2.4, profile.SlowRate: 0.16, profile.FastRate: 1.6, profile.FastShare: 0.5,
		profile.RootDepth: 10, profile.DeepShare: 0.2,
		profile.Surface: 0.085, profile.Base: 0.008, profile.Fade: 18,
		profile.Coring: 0.9, profile.Filling: 0.95, profile.Sanding: 1, profile.Nitrogen: 0.6, profile.OrganicDensity: 235,
	}
	looks := set.Looks(daily.First, daily.Until(), days...)
	forcing, err := profile.NewForcing(daily, looks, set)
	if err != nil {
		fmt.Println(err)
		return
	}
	track, err := profile.NewTrack(set, looks, work, sights)
	if err != nil {
		fmt.Println(err)
		return
	}
	column, out := track.NewColumn(set, nil), profile.NewReadout(len(sights), 0)
	forcing.Set(p, false)
	if err := track.Run(column, forcing, p, out); err != nil {
		fmt.Println(err)
		return
	}
	for i, v := range sights {
		fmt.Printf("day %4d, %2.0f–%2.0f mm: %.2f %%\n", v.Day-daily.First, v.Top, v.Bottom, 100*out.Seen[i].OM())
	}
	account, err := column.Account()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(account)
	// Output:
	// day  280,  0–20 mm: 5.78 %
	// day  280, 20–40 mm: 3.10 %
	// day  280, 40–60 mm: 1.43 %
	// day  645,  0–20 mm: 5.09 %
	// day  645, 20–40 mm: 4.30 %
	// day  645, 40–60 mm: 1.64 %
	// day 1010,  0–20 mm: 4.22 %
	// day 1010, 20–40 mm: 5.44 %
	// day 1010, 40–60 mm: 2.00 %
	// organic matter, kg/m²
	//   at the start      3.3074
	//   made              3.0179
	//   decayed          -2.0902
	//   taken out        -0.3259
	//   at the end        3.9093
	// sand, kg/m²
	//   at the start     195.185
	//   put in            36.065
	//   taken out         -9.778
	//   at the end       221.472
}
