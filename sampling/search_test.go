package sampling

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// anyComponents draws components that are not all 0.
func anyComponents(t *rapid.T) Components {
	some := rapid.SampledFrom([]float64{0, 0.001, 0.05, 0.4, 2})
	c := Components{
		Green: some.Draw(t, "green"), GreenTime: some.Draw(t, "green in time"), Round: rapid.SampledFrom([]float64{0, 0.002, 0.05}).Draw(t, "round"),
		GreenSlope: rapid.SampledFrom([]float64{0, 0.001, 0.02}).Draw(t, "slope"), Laboratory: some.Draw(t, "laboratory"),
		Core: rapid.Float64Range(0.01, 3).Draw(t, "core"), Origin: rapid.Float64Range(-1, 3).Draw(t, "origin"),
	}
	c.LevelSlope = rapid.Float64Range(-0.95, 0.95).Draw(t, "correlation") * math.Sqrt(c.Green*c.GreenSlope)
	return c
}

func anyGoal(t *rapid.T) Goal {
	g := Goal{
		Figure: Figure(rapid.IntRange(0, 2).Draw(t, "figure")), Points: rapid.Float64Range(0.1, 2).Draw(t, "points"),
		Confidence: 0.95, Test: UsualTest(), NewGreens: rapid.Bool().Draw(t, "new greens"),
		Schedules: []Schedule{{1, 4}, {2, 3}},
	}
	if !g.NewGreens && rapid.Bool().Draw(t, "these greens") {
		g.Target = 9
	}
	return g
}

// The search must find what trying everything finds: the least cost and, when nothing will do, the best precision.
func TestCheapestIsCheapest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, goal := anyComponents(t), anyGoal(t)
		price := rapid.SampledFrom([]float64{0, 1, 3, 20})
		p := Prices{Visit: price.Draw(t, "visit"), Green: price.Draw(t, "per green"), Core: price.Draw(t, "per core"), Determination: price.Draw(t, "per determination")}
		l := Limits{OnCourse: 9, Greens: Range{rapid.IntRange(1, 3).Draw(t, "least greens"), 9}, Cores: Range{2, 8}, Determinations: Range{1, 2}}
		got, err := Cheapest(c, p, l, goal)
		if err != nil {
			t.Fatal(err)
		}
		schedules := goal.Schedules
		if goal.Figure != SlopeOfTrend {
			schedules = schedules[:1]
		}
		cost, points := math.Inf(1), math.Inf(1)
		all := search{c, p, l, goal, map[float64]float64{}} // for its arithmetic, not for its search
		for _, s := range schedules {
			for g := l.Greens.Low; g <= l.greens(goal); g++ {
				for k := 2; k <= 8; k++ {
					for m := 1; m <= 2; m++ {
						d := Design{Greens: g, OnCourse: 9, Determinations: m, NewGreens: goal.NewGreens && goal.Figure != MeanOfCourse}
						o := all.with(all.option(d, s), k)
						points = min(points, o.Points)
						if o.Points <= goal.Points {
							cost = min(cost, o.Cost)
						}
					}
				}
			}
		}
		if got.Reached != !math.IsInf(cost, 1) {
			t.Fatalf("reached: %t, by trying everything: cost %g, precision %g", got.Reached, cost, points)
		}
		if got.Reached && (got.Best.Cost != cost || got.Best.Points > goal.Points) {
			t.Fatalf("best costs %g and gives %g, by trying everything %g", got.Best.Cost, got.Best.Points, cost)
		}
		if !got.Reached && got.Best.Points != points {
			t.Fatalf("best gives %g, by trying everything %g", got.Best.Points, points)
		}
		alone, err := Evaluate(c, p, got.Best.Design, got.Best.Schedule, goal)
		if err != nil {
			t.Fatal(err)
		}
		if alone != got.Best {
			t.Fatalf("the best by itself is %+v, in the search %+v", alone, got.Best)
		}
		seen := map[string]bool{}
		before := got.Best.Cost
		for _, o := range got.Others {
			if o.Points > goal.Points || o.Cost < before || seen[o.Differs] {
				t.Fatalf("runner-up %+v after cost %g", o, before)
			}
			before, seen[o.Differs] = o.Cost, true
			if !strings.Contains(o.Differs, "more ") || !strings.Contains(o.Differs, "fewer ") {
				t.Fatalf("runner-up differs by %q: not another kind", o.Differs)
			}
		}
	})
}

// A wider goal never costs more, dearer cores never make the answer cheaper.
func TestCostIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, goal := anyComponents(t), anyGoal(t)
		p := Prices{Visit: 50, Green: 10, Core: 1, Determination: 12}
		l := Limits{Greens: Range{2, 12}, Cores: Range{1, 12}, Determinations: Range{1, 2}}
		a, err := Cheapest(c, p, l, goal)
		if err != nil {
			t.Fatal(err)
		}
		wider := goal
		wider.Points *= 1.3
		b, err := Cheapest(c, p, l, wider)
		if err != nil {
			t.Fatal(err)
		}
		if a.Reached && (!b.Reached || b.Best.Cost > a.Best.Cost) {
			t.Fatalf("%g costs %g, but %g costs %g", goal.Points, a.Best.Cost, wider.Points, b.Best.Cost)
		}
		p.Core = 2
		d, err := Cheapest(c, p, l, goal)
		if err != nil {
			t.Fatal(err)
		}
		if a.Reached && d.Best.Cost < a.Best.Cost {
			t.Fatalf("dearer cores: %g after %g", d.Best.Cost, a.Best.Cost)
		}
	})
}

func TestCheapestRefuses(t *testing.T) {
	good := Components{Green: 0.2, Core: 1}
	limits := Limits{OnCourse: 18, Greens: Range{2, 18}, Cores: Range{1, 30}, Determinations: Range{1, 2}}
	goal := Goal{Figure: SlopeOfTrend, Points: 0.5, Test: UsualTest(), Schedules: []Schedule{{1, 5}}}
	for want, change := range map[string]func(c *Components, p *Prices, l *Limits, g *Goal){
		"components: all are 0, as if one core told everything: give at least the variance between cores":             func(c *Components, _ *Prices, _ *Limits, _ *Goal) { *c = Components{} },
		"components: variance between cores -1: give a number of 0 or more":                                           func(c *Components, _ *Prices, _ *Limits, _ *Goal) { c.Core = -1 },
		"components: variance between rounds NaN: give a number of 0 or more":                                         func(c *Components, _ *Prices, _ *Limits, _ *Goal) { c.Round = math.NaN() },
		"components: covariance of level and slope 1 is more than variances of 0.2 and 0 allow: at most 0 either way": func(c *Components, _ *Prices, _ *Limits, _ *Goal) { c.LevelSlope = 1 },
		"prices: green -2: give a number of 0 or more":                                                                func(_ *Components, p *Prices, _ *Limits, _ *Goal) { p.Green = -2 },
		"limits: 0 to 18 greens: give 1 or more, the larger number last, 1000 at most":                                func(_ *Components, _ *Prices, l *Limits, _ *Goal) { l.Greens.Low = 0 },
		"limits: 30 to 1 cores a green: give 1 or more, the larger number last, 1000000 at most":                      func(_ *Components, _ *Prices, l *Limits, _ *Goal) { l.Cores = Range{30, 1} },
		"limits: a course of -1 greens: give the number there are, or 0 where it is not known":                        func(_ *Components, _ *Prices, l *Limits, _ *Goal) { l.OnCourse = -1 },
		"limits: at least 12 greens a round, where there are no more than 9 to take: ask for fewer":                   func(_ *Components, _ *Prices, l *Limits, g *Goal) { l.Greens.Low, g.NewGreens = 12, true },
		"goal: precision 0: give a number above 0":                                                                    func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.Points = 0 },
		"goal: no schedule of rounds: give at least one, for example once a year for 5 years":                         func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.Schedules = nil },
		"schedule: 2 rounds: a trend cannot be told from chance with fewer than 3":                                    func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.Schedules = []Schedule{{1, 2}} },
		"schedule: 0 rounds a year for 5 years: give 1 to 365 a year, for 1 to 1000 years":                            func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.Schedules = []Schedule{{0, 5}} },
		"goal: figure 7: ask for the mean of the course, the change between two rounds, or the slope":                 func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.Figure = 7 },
		"goal: other greens in every round speak for greens like these, not for exactly the ones on the course":       func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.NewGreens, g.Target = true, 18 },
		"cheapest design: one green cannot show how greens scatter: allow at least 2": func(_ *Components, _ *Prices, l *Limits, g *Goal) {
			l.Greens, g.Figure, g.Confidence = Range{1, 1}, MeanOfCourse, 0.95
		},
		"confidence 0: give a share between 0 and 1, for example 0.95":   func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.Figure = MeanOfCourse },
		"test: level 0: give a chance between 0 and 1, for example 0.05": func(_ *Components, _ *Prices, _ *Limits, g *Goal) { g.Test = Test{} },
	} {
		c, p, l, g := good, Prices{Visit: 1}, limits, goal
		change(&c, &p, &l, &g)
		_, err := Cheapest(c, p, l, g)
		wantError(t, err, want)
	}
}

func TestDesignRefuses(t *testing.T) {
	c := Components{Green: 0.2, Core: 1}
	for want, d := range map[string]Design{
		"design: 0 greens: sample at least 1":                                                                                       {Cores: 5, Determinations: 1},
		"design: 0 cores a green: take at least 1":                                                                                  {Greens: 6, Determinations: 1},
		"design: 0 determinations a green: make at least 1":                                                                         {Greens: 6, Cores: 5},
		"design: 20 greens of a course that has 18: sample 18 at most":                                                              {Greens: 20, OnCourse: 18, Cores: 5, Determinations: 1},
		"design: a course of -3 greens: give the number there are, or 0 where it is not known":                                      {Greens: 6, OnCourse: -3, Cores: 5, Determinations: 1},
		"design: 12 greens in each round, other ones every time, of a course that has 18: sample 9 at most, or the same ones again": {Greens: 12, OnCourse: 18, Cores: 5, Determinations: 1, NewGreens: true},
	} {
		_, err := c.CourseMean(d, GreensLikeThese)
		wantError(t, err, want)
		_, err = c.Change(d)
		wantError(t, err, want)
		_, err = c.Slope(d, []float64{0, 1, 2}, GreensLikeThese)
		wantError(t, err, want)
	}
	d := Design{Greens: 6, Cores: 5, Determinations: 1}
	_, err := c.CourseMean(d, 4)
	wantError(t, err, "target: exactly 4 greens, of which 6 are sampled: name as many as the course has, or 0 for greens like these")
	_, err = c.Slope(d, nil, GreensLikeThese)
	wantError(t, err, "slope: no rounds: give the years of at least 2, of 3 to tell a trend from chance")
	_, err = c.Slope(d, []float64{1, 1}, GreensLikeThese)
	wantError(t, err, "slope: 2 rounds, all on one date: give rounds of at least 2 dates")
	_, err = c.Slope(d, []float64{1, math.NaN()}, GreensLikeThese)
	wantError(t, err, "slope: a round at year NaN: give its date")
	e, err := c.Slope(d, []float64{0, 1}, GreensLikeThese)
	fatal(t, err)
	_, err = e.SmallestVisible(UsualTest())
	wantError(t, err, "smallest visible change: 0 degrees of freedom: the design has too few greens or rounds to judge its own scatter by")
	_, err = c.GreensForHalfWidth(Design{OnCourse: 6, Cores: 1, Determinations: 1}, GreensLikeThese, 0.1, 0.95)
	wantError(t, err, "greens for a half width: ± 0.1 points cannot be reached: all 6 greens give ± 1.15; take more cores")
	_, err = c.GreensForHalfWidth(Design{OnCourse: 1, Cores: 1, Determinations: 1}, GreensLikeThese, 0.1, 0.95)
	wantError(t, err, "greens for a half width: one green on the course has no scatter to judge by: ask for the mean of that green")
}
