package say

import (
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"underfoot/internal/numeral"
)

var us = Style{Units: US}

// Factors against published ones: NIST Special Publication 811 (2008), appendix B.8, given to seven figures there.
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		metric string
		nist   float64 // metric units a US unit
		from   string
	}{
		{"mm", 25.4, "inch (in) to millimeter (mm): 2.54 E+01, exact"},
		{"m²", 0.09290304, "square foot (ft²) to square meter (m²): 9.290304 E−02, exact"},
		{"m³", 0.7645549, "cubic yard (yd³) to cubic meter (m³): 7.645549 E−01"},
		{"t", 0.9071847, "ton, short (2000 lb) to kilogram (kg): 9.071847 E+02"},
		{"kg", 0.45359237, "pound (avoirdupois) (lb) to kilogram (kg): 4.5359237 E−01, exact to the figures of the footnote"},
		{"kg/m³", 16.01846, "pound per cubic foot (lb/ft³) to kilogram per cubic meter: 1.601846 E+01"},
		{"kg/m²", 4.882428e-3, "pound per square foot (lb/ft²) to kilogram per square meter: 4.882428 E+00, over 1000"},
		{"g/m²", 4.882428, "the same in grams"},
		{"kg/ha", 48.82428, "the same on 10,000 m²"},
		{"t/ha", 4.882428e-2, "the same in tonnes"},
		{"ha", 0.4046873, "acre, of 43,560 ft²: 4.046873 E+03 m² of the survey foot, 4.046856 of the international one"},
		{"m", 0.3048, "foot (ft) to meter (m): 3.048 E−01, exact"},
		{"L/100 m²", 0.9463529 / 0.9290304, "quart (US liquid) to liter (L): 9.463529 E−01, on 1000 ft² = 0.9290304 × 100 m²"},
		{"mm/h", 25.4, "as inch to millimeter"},
		{"h/ha", 1 / 0.4046856, "an hour an acre of 43,560 ft²"},
		{"L", 28.31685, "cubic foot (ft³) to liter, from cubic meter: 2.831685 E−02"},
	} {
		got := 1 / us.Value(1, c.metric)
		tol := 3.2e-7 // half a step of the seventh figure
		if c.metric == "ha" {
			tol = 5e-6 // survey foot against international foot
		}
		if math.Abs(got-c.nist) > tol*c.nist {
			t.Errorf("1 %s is %.8g %s, want %.8g: %s", us.Unit(c.metric), got, c.metric, c.nist, c.from)
		}
	}
	for c, f := range map[float64]float64{0: 32, 100: 212, -40: -40} {
		if got := us.Value(c, "°C"); math.Abs(got-f) > 1e-9 {
			t.Errorf("%g °C is %g °F, want %g", c, got, f)
		}
	}
}

func TestText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"0–20 mm", "0–0.8 in"},
		{"0–20, 20–40 and 40–60 mm", "0–0.8, 0.8–1.6 and 1.6–2.4 in"},
		{"3.8 mm of sand went into 0–20 mm in 2026 so far.", "0.15 in of sand went into 0–0.8 inches in 2026 so far."},
		{"holds 0–20 mm with 4.0 mm a year (3.0 to 5.4): that is all sand", "holds 0–0.8 in with 0.16 in a year (0.12 to 0.21): that is all sand"},
		{"Limit not met: fine sand, 0.15–0.25 mm 27.3 %, allowed at most 20 %.", "Limit not met: fine sand, 0.15–0.25 mm 27.3 %, allowed at most 20 %."},
		{"From 0 to 1,000 h/ha", "From 0 to 405 h/acre"},
		{"In 2025 0–20 mm got 5.1 mm of sand.", "In 2025 0–0.8 in got 0.20 in of sand."},
		{"0.40 mm on all 18 greens", "0.016 in on all 18 greens"},
		{"1 mm over all 18 greens, 9,400 m², is 15.0 t, dry, at 1,600 kg/m³.", "0.04 in over all 18 greens, 101,180 ft², is 16.5 tons, dry, at 99.9 lb/ft³."},
		{"12.4 mm (10.1 to 14.2)", "0.49 in (0.40 to 0.56)"},
		{"8.1 mm ± 0.5", "0.32 in ± 0.02"},
		{"13 × 50 mm holes", "0.5 × 2.0 in holes"},
		{"150 kg/ha of nitrogen", "3.07 lb/1000 ft² of nitrogen"},
		{"1.55 kg/m²", "317 lb/1000 ft²"},
		{"−0.19 to +0.03 mm", "−0.0075 to +0.0012 in"},
		{"21.5 °C in summer, 1.5 °C warmer", "70.7 °F in summer, 2.7 °F warmer"},
		{"Burnt at 440 °C", "Burnt at 440 °C"},
		{"30 to 150 cm³, 42.877 g, 7.2 %", "30 to 150 cm³, 42.877 g, 7.2 %"},
		{"v02-0006 mm and 12 months, 3 tines, 6 m", "v02-0006 mm and 12 months, 3 tines, 6 m"},
		{"0.49 in and 16.5 tons", "0.49 in and 16.5 tons"},
		{"25 mm/h", "25 mm/h"},
		{"In 2025 0–20 mm got 5.1 mm of sand; holding it needs 4.0 a year.", "In 2025 0–0.8 in got 0.20 in of sand; holding it needs 0.16 a year."},
		{"needs 4.0 mm a year (3.1 to 5.4, 9 in 10)", "needs 0.16 in a year (0.12 to 0.21, 9 in 10)"},
		{"19 in 20 that 0–20 mm rises, 7 in 10 that it beats 0.5 a year", "19 in 20 that 0–0.8 in rises, 7 in 10 that it beats 0.5 a year"},
		{"Firmness averaged 8.1 mm (7.9 to 8.3) with 7 % in 0–20 mm. It got 5.1 mm of sand.", "Firmness averaged 8.1 mm (7.9 to 8.3) with 7 % in 0–0.8 in. It got 0.20 in of sand."},
		{"5.1 mm in 2025", "0.20 inches in 2025"},
		{"tines at 50 by 50 mm", "tines at 2.0 by 2.0 in"},
		{"Dressing sand A, 41 GBP/t", "Dressing sand A, 37 GBP/ton"},
		{"no quantity, 18 greens", "no quantity, 18 greens"},
		{"0 mm", "0 in"},
	} {
		if got := us.Text(c.in); got != c.want {
			t.Errorf("%q reads %q, want %q", c.in, got, c.want)
		}
		if got := us.Text(us.Text(c.in)); got != c.want {
			t.Errorf("%q said twice reads %q, want %q", c.in, got, c.want)
		}
		if got := (Style{}).Text(c.in); got != c.in {
			t.Errorf("in metric units %q reads %q", c.in, got)
		}
	}
}

func TestDates(t *testing.T) {
	for _, c := range []struct{ in, month, iso string }{
		{"8 October 2026", "October 8, 2026", "2026-10-08"},
		{"8 Oct 2026", "Oct 8, 2026", "2026-10-08"},
		{"Thu 8 Oct", "Thu, Oct 8", "Thu 8 Oct"},
		{"Thu 8 Oct 2026", "Thu, Oct 8, 2026", "Thu 2026-10-08"},
		{"8–14 Oct 2026", "Oct 8–14, 2026", "2026-10-08 to 2026-10-14"},
		{"from 8 October to 3 November 2026.", "from October 8 to November 3, 2026.", "from 8 October to 2026-11-03."},
		{"18 October greens, 9 in 10", "October 18 greens, 9 in 10", "18 October greens, 9 in 10"},
		{"8 Oct 2026, 14:05", "Oct 8, 2026, 14:05", "2026-10-08, 14:05"},
	} {
		if got := (Style{Dates: MonthFirst}).Text(c.in); got != c.month {
			t.Errorf("%q reads %q, want %q", c.in, got, c.month)
		}
		if got := (Style{Dates: ISO}).Text(c.in); got != c.iso {
			t.Errorf("%q reads %q in ISO, want %q", c.in, got, c.iso)
		}
	}
	d := time.Date(2026, 10, 8, 0, 0, 0, 0, time.UTC)
	s := Style{Dates: MonthFirst}
	if got := []string{s.Day(d), s.ShortDay(d), s.PlainDay(d)}; strings.Join(got, "|") != "October 8, 2026|Thu, Oct 8|Oct 8, 2026" {
		t.Errorf("got %q", got)
	}
}

// A reading never pretends to be finer than a third of the last place of the metric one, unless one figure would move it by more
// than a twentieth; and it is the metric reading times the factor, to its own last place or that twentieth.
func TestReadingsKeepTheirPrecision(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.IntRange(0, 3).Draw(t, "decimals")
		v := math.Round(rapid.Float64Range(0.01, 5000).Draw(t, "v")*math.Pow10(d)) / math.Pow10(d)
		q := quantities[rapid.IntRange(0, len(quantities)-1).Draw(t, "unit")]
		text := us.Num(v, d, q.metric)
		x, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
		if err != nil {
			t.Fatal(err)
		}
		exact := v*q.per + q.offset
		if v == 0 {
			return
		}
		step := math.Pow10(-q.decimalsOf(d))
		if q.offset != 0 {
			step = math.Pow10(-d)
		}
		if math.Abs(x-exact) > step/2*(1+1e-9) {
			t.Fatalf("%g %s reads %s, exactly %g", v, q.metric, text, exact)
		}
		if q.offset == 0 && step < math.Pow10(-d)*q.per/3.2 {
			t.Fatalf("%g %s has steps of %g, finer than a third of %g", v, q.metric, step, math.Pow10(-d)*q.per)
		}
	})
}

func TestTypedNumbersComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.IntRange(0, 4).Draw(t, "decimals")
		v := math.Round(rapid.Float64Range(0.001, 999).Draw(t, "v")*math.Pow10(d)) / math.Pow10(d)
		text := strconv.FormatFloat(v, 'f', -1, 64)
		q := quantities[rapid.IntRange(0, len(quantities)-1).Draw(t, "unit")]
		metric := us.FromTyped(text, q.metric)
		if back := us.ToTyped(metric, q.metric); len(metric) > 6 && strings.Contains(metric, ".") && back != text {
			t.Fatalf("%s %s is %s %s and comes back as %s", text, q.us, metric, q.metric, back)
		}
	})
	for _, bad := range []string{"", "abc", "1 2", "0..4"} {
		if got := us.FromTyped(bad, "mm"); got != bad {
			t.Errorf("%q became %q", bad, got)
		}
	}
}

func TestTypedForm(t *testing.T) {
	form := url.Values{
		"mm": {"0.016", "0.02", "x"}, "unit:mm": {"us|mm|0.016|0.4|", "us|mm|||", "us|mm|||"},
		"note": {"5 mm"}, "depth": {"3"}, "unit:depth": {"us|mm|||"},
		"amount": {"10"}, "unit": {"t"}, "unit:amount": {"us|mm|0.016|0.4|unit"},
	}
	Typed(form)
	if got := form.Encode(); got != "amount=9.0718474&depth=76.2&mm=0.4&mm=0.508&mm=x&note=5+mm&unit=t" {
		t.Errorf("got %s", got)
	}
}

func TestPage(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"words", `<p>12.4 mm of sand, 8 October 2026</p>`, `<p>0.49 in of sand, 8 October 2026</p>`},
		{"number apart from its unit", `<b>12.4</b> <small>mm each</small>`, `<b>0.49</b> <small>in each</small>`},
		{"names and notes", `<p translate="no">12 mm tines <b>8 mm</b></p><p>8 mm</p>`, `<p translate="no">12 mm tines <b>8 mm</b></p><p>0.3 in</p>`},
		{"a field in the laboratory", `<div data-units="laboratory">1.21 kg/m² <p data-units="field">0.40 mm</p> 1.21 kg/m²</div>`, `<div data-units="laboratory">1.21 kg/m² <p data-units="field">0.016 in</p> 1.21 kg/m²</div>`},
		{"laboratory", `<div data-units="laboratory">20–40 mm, under 0.15 mm, 0.5–1 mm, 1.21 kg/m²</div>`, `<div data-units="laboratory">0.8–1.6 in, under 0.15 mm, 0.5–1 mm, 1.21 kg/m²</div>`},
		{
			"columns", `<table><tr><th scope="col"></th><th scope="col">Sand, mm</th><th scope="col">t, dry</th></tr><tr><th scope="row">2025</th><td>12.4</td><td>–</td></tr></table>`,
			`<table><tr><th scope="col"></th><th scope="col">Sand, in</th><th scope="col">tons, dry</th></tr><tr><th scope="row">2025</th><td>0.49</td><td>–</td></tr></table>`,
		},
		{
			"field", `<input class="n" name="depth_mm" value="20" data-unit="mm"/><span class="u">mm</span>`,
			`<input class="n" name="depth_mm" value="0.8" data-unit="mm"/><input type="hidden" name="unit:depth_mm" value="us|mm|0.8|20|"/><span class="u">in</span>`,
		},
		{"label", `<a aria-label="Change 0.40 mm of 8 Oct">x</a>`, `<a aria-label="Change 0.016 in of 8 Oct">x</a>`},
		{"ticks of a drawing", `<svg><text>20</text><text>mm</text><text>5.0 mm</text></svg>`, `<svg><text>20</text><text>mm</text><text>0.20 in</text></svg>`},
		{"script", `<script>var a = "12 mm"</script>`, `<script>var a = "12 mm"</script>`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := string(us.Page([]byte(c.in))); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
			if got := string((Style{}).Page([]byte(c.in))); got != c.in {
				t.Errorf("metric changed it: %s", got)
			}
		})
	}
}

// A text of several numbers, such as the layers of a round: what was shown comes back to the last digit, and what is typed is
// cut to whole millimetres.
func TestSeveralTyped(t *testing.T) {
	shown := us.EachToTyped("0-20 20-40 40-60", "mm")
	if shown != "0-0.8 0.8-1.6 1.6-2.4" {
		t.Fatalf("shown %q", shown)
	}
	for typed, want := range map[string]string{
		shown: "0-20 20-40 40-60", "0-0.8 0.8-1.6": "0-20 20-40", "0-1 1-2 2-3": "0-25 25-51 51-76", "0-0.8 0.8-3": "0-20 20-76", "top": "top",
	} {
		if got := us.EachFromTyped(typed, "mm", shown, "0-20 20-40 40-60"); got != want {
			t.Errorf("%q became %q, want %q", typed, got, want)
		}
	}
	page := string(us.Page([]byte(`<input name="layers" value="0-20 20-40" data-unit="mm" data-several="yes" form="f"/>`)))
	if want := `<input name="layers" value="0-0.8 0.8-1.6" data-unit="mm" data-several="yes" form="f"/><input type="hidden" form="f" name="unit:layers" value="us|mm each|0-0.8 0.8-1.6|0-20 20-40|"/>`; page != want {
		t.Errorf("the page says %s", page)
	}
	form := url.Values{"layers": {"0-1"}, "unit:layers": {"us|mm each|0-0.8 0.8-1.6|0-20 20-40|"}}
	if Typed(form); form.Get("layers") != "0-25" || len(form) != 1 {
		t.Errorf("the form became %v", form)
	}
}

// What a script is told reads every number as the server does.
func TestReaderAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		metric := rapid.SampledFrom([]string{"mm", "kg/m²", "t", "m²", "kg/m³"}).Draw(t, "unit")
		d := rapid.IntRange(0, 2).Draw(t, "decimals")
		v := round(rapid.Float64Range(0.01, 20000).Draw(t, "number"), d)
		r := us.Reader(metric)
		said, places := v*r.Per, d+r.Shift
		for places < r.Most && math.Abs(round(said, places)-said) > r.Slack*math.Abs(said) {
			places++
		}
		if got, want := numeral.Num(round(said, places), max(places, 0))+" "+r.Unit, us.With(v, d, metric); got != want && v != 0 {
			t.Fatalf("%g with %d decimals: the script says %q, the server %q", v, d, got, want)
		}
	})
}

// A text in another language holds the same places to be filled in as in English.
func TestPlacesToBeFilledIn(t *testing.T) {
	places := func(text string) string {
		found := filledIn.FindAllString(text, -1)
		slices.Sort(found)
		return strings.Join(found, " ")
	}
	some := 0
	for tag, words := range texts().words {
		for key, text := range words {
			want := places(texts().words["en"][key])
			if got := places(text); got != want {
				t.Errorf("%s, %s: %q has the places %q, in English %q", tag, key, text, got, want)
			}
			if strings.Contains(want, "{") {
				some++
			}
		}
	}
	if some < 20 {
		t.Errorf("only %d texts are filled in by scripts", some)
	}
}
