package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"underfoot/internal/reference"
	"underfoot/unit"
)

var start = time.Date(2015, 1, 1, 0, 0, 0, 0, time.UTC)

// after is the date a number of years after start, to the nanosecond.
func after(t float64) time.Time {
	return start.Add(time.Duration(t * daysPerYear * 24 * float64(time.Hour)))
}

// table makes cells of one core each, with no measurement uncertainty; green and round may be nil.
func table(green, round []string, t, y []float64) []cell {
	var obs []Observation
	for i := range y {
		o := Observation{Green: "g", Round: fmt.Sprint(i), OM: unit.Percent(y[i]), Cores: 1, Date: start}
		if green != nil {
			o.Green = green[i]
		}
		if round != nil {
			o.Round = round[i]
		}
		if t != nil {
			o.Date = after(t[i])
		}
		obs = append(obs, o)
	}
	return cells(obs)
}

func TestSlopeAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/slope.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				X, Y  []float64
				Green []string
			}
			var want struct{ Slope, SE, DF float64 }
			c.Decode(t, &in, &want)
			var round []string
			scale := 1.0
			if in.Green != nil {
				for _, x := range in.X {
					round = append(round, fmt.Sprint(x))
				}
			} else {
				scale = 0.01 // years: dates reach 292 years, x reaches 1000
			}
			x := make([]float64, len(in.X))
			for i := range x {
				x[i] = in.X[i] * scale
			}
			f := fitTrend(newPanel(table(in.Green, round, x, in.Y)), Options{Matters: 1, RoundSD: 1})
			c.Near(t, "slope", f.SlopePerYear*scale, want.Slope)
			if want.DF > 0 {
				c.Near(t, "se", f.SE*scale, want.SE)
				c.Near(t, "df", f.DF, want.DF)
			}
		})
	}
}

// With the variances given, the information of the swept panel must be that of the closed form.
func TestSlopeVarianceAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/slope_variance.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				T                   []float64
				G, C, M             int
				Sgt2, Sr2, Sc2, Sl2 float64
			}
			var want struct{ Variance, DF, T float64 }
			c.Decode(t, &in, &want)
			var obs []Observation
			for g := range in.G {
				for _, at := range in.T {
					obs = append(obs, Observation{
						Green: fmt.Sprint(g), Round: fmt.Sprint(at), Date: after(at), BottomMM: 20, OM: 5, Cores: in.C,
						U: unit.Percent(math.Sqrt(in.Sl2/float64(in.M) + in.Sgt2)),
					})
				}
			}
			s := newPanel(cells(obs)).sweep(in.Sc2)
			_, info, _, _ := s.fit(in.Sr2)
			c.Near(t, "variance of the slope", 1/info, want.Variance)
			df := float64(len(s.z) - 1)
			c.Near(t, "degrees of freedom", df, want.DF)
			c.Near(t, "t", quantile(0.975, df), want.T)
		})
	}
}

func TestLevelAgainstReference(t *testing.T) {
	rng := rand.New(rand.NewPCG(20261127, 1))
	for _, c := range reference.Load(t, "testdata/reference/level.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				G, C, M       int
				Sg2, Sc2, Sl2 float64
			}
			var want struct{ Variance float64 }
			c.Decode(t, &in, &want)
			const runs = 20000
			var mean float64
			for range runs {
				var obs []Observation
				for g := range in.G {
					om := 8 + math.Sqrt(in.Sg2)*rng.NormFloat64() + math.Sqrt(in.Sc2/float64(in.C)+in.Sl2/float64(in.M))*rng.NormFloat64()
					obs = append(obs, Observation{Green: fmt.Sprint(g), Round: "r", Date: start, BottomMM: 20, OM: unit.Percent(om), Cores: in.C})
				}
				m, err := Level(obs)
				if err != nil {
					t.Fatal(err)
				}
				mean += float64(m.SE*m.SE) / runs
			}
			c.Near(t, "mean square of the standard error", mean, want.Variance)
		})
	}
}

func TestQuantileAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/quantile.json") {
		var in struct{ P, DF float64 }
		var want struct{ T float64 }
		c.Decode(t, &in, &want)
		c.Near(t, "t", quantile(in.P, in.DF), want.T)
	}
}

func TestSmallestSeenAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/smallest.json") {
		var in struct {
			SD float64
			N  int
		}
		var want struct{ Difference float64 }
		c.Decode(t, &in, &want)
		n := float64(in.N)
		c.Near(t, "smallest difference", smallestSeen(in.SD*math.Sqrt(2/n), 2*n-2), want.Difference)
	}
}

func TestSpreadAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/spread.json") {
		var in struct {
			Green, Round []string
			Y            []float64
		}
		var want struct {
			SD         float64 `json:"sd"`
			ResidualSD float64 `json:"residual_sd"`
			Deviations []float64
		}
		c.Decode(t, &in, &want)
		cs := table(in.Green, in.Round, nil, in.Y)
		got := compareGreens(cs)
		c.Near(t, "sd between greens", float64(got.SD), want.SD)
		p := newPanel(cs)
		p.settle()
		c.Near(t, "residual sd", math.Sqrt(p.coreVar), want.ResidualSD)
		for i, d := range want.Deviations {
			c.Near(t, "shrunk deviation of "+got.Greens[i].Green, got.Greens[i].Deviation, d)
		}
	}
}

// Where greens and rounds are crossed with holes, moments with fixed greens and REML with random ones
// are two estimators of the same slope: they must agree closely against their own standard error.
func TestTrendNearMixedModel(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/panel.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Green, Round []string
				T, Y         []float64
			}
			var want struct {
				Slope, SE, DF, Sigma float64
				GreenSD              float64 `json:"green_sd"`
				RoundSD              float64 `json:"round_sd"`
			}
			c.Decode(t, &in, &want)
			cs := table(in.Green, in.Round, in.T, in.Y)
			f := fitTrend(newPanel(cs), Options{Matters: 0.5, RoundSD: 0.3})
			t.Logf("slope %.4f (%.4f)  se %.4f (%.4f)  df %.1f (%.1f)  round sd %.3f (%.3f)  core sd %.3f (%.3f)",
				f.SlopePerYear, want.Slope, f.SE, want.SE, f.DF, want.DF, f.RoundSD, want.RoundSD, f.CoreSD, want.Sigma)
			if d := math.Abs(f.SlopePerYear - want.Slope); d > 0.05*want.SE {
				t.Errorf("slope %.5f stands %.3f standard errors from %.5f", f.SlopePerYear, d/want.SE, want.Slope)
			}
			c.Near(t, "se", f.SE, want.SE)
			c.Near(t, "residual sd", f.CoreSD, want.Sigma)
			c.Near(t, "round sd", f.RoundSD, want.RoundSD)
			c.Near(t, "green sd", float64(compareGreens(cs).SD), want.GreenSD)
			c.Near(t, "degrees of freedom", f.DF, want.DF)
		})
	}
}
