package sampling

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot/internal/reference"
)

func TestPowerOfT(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/power_t.json") {
		var in struct {
			Solve, Type, Alternative string
			Strict                   bool
			SD, Level, N, Delta      float64
			Power                    float64
		}
		var want struct{ Power, N, Whole, Delta float64 }
		c.Decode(t, &in, &want)
		test := Test{Level: in.Level, Power: in.Power, OneSided: in.Alternative == "one.sided", NearOnly: !in.Strict}
		if test.Power == 0 {
			test.Power = 0.999
		}
		kind := OneSample
		if in.Type == "two.sample" {
			kind = TwoSample
		}
		switch in.Solve {
		case "n":
			got, err := NumberForChange(kind, in.SD, in.Delta, test)
			fatal(t, err)
			c.Near(t, "n", got, want.N)
			c.Near(t, "whole n", math.Ceil(got), want.Whole)
		case "power":
			e, err := Means(kind, int(in.N), in.SD)
			fatal(t, err)
			got, err := e.Power(in.Delta, test)
			fatal(t, err)
			c.Near(t, "power", got, want.Power)
		case "delta":
			e, err := Means(kind, int(in.N), in.SD)
			fatal(t, err)
			got, err := e.SmallestVisible(test)
			fatal(t, err)
			c.Near(t, "delta", got, want.Delta)
		default:
			t.Fatalf("%s: solve %q", c.ID, in.Solve)
		}
	}
}

func TestPowerOfGroups(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/power_anova.json") {
		var in struct {
			Solve        string
			Groups, N    int
			Between      float64 `json:"between_var"`
			Within       float64 `json:"within_var"`
			Level, Power float64
		}
		var want struct{ Power, N, Whole float64 }
		c.Decode(t, &in, &want)
		g := Groups{in.Groups, in.Between, in.Within}
		if in.Solve == "power" {
			got, err := g.Power(in.N, in.Level)
			fatal(t, err)
			c.Near(t, "power", got, want.Power)
			continue
		}
		got, err := g.Number(Test{Level: in.Level, Power: in.Power})
		fatal(t, err)
		c.Near(t, "n", got, want.N)
		c.Near(t, "whole n", math.Ceil(got), want.Whole)
	}
}

func TestNumberForMargin(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/margin.json") {
		var in struct{ SD, Margin float64 }
		var want struct {
			N         int
			HalfWidth float64 `json:"half_width"`
		}
		c.Decode(t, &in, &want)
		n, err := NumberForMargin(in.SD, in.Margin, 0.95)
		fatal(t, err)
		if n != want.N {
			t.Errorf("%s: %d measurements, want %d", c.ID, n, want.N)
		}
		e, err := Means(OneSample, n, in.SD)
		fatal(t, err)
		half, err := e.HalfWidth(0.95)
		fatal(t, err)
		c.Near(t, "half width", half, want.HalfWidth)
	}
}

func TestNumberForTwoSamples(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/two_sample.json") {
		var in struct{ SD, Delta float64 }
		var want struct{ N float64 }
		c.Decode(t, &in, &want)
		n, err := NumberForChange(TwoSample, in.SD, in.Delta, UsualTest())
		fatal(t, err)
		c.Near(t, "n", math.Ceil(n), want.N)
	}
}

func TestSmallestByCentralT(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/smallest_central.json") {
		var in struct {
			SD     float64
			N      int
			Paired bool
		}
		var want struct{ Difference float64 }
		c.Decode(t, &in, &want)
		kind := TwoSample
		if in.Paired {
			kind = OneSample
		}
		e, err := Means(kind, in.N, in.SD)
		fatal(t, err)
		got, err := e.SmallestByCentralT(UsualTest())
		fatal(t, err)
		c.Near(t, "difference", got, want.Difference)
	}
}

// A change of the smallest visible size is seen with just the power asked for; a larger one more often; and a change of
// nothing as often as the level says.
func TestSmallestVisibleIsVisible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Estimate{Variance: rapid.Float64Range(1e-4, 4).Draw(t, "variance"), DF: rapid.Float64Range(1, 200).Draw(t, "df")}
		test := Test{Level: rapid.Float64Range(0.001, 0.2).Draw(t, "level"), OneSided: rapid.Bool().Draw(t, "one-sided")}
		test.Power = rapid.Float64Range(test.Level+0.01, 0.99).Draw(t, "power")
		change, err := e.SmallestVisible(test)
		if err != nil {
			t.Fatal(err)
		}
		power, err := e.Power(change, test)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(power-test.Power) > 1e-10 {
			t.Fatalf("the smallest visible change %g is seen with power %g, not %g", change, power, test.Power)
		}
		more, err := e.Power(1.1*change, test)
		if err != nil {
			t.Fatal(err)
		}
		if more <= power {
			t.Fatalf("a larger change is seen less often: %g after %g", more, power)
		}
		if none, _ := e.Power(0, test); math.Abs(none-test.Level) > 1e-10 {
			t.Fatalf("no change is called with chance %g, not %g", none, test.Level)
		}
	})
}

func TestPowerRefuses(t *testing.T) {
	good := Estimate{Variance: 0.04, DF: 5}
	nan := math.NaN()
	for name, c := range map[string]struct {
		do   func() error
		want string
	}{
		"level":        {func() error { _, err := good.Power(1, Test{Level: 0, Power: 0.8}); return err }, "test: level 0: give a chance between 0 and 1, for example 0.05"},
		"level NaN":    {func() error { _, err := good.SmallestVisible(Test{Level: nan, Power: 0.8}); return err }, "test: level NaN: give a chance between 0 and 1, for example 0.05"},
		"power":        {func() error { _, err := good.SmallestVisible(Test{Level: 0.1, Power: 0.1}); return err }, "test: power 0.1: give a chance between the level 0.1 and 1, for example 0.8"},
		"no df":        {func() error { _, err := Estimate{Variance: 1}.SmallestVisible(UsualTest()); return err }, "smallest visible change: 0 degrees of freedom: the design has too few greens or rounds to judge its own scatter by"},
		"no variance":  {func() error { _, err := Estimate{DF: 3}.HalfWidth(0.95); return err }, "half width: variance 0: give a number above 0"},
		"confidence":   {func() error { _, err := good.HalfWidth(95); return err }, "confidence 95: give a share between 0 and 1, for example 0.95"},
		"change NaN":   {func() error { _, err := good.Power(nan, UsualTest()); return err }, "power: change NaN: give a number"},
		"one sample":   {func() error { _, err := Means(OneSample, 1, 1); return err }, "comparing means: 1 measurements: take at least 2"},
		"scatter":      {func() error { _, err := NumberForMargin(-1, 1, 0.95); return err }, "measurements for a margin: scatter -1: give a number above 0"},
		"margin":       {func() error { _, err := NumberForMargin(1, 0, 0.95); return err }, "measurements for a margin: margin 0: give a number above 0"},
		"tiny margin":  {func() error { _, err := NumberForMargin(1, 1e-9, 0.95); return err }, "measurements for a margin: a margin of 1e-09 with a scatter of 1 takes more measurements than can be counted: ask for less"},
		"change":       {func() error { _, err := NumberForChange(TwoSample, 1, nan, UsualTest()); return err }, "measurements for a change: change NaN: give a number above 0"},
		"tiny change":  {func() error { _, err := NumberForChange(TwoSample, 1, 1e-9, UsualTest()); return err }, "measurements for a change: a change of 1e-09 with a scatter of 1 takes more measurements than can be counted: ask for less"},
		"one group":    {func() error { _, err := Groups{1, 1, 1}.Power(3, 0.05); return err }, "telling groups apart: 1 groups: give at least 2"},
		"same groups":  {func() error { _, err := Groups{3, 0, 1}.Number(UsualTest()); return err }, "telling groups apart: variance between 0: give a number above 0"},
		"single":       {func() error { _, err := Groups{3, 1, 1}.Power(1, 0.05); return err }, "telling groups apart: 1 measurements a group: take at least 2"},
		"alike groups": {func() error { _, err := Groups{3, 1e-9, 1}.Number(UsualTest()); return err }, "telling groups apart: more than a million measurements a group for a variance of 1e-09 between and 1 within: ask for less"},
	} {
		err := c.do()
		if err == nil {
			t.Errorf("%s: no error, want %q", name, c.want)
			continue
		}
		if d := cmp.Diff(c.want, err.Error()); d != "" {
			t.Errorf("%s: (-want +got)\n%s", name, d)
		}
	}
}

func fatal(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
