package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/unit"
)

// sampled makes one composite of five cores from the 0–20 mm layer.
func sampled(green, day string, om float64) Observation {
	return Observation{Green: green, Round: day[:4], Date: date(day), BottomMM: 20, OM: unit.Percent(om), Cores: 5}
}

func TestLevel(t *testing.T) {
	cases := []struct {
		name     string
		obs      []Observation
		mean, se float64
		n, cores int
		assumed  bool
	}{
		{"three greens: s/√3", []Observation{sampled("1", "2025-10-14", 5), sampled("2", "2025-10-14", 6), sampled("3", "2025-10-15", 7)}, 6, 1 / math.Sqrt(3), 3, 15, false},
		{"greens that read the same: a third of the mean over √cores and √greens", []Observation{sampled("1", "2025-10-14", 6), sampled("2", "2025-10-14", 6)}, 6, 2 / math.Sqrt(10), 2, 10, true},
		{"one green: a third of the mean over √cores", []Observation{sampled("1", "2025-10-14", 6)}, 6, 2 / math.Sqrt(5), 1, 5, true},
		{"two composites of one green are more cores", []Observation{sampled("1", "2025-10-14", 5), sampled("1", "2025-10-14", 7)}, 6, 2 / math.Sqrt(10), 1, 10, true},
		{"composites weighted by cores", []Observation{
			{Green: "1", Round: "a", Date: date("2025-10-14"), BottomMM: 20, OM: 4, Cores: 3},
			{Green: "1", Round: "a", Date: date("2025-10-14"), BottomMM: 20, OM: 8, Cores: 1},
			{Green: "2", Round: "a", Date: date("2025-10-14"), BottomMM: 20, OM: 7, Cores: 5},
		}, 6, 1, 2, 9, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m, err := Level(c.obs)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(float64(m.Mean)-c.mean) > 1e-12 || math.Abs(float64(m.SE)-c.se) > 1e-12 {
				t.Errorf("mean %v ± %v, want %v ± %v", m.Mean, m.SE, c.mean, c.se)
			}
			if m.N != c.n || m.Cores != c.cores || m.Assumed != c.assumed {
				t.Errorf("n %d, cores %d, assumed %v; want %d, %d, %v", m.N, m.Cores, m.Assumed, c.n, c.cores, c.assumed)
			}
		})
	}
}

func TestRefuses(t *testing.T) {
	good := sampled("1", "2025-10-14", 5)
	with := func(change func(*Observation)) []Observation {
		o := good
		change(&o)
		return []Observation{good, o}
	}
	cases := []struct {
		name string
		obs  []Observation
		want string
	}{
		{"above 100", with(func(o *Observation) { o.OM = 120 }), `trend: organic matter of green "1" in round "2025": 120 % is not a share of the dry mass: allowed is 0 to 100 %`},
		{"not a number", with(func(o *Observation) { o.OM = unit.Percent(math.NaN()) }), `trend: organic matter of green "1" in round "2025": NaN % is not a share of the dry mass: allowed is 0 to 100 %`},
		{"negative uncertainty", with(func(o *Observation) { o.U = -1 }), `trend: organic matter of green "1" in round "2025": standard uncertainty -1 points: allowed is 0 (unknown) or more`},
		{"negative cores", with(func(o *Observation) { o.Cores = -1 }), `trend: organic matter of green "1" in round "2025": -1 cores: allowed is 0 (unknown) or more`},
		{"no green", with(func(o *Observation) { o.Green = "" }), `trend: organic matter in round "2025": the green has no name: say which green it is from`},
		{"two layers", with(func(o *Observation) { o.TopMM, o.BottomMM = 20, 40 }), `trend: organic matter of green "1" in round "2025": layer 20–40 mm among observations of 0–20 mm: hand in one layer at a time`},
		{"upside down", with(func(o *Observation) { o.TopMM = 30 }), `trend: organic matter of green "1" in round "2025": layer 30–20 mm: allowed is a top at 0 mm or deeper and a bottom below it`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := FitTrend(c.obs, Options{})
			if err == nil || err.Error() != c.want {
				t.Errorf("error %v\nwant  %s", err, c.want)
			}
		})
	}
	if _, err := Level(nil); err == nil || err.Error() != "mean of a round: no observations: hand in the composites of one layer and round" {
		t.Errorf("error %v", err)
	}
	if _, err := Level([]Observation{good, sampled("2", "2024-10-14", 5)}); err == nil || err.Error() != `mean of a round: rounds "2025" and "2024": hand in one round at a time` {
		t.Errorf("error %v", err)
	}
}

// What no arithmetic can use, or tells nothing, gets a clear sentence and never a panic.
func TestBadInput(t *testing.T) {
	grid := func(greens, rounds int, om func(g, r int) float64) []Observation {
		var obs []Observation
		for g := range greens {
			for r := range rounds {
				obs = append(obs, sampled(fmt.Sprint(g+1), fmt.Sprintf("%d-10-14", 2020+r), om(g, r)))
			}
		}
		return obs
	}
	cases := []struct {
		name string
		obs  []Observation
		want string
	}{
		{"no rows", nil, "No trend: nothing was sampled."},
		{"one round", grid(4, 1, func(g, _ int) float64 { return 5 + float64(g) }), "No trend: one round cannot show a change."},
		{"all values equal", grid(4, 5, func(int, int) float64 { return 6 }), "No trend: every composite reads the same, which is rounding or a copied number: without scatter nothing can be told from chance."},
		{"all zero", grid(4, 5, func(int, int) float64 { return 0 }), "No trend: every composite reads the same, which is rounding or a copied number: without scatter nothing can be told from chance."},
		{"one green on a line", grid(1, 5, func(_, r int) float64 { return 5 + float64(r)/4 }), "No trend: greens and rounds explain every composite to the last decimal, which cores never allow: without scatter nothing can be told from chance."},
		{"greens exactly apart", grid(3, 4, func(g, r int) float64 { return 5 + float64(g) + float64(r*r)/8 }), "No trend: greens and rounds explain every composite to the last decimal, which cores never allow: without scatter nothing can be told from chance."},
		{"every round on one day", func() []Observation {
			obs := grid(3, 2, func(g, r int) float64 { return 5 + float64(g) + float64(r*g)/8 })
			for i := range obs {
				obs[i].Date = date("2024-10-14")
			}
			return obs
		}(), "No trend: the rounds that share greens were all taken at the same time."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			layers, err := Layers(c.obs, Options{})
			if err != nil {
				t.Fatal(err)
			}
			f, err := FitTrend(c.obs, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff([]string{c.want}, f.Warnings); f.Estimated || d != "" {
				t.Errorf("estimated %v, warnings (-want +got):\n%s", f.Estimated, d)
			}
			for _, l := range layers {
				if l.Trend.Estimated || !finite(float64(l.Consistency.SD), float64(l.Consistency.SDLower95), float64(l.Consistency.SDUpper95)) {
					t.Errorf("layer %+v", l)
				}
			}
		})
	}
}

func TestThinRecords(t *testing.T) {
	two := []Observation{
		sampled("1", "2024-10-14", 5), sampled("2", "2024-10-14", 6), sampled("3", "2024-10-14", 7),
		sampled("1", "2025-10-14", 7), sampled("2", "2025-10-14", 8.1), sampled("3", "2025-10-14", 8.9),
	}
	cases := []struct {
		name      string
		obs       []Observation
		estimated bool
		warnings  []string
	}{
		{"nothing", nil, false, []string{"No trend: nothing was sampled."}},
		{"one round", two[:3], false, []string{"No trend: one round cannot show a change."}},
		{"two rounds", two, true, []string{
			"Only two rounds can be compared: they cannot tell a trend from a good or a bad year. The interval assumes that rounds scatter by 0.30 points (common practice, no source).",
		}},
		{"no green twice", []Observation{two[0], two[1], sampled("4", "2025-10-14", 7), sampled("5", "2025-10-14", 8)}, true, []string{
			"No green was sampled in two rounds: a difference between greens looks like a change.",
			"Only two rounds can be compared: they cannot tell a trend from a good or a bad year. The interval assumes that rounds scatter by 0.30 points (common practice, no source).",
		}},
		{"spring and autumn", []Observation{
			{Green: "1", Date: date("2023-04-14"), BottomMM: 20, OM: 5, Cores: 5},
			{Green: "1", Date: date("2023-10-14"), BottomMM: 20, OM: 6, Cores: 5},
			{Green: "1", Date: date("2024-10-14"), BottomMM: 20, OM: 6.5, Cores: 5},
		}, true, []string{
			"Three rounds: one degree of freedom, so only a very steep and even change can be told from chance.",
			"Rounds were taken up to 182 days apart in the year: part of the change may be the time of year.",
		}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, err := FitTrend(c.obs, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if f.Estimated != c.estimated || f.Verdict != NoChange {
				t.Errorf("estimated %v, verdict %q; want %v, no change", f.Estimated, f.Verdict, c.estimated)
			}
			if d := cmp.Diff(c.warnings, f.Warnings); d != "" {
				t.Errorf("warnings (-want +got):\n%s", d)
			}
		})
	}
}

// Two rounds a year apart: se = √(2·(0.3² + σ_core²/(5·3))), worked by hand from the stated model.
func TestTwoRoundsByHand(t *testing.T) {
	f, err := FitTrend([]Observation{
		sampled("1", "2023-10-14", 5), sampled("2", "2023-10-14", 6), sampled("3", "2023-10-14", 7),
		sampled("1", "2024-10-13", 6), sampled("2", "2024-10-13", 7.3), sampled("3", "2024-10-13", 7.7),
	}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// Differences 1, 1.3, 0.7: mean 1, variance 0.09 = 2·σ_core²/5.
	years := 365 / daysPerYear
	wantSlope, wantSE := 1/years, math.Sqrt(2*0.09+0.09/3)/years
	if math.Abs(f.SlopePerYear-wantSlope) > 1e-9 || math.Abs(f.SE-wantSE) > 1e-9 {
		t.Errorf("slope %.6f ± %.6f, want %.6f ± %.6f", f.SlopePerYear, f.SE, wantSlope, wantSE)
	}
}

func TestOneGreenApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(20261128, 1))
	var obs []Observation
	for y := range 6 {
		for g := range 8 {
			om := 5 + 0.3*rng.NormFloat64()
			if g == 6 {
				om += 2
			}
			obs = append(obs, sampled(fmt.Sprint(g+1), fmt.Sprintf("%d-10-14", 2020+y), om))
		}
	}
	c, err := CompareGreens(obs)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := c.Sentence(), "Green 7 lies above the rest; the others cannot be told apart."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func ExampleLayers() {
	var obs []Observation
	levels := map[string]float64{"1": 5.2, "2": 5.9, "3": 6.4}
	years := []float64{0, 0.4, 0.9, 1.6, 2.1}
	for g, level := range levels {
		for y, more := range years {
			obs = append(obs, sampled(g, fmt.Sprintf("%d-10-14", 2021+y), level+more+0.1*float64(y%2)*(level-6)))
		}
	}
	layers, err := Layers(obs, Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range layers {
		last := l.Rounds[len(l.Rounds)-1]
		fmt.Printf("%g–%g mm: %.1f %% (%.1f to %.1f) in %s\n", l.TopMM, l.BottomMM, last.Mean, last.Low90, last.High90, last.Round)
		fmt.Println(l.Trend.Sentence())
		fmt.Println(l.Trend.Figures())
		fmt.Println(l.Trend.Visible())
		fmt.Println(l.Consistency.Sentence())
	}
	// Output:
	// 0–20 mm: 7.9 % (7.2 to 8.7) in 2025
	// Rising, and by more than the 0.5 points a year that matter.
	// +0.54 points a year (0.53 to 0.55)
	// A change of 0.02 points a year would be seen 8 times in 10.
	// Green 3 lies above the rest and Green 1 lies below; the others cannot be told apart.
}
