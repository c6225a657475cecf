package growth

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"underfoot/internal/reference"
)

func TestPotentialReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/potential.json") {
		var in struct {
			Habit   string    `json:"habit"`
			Celsius []float64 `json:"celsius"`
		}
		var want []float64
		c.Decode(t, &in, &want)
		h := map[string]Habit{"cool": Cool, "warm": Warm}[in.Habit]
		for i, celsius := range in.Celsius {
			c.Near(t, "at "+strconv.FormatFloat(celsius, 'f', -1, 64)+" °C", Potential(celsius, h), want[i])
		}
	}
}

// seattle reads the open series of the tests.
func seattle(t testing.TB) []Observation {
	t.Helper()
	f, err := os.Open("testdata/seattle-weather.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []Observation
	for _, r := range rows[1:] {
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(r[1+i], 64); err != nil {
				t.Fatal(err)
			}
		}
		list = append(list, Observation{Day: dayOf(t, r[0]), Rain: v[0], Max: v[1], Min: v[2]})
	}
	return list
}

func dayOf(t testing.TB, s string) int {
	t.Helper()
	at, err := time.Parse(time.DateOnly, s)
	if err != nil {
		t.Fatal(err)
	}
	return int(at.Unix() / 86400)
}

func fill(t testing.TB, obs []Observation, from, until int) Weather {
	t.Helper()
	w, err := Fill(obs, from, until)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func climate(t testing.TB, obs []Observation) Climate {
	t.Helper()
	c, err := ClimateOf(obs)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestSeattleReference(t *testing.T) {
	obs := seattle(t)
	w := fill(t, obs, obs[0].Day, obs[len(obs)-1].Day)
	usual := climate(t, obs).Mean(w.First, w.Until()-1)
	for _, c := range reference.Load(t, "testdata/reference/seattle.json") {
		var in struct {
			Do    string   `json:"do"`
			Years []int    `json:"years"`
			Dates []string `json:"dates"`
		}
		var want, got []float64
		c.Decode(t, &in, &want)
		switch in.Do {
		case "months":
			got = monthly(w)
		case "cool", "warm":
			d, err := NewDrive(Input{Weather: w, Habit: map[string]Habit{"cool": Cool, "warm": Warm}[in.Do]})
			if err != nil {
				t.Fatal(err)
			}
			for _, y := range in.Years {
				var sum float64
				for day := yearStart(y, false); day < yearStart(y+1, false); day++ {
					sum += d.Index(day, 0)
				}
				got = append(got, sum)
			}
		case "usual":
			for _, s := range in.Dates {
				got = append(got, usual.Mean[dayOf(t, s)-w.First])
			}
		case "rest":
			rms, _ := off(usual.Mean, w.Mean, nil)
			got = []float64{rms}
		case "holes":
			rms, mean := holes(t, obs, w.Mean)
			got = []float64{rms, mean}
		default:
			t.Fatalf("%s: nothing is known of %q", c.ID, in.Do)
		}
		if len(got) != len(want) {
			t.Fatalf("%s: %d values, wanted %d", c.ID, len(got), len(want))
		}
		for i := range want {
			c.Near(t, "value "+strconv.Itoa(i+1), got[i], want[i])
		}
	}
}

func monthly(w Weather) []float64 {
	sum, n := make([]float64, 12), make([]float64, 12)
	for i, t := range w.Mean {
		m := onDay(w.First+i).Month() - 1
		sum[m] += t
		n[m]++
	}
	for m := range sum {
		sum[m] /= n[m]
	}
	return sum
}

// off gives the root mean square and the mean of got − want, of the days marked, or of all.
func off(got, want []float64, of []bool) (rms, mean float64) {
	n := 0.0
	for i := range got {
		if of != nil && !of[i] {
			continue
		}
		e := got[i] - want[i]
		rms, mean, n = rms+e*e, mean+e, n+1
	}
	return math.Sqrt(rms / n), mean / n
}

// holes takes 20 days out of every 97 of the series and gives by how much they are off when filled.
func holes(t *testing.T, obs []Observation, truth []float64) (rms, mean float64) {
	var left []Observation
	for i, o := range obs {
		if i%97 < 30 || i%97 >= 50 {
			left = append(left, o)
		}
	}
	w := fill(t, left, obs[0].Day, obs[len(obs)-1].Day)
	return off(w.Mean, truth, w.Filled)
}
