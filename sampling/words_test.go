package sampling

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDesignInWords(t *testing.T) {
	for want, d := range map[string]Design{
		"6 greens of 5 cores":                        {Greens: 6, Cores: 5, Determinations: 1},
		"1 green of 1 core":                          {Greens: 1, Cores: 1, Determinations: 1},
		"6 greens of 5 cores, each determined twice": {Greens: 6, Cores: 5, Determinations: 2},
		"6 greens of 5 cores, every core for itself and determined 3 times": {Greens: 6, Cores: 5, Determinations: 3, Singly: true},
		"6 greens of 5 cores, other greens every time":                      {Greens: 6, Cores: 5, Determinations: 1, NewGreens: true},
	} {
		if got := d.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestScheduleInWords(t *testing.T) {
	for want, s := range map[string]Schedule{
		"once a year for 5 years":   {1, 5},
		"twice a year for 3 years":  {2, 3},
		"4 times a year for 1 year": {4, 1},
	} {
		if got := s.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if d := cmp.Diff([]float64{0, 0.5, 1, 1.5, 2, 2.5}, Schedule{2, 3}.Times()); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

func TestNumbersInWords(t *testing.T) {
	for want, v := range map[string]float64{"0.4": 0.4, "0.41": 0.4001, "1": 0.9999, "12.35": 12.341, "0.044": 0.0431, "0.1": 0.0999} {
		if got := upTo(v); got != want {
			t.Errorf("%g up to %q, want %q", v, got, want)
		}
	}
	for want, p := range map[string]float64{"8 of 10 cases": 0.8, "9 of 10 cases": 0.9, "19 of 20 cases": 0.95, "99 of 100 cases": 0.99, "999 of 1000 cases": 0.999, "33.3 of 100 cases": 1.0 / 3} {
		if got := cases(p); got != want {
			t.Errorf("%g in %q, want %q", p, got, want)
		}
	}
	if got := trimmed(-0.25, 2); got != "−0.25" {
		t.Errorf("minus: %q", got)
	}
}

func TestAnswersInWords(t *testing.T) {
	c, err := DefaultComponents(5)
	fatal(t, err)
	limits := DefaultLimits(18)
	// Half widths and smallest changes of these designs, and of those one core smaller, were worked in R 4.2.2 (qt, pt with
	// ncp, uniroot): 0.5985 and 0.6131; 0.5960 and 0.6139; 1.1940 and 1.2054; 0.4967 and 0.5074; 2.5670.
	for _, g := range []struct {
		name string
		goal Goal
		want string
	}{
		{"mean", Goal{Figure: MeanOfCourse, Points: 0.6, Confidence: 0.95}, "Knowing the mean of the course to ± 0.6 percentage points in 19 of 20 cases costs 398: 8 greens of 11 cores."},
		{"mean of these", Goal{Figure: MeanOfCourse, Points: 0.6, Confidence: 0.95, Target: 18}, "Knowing the mean of the course to ± 0.6 percentage points in 19 of 20 cases costs 367: 7 greens of 11 cores."},
		{"change", Goal{Figure: ChangeOfTwo, Points: 1.2, Test: UsualTest()}, "Seeing a change of 1.2 percentage points between two rounds in 8 of 10 cases costs 892: 8 greens of 17 cores in each of two rounds."},
		{"slope", Goal{Figure: SlopeOfTrend, Points: 0.5, Test: UsualTest(), Schedules: []Schedule{{1, 5}, {2, 5}}}, "Seeing a change of 0.5 percentage points a year in 8 of 10 cases costs 1,245: 3 greens of 13 cores, once a year for 5 years."},
		{"too much", Goal{Figure: SlopeOfTrend, Points: 0.1, Test: UsualTest(), Schedules: []Schedule{{1, 3}}}, "Seeing a change of 0.1 percentage points a year in 8 of 10 cases cannot be reached: the best these limits allow is 2.57 percentage points a year, with 18 greens of 23 cores, each determined 3 times, once a year for 3 years, at a cost of 4,068."},
	} {
		a, err := Cheapest(c, DefaultPrices(), limits, g.goal)
		fatal(t, err)
		if got := a.Sentence(); got != g.want {
			t.Errorf("%s:\n got %q\nwant %q", g.name, got, g.want)
		}
	}
}

func TestDefaults(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range Parameters() {
		if !(p.Low <= p.Default && p.Default <= p.High) || p.Name == "" || p.Unit == "" || p.Source == "" || seen[p.Symbol] {
			t.Errorf("parameter %+v", p)
		}
		seen[p.Symbol] = true
	}
	c, err := DefaultComponents(6)
	fatal(t, err)
	fatal(t, c.check())
	if want := 4.0; math.Abs(c.Core-want) > 1e-12 {
		t.Errorf("variance of cores on a green of 6 %%: %g, want %g", c.Core, want)
	}
	fatal(t, DefaultPrices().check())
	for _, on := range []int{0, 1, 4, 18, 27} {
		fatal(t, DefaultDesign(on).check())
		fatal(t, DefaultLimits(on).check(Goal{}))
	}
	_, err = DefaultComponents(0)
	wantError(t, err, "default components: organic matter of 0 %: give one above 0 and up to 100 %")
}

func TestCautious(t *testing.T) {
	// Half of the chi-squared distribution with 2 degrees of freedom lies below 2 ln 2.
	got, err := Cautious(0.5, 2, 0.5)
	fatal(t, err)
	if want := 0.5 / math.Ln2; math.Abs(got-want) > 1e-14 {
		t.Errorf("%g, want %g", got, want)
	}
	_, err = Cautious(-1, 2, 0.5)
	wantError(t, err, "cautious variance: variance -1: give a number of 0 or more")
	_, err = Cautious(1, 0, 0.5)
	wantError(t, err, "cautious variance: 0 degrees of freedom: give 1 or more")
	_, err = Cautious(1, 2, 1)
	wantError(t, err, "cautious variance: assurance 1: give a share between 0 and 1, for example 0.8")
}

func TestComponentsRefuse(t *testing.T) {
	_, err := Components{Laboratory: 1}.Likeness()
	wantError(t, err, "likeness of cores: neither greens nor cores vary")
	_, err = Components{Core: 1}.DesignEffect(0)
	wantError(t, err, "design effect: 0 cores a green: take at least 1")
}

func TestEvaluateRefuses(t *testing.T) {
	goal := Goal{Figure: MeanOfCourse, Confidence: 0.95}
	_, err := Evaluate(Components{Core: 1}, Prices{}, Design{Greens: 1, Cores: 5, Determinations: 1}, Schedule{}, goal)
	wantError(t, err, "1 green of 5 cores: one green cannot show how greens scatter: sample at least 2")
}
