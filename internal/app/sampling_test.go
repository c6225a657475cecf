package app_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/sampling"
)

func standingOf(t *testing.T, rs *underfoot.Records) *app.Standing {
	t.Helper()
	st, err := app.Stand(rs, underfoot.MakeDate(2025, 11, 25), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// What a course's own rounds show of the scatter is taken from them; the rest is default and says so.
func TestPowerRestsOnTheCourseWhereItCan(t *testing.T) {
	st := standingOf(t, plain())
	f, err := st.Power(app.PowerAsked{})
	if err != nil {
		t.Fatal(err)
	}
	l := st.Layers[0]
	usual, err := sampling.DefaultComponents(l.Last().Mean)
	if err != nil {
		t.Fatal(err)
	}
	want := []app.PowerPart{
		{Name: "single cores of one green", SD: l.Trend.CoreSD, Unit: "points", Own: true, From: "this course, 4 rounds"},
		{Name: "between greens", SD: float64(l.Even.SD), Unit: "points", Own: true, From: "this course, 4 rounds"},
		{Name: "rounds, all greens alike", SD: math.Sqrt(usual.Round), Unit: "points", From: "default: none was seen, which 4 rounds cannot show"},
		{Name: "one green about its own line", Unit: "points", Own: true, From: "in the scatter of cores, from which the rounds do not tell it"},
		{Name: "between the slopes of greens", SD: 0.05, Unit: "points a year", From: "default"},
		{Name: "bench, one composite", SD: math.Sqrt(usual.Laboratory), Unit: "points", From: "default"},
	}
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) })
	if diff := cmp.Diff(want, f.Parts, near, cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".df" }, cmp.Ignore())); diff != "" {
		t.Errorf("parts (-want +got):\n%s", diff)
	}
}

// The answer for a design is that of package sampling for the same components: the closed form of a balanced panel.
func TestPowerAgreesWithTheClosedForm(t *testing.T) {
	f, err := standingOf(t, plain()).Power(app.PowerAsked{Greens: 3, Cores: 7, PerYear: 1, Years: 6})
	if err != nil {
		t.Fatal(err)
	}
	v := make([]float64, len(f.Parts))
	for i, p := range f.Parts {
		v[i] = p.SD * p.SD
	}
	const g, k, stt, onCourse = 3, 7, 17.5, 4 // S_tt of 0..5
	variance := (v[2]+(v[3]+v[0]/k+v[5])/g)/stt + (1-float64(g)/onCourse)*v[4]/g
	want, err := sampling.Estimate{Variance: variance, DF: 4}.SmallestVisible(sampling.UsualTest())
	if err != nil {
		t.Fatal(err)
	}
	if got := *f.Slope.Points; math.Abs(got-want) > 1e-9*want {
		t.Errorf("smallest visible change %.9f, want %.9f", got, want)
	}
	if f.Slope.Cost != 6*f.Mean.Cost {
		t.Errorf("six rounds cost %g, one %g", f.Slope.Cost, f.Mean.Cost)
	}
	if *f.Slope.Cautious < *f.Slope.Points || *f.Mean.Cautious < *f.Mean.Points {
		t.Errorf("the cautious figures promise more: slope %g after %g, mean %g after %g", *f.Slope.Cautious, *f.Slope.Points, *f.Mean.Cautious, *f.Mean.Points)
	}
}

func TestPowerRefuses(t *testing.T) {
	st := standingOf(t, plain())
	none := plain()
	none.Samples, none.Results = nil, nil
	tests := []struct {
		name  string
		st    *app.Standing
		asked app.PowerAsked
		want  string
	}{
		{"too many greens", st, app.PowerAsked{Greens: 5}, "greens: Greens a round: 5: allowed is a whole number from 2 to 4"},
		{"one green", st, app.PowerAsked{Greens: 1}, "greens: Greens a round: 1: allowed is a whole number from 2 to 4"},
		{"two rounds", st, app.PowerAsked{PerYear: 1, Years: 2}, "years: 2 rounds in all: allowed are 3 or more, for two cannot tell a trend from chance"},
		{"a negative price", st, app.PowerAsked{Prices: &sampling.Prices{Visit: -1}}, "cost_visit: Cost of a visit: -1: allowed is a number from 0 to 1000000"},
		{"NaN", st, app.PowerAsked{Slope: math.NaN()}, "slope: Change to be seen: NaN: allowed is a number from 0.01 to 20"},
		{"a layer that is not there", st, app.PowerAsked{TopMM: 10, BottomMM: 30}, "layer: 10–30 mm was not sampled: allowed are 0–20 mm, 20–40 mm, 40–60 mm"},
		{"nothing measured", standingOf(t, none), app.PowerAsked{}, "nothing has been measured that may stand in a trend: a first round says what scatter to plan with"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := tt.st.Power(tt.asked); err == nil || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
}

// Odd records get an answer or a sentence, never a panic or a number that is none.
func TestPowerOfOddRecords(t *testing.T) {
	for name, bend := range map[string]func(*underfoot.Records){
		"one round":       func(rs *underfoot.Records) { rs.Samples = rs.Samples[:12] },
		"two rounds":      func(rs *underfoot.Records) { rs.Samples = rs.Samples[:24] },
		"one green":       func(rs *underfoot.Records) { rs.Greens = rs.Greens[:1] },
		"all alike":       func(rs *underfoot.Records) { sameResults(rs, 4) },
		"all zero":        func(rs *underfoot.Records) { sameResults(rs, 0) },
		"cores not known": func(rs *underfoot.Records) { coresUnknown(rs) },
	} {
		t.Run(name, func(t *testing.T) {
			rs := plain()
			bend(rs)
			known := map[string]bool{}
			for _, s := range rs.Samples {
				known[s.ID] = true
			}
			rs.Results = keep(rs.Results, func(r underfoot.Result) bool { return known[r.Sample] })
			f, err := standingOf(t, rs).Power(app.PowerAsked{})
			if err != nil {
				if underfoot.KindOf(err) != underfoot.Invalid && underfoot.KindOf(err) != underfoot.Negative {
					t.Errorf("kind %v: %v", underfoot.KindOf(err), err)
				}
				return
			}
			for what, v := range map[string]*float64{"slope": f.Slope.Points, "mean": f.Mean.Points} {
				if v == nil || !(*v > 0) {
					t.Errorf("%s: %v", what, v)
				}
			}
		})
	}
}

func sameResults(rs *underfoot.Records, om float64) {
	for i := range rs.Results {
		rs.Results[i].OMPercent = om
	}
}

func coresUnknown(rs *underfoot.Records) {
	for i := range rs.Samples {
		rs.Samples[i].Cores.Known = false
	}
}

func keep[T any](list []T, f func(T) bool) []T {
	var out []T
	for _, v := range list {
		if f(v) {
			out = append(out, v)
		}
	}
	return out
}
