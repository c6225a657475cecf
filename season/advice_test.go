package season_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot/balance"
	"underfoot/coring"
	"underfoot/season"
	"underfoot/unit"
)

// history is a course with two layers, three rounds and ten dressings a year.
func history(mid float64) balance.History {
	round := func(year int, top float64) balance.Round {
		return balance.Round{Label: fmt.Sprint(year), At: time.Date(year, time.October, 15, 0, 0, 0, 0, time.UTC), Layers: []balance.Layer{
			{Top: 0, Bottom: 20, OM: unit.Fraction(top), OMSE: 0.003, Density: 1180, DensitySE: 25},
			{Top: 20, Bottom: 40, OM: unit.Fraction(mid), OMSE: 0.002, Density: 1300, DensitySE: 25},
		}}
	}
	h := balance.History{Rounds: []balance.Round{round(2022, 0.058), round(2023, 0.061), round(2024, 0.065)}}
	for _, year := range []int{2023, 2024} {
		for week := range 10 {
			h.Sand = append(h.Sand, balance.Sand{At: time.Date(year, time.April, 1+14*week, 0, 0, 0, 0, time.UTC), Amount: 0.7})
		}
	}
	return h
}

func layers(t testing.TB, h balance.History) []balance.Holding {
	t.Helper()
	sheet, err := balance.Of(h)
	if err != nil {
		t.Fatal(err)
	}
	return sheet.Layers
}

var course = season.Course{Area: 9400, SandDensity: 1560, SandWater: 0.05, Months: 7, Nitrogen: 130}

func TestSentences(t *testing.T) {
	steady := layers(t, history(0.043))
	buried := layers(t, history(0.085))
	one := history(0.043)
	one.Rounds = one.Rounds[:1]
	own := course
	own.Coring = coring.Tines{Diameter: 8, Along: 40, Across: 50, Depth: 50}
	own.Bands = []season.Band{{Top: 0, Bottom: 20, Low: 0.04, High: 0.055}}
	own.SandWater, own.Nitrogen = 0, 0
	little := course
	little.Months = 1
	for _, c := range []struct {
		name   string
		d      season.Direction
		layers []balance.Holding
		course season.Course
		want   []string
	}{
		{"no direction", season.Direction{Reason: "no readings in 2024"}, steady, course, []string{
			"No direction yet (no readings in 2024): set one from readings or by judgement before planning sand.",
			"As a fact, not advice: holding 0–20 mm as it is takes 4.9 mm (3.6 to 6.4 mm) of sand a year.",
			"Since October 2022 it got 4.5 mm (4.0 to 5.1 mm) a year; the chance that this falls short of holding is 7 in 10.",
		}},
		{"lower", season.Direction{Toward: season.Lower, Chance: 0.93}, steady, course, []string{
			"The surface asks for less organic matter (9 in 10): put on about 7.2 mm (5.8 to 9.1 mm) of sand a year.",
			"That is 11.2 kg/m² (9.0 to 14.2 kg/m²) a year, on 9,400 m² of greens 105 t (85 to 134 t) dry, or 111 t (89 to 140 t) as delivered with 5.0 % water; it counts all sand that ends in 0–20 mm, on top or in holes.",
			"Give it on top in 15 dressings of about 0.48 mm, one every 14 days over 7 months, no more than 0.5 mm at a time on a closed surface.",
			"It moves 0–20 mm from 6.5 to 5.5 % in 2 seasons (a working default of 0.85 times the present); holding it as it is takes 4.9 mm (3.6 to 6.4 mm) a year.",
			"Since October 2022 it got 4.5 mm (4.0 to 5.1 mm) a year; the chance that this falls short of holding is 7 in 10.",
			"Coring: one pass of an ordinary set-up (12 mm tines at 50 by 50 mm, 60 mm deep, 4.5 % of the surface) takes 69 g/m² (64 to 75 g/m²) of organic matter out of 0–20 mm; its holes take 1.1 kg/m² of sand there, and about 0.9 mm (0.7 to 1.2 mm) less need go on top.",
			"Growth: a tenth less than last year’s 130 kg/ha of nitrogen would save 0.5 mm (0.3 to 0.7 mm) of sand a year, if organic matter forms in step with nitrogen (an assumption).",
			"This rests on 2 intervals between rounds; each range holds the outcome 9 times in 10, and the largest doubt lies in the years that grow more or less.",
		}},
		{"lower, unsure, rich layer below", season.Direction{Toward: season.Lower, Chance: 0.6}, buried, course, []string{
			"The surface asks for less organic matter (6 in 10): put on about 6.6 mm (5.5 to 7.9 mm) of sand a year.",
			"The direction is not sure; until more readings are in, holding is the safer plan: 4.7 mm (3.7 to 5.8 mm) of sand a year.",
			"That is 10.2 kg/m² (8.6 to 12.4 kg/m²) a year, on 9,400 m² of greens 96 t (80 to 116 t) dry, or 101 t (84 to 122 t) as delivered with 5.0 % water; it counts all sand that ends in 0–20 mm, on top or in holes.",
			"Give it on top in 14 dressings of about 0.47 mm, one every 15 days over 7 months, no more than 0.5 mm at a time on a closed surface.",
			"It moves 0–20 mm from 6.5 to 5.5 % in 2 seasons (a working default of 0.85 times the present); holding it as it is takes 4.7 mm (3.7 to 5.8 mm) a year.",
			"Since October 2022 it got 4.5 mm (4.0 to 5.1 mm) a year; the chance that this falls short of holding is 7 in 10.",
			"20–40 mm is out of line: it holds more organic matter than the layer above it (8.5 %). Sand on top does not reach it: about 2.3 mm (1.3 to 3.5 mm) a year must be placed in it, through holes or by injection.",
			"Coring: one pass of an ordinary set-up (12 mm tines at 50 by 50 mm, 60 mm deep, 4.5 % of the surface) takes 69 g/m² (64 to 75 g/m²) of organic matter out of 0–20 mm; its holes take 1.1 kg/m² of sand there, and about 0.6 mm (0.5 to 0.9 mm) less need go on top.",
			"Growth: a tenth less than last year’s 130 kg/ha of nitrogen would save 0.5 mm (0.3 to 0.7 mm) of sand a year, if organic matter forms in step with nitrogen (an assumption).",
			"This rests on 2 intervals between rounds; each range holds the outcome 9 times in 10, and the largest doubt lies in the years that grow more or less.",
		}},
		{"lower by judgement to a band, own coring", season.Direction{Toward: season.Lower, Judged: true, Reason: "members complain of soft greens"}, steady, own, []string{
			"By the manager’s judgement (members complain of soft greens) the greens ask for less organic matter: put on about 7.3 mm (5.8 to 9.2 mm) of sand a year.",
			"That is 11.3 kg/m² (9.1 to 14.3 kg/m²) a year, on 9,400 m² of greens 106 t (85 to 135 t) dry; it counts all sand that ends in 0–20 mm, on top or in holes.",
			"Give it on top in 15 dressings of about 0.48 mm, one every 14 days over 7 months, no more than 0.5 mm at a time on a closed surface.",
			"It moves 0–20 mm from 6.5 to 5.5 % in 2 seasons (the band set for it); holding it as it is takes 4.9 mm (3.6 to 6.4 mm) a year.",
			"Since October 2022 it got 4.5 mm (4.0 to 5.1 mm) a year; the chance that this falls short of holding is 7 in 10.",
			"Coring: one event of the course’s own set-up (8 mm tines at 40 by 50 mm, 50 mm deep, 2.5 % of the surface) takes 39 g/m² (35 to 42 g/m²) of organic matter out of 0–20 mm; its holes take 0.6 kg/m² of sand there, and about 0.5 mm (0.4 to 0.7 mm) less need go on top.",
			"Growth is the third lever; what less nitrogen is worth cannot be said until its use is in the log and organic matter is seen to form.",
			"This rests on 2 intervals between rounds; each range holds the outcome 9 times in 10, and the largest doubt lies in the years that grow more or less.",
		}},
		{"hold in a short season", season.Direction{Toward: season.Hold, Chance: 0.97}, steady, little, []string{
			"The surface asks for organic matter to stay as it is (19 in 20 or better): put on about 4.9 mm (3.6 to 6.4 mm) of sand a year.",
			"That is 7.7 kg/m² (5.6 to 10.0 kg/m²) a year, on 9,400 m² of greens 72 t (53 to 94 t) dry, or 76 t (55 to 99 t) as delivered with 5.0 % water; it counts all sand that ends in 0–20 mm, on top or in holes.",
			"Give it on top in 4 dressings of about 0.50 mm, one every 8 days over 1 month, no more than 0.5 mm at a time on a closed surface; the other 2.9 mm do not fit and must go into open holes.",
			"It holds 0–20 mm at 6.5 %.",
			"Since October 2022 it got 4.5 mm (4.0 to 5.1 mm) a year; the chance that this falls short of holding is 7 in 10.",
			"Coring: one pass of an ordinary set-up (12 mm tines at 50 by 50 mm, 60 mm deep, 4.5 % of the surface) takes 69 g/m² (64 to 75 g/m²) of organic matter out of 0–20 mm; its holes take 1.1 kg/m² of sand there, and about 0.9 mm (0.7 to 1.2 mm) less need go on top.",
			"Growth: a tenth less than last year’s 130 kg/ha of nitrogen would save 0.5 mm (0.3 to 0.7 mm) of sand a year, if organic matter forms in step with nitrogen (an assumption).",
			"This rests on 2 intervals between rounds; each range holds the outcome 9 times in 10, and the largest doubt lies in the years that grow more or less.",
		}},
		{"raise", season.Direction{Toward: season.Raise, Chance: 0.85}, steady, course, []string{
			"The surface asks for more organic matter (8 in 10): put on about 3.6 mm (2.3 to 5.0 mm) of sand a year.",
			"That is 5.7 kg/m² (3.6 to 7.8 kg/m²) a year, on 9,400 m² of greens 53 t (34 to 73 t) dry, or 56 t (35 to 77 t) as delivered with 5.0 % water; it counts all sand that ends in 0–20 mm, on top or in holes.",
			"Give it on top in 8 dressings of about 0.46 mm, one every 27 days over 7 months, no more than 0.5 mm at a time on a closed surface.",
			"It moves 0–20 mm from 6.5 to 7.2 % in 2 seasons (a working default of 1.10 times the present); holding it as it is takes 4.9 mm (3.6 to 6.4 mm) a year.",
			"Since October 2022 it got 4.5 mm (4.0 to 5.1 mm) a year; the chance that this falls short of holding is 7 in 10.",
			"Coring: one pass of an ordinary set-up (12 mm tines at 50 by 50 mm, 60 mm deep, 4.5 % of the surface) takes 69 g/m² (64 to 75 g/m²) of organic matter out of 0–20 mm; its holes take 1.1 kg/m² of sand there, and about 0.9 mm (0.7 to 1.2 mm) less need go on top.",
			"Growth: a tenth less than last year’s 130 kg/ha of nitrogen would save 0.5 mm (0.3 to 0.7 mm) of sand a year, if organic matter forms in step with nitrogen (an assumption).",
			"This rests on 2 intervals between rounds; each range holds the outcome 9 times in 10, and the largest doubt lies in the years that grow more or less.",
		}},
		{"one round", season.Direction{Toward: season.Lower, Chance: 0.9}, layers(t, one), course, []string{
			"No sand can be advised yet: 0–20 mm needs two rounds that measured it and every layer above it; there is one.",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, err := season.Advise(c.d, c.layers, c.course)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.want, a.Sentences()); d != "" {
				t.Errorf("(−want +got):\n%s", d)
			}
		})
	}
}

// More organic matter wanted means less sand, whatever the course.
func TestSandFollowsTheDirection(t *testing.T) {
	for _, mid := range []float64{0.02, 0.043, 0.085} {
		l := layers(t, history(mid))
		sand := func(d season.Toward) float64 {
			a, err := season.Advise(season.Direction{Toward: d, Chance: 1}, l, course)
			if err != nil {
				t.Fatal(err)
			}
			return a.Top.Sand.PerArea.Q50
		}
		if lower, hold, raise := sand(season.Lower), sand(season.Hold), sand(season.Raise); !(lower > hold && hold > raise) {
			t.Errorf("layer below at %g: lower %.2f, hold %.2f, raise %.2f kg/m²", mid, lower, hold, raise)
		}
	}
}

// The dressings and what does not fit add up to the sand advised, and none is larger than the course allows.
func TestDressingsAddUp(t *testing.T) {
	l := layers(t, history(0.043))
	for _, c := range []season.Course{course, {Area: 500, Months: 0.5}, {Area: 500, LargestDressing: 3}, {Area: 500, LargestDressing: 10}} {
		a, err := season.Advise(season.Direction{Toward: season.Hold, Chance: 1}, l, c)
		if err != nil {
			t.Fatal(err)
		}
		d := a.Dressings
		sum := float64(d.Each)*float64(d.Count) + float64(d.Rest)
		if math.Abs(sum-a.Top.Sand.Depth.Q50) > 1e-9 || d.Each > a.Course.LargestDressing+1e-12 {
			t.Errorf("%+v adds up to %.6f mm, advised %.6f mm, largest %g mm", d, sum, a.Top.Sand.Depth.Q50, float64(a.Course.LargestDressing))
		}
	}
}

func TestNoSandIsNeededWhereNothingForms(t *testing.T) {
	h := history(0.043)
	for i := range h.Rounds { // organic matter falls fast though little sand was put on
		h.Rounds[i].Layers[0].OM = unit.Fraction(0.08 - 0.02*float64(i))
		h.Rounds[i].Layers[1].OM = 0.04
	}
	h.Sand = h.Sand[:1]
	a, err := season.Advise(season.Direction{Toward: season.Hold, Chance: 0.9}, layers(t, h), course)
	if err != nil {
		t.Fatal(err)
	}
	if want := "The surface asks for organic matter to stay as it is (9 in 10): no sand is needed on top this year."; a.Statement() != want {
		t.Errorf("got %s", a.Statement())
	}
	if a.Dressings.Count != 0 {
		t.Errorf("%d dressings of no sand", a.Dressings.Count)
	}
}

func TestBadFactsAreRefused(t *testing.T) {
	l := layers(t, history(0.043))
	for _, c := range []struct {
		name   string
		change func(*season.Course)
		want   string
	}{
		{"negative area", func(c *season.Course) { c.Area = -1 }, "advice: the greens cover -1 m²: give their area, above 0, or 0 when it is not known"},
		{"negative density", func(c *season.Course) { c.SandDensity = -1 }, "advice: bulk density of the sand is -1 kg/m³: give one above 0, about 1500 to 1700"},
		{"soaked sand", func(c *season.Course) { c.SandWater = 0.6 }, "advice: the sand holds 60 % water: give 0 or more and less than 50 %"},
		{"long season", func(c *season.Course) { c.Months = 13 }, "advice: a season of 13 months: give more than 0 and at most 12"},
		{"huge dressing", func(c *season.Course) { c.LargestDressing = 11 }, "advice: largest dressing is 11 mm: give more than 0 and at most 10 mm"},
		{"negative nitrogen", func(c *season.Course) { c.Nitrogen = -1 }, "advice: nitrogen is -1 kg/ha: give 0 or more"},
		{"lowering upwards", func(c *season.Course) { c.Goal.Lower = 1.2 }, "advice: lowering aims at 1.2 times the organic matter: give more than 0 and less than 1"},
		{"raising downwards", func(c *season.Course) { c.Goal.Raise = 0.9 }, "advice: raising aims at 0.9 times the organic matter: give more than 1 and less than 3"},
		{"no time", func(c *season.Course) { c.Goal.Years = -1 }, "advice: -1 seasons to get there: give more than 0 and at most 20"},
		{"band upside down", func(c *season.Course) { c.Bands = []season.Band{{Top: 0, Bottom: 20, Low: 0.06, High: 0.04}} }, "advice: band of 0–20 mm is 6 to 4 %: give a low below the high, both from 0 to 100 %"},
		{"impossible tines", func(c *season.Course) { c.Coring = coring.Tines{Diameter: 60, Along: 50, Depth: 60} }, "advice: the course's coring: area opened by tines: diameter 60 mm is wider than the spacing of 50 mm: check both"},
	} {
		t.Run(c.name, func(t *testing.T) {
			facts := course
			c.change(&facts)
			_, err := season.Advise(season.Direction{Toward: season.Lower, Chance: 0.9}, l, facts)
			if err == nil {
				t.Fatal("accepted")
			}
			if err.Error() != c.want {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}

func ExampleAdvise() {
	sheet, err := balance.Of(history(0.043))
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := season.Advise(season.Direction{Toward: season.Lower, Chance: 0.93}, sheet.Layers, course)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(a.Statement())
	// Output: The surface asks for less organic matter (9 in 10): put on about 7.2 mm (5.8 to 9.1 mm) of sand a year.
}

func TestUnknownAreaSaysNothingInTonnes(t *testing.T) {
	c := course
	c.Area = 0
	a, err := season.Advise(season.Direction{Toward: season.Hold, Chance: 0.97}, layers(t, history(0.043)), c)
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(a.Sentences(), "\n")
	if strings.Contains(all, " t ") || !strings.Contains(all, "cannot be said until the area of the greens is known") {
		t.Errorf("advice without an area:\n%s", all)
	}
}
