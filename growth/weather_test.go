package growth

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Days measured stay, short gaps are drawn straight across, and long ones are as far off as any day is from what is usual.
func TestFillKeepsAndMarks(t *testing.T) {
	obs := seattle(t)
	first := obs[0].Day
	gone := map[int]bool{100: true, 101: true, 102: true}
	for i := 500; i < 504; i++ {
		gone[i] = true
	}
	var left []Observation
	for i, o := range obs {
		switch {
		case gone[i] && i%2 == 0: // no row at all
		case gone[i]: // a row without its highest
			o.Max = math.NaN()
			left = append(left, o)
		default:
			left = append(left, o)
		}
	}
	slices.Reverse(left)
	w := fill(t, left, first-10, first+len(obs)+9)
	c := climate(t, left)
	for i := range w.Mean {
		at := i - 10
		inside := at >= 0 && at < len(obs)
		if w.Filled[i] != (!inside || gone[at]) {
			t.Errorf("day %d: filled %t", at, w.Filled[i])
		}
		var want float64
		switch {
		case inside && !gone[at]:
			want = obs[at].mean()
		case inside && at < 200:
			a, b := obs[99].mean(), obs[103].mean()
			want = a + (b-a)*float64(at-99)/4
		default:
			want = c.usually(first + at)
		}
		if math.Abs(w.Mean[i]-want) > 1e-12 {
			t.Errorf("day %d: %.3f °C, wanted %.3f", at, w.Mean[i], want)
		}
	}
}

// Wherever 20 days on end are taken out, they come back as far off as days are from what is usual, 2.7 °C here, and without lean.
func TestFillIsAsGoodAsClimate(t *testing.T) {
	obs := seattle(t)
	w := fill(t, obs, obs[0].Day, obs[len(obs)-1].Day)
	var rms, lean, n float64
	for begin := 0; begin+20 <= len(obs); begin += 20 {
		left := slices.Concat(obs[:begin], obs[begin+20:])
		got := fill(t, left, obs[begin].Day, obs[begin+19].Day)
		r, m := off(got.Mean, w.Mean[begin:begin+20], nil)
		rms, lean, n = rms+r*r, lean+m, n+1
	}
	rms, lean = math.Sqrt(rms/n), lean/n
	usual, _ := off(climate(t, obs).Mean(w.First, w.Until()-1).Mean, w.Mean, nil)
	if rms < usual || rms > 1.05*usual || math.Abs(lean) > 0.05 {
		t.Errorf("filled days are off by %.3f °C with a lean of %.3f, days from what is usual by %.3f", rms, lean, usual)
	}
}

func TestWeatherRefused(t *testing.T) {
	obs := seattle(t)
	first := obs[0].Day
	var summers []Observation
	for _, o := range obs {
		if m := onDay(o.Day).Month(); m >= 5 && m <= 9 {
			summers = append(summers, o)
		}
	}
	rain := slices.Clone(obs)
	for i := range rain {
		rain[i].Min = math.NaN()
	}
	for _, c := range []struct {
		name        string
		obs         []Observation
		from, until int
		want        string
	}{
		{"none", nil, first, first, "weather: there is none: bring in daily lowest and highest temperatures of a station near the course"},
		{"short", obs[:299], first, first, "weather: only 299 days have a lowest and a highest temperature: 300 are needed to tell a year by"},
		{"rain only", rain, first, first, "weather: only 0 days have a lowest and a highest temperature: 300 are needed to tell a year by"},
		{"summers", summers, first, first, "weather: no year has temperatures between 1 October and 30 April: at most 90 days on end of the time of year may be without any"},
		{"back to front", obs, first, first - 1, "weather: the run ends on 2011-12-31, before it begins on 2012-01-01"},
		{"long", append(slices.Clone(obs), Observation{Day: first + 410*366}), first, first, "weather: the record spans 411 years, from 2012-01-01 to 2422-11-07: 400 at most"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := Fill(c.obs, c.from, c.until); err == nil || err.Error() != c.want {
				t.Errorf("error %v\nwanted %s", err, c.want)
			}
		})
	}
	if _, err := Fill(obs[:300], first, first+400); err != nil {
		t.Error(err)
	}
}

// Of a day given twice the last that was measured counts; what is no number is not measured.
func TestDaysGivenTwice(t *testing.T) {
	obs := seattle(t)
	again := append(slices.Clone(obs), Observation{obs[40].Day, 3, 5, 1}, Observation{obs[40].Day, math.NaN(), math.NaN(), 2}, Observation{obs[41].Day, 3, math.Inf(1), math.Inf(1)})
	w := fill(t, again, obs[40].Day, obs[41].Day)
	if w.Mean[0] != 4 || w.Rain[0] != 2 || w.Mean[1] != obs[41].mean() || w.Rain[1] != obs[41].Rain {
		t.Errorf("%+v", w)
	}
}

// Each day drawn is the same day of the year drawn for it.
func TestDrawGoesByTheCalendar(t *testing.T) {
	obs := seattle(t)
	c := climate(t, obs)
	if c.Count() != 4 {
		t.Fatalf("%d years, wanted 4", c.Count())
	}
	byDate := map[string]Observation{}
	for _, o := range obs {
		byDate[date(o.Day)] = o
	}
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.IntRange(dayOfYear(2016), dayOfYear(2120)).Draw(t, "from")
		until := from + rapid.IntRange(0, 900).Draw(t, "days")
		turn := rapid.IntRange(-9, 9).Draw(t, "turn")
		asked := map[int]int{}
		w := c.Draw(from, until, func(year int) int { asked[year]++; return year + turn })
		if w.First != from || w.Until() != until+1 {
			t.Fatalf("from %d to %d, wanted %d to %d", w.First, w.Until(), from, until+1)
		}
		for i := range w.Mean {
			at := onDay(from + i)
			own := 2012 + ((at.Year()+turn)%4+4)%4
			name := fmt.Sprintf("%d-%s", own, at.Format("01-02"))
			o, ok := byDate[name]
			if !ok { // 29 February
				o = byDate[fmt.Sprintf("%d-02-28", own)]
			}
			if w.Mean[i] != o.mean() || w.Rain[i] != o.Rain || !w.Filled[i] {
				t.Fatalf("%s drawn as %g °C and %g mm, wanted those of %s", at.Format("2006-01-02"), w.Mean[i], w.Rain[i], date(o.Day))
			}
			if asked[at.Year()] != 1 {
				t.Fatalf("asked for %d %d times", at.Year(), asked[at.Year()])
			}
		}
	})
}

func dayOfYear(year int) int { return yearStart(year, false) }

// With no year of its own a course draws what is usual.
func TestDrawWithoutAYear(t *testing.T) {
	obs := seattle(t)
	c := climate(t, obs[150:460])
	if c.Count() != 0 {
		t.Fatalf("%d years in 310 days", c.Count())
	}
	got := c.Draw(20000, 20400, func(int) int { t.Error("asked for a year"); return 0 })
	if want := c.Mean(20000, 20400); !slices.Equal(got.Mean, want.Mean) || !slices.Equal(got.Filled, want.Filled) {
		t.Error("drawn weather is not what is usual")
	}
}

// A unit of temperature that is shifted and stretched, as °F are, comes out so.
func TestFillIsNeutral(t *testing.T) {
	obs := seattle(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(-40, 40).Draw(t, "shift"), rapid.Float64Range(0.2, 3).Draw(t, "stretch")
		lot := rapid.IntRange(2, 40).Draw(t, "one of")
		var left, moved []Observation
		for i, o := range obs {
			if (i/lot)%4 == 1 {
				continue
			}
			left = append(left, o)
			moved = append(moved, Observation{o.Day, a + b*o.Min, a + b*o.Max, o.Rain})
		}
		from, until := obs[0].Day-30, obs[len(obs)-1].Day+30
		plain, err := Fill(left, from, until)
		if err != nil {
			t.Fatal(err)
		}
		other, err := Fill(moved, from, until)
		if err != nil {
			t.Fatal(err)
		}
		for i, v := range plain.Mean {
			if want := a + b*v; math.Abs(other.Mean[i]-want) > 1e-9*(1+math.Abs(a)) {
				t.Fatalf("%s: %.12g, wanted %.12g", date(from+i), other.Mean[i], want)
			}
		}
	})
}

// Of a record of a hundred years, the first seventy 5 °C colder, the last thirty say what is usual and are drawn; a day
// of the seventy stays as it was measured.
func TestClimateIsOfThirtyYears(t *testing.T) {
	first, last := yearStart(1920, false), yearStart(2020, false)-1
	turn := yearStart(1990, false)
	var obs []Observation
	for day := first; day <= last; day++ {
		celsius := 10 - 8*math.Cos(2*math.Pi*float64(day)/365.25)
		if day < turn {
			celsius -= 5
		}
		obs = append(obs, Observation{day, celsius - 4, celsius + 4, 1})
	}
	c := climate(t, obs)
	if c.Count() != 30 || c.years[0] != 1990 {
		t.Errorf("%d years from %d, wanted 30 from 1990", c.Count(), c.years[0])
	}
	w := fill(t, obs, turn-1, last+200)
	for i, got := range w.Mean {
		want := 10 - 8*math.Cos(2*math.Pi*float64(w.First+i)/365.25)
		if i == 0 {
			want -= 5
		}
		if math.Abs(got-want) > 1e-9 {
			t.Fatalf("%s: %.6f °C, wanted %.6f", date(w.First+i), got, want)
		}
	}
}
