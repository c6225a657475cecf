package exchange

import (
	"compress/gzip"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
)

func readWeather(t *testing.T, text string) *WeatherFile {
	t.Helper()
	f, err := ReadWeather(strings.NewReader(text), "station.txt", "a")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// lines of the three GHCN-Daily forms for the same three days, made by hand.
func fixedForm() string {
	cells := func(values ...string) string {
		var b strings.Builder
		for d := range 31 {
			v := "-9999   "
			if d < len(values) {
				v = values[d]
			}
			b.WriteString(v)
		}
		return b.String()
	}
	return "XX000000001202402TMAX" + cells("  128  S", "  106  S", "  117 XS") + "\n" +
		"XX000000001202402TMIN" + cells("   50  S", "   28  S", "   72  S") + "\n" +
		"XX000000001202402PRCP" + cells("    0T S", "  109  S") + "\n" +
		"XX000000001202402SNOW" + cells("    3  S") + "\n"
}

const longForm = `XX000000001,20240201,TMAX,128,,,S,
XX000000001,20240201,TMIN,50,,,S,
XX000000001,20240201,PRCP,0,T,,S,
XX000000001,20240202,TMAX,106,,,S,
XX000000001,20240202,TMIN,28,,,S,
XX000000001,20240202,PRCP,109,,,S,
XX000000001,20240203,TMAX,117,,X,S,
XX000000001,20240203,TMIN,72,,,S,
`

const wideForm = `"STATION","DATE","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"
"XX000000001","2024-02-01","Somewhere, XX","    0","T,,S","  128",",,S","   50",",,S"
"XX000000001","2024-02-02","Somewhere, XX","  109",",,S","  106",",,S","   28",",,S"
"XX000000001","2024-02-03","Somewhere, XX",,,"  117",",X,S","   72",",,S"
`

const ownForm = "date,tmin_c,tmax_c,rain_mm\n2024-02-01,5,12.8,0\n2024-02-02,2.8,10.6,10.9\n2024-02-03,7.2,,\n"

func TestWeatherFormsSayTheSame(t *testing.T) {
	want := "[2024-02-01 5 12.8 0 2024-02-02 2.8 10.6 10.9 2024-02-03 7.2 - -]"
	for _, c := range []struct {
		name, text, form, station string
		doubtful                  int
	}{
		{"fixed", fixedForm(), "GHCN-Daily station file, fixed width", "XX000000001", 1},
		{"long", longForm, "GHCN-Daily by-station table, a value a line", "XX000000001", 1},
		{"wide", wideForm, "GHCN-Daily by-station table, a day a line", "XX000000001", 1},
		{"own", ownForm, "table of daily weather", "", 0},
		{"own, with a mark of byte order and Windows ends", "\uFEFF" + strings.ReplaceAll(ownForm, "\n", "\r\n"), "table of daily weather", "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := readWeather(t, c.text)
			if len(f.Problems) > 0 {
				t.Fatal(f.Problems)
			}
			var got []string
			for _, d := range f.Days {
				got = append(got, d.Date.String())
				for _, v := range []underfoot.Opt[float64]{d.TMinC, d.TMaxC, d.RainMM} {
					if v.Known {
						got = append(got, underfoot.FormatNumber(v.Value))
					} else {
						got = append(got, "-")
					}
				}
			}
			if fmt.Sprint(got) != want {
				t.Errorf("read %v\nwanted %s", got, want)
			}
			if f.Form != c.form || f.Station != c.station || f.Doubtful != c.doubtful {
				t.Errorf("form %q, station %q, %d doubtful; wanted %q, %q, %d", f.Form, f.Station, f.Doubtful, c.form, c.station, c.doubtful)
			}
		})
	}
}

// Days before 1900 of a station are left out and counted; in a table of one's own they are a slip.
func TestWeatherBefore1900(t *testing.T) {
	f := readWeather(t, "STATION,DATE,TMAX,TMIN\nXX000000001,1899-12-31,10,5\nXX000000001,1900-01-01,20,-5\n")
	if len(f.Problems) > 0 || f.Early != 1 || len(f.Days) != 1 || f.Days[0].Date != underfoot.MakeDate(1900, 1, 1) {
		t.Errorf("%+v", f)
	}
	f = readWeather(t, "STATION,DATE,TMAX,TMIN\nXX000000001,1899-12-31,10,5\n")
	if want := "station.txt: there is no day with a temperature or rain in it from 1900-01-01 on"; len(f.Problems) != 1 || f.Problems[0].String() != want {
		t.Errorf("got %v\nwant %s", f.Problems, want)
	}
	f = readWeather(t, "date,rain_mm\n1899-12-31,1\n")
	if want := "station.txt:2: date: 1899-12-31 is before 1900-01-01: dates from then on are allowed"; len(f.Problems) == 0 || f.Problems[0].String() != want {
		t.Errorf("got %v\nwant %s", f.Problems, want)
	}
}

// Numbers are read as everywhere else: no hexadecimal ones, no minus zero.
func TestWeatherNumbers(t *testing.T) {
	f := readWeather(t, "date,rain_mm\n2024-02-01,-0\n2024-02-02,0x1p3\n")
	want := `station.txt:3: rain_mm: "0x1p3" is not a number from 0 to 2000 mm with a decimal point`
	if len(f.Problems) != 1 || f.Problems[0].String() != want {
		t.Errorf("got %v\nwant %s", f.Problems, want)
	}
	if v := f.Days[0].RainMM; !v.Known || math.Signbit(v.Value) {
		t.Errorf("rain %v", v)
	}
}

// wholeDegrees is a wide table of so many days in whole °F.
func wholeDegrees(days int) string {
	var b strings.Builder
	b.WriteString("STATION,DATE,TMAX,TMIN\n")
	for i := range days {
		fmt.Fprintf(&b, "XX000000001,%s,%d,%d\n", underfoot.MakeDate(2023, 1, 1+i), 40+i%61, 30+i%61)
	}
	return b.String()
}

// A second station is told once, however many lines it has, and none of its values is taken.
func TestSecondStationIsToldOnce(t *testing.T) {
	for _, text := range []string{
		fixedForm() + strings.ReplaceAll(fixedForm(), "XX000000001202402", "YY000000002202403"),
		longForm + strings.ReplaceAll(longForm, "XX000000001,202402", "YY000000002,202403"),
		wideForm + strings.Join(strings.Split(strings.ReplaceAll(wideForm, `XX000000001","2024-02`, `YY000000002","2024-03`), "\n")[1:], "\n"),
	} {
		f := readWeather(t, text)
		if len(f.Problems) != 1 || !strings.Contains(f.Problems[0].Text, `station "YY000000002" after "XX000000001"`) {
			t.Errorf("%s: problems %v", f.Form, f.Problems)
		}
		if len(f.Days) != 3 {
			t.Errorf("%s: %d days, wanted the 3 of the first station", f.Form, len(f.Days))
		}
	}
}

// Files packed by gzip read as the file within.
func TestPackedWeather(t *testing.T) {
	pack := func(text string) string {
		var b strings.Builder
		z := gzip.NewWriter(&b)
		if _, err := z.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	for _, text := range []string{fixedForm(), longForm, wideForm, ownForm} {
		if diff := cmp.Diff(readWeather(t, text), readWeather(t, pack(text))); diff != "" {
			t.Errorf("plain and packed (-plain +packed):\n%s", diff)
		}
	}
	whole := pack(longForm)
	for _, c := range []struct{ name, text, want string }{
		{"cut short", whole[:len(whole)-12], "reading f.csv.gz: it is packed, and cannot be unpacked: unexpected EOF"},
		{"no more than its first bytes", "\x1f\x8b", "reading f.csv.gz: it is packed, and cannot be unpacked: unexpected EOF"},
		{"bloated", pack(strings.Repeat(" ", maxWeather+1)), "f.csv.gz is larger than 64 MB, the most a weather file may be"},
	} {
		if _, err := ReadWeather(strings.NewReader(c.text), "f.csv.gz", "a"); err == nil || err.Error() != c.want {
			t.Errorf("%s: error %v\nwanted %s", c.name, err, c.want)
		}
	}
}

func TestWeatherProblemsNamePlaceAndValue(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"fixed, no number", strings.Replace(fixedForm(), "  128", "  1x8", 1), `station.txt:1: day 1: "1x8" is not a whole number: values are in tenths, -9999 for missing`},
		{"fixed, no such day", "XX000000001202402TMAX" + strings.Repeat("  100   ", 31) + "\n", `station.txt:1: day 30: 2024-02 has no day 30`},
		{"fixed, another station", fixedForm() + strings.Replace(fixedForm(), "XX000000001", "YY000000002", 1), `station.txt:5: station "YY000000002" after "XX000000001": a file has to be of one station`},
		{"long, no day", strings.Replace(longForm, "20240202,TMIN", "20240230,TMIN", 1), `station.txt:5: day: "20240230" is not a day of the form 20261008`},
		{"wide, no number", strings.Replace(wideForm, `"  106"`, `"10.6"`, 1), `station.txt:3: TMAX: "10.6" is not a whole number: values are in tenths, -9999 for missing`},
		{"wide, whole degrees", wholeDegrees(365), `station.txt: TMAX: the warmest of 365 days would have 10 °C: values have to be in tenths of °C, these look like whole °F or °C`},
		{"own, no number", strings.Replace(ownForm, "10.6", "10,6", 1), `station.txt:3: 5 cells under 4 headers: numbers take a decimal point, and text with a comma quotation marks`},
		{"own, too hot", strings.Replace(ownForm, "12.8", "128", 1), `station.txt:2: tmax_c: "128" is not a number from -90 to 60 °C with a decimal point`},
		{"own, upside down", strings.Replace(ownForm, "2.8,10.6", "12.8,10.6", 1), `station.txt:3: tmin_c: 12.8 °C is above tmax_c 10.6 °C`},
		{"own, twice", ownForm + "2024-02-01,5,12.8,0\n", `station.txt:5: date: 2024-02-01 stands in the file twice`},
		{"own, another course", "course,date,tmin_c,tmax_c\nb,2024-02-01,1,2\n", `station.txt:2: course: "b" is not the course the file is for, "a"`},
		{"nothing in it", "date,tmin_c\n", `station.txt: there is no day with a temperature or rain in it`},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := readWeather(t, c.text)
			if len(f.Problems) == 0 || f.Problems[0].String() != c.want {
				t.Errorf("problems %v\nwanted first %s", f.Problems, c.want)
			}
		})
	}
	_, err := ReadWeather(strings.NewReader("hello\n"), "x.txt", "a")
	want := `x.txt is no weather file that is known here: its first line is "hello": bring a table with the columns date, tmin_c, tmax_c and rain_mm, or a GHCN-Daily station file (.dly or by-station .csv); a laboratory’s sheet needs a column for the value and one for the sample, or for its green and layer`
	if err == nil || err.Error() != want {
		t.Errorf("error %v\nwanted %s", err, want)
	}
}

// A whole open series (Seattle, 2012–2015, NOAA, as vega-datasets 3.2.1 carries it) written in the fixed-width form reads back the
// same, day by day.
func TestFixedFormOfAnOpenSeries(t *testing.T) {
	text, err := os.ReadFile("../../growth/testdata/seattle-weather.csv")
	if err != nil {
		t.Fatal(err)
	}
	type day struct{ rain, high, low string }
	days := map[string]day{}
	months := map[string]bool{}
	var order []string
	for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		f := strings.Split(line, ",")
		if i == 0 {
			continue
		}
		days[f[0]] = day{f[1], f[2], f[3]}
		if m := f[0][:7]; !months[m] {
			months[m] = true
			order = append(order, m)
		}
	}
	tenths := func(s string) string {
		var whole float64
		fmt.Sscan(s, &whole)
		return fmt.Sprintf("%5d  W", int(whole*10+map[bool]float64{true: 0.5, false: -0.5}[whole >= 0]))
	}
	var b strings.Builder
	for _, m := range order {
		for _, e := range []string{"PRCP", "TMAX", "TMIN"} {
			fmt.Fprintf(&b, "US000000000%s%s%s", m[:4], m[5:], e)
			for d := 1; d <= 31; d++ {
				x, ok := days[fmt.Sprintf("%s-%02d", m, d)]
				if !ok {
					b.WriteString("-9999   ")
					continue
				}
				b.WriteString(tenths(map[string]string{"PRCP": x.rain, "TMAX": x.high, "TMIN": x.low}[e]))
			}
			b.WriteByte('\n')
		}
	}
	f := readWeather(t, b.String())
	if len(f.Problems) > 0 || len(f.Days) != 1461 {
		t.Fatalf("%d days, problems %v; wanted 1461 days", len(f.Days), f.Problems)
	}
	for _, d := range f.Days {
		x := days[d.Date.String()]
		for _, c := range []struct {
			name, want string
			got        underfoot.Opt[float64]
		}{{"rain", x.rain, d.RainMM}, {"highest", x.high, d.TMaxC}, {"lowest", x.low, d.TMinC}} {
			var want float64
			fmt.Sscan(c.want, &want)
			if !c.got.Known || c.got.Value != want {
				t.Fatalf("%s: %s is %v, wanted %s", d.Date, c.name, c.got, c.want)
			}
		}
	}
}

func FuzzWeather(f *testing.F) {
	for _, s := range []string{fixedForm(), longForm, wideForm, ownForm, "", "date\n2024-01-01"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := ReadWeather(strings.NewReader(text), "f", "a")
		if err != nil {
			return
		}
		for i, d := range w.Days {
			if len(w.Problems) == 0 && len(d.Check()) > 0 || i > 0 && w.Days[i-1].Date >= d.Date {
				t.Errorf("day %d: %+v", i, d)
			}
		}
		if len(w.Problems) > 0 {
			return
		}
		out := t.TempDir() + "/out"
		write(t, out, []*underfoot.Records{{Course: underfoot.Course{ID: "a"}, Weather: w.Days}})
		if again := take(t, out); len(again) != 1 || !cmp.Equal(w.Days, again[0].Weather) {
			t.Error("what was taken does not come back from a package of it")
		}
	})
}
