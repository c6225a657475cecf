package growth

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// gifts writes a log of nitrogen: "2021-04-08 30".
func gifts(t testing.TB, rows ...string) []Gift {
	t.Helper()
	var list []Gift
	for _, r := range rows {
		day, amount, _ := strings.Cut(r, " ")
		var g Gift
		if _, err := fmt.Sscan(amount, &g.KgHa); err != nil {
			t.Fatal(err)
		}
		g.Day = dayOf(t, day)
		list = append(list, g)
	}
	return list
}

// yearly gives the same gifts on the same days of several years.
func yearly(t testing.TB, from, until int, rows ...string) []Gift {
	t.Helper()
	var list []Gift
	for y := from; y <= until; y++ {
		for _, r := range rows {
			list = append(list, gifts(t, fmt.Sprintf("%d-%s", y, r))...)
		}
	}
	return list
}

// even is weather of one temperature.
func even(t testing.TB, from, until string, celsius float64) Weather {
	t.Helper()
	w := run(dayOf(t, from), dayOf(t, until))
	for i := range w.Mean {
		w.Mean[i] = celsius
	}
	return w
}

func TestSeasonsOfNitrogen(t *testing.T) {
	spring := []string{"04-08 40", "06-08 60", "09-08 50"} // 150 in a season
	halved := []string{"04-08 20", "06-08 30", "09-08 25"}
	for _, c := range []struct {
		name        string
		gifts       []Gift
		from, until string
		south       bool
		at          map[string]float64 // kg/ha taken to be given in the season of a day
		notes       []string
	}{
		{
			"none", nil, "2021-01-01", "2022-12-31", false,
			map[string]float64{"2021-01-01": 150, "2022-12-31": 150},
			[]string{"no nitrogen is on record: growth is taken as with 150 kg/ha a year"},
		},
		{
			"whole seasons", append(yearly(t, 2020, 2021, spring...), yearly(t, 2022, 2023, halved...)...), "2019-06-01", "2025-06-01", false,
			map[string]float64{"2019-06-01": 150, "2020-01-01": 150, "2021-12-31": 150, "2022-01-01": 75, "2023-12-31": 75, "2025-06-01": 75},
			nil,
		},
		{
			"the log ends in June", append(yearly(t, 2020, 2022, spring...), gifts(t, "2023-04-08 20", "2023-06-08 30")...), "2020-01-01", "2023-12-31", false,
			map[string]float64{"2022-07-01": 150, "2023-03-01": 75, "2023-12-31": 75},
			[]string{"the nitrogen of 2023 is on record for part of the year only: 50 kg/ha on record are taken as 67 % of the year's"},
		},
		{
			"the log begins in September", append(gifts(t, "2020-09-08 25"), yearly(t, 2021, 2023, spring...)...), "2020-01-01", "2023-12-31", false,
			map[string]float64{"2020-03-01": 75, "2021-03-01": 150},
			[]string{"the nitrogen of 2020 is on record for part of the year only: 25 kg/ha on record are taken as 33 % of the year's"},
		},
		{
			"the log ends where little is given", append(yearly(t, 2020, 2022, "02-08 10", "05-08 70", "09-08 70"), gifts(t, "2023-02-08 10")...), "2020-01-01", "2023-12-31", false,
			map[string]float64{"2023-12-31": 150},
			[]string{"the nitrogen of 2023 is on record for part of the year only: taken as in the season before"},
		},
		{
			"a season without any", append(yearly(t, 2020, 2020, spring...), yearly(t, 2022, 2023, halved...)...), "2020-01-01", "2023-12-31", false,
			map[string]float64{"2020-06-01": 150, "2021-06-01": 150, "2022-06-01": 75},
			[]string{"no nitrogen is on record for 2021: taken as 150 kg/ha, as in the season before"},
		},
		{
			"two halves that make a year", gifts(t, "2020-09-08 50", "2020-10-20 30", "2021-04-08 40"), "2020-01-01", "2022-12-31", false,
			map[string]float64{"2020-01-01": 120, "2021-06-01": 120, "2022-12-31": 120},
			[]string{"the nitrogen on record, 120 kg/ha, covers the end of one season and the beginning of the next: taken as one year's"},
		},
		{
			"one season", gifts(t, "2021-04-08 40", "2021-09-08 50"), "2020-01-01", "2022-12-31", false,
			map[string]float64{"2020-01-01": 90, "2022-12-31": 90},
			nil,
		},
		{
			"in the south", append(yearly(t, 2020, 2020, "09-08 60", "12-08 40"), append(gifts(t, "2021-03-08 50"), yearly(t, 2022, 2022, "09-08 30", "12-08 20")...)...), "2020-01-01", "2023-06-30", true,
			map[string]float64{"2020-06-30": 150, "2020-07-01": 150, "2021-06-30": 150, "2021-07-01": 150, "2022-07-01": 75, "2023-06-30": 75},
			[]string{
				"the nitrogen of 2022/23 is on record for part of the year only: 50 kg/ha on record are taken as 67 % of the year's",
				"no nitrogen is on record for 2021/22: taken as 150 kg/ha, as in the season before",
			},
		},
		{
			"none given, and written down", gifts(t, "2021-04-08 0"), "2021-01-01", "2021-12-31", false,
			map[string]float64{"2021-06-01": 0},
			nil,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := NewDrive(Input{Weather: even(t, c.from, c.until, 20), Nitrogen: c.gifts, South: c.south})
			if err != nil {
				t.Fatal(err)
			}
			for day, want := range c.at {
				if got := d.Nitrogen[dayOf(t, day)-d.First] * Reference; math.Abs(got-want) > 1e-9 {
					t.Errorf("%s: %.1f kg/ha, wanted %.1f", day, got, want)
				}
			}
			if diff := cmp.Diff(c.notes, d.Notes); diff != "" {
				t.Errorf("notes (-want +got):\n%s", diff)
			}
		})
	}
}

// Whatever the log, growth is a number from 0 up and stands still with the order of the entries.
func TestDriveIsSound(t *testing.T) {
	obs := seattle(t)
	w := fill(t, obs, obs[0].Day, obs[len(obs)-1].Day)
	rapid.Check(t, func(t *rapid.T) {
		day := rapid.IntRange(w.First-400, w.Until()+400)
		in := Input{Weather: w, Habit: Habit(rapid.IntRange(0, 1).Draw(t, "habit")), South: rapid.Bool().Draw(t, "south")}
		seen := map[int]bool{}
		for range rapid.IntRange(0, 30).Draw(t, "gifts") {
			in.Nitrogen = append(in.Nitrogen, Gift{day.Draw(t, "day"), rapid.Float64Range(0, 80).Draw(t, "kg/ha")})
		}
		for range rapid.IntRange(0, 30).Draw(t, "clippings") {
			if at := day.Draw(t, "day"); !seen[at] {
				seen[at] = true
				in.Clippings = append(in.Clippings, Clipping{at, rapid.Float64Range(0, 40).Draw(t, "L/100 m²")})
			}
		}
		d, err := NewDrive(in)
		if err != nil {
			t.Fatal(err)
		}
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		for at := w.First - 1; at <= w.Until(); at++ {
			if x := d.Index(at, share); !(x >= 0) || math.IsInf(x, 0) {
				t.Fatalf("%s: index %g", date(at), x)
			}
		}
		if d.Index(w.First-1, share) != 0 || d.Index(w.Until(), share) != 0 {
			t.Fatal("growth outside the run")
		}
		for _, f := range d.Size {
			if f < 1/farthest-1e-12 || f > farthest+1e-12 {
				t.Fatalf("size %g", f)
			}
		}
		in.Nitrogen = rapid.Permutation(in.Nitrogen).Draw(t, "gifts in another order")
		in.Clippings = rapid.Permutation(in.Clippings).Draw(t, "clippings in another order")
		again, err := NewDrive(in)
		if err != nil {
			t.Fatal(err)
		}
		for i := range d.Size {
			if math.Abs(d.Size[i]-again.Size[i]) > 1e-9 || math.Abs(d.Nitrogen[i]-again.Nitrogen[i]) > 1e-9 {
				t.Fatalf("%s: size %g and %g, nitrogen %g and %g", date(d.First+i), d.Size[i], again.Size[i], d.Nitrogen[i], again.Nitrogen[i])
			}
		}
	})
}
