package figure

import (
	"math"
	"path/filepath"
	"testing"
	"time"

	"underfoot/internal/golden"
)

// sampleBurial is an invented profile: richer layers laid down each season, sinking under sand, with a plan of two years.
func sampleBurial() Burial {
	b := Burial{Now: on(2025, 11, 13), Layers: []float64{0, 20, 40, 60}}
	from := on(2021, 1, 1)
	for k := range 81 {
		b.Dates = append(b.Dates, from.AddDate(0, k, 0))
	}
	for j := 0; j <= 32; j++ {
		b.Depths = append(b.Depths, 2.5*float64(j))
	}
	sunk := func(k, month int) float64 { // how far the surface of one month has sunk by another [mm]
		d := 0.0
		for m := month; m < k; m++ {
			rate := []float64{9.4, 8.6, 7.9, 6.8, 5.6, 7.8, 8.2}[min(m/12, 6)]
			d += rate / 12 * (1 - .9*math.Cos(2*math.Pi*float64(m%12)/12))
		}
		return d
	}
	for k := range b.Dates {
		col := make([]float64, 32)
		for j := range col {
			d := 2.5*float64(j) + 1.25
			born := k // the month whose surface lies here
			for born > -90 && sunk(k, max(born, 0))+math.Max(0, float64(-born))*.65 < d {
				born--
			}
			age := float64(k-born) / 12
			rich := []float64{5.4, 6.2, 7.4, 8.3, 9, 7.2, 6.4}[min(max(born, 0)/12, 6)] - 1.1*math.Cos(2*math.Pi*float64(born-8)/12)
			col[j] = (rich-.9)*math.Exp(-.2*age) + .4 + .5*math.Exp(-d/30)
		}
		b.OM = append(b.OM, col)
	}
	for yr := range 7 {
		z := SunkenSurface{Label: from.AddDate(yr, 0, 0).Format("2006")}
		for k := range b.Dates {
			d := math.NaN()
			if k >= 12*yr {
				d = sunk(k, 12*yr)
			}
			z.Depth = append(z.Depth, d)
		}
		b.Seasons = append(b.Seasons, z)
	}
	for yr := 2021; yr <= 2025; yr++ {
		b.Rounds = append(b.Rounds, on(yr, 10, 14))
	}
	b.Cores = []CoringMark{
		{on(2021, 8, 17), 60, .04, HollowTines}, {on(2022, 3, 20), 75, .02, SolidTines}, {on(2022, 8, 16), 50, .06, HollowTines},
		{on(2023, 3, 22), 70, .02, SolidTines}, {on(2024, 5, 2), 65, .03, Injection}, {on(2024, 8, 20), 60, .05, HollowTines},
		{on(2026, 8, 18), 60, .09, HollowTines}, {on(2027, 4, 3), 70, .02, SolidTines},
	}
	return b
}

func fanOf(from time.Time, months int, start, slope, swing, half, widen float64) []FanPoint {
	var out []FanPoint
	for k := range months + 1 {
		at := from.AddDate(0, k, 0)
		v := start + slope*float64(k)/12 + swing*math.Sin(2*math.Pi*(float64(at.YearDay())/365-.6))
		out = append(out, FanPoint{at, plusMinus(v, half+widen*math.Sqrt(float64(k)))})
	}
	return out
}

// sampleForecast is invented: four rounds, one of them predicted before, and two years of plan.
func sampleForecast() Forecast {
	f := Forecast{Now: on(2025, 11, 13)}
	for m := 4; m <= 9; m++ {
		f.Work = append(f.Work, on(2026, time.Month(m), 9), on(2027, time.Month(m), 12))
	}
	for _, l := range []struct {
		name          string
		half          float64
		mids          []float64
		start, slope  float64
		future, swing float64
		wanted        *Interval
	}{
		{"0–20 mm", .6, []float64{5.1, 5.5, 6.2, 6.5, 7.2}, 4.7, .5, -.55, .35, &Interval{5, 6}},
		{"20–40 mm", .51, []float64{3.6, 4.1, 4.1, 4.6, 4.4}, 3.5, .22, .12, .15, &Interval{3.5, 5}},
		{"40–60 mm", .27, []float64{1.8, 1.9, 1.7, 1.7, 1.5}, 1.85, -.06, .02, .05, nil},
	} {
		past := fanOf(on(2021, 1, 13), 58, l.start, l.slope, l.swing, .25*l.half+.1, 0)
		last := past[len(past)-1].Mid - l.swing*math.Sin(2*math.Pi*(317.0/365-.6))
		future := fanOf(on(2025, 11, 13), 23, last, l.future, l.swing, .25*l.half+.1, .08)
		f.Layers = append(f.Layers, ForecastLayer{
			Name: l.name, Rounds: sampleRounds(l.half, l.mids...), Past: past, Future: future, Wanted: l.wanted,
			Hindcast: []FanPoint{{on(2025, 10, 14), plusMinus(l.mids[4]-.4*l.half, l.half)}},
		})
	}
	return f
}

func sampleBalanceBars() BalanceBars {
	net, deeper := plusMinus(-.6, .5), plusMinus(.3, .35)
	return BalanceBars{Title: "Balance of organic matter in 2026", Unit: "points", Decimals: 1, Groups: []BalanceGroup{
		{"0–20 mm, 2026", []BalanceTerm{
			{"made by growth", Made, plusMinus(3.6, .7)}, {"decayed", Decayed, plusMinus(-1.9, .5)},
			{"taken out by coring", TakenOut, plusMinus(-.3, .1)}, {"buried below 20 mm", Buried, plusMinus(-.9, .3)},
			{"diluted by sand", Diluted, plusMinus(-1.1, .3)},
		}, &net},
		{"20–40 mm, 2026", []BalanceTerm{
			{"made by growth", Made, plusMinus(.4, .2)}, {"brought down from above", BroughtDown, plusMinus(.9, .3)},
			{"decayed", Decayed, plusMinus(-.6, .2)}, {"taken out by coring", TakenOut, plusMinus(-.2, .1)},
			{"buried below 40 mm", Buried, plusMinus(-.2, .1)},
		}, &deeper},
	}}
}

func between(mid, low, low50, high50, high float64) Estimate {
	return Estimate{Mid: mid, Outer: Interval{low, high}, Inner: Interval{low50, high50}}
}

func samplePriorPosterior() PriorPosterior {
	return PriorPosterior{Rows: []ParameterRow{
		{"organic matter made a year", "kg/m²", 2, true, between(1.1, .45, .76, 1.6, 2.7), between(1.02, .84, .95, 1.1, 1.24), "the rounds decided"},
		{"decay at 10 °C", "a year", 3, true, between(.12, .04, .077, .19, .36), between(.16, .09, .13, .2, .28), "half and half"},
		{"decay for 10 °C more", "times", 1, false, between(2, 1.4, 1.75, 2.25, 2.6), between(2.1, 1.5, 1.86, 2.34, 2.6), "still the prior"},
		{"sand put on beside sand logged", "", 2, true, between(1, .75, .89, 1.12, 1.33), between(.88, .78, .84, .92, .99), "the rounds decided"},
		{"fill of the holes", "of 1", 2, false, between(.8, .55, .7, .89, .98), between(.76, .52, .66, .86, .97), "still the prior"},
	}}
}

func sampleSkill() Skill {
	var k Skill
	for _, l := range []struct {
		name      string
		half      float64
		mids, out []float64
	}{
		{"0–20 mm", .6, []float64{6.2, 6.5, 7.2, 7.5}, []float64{6, 6.8, 7.0, 6.5}},
		{"20–40 mm", .5, []float64{4.1, 4.6, 4.4}, []float64{4.3, 4.4, 4.5}},
		{"40–60 mm", .27, []float64{1.7, 1.6, 1.5}, []float64{1.75, 1.7, 1.6}},
	} {
		z := SkillLayer{Name: l.name}
		for i, m := range l.mids {
			z.Points = append(z.Points, SkillPoint{on(2022+i, 10, 14), plusMinus(m, l.half), plusMinus(l.out[i], 1.3*l.half)})
		}
		k.Layers = append(k.Layers, z)
	}
	return k
}

// profileSamples are the figures of the profile model in their usual form and in their odd ones.
func profileSamples() []sample {
	narrow, past, thin := sampleBurial(), sampleBurial(), sampleBurial()
	narrow.Width, narrow.Height = 358, 330
	past.Until, past.Now, past.Cores, past.Seasons = past.Now, time.Time{}, nil, past.Seasons[:2]
	past.OM[3][4], past.OM[30] = math.NaN(), nil
	thin.Dates = thin.Dates[:1]
	phone, bare := sampleForecast(), sampleForecast()
	phone.Width = 358
	bare.Layers = bare.Layers[:2]
	bare.Layers[0].Past, bare.Layers[0].Future, bare.Layers[0].Hindcast, bare.Layers[0].Wanted, bare.Work = nil, nil, nil, nil, nil
	bars, pairs := sampleBalanceBars(), samplePriorPosterior()
	bars.Width, pairs.Width = 358, 358
	small := sampleSkill()
	small.Width, small.Height = 358, 360
	return []sample{
		{"skill", sampleSkill().Scene()},
		{"skill-narrow", small.Scene()},
		{"skill-none", Skill{}.Scene()},
		{"balance", sampleBalanceBars().Scene()},
		{"balance-narrow", bars.Scene()},
		{"balance-none", BalanceBars{Title: "Balance of organic matter"}.Scene()},
		{"prior", samplePriorPosterior().Scene()},
		{"prior-narrow", pairs.Scene()},
		{"prior-none", PriorPosterior{}.Scene()},
		{"forecast", sampleForecast().Scene()},
		{"forecast-narrow", phone.Scene()},
		{"forecast-bare", bare.Scene()},
		{"forecast-one", Forecast{Layers: []ForecastLayer{{Name: "0–20 mm", Rounds: sampleRounds(.6, 5.1)}}, Width: 358}.Scene()},
		{"forecast-none", Forecast{}.Scene()},
		{"burial", sampleBurial().Scene()},
		{"burial-narrow", narrow.Scene()},
		{"burial-past", past.Scene()},
		{"burial-one", thin.Scene()},
		{"burial-none", Burial{}.Scene()},
	}
}

func TestProfileFiguresGolden(t *testing.T) {
	for _, s := range profileSamples() {
		t.Run(s.name, func(t *testing.T) {
			svg := s.scene.SVG(Standalone())
			if err := sound(s.scene, svg); err != nil {
				t.Fatal(err)
			}
			golden.Equal(t, filepath.Join("testdata", s.name+".svg"), []byte(broken(svg)))
		})
	}
}
