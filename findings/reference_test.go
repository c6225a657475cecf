package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"underfoot/internal/reference"
	"underfoot/mixed"
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
			f, ok := inPoints(newPanel(table(in.Green, round, x, in.Y)))
			if !ok {
				t.Fatal("no trend")
			}
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
		got := compareAs(cs, model{green: true})
		c.Near(t, "sd between greens", float64(got.SD), want.SD)
		p := newPanel(cs)
		p.settle()
		c.Near(t, "residual sd", math.Sqrt(p.coreVar), want.ResidualSD)
		for i, d := range want.Deviations {
			c.Near(t, "shrunk deviation of "+got.Greens[i].Green, got.Greens[i].Deviation, d)
		}
	}
}

// Where greens and rounds are crossed with holes, the line behind the rounds is lme4's fixed effect of the year.
func TestUnderlyingIsTheMixedModel(t *testing.T) {
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
			p := newPanel(table(in.Green, in.Round, in.T, in.Y))
			l, fit, err := p.fit(model{green: true, round: true}, false)
			if err != nil {
				t.Fatal(err)
			}
			var f Trend
			if err := f.read(p, chosen{layout: l, fit: fit}); err != nil {
				t.Fatal(err)
			}
			kr, err := fit.Contrast([]float64{0, 1}, mixed.KenwardRoger)
			if err != nil {
				t.Fatal(err)
			}
			c.Near(t, "slope", f.Underlying.PerYear, want.Slope)
			c.Near(t, "se", f.Underlying.SE, want.SE)
			c.Near(t, "degrees of freedom", kr.DF, want.DF)
			c.Near(t, "residual sd", fit.Sigma, want.Sigma)
			c.Near(t, "round sd", f.RoundSD, want.RoundSD)
			c.Near(t, "green sd", fit.Components[0].SD, want.GreenSD)
		})
	}
}

// For fixed effects alone, Henderson's equations and Satterthwaite's degrees of freedom must be those of the engine, with
// known measurement and without.
func TestEquationsAreTheEngines(t *testing.T) {
	for _, bench := range []float64{0, 0.2} {
		rng := rand.New(rand.NewPCG(20261129, 1))
		obs := course{greens: 7, rounds: 6, cores: 4, slope: 0.3, greenSD: 0.5, roundSD: 0.4, coreSD: 1, benchSD: bench, keep: 0.8}.observe(rng)
		p := newPanel(cells(obs))
		l, fit, err := p.fit(model{green: true, round: true, share: true}, false)
		if err != nil {
			t.Fatal(err)
		}
		want, err := fit.Contrast([]float64{0, 1}, mixed.Satterthwaite)
		if err != nil {
			t.Fatal(err)
		}
		e, v := newEquations(l.design, fit), variancesOf(l.design, fit)
		year := combination{fixed: []float64{0, 1}, random: [][]float64{make([]float64, p.greens), make([]float64, len(p.rounds))}}
		values, cov, ok := e.covariance([]combination{year}, v)
		df, good := e.degrees(year, v)
		if !ok || !good {
			t.Fatal("the equations were not solved")
		}
		for _, n := range []struct {
			name      string
			got, want float64
			rel       float64
		}{{"slope", values[0], want.Value, 1e-9}, {"se", math.Sqrt(cov.At(0, 0)), want.SE, 1e-9}, {"df", df, want.DF, 1e-3}} {
			if math.Abs(n.got-n.want) > n.rel*math.Abs(n.want) {
				t.Errorf("bench %g: %s %.12g, want %.12g", bench, n.name, n.got, n.want)
			}
		}
	}
}

// In a complete table the line is that of the round means, and its standard error and degrees of freedom are those of
// the cores: se² = s²/(G·Σ(t − t̄)²) with (G − 1)(R − 1) degrees of freedom, whatever the rounds do.
func TestRealisedInACompleteTable(t *testing.T) {
	rng := rand.New(rand.NewPCG(20261129, 2))
	g, r := 5, 6
	obs := course{greens: g, rounds: r, cores: 1, slope: 0.3, greenSD: 0.5, roundSD: 2, coreSD: 1, keep: 1}.observe(rng)
	f, ok := inPoints(newPanel(cells(obs)))
	if !ok {
		t.Fatal("no trend")
	}
	p := newPanel(cells(obs))
	green, round := make([]float64, g), make([]float64, r)
	var all, tt, ty, ss float64
	for i, c := range p.cells {
		green[p.green[i]] += c.om / float64(r)
		round[p.round[i]] += c.om / float64(g)
		all += c.om / float64(g*r)
	}
	for j, x := range p.t {
		tt += x * x
		ty += x * round[j]
	}
	for i, c := range p.cells {
		d := c.om - green[p.green[i]] - round[p.round[i]] + all
		ss += d * d
	}
	df := float64((g - 1) * (r - 1))
	for _, n := range []struct {
		name           string
		got, want, rel float64
	}{{"slope", f.SlopePerYear, ty / tt, 1e-9}, {"se", f.SE, math.Sqrt(ss / df / float64(g) / tt), 1e-6}, {"df", f.DF, df, 1e-3}} {
		if math.Abs(n.got-n.want) > n.rel*math.Abs(n.want) {
			t.Errorf("%s %.10g, want %.10g", n.name, n.got, n.want)
		}
	}
}
