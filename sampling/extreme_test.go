package sampling

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Whatever numbers are given, there is an answer or an error, in the end, and an answer is a number.
func TestExtremesEnd(t *testing.T) {
	extreme := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{
		0, 1, -1, 1e-300, 1e-12, 0.05, 0.8, 1 - 1e-12, 1e6, 1e15, 1e300, math.MaxFloat64, math.Inf(1), math.Inf(-1), math.NaN(),
	}))
	number := func(t *rapid.T, name string, v float64, err error) {
		if err == nil && math.IsNaN(v) {
			t.Fatalf("%s: NaN without an error", name)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) float64 { return extreme.Draw(t, name) }
		test := Test{draw("level"), draw("power"), rapid.Bool().Draw(t, "one-sided"), rapid.Bool().Draw(t, "near only")}
		e := Estimate{draw("variance"), draw("df")}
		v, err := e.Power(draw("change"), test)
		number(t, "power", v, err)
		v, err = e.SmallestVisible(test)
		number(t, "smallest visible", v, err)
		v, err = e.HalfWidth(draw("confidence"))
		number(t, "half width", v, err)
		_, err = NumberForMargin(draw("sd"), draw("margin"), draw("confidence"))
		number(t, "margin", 0, err)
		v, err = NumberForChange(TwoSample, draw("sd"), draw("change"), test)
		number(t, "number", v, err)
		v, err = Groups{rapid.IntRange(-1, 50).Draw(t, "groups"), draw("between"), draw("within")}.Power(rapid.IntRange(0, 1000).Draw(t, "n"), test.Level)
		number(t, "groups", v, err)
		v, err = Cautious(draw("variance"), draw("df"), draw("assurance"))
		number(t, "cautious", v, err)
		c := Components{draw("green"), draw("green in time"), draw("round"), draw("slope"), draw("both"), draw("core"), draw("laboratory"), draw("origin")}
		trend, err := c.Trend([]Composite{{"a", "1", draw("first"), 1, 1}, {"a", "2", draw("second"), 2, 1}, {"b", "2", 1, 3, 1}}, 5)
		if err == nil {
			if e, err := trend.Slope(); err == nil {
				number(t, "slope", e.Variance, nil)
			}
		}
		p := Prices{draw("visit"), draw("per green"), draw("per core"), draw("determination")}
		goal := Goal{Figure(rapid.IntRange(0, 2).Draw(t, "figure")), draw("points"), 0.95, UsualTest(), 4, rapid.Bool().Draw(t, "new greens"), []Schedule{{1, 3}}}
		if goal.NewGreens {
			goal.Target = 0
		}
		a, err := Cheapest(c, p, Limits{4, Range{1, 4}, Range{1, 3}, Range{1, 1}}, goal)
		number(t, "cheapest", a.Best.Points, err)
		number(t, "cheapest", a.Best.Cost, err)
		if err == nil {
			_ = a.Sentence()
		}
	})
}

// Most of the numbers above are refused; these are not, and still extreme.
func TestGreensAloneVary(t *testing.T) {
	for _, c := range []Components{{Green: 1}, {GreenSlope: 1}, {Round: 1}, {Laboratory: 1e-300}, {Core: 1e30}} {
		for _, figure := range []Figure{MeanOfCourse, ChangeOfTwo, SlopeOfTrend} {
			for _, other := range []bool{false, true} {
				goal := Goal{Figure: figure, Points: 0.5, Confidence: 0.95, Test: UsualTest(), NewGreens: other, Schedules: []Schedule{{1, 3}}}
				a, err := Cheapest(c, Prices{Core: 1}, Limits{0, Range{2, 9}, Range{1, 3}, Range{1, 1}}, goal)
				fatal(t, err)
				if math.IsNaN(a.Best.Points) || math.IsInf(a.Best.Points, 0) || a.Best.Points < 0 {
					t.Errorf("%+v, %+v: %g points", c, goal, a.Best.Points)
				}
			}
		}
	}
}

// From one degree of freedom to infinitely many, from a level of a millionth to one of nearly 1: the smallest visible change
// is seen with the power asked for.
func TestSmallestVisibleEverywhere(t *testing.T) {
	for _, df := range []float64{1, 1.5, 3, 30, 1000, 1e6, 1e12, 1e17, math.Inf(1)} {
		for _, level := range []float64{1e-6, 1e-3, 0.05, 0.5, 0.99} {
			for _, power := range []float64{2e-6, 0.3, 0.8, 0.9999, 1 - 1e-6} {
				for _, test := range []Test{{level, power, false, false}, {level, power, true, false}, {level, power, false, true}} {
					if power <= level {
						continue
					}
					e := Estimate{1, df}
					change, err := e.SmallestVisible(test)
					fatal(t, err)
					got, err := e.Power(change, test)
					fatal(t, err)
					if math.Abs(got-power) > 1e-10 || !(change > 0) {
						t.Errorf("df %g, %+v: a change of %g is seen with power %.12g", df, test, change, got)
					}
				}
			}
		}
	}
}
