package app_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/exchange"
)

// weatherFile writes a file of weather.
func weatherFile(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "station.csv")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// weatherOf gives the days of 2010 of a course, which its package says nothing of.
func weatherOf(t *testing.T, a *app.App, course string) []string {
	t.Helper()
	r, err := a.Store.Records(t.Context(), course)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, w := range r.Weather {
		if w.Date.Year() != 2010 {
			continue
		}
		s := w.Date.String()
		for _, v := range []underfoot.Opt[float64]{w.TMinC, w.TMaxC, w.RainMM} {
			if v.Known {
				s += " " + underfoot.FormatNumber(v.Value)
			} else {
				s += " -"
			}
		}
		list = append(list, s)
	}
	return list
}

// Weather files add up: what one leaves open of a day stays as another gave it, and a file brought in again changes nothing.
func TestImportWeather(t *testing.T) {
	a, _ := club(t, noon)
	for _, c := range []struct {
		text                 string
		added, changed, same int
		want                 []string
	}{
		{"date,tmin_c,tmax_c\n2010-05-01,3,14.5\n2010-05-02,4,\n", 2, 0, 0, []string{"2010-05-01 3 14.5 -", "2010-05-02 4 - -"}},
		{"date,rain_mm\n2010-05-01,0\n2010-05-03,12.5\n", 1, 1, 0, []string{"2010-05-01 3 14.5 0", "2010-05-02 4 - -", "2010-05-03 - - 12.5"}},
		{"date,rain_mm\n2010-05-01,0\n2010-05-03,12.5\n", 0, 0, 2, []string{"2010-05-01 3 14.5 0", "2010-05-02 4 - -", "2010-05-03 - - 12.5"}},
		{"STATION,DATE,TMAX\nXX000000001,2010-05-02,101\nXX000000001,2010-05-01,-9999\n", 0, 1, 0, []string{"2010-05-01 3 14.5 0", "2010-05-02 4 10.1 -", "2010-05-03 - - 12.5"}},
	} {
		before := lastChange(t, a)
		got, err := a.ImportWeather(t.Context(), weatherFile(t, c.text), "ostrelby", "tester", nil)
		if err != nil {
			t.Fatal(err)
		}
		if n := got.Counts; n.Added != c.added || n.Changed != c.changed || n.Same != c.same || n.Restored != 0 {
			t.Errorf("%q: %+v, wanted %d new, %d changed, %d the same", c.text, n, c.added, c.changed, c.same)
		}
		if diff := cmp.Diff(c.want, weatherOf(t, a, "ostrelby")); diff != "" {
			t.Errorf("%q: (-want +got)\n%s", c.text, diff)
		}
		if moved := lastChange(t, a) != before; moved != (c.added+c.changed > 0) {
			t.Errorf("%q: a new change: %t", c.text, moved)
		}
		if got.Change.ID != 0 && got.Change.What != "imported the weather file station.csv" {
			t.Errorf("change %+v", got.Change)
		}
	}
	if other := weatherOf(t, a, "varrowmere"); len(other) > 0 {
		t.Errorf("another course has %v", other)
	}
}

// With anything wrong nothing is taken, and it is said why.
func TestImportWeatherRefused(t *testing.T) {
	a, _ := club(t, noon)
	if _, err := a.ImportWeather(t.Context(), weatherFile(t, "date,tmin_c,tmax_c\n2010-05-02,4,9\n"), "ostrelby", "tester", nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, text, course, want string
		kind                     underfoot.Kind
		problems                 []string
	}{
		{
			"a day that contradicts the store", "date,tmin_c\n2010-05-01,2\n2010-05-02,9.5\n", "ostrelby",
			"weather file station.csv: 2010-05-02: 9.5 °C is above tmax_c 9 °C, one of them from the store: correct the day there or in the file; nothing was taken",
			underfoot.Conflict, nil,
		},
		{
			"a bad line", "date,tmin_c\n2010-05-01,2\n2010-05-03,warm\n", "ostrelby",
			"weather file station.csv has 1 problem: nothing was taken from it",
			underfoot.Invalid,
			[]string{`station.csv:3: tmin_c: "warm" is not a number from -90 to 60 °C with a decimal point`},
		},
		{
			"days to come", "date,tmin_c\n2026-11-26,2\n2026-11-27,2\n", "ostrelby",
			"weather file station.csv: 2026-11-27 is in the future: today is 2026-11-25; a forecast is no record, and nothing was taken from it",
			underfoot.Invalid, nil,
		},
		{
			"which course", "date,tmin_c\n2010-05-01,2\n", "",
			"weather: the store has several courses, ostrelby, varrowmere: say which one with --course",
			underfoot.Invalid, nil,
		},
		{
			"no such course", "date,tmin_c\n2010-05-01,2\n", "elsewhere",
			`weather: course "elsewhere" is not in the store: there are ostrelby, varrowmere`,
			underfoot.NotFound, nil,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := lastChange(t, a)
			var told []string
			_, err := a.ImportWeather(t.Context(), weatherFile(t, c.text), c.course, "tester", func(p exchange.Problem) { told = append(told, p.String()) })
			if err == nil || err.Error() != c.want || underfoot.KindOf(err) != c.kind {
				t.Errorf("error %v\nwanted %s", err, c.want)
			}
			if diff := cmp.Diff(c.problems, told); diff != "" {
				t.Errorf("problems (-want +got)\n%s", diff)
			}
			if got := weatherOf(t, a, "ostrelby"); len(got) != 1 || lastChange(t, a) != before {
				t.Errorf("the store holds %v, change %d after %d", got, lastChange(t, a), before)
			}
		})
	}
	_, err := empty(t, noon).ImportWeather(t.Context(), weatherFile(t, "date,tmin_c\n2010-05-01,2\n"), "", "tester", nil)
	if want := "weather: the store has no course yet: bring in its package first"; err == nil || err.Error() != want {
		t.Errorf("error %v\nwanted %s", err, want)
	}
}
