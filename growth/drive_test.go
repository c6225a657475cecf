package growth

import (
	"fmt"
	"math"
	"testing"
)

func TestDriveRefused(t *testing.T) {
	good := even(t, "2024-01-01", "2024-01-31", 12)
	hole := even(t, "2024-01-01", "2024-01-31", 12)
	hole.Mean[4] = math.NaN()
	for _, c := range []struct {
		name string
		in   Input
		want string
	}{
		{"no weather", Input{}, "growth: there is no weather"},
		{"a gap", Input{Weather: hole}, "growth: 2024-01-05 has no temperature: fill the gaps of the weather first"},
		{"marks", Input{Weather: Weather{Mean: []float64{1, 2}}}, "growth: 2 days of weather with 0 marks of what is filled in: one for each day"},
		{"nitrogen", Input{Weather: good, Nitrogen: gifts(t, "2024-01-08 -5")}, "growth: nitrogen of 2024-01-08: -5 kg/ha: 0 or more"},
		{"clippings", Input{Weather: good, Clippings: []Clipping{{good.First, math.NaN()}}}, "growth: clippings of 2024-01-01: NaN L/100 m²: 0 or more"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := NewDrive(c.in); err == nil || err.Error() != c.want {
				t.Errorf("error %v\nwanted %s", err, c.want)
			}
		})
	}
}

// At the reference nitrogen the share that follows nitrogen does not matter; below it more share is less growth.
func TestIndexFollowsNitrogen(t *testing.T) {
	w := even(t, "2024-01-01", "2024-12-31", 15)
	for _, c := range []struct {
		kg, share, want float64
	}{
		{150, 0, 0.661515}, {150, 1, 0.661515}, {75, 0, 0.661515}, {75, 0.5, 0.75 * 0.661515}, {300, 1, 2 * 0.661515}, {0, 1, 0},
	} {
		d := drive(t, Input{Weather: w, Nitrogen: []Gift{{w.First + 100, c.kg}}})
		if got := d.Index(w.First, c.share); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%g kg/ha, share %g: index %.6f, wanted %.6f", c.kg, c.share, got, c.want)
		}
	}
}

func TestFilledDaysAreSaid(t *testing.T) {
	obs := seattle(t)
	d := drive(t, Input{Weather: fill(t, obs, obs[0].Day-50, obs[0].Day+49), Nitrogen: yearly(t, 2012, 2012, "05-01 150")})
	if want := []string{"50 of 100 days of weather are filled in"}; len(d.Notes) != 1 || d.Notes[0] != want[0] {
		t.Errorf("notes %q, wanted %q", d.Notes, want)
	}
}

func ExampleNewDrive() {
	days := 366
	w := Weather{First: 19723, Mean: make([]float64, days), Rain: make([]float64, days), Filled: make([]bool, days)} // 2024
	for i := range w.Mean {
		w.Mean[i] = 11 - 9*math.Cos(2*math.Pi*float64(i)/366)
	}
	d, err := NewDrive(Input{Weather: w, Habit: Cool, Nitrogen: []Gift{{Day: w.First + 100, KgHa: 60}, {Day: w.First + 240, KgHa: 45}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, i := range []int{15, 105, 196, 288} {
		fmt.Printf("%s %4.1f °C  growth %.2f\n", date(w.First+i), d.Temp[i], d.Index(w.First+i, 0.65))
	}
	// Output:
	// 2024-01-16  2.3 °C  growth 0.00
	// 2024-04-15 13.1 °C  growth 0.36
	// 2024-07-15 19.8 °C  growth 0.80
	// 2024-10-15  8.9 °C  growth 0.11
}

func BenchmarkNewDriveSixYears(b *testing.B) {
	obs := seattle(b)
	in := Input{Weather: fill(b, obs, obs[0].Day-365, obs[len(obs)-1].Day+365), Nitrogen: yearly(b, 2011, 2016, "04-08 30", "06-08 40", "08-08 20", "09-08 50")}
	for day := in.Weather.First + 40; day < in.Weather.Until(); day += 30 {
		in.Clippings = append(in.Clippings, Clipping{day, 5})
	}
	for b.Loop() {
		if _, err := NewDrive(in); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDrawTwoYears(b *testing.B) {
	c := climate(b, seattle(b))
	for b.Loop() {
		c.Draw(20000, 20729, func(year int) int { return year })
	}
}

func BenchmarkFillSixYears(b *testing.B) {
	obs := seattle(b)
	for b.Loop() {
		fill(b, obs, obs[0].Day-365, obs[len(obs)-1].Day+365)
	}
}
