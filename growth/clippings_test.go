package growth

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// clipped writes a log of clippings of which each volume is so many times what temperature and nitrogen tell.
func clipped(d Drive, days []int, times []float64) []Clipping {
	list := []Clipping{}
	for i, day := range days {
		from := day - 30
		if i > 0 {
			from = days[i-1] + 1
		}
		var grown float64
		for at := from; at <= day; at++ {
			grown += d.plain(at)
		}
		list = append(list, Clipping{day, times[i] * grown})
	}
	return list
}

func drive(t testing.TB, in Input) Drive {
	t.Helper()
	d, err := NewDrive(in)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A volume e times the usual moves growth to e^0.7 times, whatever share of the clippings the boxes catch.
func TestSizeFollowsVolumes(t *testing.T) {
	obs := seattle(t)
	in := Input{Weather: fill(t, obs, obs[0].Day, obs[len(obs)-1].Day), Nitrogen: yearly(t, 2012, 2015, "04-08 60", "09-08 30")}
	plain := drive(t, in)
	first := plain.First
	days := []int{first + 60, first + 90, first + 120, first + 160}
	for _, caught := range []float64{0.01, 1, 700} {
		in.Clippings = clipped(plain, days, []float64{caught, caught * math.E, caught / math.E, caught})
		d := drive(t, in)
		want := func(day int) float64 {
			switch {
			case day > days[0] && day <= days[1]:
				return math.Exp(0.7)
			case day > days[1] && day <= days[2]:
				return math.Exp(-0.7)
			}
			return 1
		}
		for i, got := range d.Size {
			if math.Abs(got-want(first+i)) > 1e-12 {
				t.Fatalf("caught %g, day %d: size %g, wanted %g", caught, i, got, want(first+i))
			}
		}
	}
}

func TestClippingsTakenForTheirDays(t *testing.T) {
	w := even(t, "2024-01-01", "2024-12-31", 20) // every day grows alike
	at := func(s string) int { return dayOf(t, s) }
	for _, c := range []struct {
		name  string
		list  []Clipping
		size  map[string]float64
		notes []string
	}{
		{
			// ratios 2 and ½ of the mean of the two: to the 0.7
			"the first covers 31 days",
			[]Clipping{{at("2024-04-30"), 31 * 2}, {at("2024-05-30"), 30 * 0.5}},
			map[string]float64{"2024-03-30": 1, "2024-03-31": math.Pow(2, 0.7), "2024-04-30": math.Pow(2, 0.7), "2024-05-01": math.Pow(0.5, 0.7), "2024-05-30": math.Pow(0.5, 0.7), "2024-05-31": 1},
			nil,
		},
		{
			"after a winter an entry covers 35 days",
			[]Clipping{{at("2024-03-31"), 31 * 2}, {at("2024-07-31"), 35 * 0.5}},
			map[string]float64{"2024-03-31": math.Pow(2, 0.7), "2024-04-01": 1, "2024-06-26": 1, "2024-06-27": math.Pow(0.5, 0.7), "2024-07-31": math.Pow(0.5, 0.7)},
			[]string{"1 clipping entry follows the one before by more than 60 days: it is taken to be of its last 35"},
		},
		{
			"no more than 3 times",
			[]Clipping{{at("2024-04-30"), 31 * 100}, {at("2024-05-30"), 30 * 0.01}},
			map[string]float64{"2024-04-30": 3, "2024-05-30": 1.0 / 3},
			nil,
		},
		{
			"two of a day are one",
			[]Clipping{{at("2024-04-30"), 31 * 1.5}, {at("2024-04-30"), 31 * 0.5}, {at("2024-05-30"), 30 * 0.5}},
			map[string]float64{"2024-04-30": math.Pow(2, 0.7), "2024-05-30": math.Pow(0.5, 0.7)},
			nil,
		},
		{
			"beyond the run",
			[]Clipping{{at("2024-01-30"), 500}, {at("2024-12-15"), 7}, {at("2025-01-10"), 900}},
			map[string]float64{"2024-01-30": 1, "2024-12-15": 1, "2024-12-31": 1},
			[]string{"1 clipping entry follows the one before by more than 60 days: it is taken to be of its last 35"},
		},
		{
			"nothing in the box",
			[]Clipping{{at("2024-04-30"), 31}, {at("2024-05-30"), 0}, {at("2024-06-29"), 30}},
			map[string]float64{"2024-04-30": 1, "2024-05-15": 1, "2024-06-15": 1},
			nil,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := drive(t, Input{Weather: w, Nitrogen: yearly(t, 2024, 2024, "05-01 150"), Clippings: c.list})
			for day, want := range c.size {
				if got := d.Size[at(day)-d.First]; math.Abs(got-want) > 1e-12 {
					t.Errorf("%s: size %g, wanted %g", day, got, want)
				}
			}
			if diff := cmp.Diff(c.notes, d.Notes); diff != "" {
				t.Errorf("notes (-want +got):\n%s", diff)
			}
		})
	}
}
