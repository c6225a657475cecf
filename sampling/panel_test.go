package sampling

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// anyPanel draws a panel with holes, uneven cores, and some greens burnt as two composites.
func anyPanel(t *rapid.T) []Composite {
	greens, rounds := rapid.IntRange(1, 6).Draw(t, "greens"), rapid.IntRange(2, 6).Draw(t, "rounds")
	keep := rapid.Float64Range(0.4, 1).Draw(t, "keep")
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
	var panel []Composite
	for j := range rounds {
		for i := range greens {
			if rng.Float64() > keep && !(i == 0 && j < 2) {
				continue
			}
			for range 1 + rng.IntN(5)/4 {
				panel = append(panel, Composite{fmt.Sprint("g", i), fmt.Sprint("r", j), 0.7*float64(j) + 0.2*math.Floor(2*rng.Float64()), 1 + rng.IntN(8), 1 + rng.IntN(2)})
			}
		}
	}
	return panel
}

// dense works out the variance of the target's level and slope with whole matrices, the way the formulas read.
func (c Components) dense(cells []cell, target Target, a, b float64) float64 {
	n := len(cells)
	v, x := mat.NewSymDense(n, nil), mat.NewDense(n, 2, nil)
	same := mat.NewVecDense(n, nil) // covariance of each result with the target's random part
	sampled := map[string]bool{}
	for i, p := range cells {
		sampled[p.green] = true
		ti := p.year - c.Origin
		x.SetRow(i, []float64{1, ti})
		for j, q := range cells[:i+1] {
			tj := q.year - c.Origin
			var s float64
			if p.green == q.green {
				s += c.Green + c.LevelSlope*(ti+tj) + c.GreenSlope*ti*tj
			}
			if p.round == q.round {
				s += c.Round
			}
			if i == j {
				s += c.GreenTime + c.Core*p.core + c.Laboratory*p.laboratory
			}
			v.SetSym(i, j, s)
		}
		if target > 0 {
			same.SetVec(i, (a*(c.Green+c.LevelSlope*ti)+b*(c.LevelSlope+c.GreenSlope*ti))/float64(target))
		}
	}
	var vi, vix, info, cov mat.Dense
	if vi.Inverse(v) != nil {
		panic("V is singular")
	}
	vix.Mul(&vi, x)
	info.Mul(x.T(), &vix)
	if cov.Inverse(&info) != nil {
		panic("information is singular")
	}
	// Best linear unbiased prediction: Var = Var(u) − s'V⁻¹s + d'(X'V⁻¹X)⁻¹d with d = l − X'V⁻¹s.
	d := mat.NewVecDense(2, []float64{a, b})
	var pull, part mat.VecDense
	pull.MulVec(vix.T(), same)
	d.SubVec(d, &pull)
	part.MulVec(&cov, d)
	result := mat.Dot(d, &part)
	if target > 0 {
		part.Reset()
		part.MulVec(&vi, same)
		result += (a*a*c.Green+2*a*b*c.LevelSlope+b*b*c.GreenSlope)/float64(target) - mat.Dot(same, &part)
	}
	return result
}

func TestTrendIsGeneralisedLeastSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, panel := anyComponents(t), anyPanel(t)
		target := rapid.SampledFrom([]Target{GreensLikeThese, 6, 9}).Draw(t, "target")
		trend, err := c.Trend(panel, target)
		if err != nil {
			t.Fatal(err)
		}
		if trend.level {
			return
		}
		slope, err := trend.Slope()
		if err != nil {
			t.Fatal(err)
		}
		cells := merge(panel)
		if want := c.dense(cells, target, 0, 1); math.Abs(slope.Variance-want) > 1e-7*want {
			t.Fatalf("variance of the slope %.12g, dense %.12g", slope.Variance, want)
		}
		level, err := trend.Level(c.Origin + 1.3)
		if err != nil {
			t.Fatal(err)
		}
		if want := c.dense(cells, target, 1, 1.3); math.Abs(level.Variance-want) > 1e-7*want {
			t.Fatalf("variance of the level %.12g, dense %.12g", level.Variance, want)
		}
	})
}

// The balanced formulas, with either target and with other greens every round, are what the general panel gives.
func TestSlopeIsThatOfThePanel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyComponents(t)
		d := Design{Greens: rapid.IntRange(1, 7).Draw(t, "greens"), Cores: rapid.IntRange(1, 9).Draw(t, "cores"), Determinations: rapid.IntRange(1, 3).Draw(t, "determinations")}
		d.NewGreens = rapid.Bool().Draw(t, "new greens")
		times := rapid.SliceOfNDistinct(rapid.Float64Range(0, 6), 2, 7, func(v float64) float64 { return math.Round(v * 4) }).Draw(t, "times")
		target := GreensLikeThese
		if !d.NewGreens {
			target = rapid.SampledFrom([]Target{GreensLikeThese, 7, 18}).Draw(t, "target")
		}
		formula, err := c.Slope(d, times, target)
		if err != nil {
			t.Fatal(err)
		}
		trend, err := c.Trend(balanced(d, times), target)
		if err != nil {
			t.Fatal(err)
		}
		panel, err := trend.Slope()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(formula.Variance-panel.Variance) > 1e-8*formula.Variance || formula.DF != panel.DF {
			t.Fatalf("formula %+v, panel %+v", formula, panel)
		}
		// Without slopes of their own, greens have no need of an origin either.
		level := c
		level.GreenSlope, level.LevelSlope, level.Origin = 0, 0, 0
		calendar := append([]Composite{}, balanced(d, times)...)
		for i := range calendar {
			calendar[i].Year += 2026
		}
		var slopes [2]float64
		for i, panel := range [][]Composite{balanced(d, times), calendar} {
			trend, err := level.Trend(panel, target)
			if err != nil {
				t.Fatal(err)
			}
			slopes[i] = trend.variance(0, 1)
		}
		if math.Abs(slopes[0]-slopes[1]) > 1e-10*slopes[0] {
			t.Fatalf("from 0: %g, in calendar years %g", slopes[0], slopes[1])
		}
		// Calendar years and years from 0 are the same, once Origin moves along.
		moved := c
		moved.Origin += 2026
		later := make([]float64, len(times))
		for i := range times {
			later[i] = times[i] + 2026
		}
		shifted, err := moved.Slope(d, later, target)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(formula.Variance-shifted.Variance) > 1e-8*formula.Variance {
			t.Fatalf("from 0: %+v, from 2026: %+v", formula, shifted)
		}
	})
}

// Rows in another order change nothing, to the last digit; another unit of the figure or of time changes the variances by
// its square; more cores, determinations or rounds never make anything worse.
func TestTrendInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, panel := anyComponents(t), anyPanel(t)
		slope := func(c Components, panel []Composite) float64 {
			trend, err := c.Trend(panel, GreensLikeThese)
			if err != nil {
				t.Fatal(err)
			}
			if trend.level {
				t.Skip("one date")
			}
			e, err := trend.Slope()
			if err != nil {
				t.Fatal(err)
			}
			return e.Variance
		}
		before := slope(c, panel)
		if again := slope(c, rapid.Permutation(panel).Draw(t, "order")); again != before {
			t.Fatalf("in another order %g, before %g", again, before)
		}
		big := Components{Green: 9 * c.Green, GreenTime: 9 * c.GreenTime, Round: 9 * c.Round, GreenSlope: 9 * c.GreenSlope, LevelSlope: 9 * c.LevelSlope, Core: 9 * c.Core, Laboratory: 9 * c.Laboratory, Origin: c.Origin}
		if v := slope(big, panel); math.Abs(v-9*before) > 1e-8*v {
			t.Fatalf("three times the unit: %g, before %g", v, before)
		}
		months := c
		months.GreenSlope, months.LevelSlope, months.Origin = c.GreenSlope/144, c.LevelSlope/12, 12*c.Origin
		monthly := append([]Composite{}, panel...)
		for i := range monthly {
			monthly[i].Year *= 12
		}
		if v := slope(months, monthly); math.Abs(v*144-before) > 1e-7*before {
			t.Fatalf("in months %g, in years %g", v*144, before)
		}
		richer := append([]Composite{}, panel...)
		at := rapid.IntRange(0, len(panel)-1).Draw(t, "which")
		richer = append(richer, Composite{"another", "another", panel[at].Year + 0.5, 3, 1})
		if v := slope(c, richer); v > before*(1+1e-9) {
			t.Fatalf("one more composite: %g, before %g", v, before)
		}
		for i := range richer[:len(panel)] {
			richer[i].Cores *= 2
			richer[i].Determinations *= 2
		}
		if v := slope(c, richer[:len(panel)]); v > before*(1+1e-9) {
			t.Fatalf("twice the cores: %g, before %g", v, before)
		}
	})
}

// More greens, cores or determinations never make a mean, a change or a slope worse.
func TestMoreIsNeverWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyComponents(t)
		d := Design{Greens: rapid.IntRange(2, 17).Draw(t, "greens"), Cores: rapid.IntRange(1, 20).Draw(t, "cores"), Determinations: rapid.IntRange(1, 3).Draw(t, "determinations")}
		times := []float64{0, 1, 2, 3}
		target := rapid.SampledFrom([]Target{GreensLikeThese, 18}).Draw(t, "target")
		points := func(d Design, times []float64) (out [3]float64) {
			mean, err1 := c.CourseMean(d, target)
			change, err2 := c.Change(d)
			slope, err3 := c.Slope(d, times, target)
			if err := first(err1, err2, err3); err != nil {
				t.Fatal(err)
			}
			out[0] = mean.halfWidth(0.95)
			out[1] = UsualTest().offset(change.DF) * change.SE()
			out[2] = UsualTest().offset(slope.DF) * slope.SE()
			return out
		}
		before := points(d, times)
		for name, more := range map[string]func(*Design, *[]float64){
			"green":         func(d *Design, _ *[]float64) { d.Greens++ },
			"core":          func(d *Design, _ *[]float64) { d.Cores++ },
			"determination": func(d *Design, _ *[]float64) { d.Determinations++ },
			"round":         func(_ *Design, times *[]float64) { *times = []float64{0, 1, 2, 3, 4} },
			"singly":        func(d *Design, _ *[]float64) { d.Singly = true },
		} {
			d, times := d, times
			more(&d, &times)
			for i, v := range points(d, times) {
				if v > before[i]*(1+1e-12) {
					t.Fatalf("one more %s: figure %d is %g after %g", name, i, v, before[i])
				}
			}
		}
	})
}

func TestTrendRefuses(t *testing.T) {
	c := Components{Green: 0.2, Core: 1}
	row := Composite{"4", "spring", 1, 5, 1}
	for want, change := range map[string]func(c *Components, panel *[]Composite){
		"trend: no rounds: give who was sampled when":                                                                                                  func(_ *Components, p *[]Composite) { *p = nil },
		"trend: composite 1 has no green or no round: name both":                                                                                       func(_ *Components, p *[]Composite) { (*p)[0].Round = "" },
		"trend: green 4 in round spring: year NaN: give its date":                                                                                      func(_ *Components, p *[]Composite) { (*p)[0].Year = math.NaN() },
		"trend: green 4 in round spring: 0 cores: give at least 1":                                                                                     func(_ *Components, p *[]Composite) { (*p)[0].Cores = 0 },
		"trend: green 4 in round spring: 0 determinations: give at least 1":                                                                            func(_ *Components, p *[]Composite) { (*p)[0].Determinations = 0 },
		"components: origin +Inf: give the year the variance between greens holds for":                                                                 func(c *Components, _ *[]Composite) { c.Origin = math.Inf(1) },
		"trend: neither greens in time nor cores nor the laboratory vary, as if a composite told everything: give at least the variance between cores": func(c *Components, _ *[]Composite) { c.Core = 0 },
	} {
		c, panel := c, []Composite{row}
		change(&c, &panel)
		_, err := c.Trend(panel, GreensLikeThese)
		wantError(t, err, want)
	}
	one, err := c.Trend([]Composite{row, {"5", "spring", 1, 5, 1}}, GreensLikeThese)
	fatal(t, err)
	_, err = one.Slope()
	wantError(t, err, "slope: all rounds on one date: give rounds of at least 2 dates")
	_, err = one.Level(2)
	wantError(t, err, "level: at year 2, from rounds that were all at 1: one date says nothing about another")
	e, err := one.Level(1)
	fatal(t, err)
	if want := (0.2 + 1.0/5) / 2; math.Abs(e.Variance-want) > 1e-14 {
		t.Errorf("variance of the level of one round %g, want %g", e.Variance, want)
	}
	_, err = one.Level(math.NaN())
	wantError(t, err, "level: year NaN: give a date")
	_, err = c.Trend([]Composite{row, {"5", "spring", 1, 5, 1}}, 1)
	wantError(t, err, "target: exactly 1 greens, of which 2 are sampled: name as many as the course has, or 0 for greens like these")
}
