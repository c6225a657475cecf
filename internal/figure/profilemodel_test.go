package figure

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
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
		{on(2021, 8, 17), 60, .04, HollowTines},
		{on(2022, 3, 20), 75, .02, SolidTines},
		{on(2022, 8, 16), 50, .06, HollowTines},
		{on(2023, 3, 22), 70, .02, SolidTines},
		{on(2024, 5, 2), 65, .03, Injection},
		{on(2024, 8, 20), 60, .05, HollowTines},
		{on(2026, 8, 18), 60, .09, HollowTines},
		{on(2027, 4, 3), 70, .02, SolidTines},
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
			{"made by growth", Made, plusMinus(3.6, .7)},
			{"decayed", Decayed, plusMinus(-1.9, .5)},
			{"taken out by coring", TakenOut, plusMinus(-.3, .1)},
			{"buried below 20 mm", Buried, plusMinus(-.9, .3)},
			{"diluted by sand", Diluted, plusMinus(-1.1, .3)},
		}, &net},
		{"20–40 mm, 2026", []BalanceTerm{
			{"made by growth", Made, plusMinus(.4, .2)},
			{"brought down from above", BroughtDown, plusMinus(.9, .3)},
			{"decayed", Decayed, plusMinus(-.6, .2)},
			{"taken out by coring", TakenOut, plusMinus(-.2, .1)},
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
	small.Width = 358
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

// Lettering of the figures neither overlaps nor leaves the drawing.
func TestFiguresKeepTheirWordsApart(t *testing.T) {
	for _, s := range samples() {
		if s.scene.Overflow {
			continue // its depths stand half outside, in the next piece
		}
		if err := lettering(s.scene); err != nil {
			t.Errorf("%s: %v", s.name, err)
		}
	}
}

// The check itself finds what it is for.
func TestLetteringFindsWhatOverlaps(t *testing.T) {
	s := &Scene{Width: 200, Height: 40}
	s.text(10, 20, "0–20 mm", word, Start)
	s.text(40, 24, "today", word, Start)
	if lettering(s) == nil {
		t.Error("words that overlap pass")
	}
	s.Parts = nil
	s.text(190, 20, "4.1 %", word, Start)
	if lettering(s) == nil {
		t.Error("words that leave the drawing pass")
	}
}

// lettering tells which words of a drawing overlap or leave it, by a tight box about each: 0.9 of the reckoned width, and the
// height of figures.
func lettering(s *Scene) error {
	type set struct {
		words          string
		x0, x1, y0, y1 float64
	}
	var all []set
	for _, p := range s.Parts {
		t, ok := p.(Text)
		if !ok || t.Words == "" {
			continue
		}
		wide := .9 * textWidth(t.Words, t.Style)
		b := set{t.Words, t.X, t.X + wide, t.Y - 10, t.Y + 1}
		switch t.Anchor {
		case Middle:
			b.x0, b.x1 = t.X-wide/2, t.X+wide/2
		case End:
			b.x0, b.x1 = t.X-wide, t.X
		}
		if b.x0 < -2 || b.x1 > s.Width+2 || b.y0 < -2 || b.y1 > s.Height+4 {
			return fmt.Errorf("%q leaves the drawing: %.0f to %.0f across, %.0f to %.0f down of %.0f × %.0f", b.words, b.x0, b.x1, b.y0, b.y1, s.Width, s.Height)
		}
		for _, o := range all {
			if b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 {
				return fmt.Errorf("%q at %.0f, %.0f overlaps %q at %.0f, %.0f", b.words, b.x0, b.y1, o.words, o.x0, o.y1)
			}
		}
		all = append(all, b)
	}
	return nil
}

// A chart of 72 months and 32 rows stays small, though its field is in motion everywhere.
func TestBurialIsSmall(t *testing.T) {
	b := sampleBurial()
	b.Dates, b.OM = b.Dates[:72], b.OM[:72]
	if n := len(b.Scene().SVG()); n > 60_000 {
		t.Errorf("%d bytes", n)
	}
	for i := range b.OM {
		for j := range b.OM[i] {
			b.OM[i][j] += .3 * math.Sin(float64(i*i+7*j*j)) // roughness no profile has
		}
	}
	if n := len(b.Scene().SVG()); n > 120_000 {
		t.Errorf("rough: %d bytes", n)
	}
}

// The area inside of the outlines is that of the exact region: a plane cut at a level, and a disc to within its polygon.
func TestOutlinesEncloseWhatIsAbove(t *testing.T) {
	area := func(rings [][]Point) float64 {
		sum := 0.0
		for _, r := range rings {
			for i, p := range r {
				q := r[(i+1)%len(r)]
				sum += (p.X*q.Y - q.X*p.Y) / 2
			}
		}
		return math.Abs(sum)
	}
	grid := func(n int, f func(x, y float64) float64) field {
		var g field
		for i := range n + 1 {
			v := 100 * float64(i) / float64(n)
			g.x, g.y = append(g.x, v), append(g.y, v)
		}
		for _, x := range g.x {
			var col []float64
			for _, y := range g.y {
				col = append(col, f(x, y))
			}
			g.at = append(g.at, col)
		}
		return g.padded()
	}
	hole := func(x, y float64) float64 { return math.Hypot(x-50, y-50) }
	for _, c := range []struct {
		name        string
		f           func(x, y float64) float64
		level, want float64
		tol         float64
	}{
		{"all", func(x, y float64) float64 { return 1 }, 0, 10_000, 1e-9},
		{"nothing", func(x, y float64) float64 { return 1 }, 2, 0, 0},
		{"a slope", func(x, y float64) float64 { return x }, 25.5, 7450, 1},
		{"a corner", func(x, y float64) float64 { return x + y }, 100, 5000, 1},
		{"a hole", hole, 30, 10_000 - math.Pi*900, 20},
		{"a hill", func(x, y float64) float64 { return -hole(x, y) }, -30, math.Pi * 900, 20},
	} {
		if got := area(grid(40, c.f).outlines(c.level)); math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: area %.1f, want %.1f", c.name, got, c.want)
		}
	}
}

// Where two corners of a cell are high and two low, the outline closes either way, whatever is blank about it.
func TestOutlinesCloseInAnyField(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "n")
		var f field
		for i := range n {
			f.x, f.y = append(f.x, float64(10*i)), append(f.y, float64(10*i))
			var col []float64
			for range n {
				col = append(col, rapid.SampledFrom([]float64{0, 1, 2, 3, math.NaN()}).Draw(t, "v"))
			}
			f.at = append(f.at, col)
		}
		for _, ring := range f.padded().outlines(1.5) {
			for i, p := range ring {
				q := ring[(i+1)%len(ring)]
				// no stroke is longer than the outline of what simplification may leave out: it stays in the field
				if p.X < 0 || p.Y < 0 || p.X > float64(10*n) || p.Y > float64(10*n) || math.IsNaN(p.X+p.Y+q.X+q.Y) {
					t.Fatalf("an outline leaves the field: %v", ring)
				}
			}
		}
	})
}

func anyFan(t *rapid.T, label string) []FanPoint {
	return several(t, label, func(t *rapid.T) FanPoint { return FanPoint{anyTime(t, "at"), anyEstimate(t)} })
}

func anyNumbers(t *rapid.T, label string) []float64 {
	return several(t, label, func(t *rapid.T) float64 { return anyNumber(t, label) })
}

func anyTimes(t *rapid.T, label string) []time.Time {
	return several(t, label, func(t *rapid.T) time.Time { return anyTime(t, label) })
}

func anyProfileFigure(t *rapid.T) *Scene {
	w, h := anyNumber(t, "w")*40, anyNumber(t, "h")*40
	words := rapid.String()
	switch rapid.IntRange(0, 4).Draw(t, "figure") {
	case 0:
		b := Burial{
			Dates: anyTimes(t, "dates"), Depths: anyNumbers(t, "depths"), Rounds: anyTimes(t, "rounds"), Layers: anyNumbers(t, "layers"),
			Now: anyTime(t, "now"), Until: anyTime(t, "until"), Width: w, Height: h,
		}
		if rapid.Bool().Draw(t, "ordered") { // most random inputs never get as far as a picture
			b.Dates, b.Depths = []time.Time{on(2021, 1, 1), on(2022, 1, 1), on(2025, 1, 1)}, []float64{0, 5, 30, 80}
		}
		b.OM = several(t, "om", func(t *rapid.T) []float64 { return anyNumbers(t, "column") })
		b.Seasons = several(t, "seasons", func(t *rapid.T) SunkenSurface {
			return SunkenSurface{words.Draw(t, "label"), anyNumbers(t, "depth")}
		})
		b.Cores = several(t, "cores", func(t *rapid.T) CoringMark {
			return CoringMark{anyTime(t, "at"), anyNumber(t, "depth"), anyNumber(t, "opened"), CoringKind(rapid.IntRange(-1, 3).Draw(t, "kind"))}
		})
		return b.Scene()
	case 1:
		return Forecast{several(t, "layers", func(t *rapid.T) ForecastLayer {
			l := ForecastLayer{Name: words.Draw(t, "name"), Past: anyFan(t, "past"), Future: anyFan(t, "future"), Hindcast: anyFan(t, "hindcast")}
			l.Rounds = several(t, "rounds", func(t *rapid.T) Round {
				return Round{anyTime(t, "at"), anyEstimate(t), RoundKind(rapid.IntRange(-1, 4).Draw(t, "kind"))}
			})
			if rapid.Bool().Draw(t, "wanted") {
				l.Wanted = &Interval{anyNumber(t, "low"), anyNumber(t, "high")}
			}
			return l
		}), anyTime(t, "now"), anyTimes(t, "work"), w, h}.Scene()
	case 2:
		return BalanceBars{words.Draw(t, "title"), words.Draw(t, "unit"), rapid.IntRange(-2, 9).Draw(t, "decimals"), several(t, "groups", func(t *rapid.T) BalanceGroup {
			net := anyEstimate(t)
			return BalanceGroup{words.Draw(t, "name"), several(t, "terms", func(t *rapid.T) BalanceTerm {
				return BalanceTerm{words.Draw(t, "name"), TermKind(rapid.IntRange(-2, 7).Draw(t, "kind")), anyEstimate(t)}
			}), &net}
		}), w}.Scene()
	case 3:
		return PriorPosterior{several(t, "rows", func(t *rapid.T) ParameterRow {
			return ParameterRow{
				words.Draw(t, "name"), words.Draw(t, "unit"), rapid.IntRange(-2, 9).Draw(t, "decimals"), rapid.Bool().Draw(t, "log"),
				anyEstimate(t), anyEstimate(t), words.Draw(t, "verdict"),
			}
		}), w}.Scene()
	default:
		return Skill{several(t, "layers", func(t *rapid.T) SkillLayer {
			return SkillLayer{words.Draw(t, "name"), several(t, "points", func(t *rapid.T) SkillPoint {
				return SkillPoint{anyTime(t, "at"), anyEstimate(t), anyEstimate(t)}
			})}
		}), w, h}.Scene()
	}
}

func TestAnyProfileFigureIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyProfileFigure(t)
		if err := sound(s, s.SVG()); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkBurial(b *testing.B) {
	z := sampleBurial()
	for b.Loop() {
		_ = z.Scene().SVG()
	}
}

func TestBothWritesEachOnce(t *testing.T) {
	narrow := sampleSkill()
	narrow.Width = PhoneWidth
	got := Both(sampleSkill().Scene(), narrow.Scene())
	if strings.Count(got, " at-desk") != 1 || strings.Count(got, " at-phone") != 1 || strings.Count(got, "</svg>") != 2 {
		t.Errorf("the figure is not written once for each: %s", got)
	}
	if c := sampleSkill().Scene().Class; c != "chart" {
		t.Errorf("a scene was changed: class %q", c)
	}
}
