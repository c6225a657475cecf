package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"underfoot/profile"
)

// near says whether two numbers agree to a share of the larger.
func near(a, b, share float64) bool {
	return math.Abs(a-b) <= share*math.Max(math.Max(math.Abs(a), math.Abs(b)), 1e-12)
}

// somewhere is a place off the mode.
func somewhere(f *Fit, rng *rand.Rand, share float64) []float64 {
	theta := append([]float64(nil), f.Mode...)
	for i := range theta {
		theta[i] += share * math.Sqrt(f.Cov.At(i, i)) * rng.NormFloat64()
	}
	return theta
}

// linearAt takes the problem in at a place, with the spreads of the fit.
func linearAt(t *testing.T, f *Fit, theta []float64) *linear {
	t.Helper()
	l, err := newLinear(f.problem, f.Prior)
	if err != nil {
		t.Fatal(err)
	}
	l.spreads = f.Spreads
	if err := f.problem.run(theta); err != nil {
		t.Fatal(err)
	}
	l.take(theta)
	return l
}

// The gradient of the normal equations is that of the objective, by central differences.
func TestGradientIsThatOfTheObjective(t *testing.T) {
	f := simulate(t, plan{greens: 4, years: 3, seed: 2}).fit(t)
	theta := somewhere(f, rand.New(rand.NewPCG(1, 1)), 0.5)
	l := linearAt(t, f, theta)
	l.assemble(theta)
	gradient := append([]float64(nil), l.gradient...)
	at := func(i int, step float64) float64 {
		y := append([]float64(nil), theta...)
		y[i] += step
		if err := f.problem.run(y); err != nil {
			t.Fatal(err)
		}
		return l.objective(y)
	}
	for i := range theta {
		const step = 1e-5
		want := -(at(i, step) - at(i, -step)) / (2 * step)
		if math.Abs(gradient[i]-want) > 1e-4*(1+math.Abs(want)) {
			t.Errorf("%s: gradient %.6f, by differences %.6f", f.Name(i), gradient[i], want)
		}
	}
}

// At the mode no direction is better: the gradient is small against the curvature.
func TestModeIsAMode(t *testing.T) {
	f := simulate(t, plan{greens: 5, years: 4, seed: 3}).fit(t)
	l := linearAt(t, f, f.Mode)
	base := l.objective(f.Mode)
	rng := rand.New(rand.NewPCG(5, 5))
	for range 60 {
		theta := somewhere(f, rng, 0.05)
		if err := f.problem.run(theta); err != nil {
			t.Fatal(err)
		}
		if l.objective(theta) < base-2e-3 {
			t.Errorf("a place near the mode is better by %.5f", base-l.objective(theta))
		}
	}
}

// Averaging discrepancies and corer out of a normal density leaves, but for a constant, the density at their best
// values: the closed form in cost must be the objective minimised over them. Averaging the spreads between greens out is held against
// quadrature.
func TestCostIsTheObjectiveWithDiscrepanciesAveragedOut(t *testing.T) {
	f := simulate(t, plan{greens: 4, years: 3, seed: 6}).fit(t)
	rng := rand.New(rand.NewPCG(2, 2))
	var first float64
	for k := range 5 {
		theta := somewhere(f, rng, 1)
		l := linearAt(t, f, theta)
		cost := l.cost(theta)
		best := append([]float64(nil), theta...)
		at := l.p.at
		num, den := make([]float64, len(theta)), make([]float64, len(theta))
		for i := range l.p.rows {
			r := &l.p.rows[i]
			j := at.corer
			if !r.mass {
				j = at.block + r.block
			}
			left := l.p.residual(theta, r) - l.skew(r) + theta[j]
			num[j] += left / l.variance(r)
			den[j] += 1 / l.variance(r)
		}
		for j := range best {
			if j == at.corer || j >= at.block {
				best[j] = num[j] / (den[j] + 1/l.priorVariance(j))
			}
		}
		d := l.objective(best) - cost
		for _, of := range []struct {
			prior    Spread
			now      float64
			from, to int
		}{{f.Prior.GreenGrowth, f.Spreads.GreenGrowth, at.growth, at.surface}, {f.Prior.GreenSurface, f.Spreads.GreenSurface, at.surface, at.block}} {
			var squares float64
			for _, v := range theta[of.from:of.to] {
				squares += v * v
			}
			worth, n := of.prior.Worth, float64(of.to-of.from)
			// the density with the spread averaged out, by quadrature over its logarithm, instead of that at the spread found
			var density float64
			for x := math.Log(of.prior.SD) - 4; x < math.Log(of.prior.SD)+4; x += 1e-3 {
				density += 1e-3 * math.Exp(-(worth+n)*x-(worth*of.prior.SD*of.prior.SD+squares)/(2*math.Exp(2*x))-n)
			}
			d += -squares/(2*of.now*of.now) - math.Log(density)
		}
		if k == 0 {
			first = d
		} else if math.Abs(d-first) > 1e-7 {
			t.Errorf("place %d: objective less cost is %.9f, at the first place %.9f", k, d, first)
		}
	}
}

// Evidence put together with the prior it was taken with gives the posterior of the course's unknowns.
func TestEvidenceWithThePriorIsThePosterior(t *testing.T) {
	f := simulate(t, plan{greens: 4, years: 4, seed: 9}).fit(t)
	n := len(f.Evidence.Linear)
	variance := make([]float64, n)
	for i := range n {
		variance[i] = f.Prior.Cov.At(i, i)
	}
	x, cov, err := f.Evidence.given(f.Prior.Mean[:], variance)
	if err != nil {
		t.Fatal(err)
	}
	for i := range n {
		sd := math.Sqrt(f.Cov.At(i, i))
		if math.Abs(x[i]-f.Mode[i]) > 0.02*sd { // the last step of the fit is allowed to be 0.001 sd
			t.Errorf("%s: %.5f from evidence, %.5f at the mode, sd %.5f", f.Name(i), x[i], f.Mode[i], sd)
		}
		if !near(cov.At(i, i), f.Cov.At(i, i), 1e-6) {
			t.Errorf("%s: variance %.9f from evidence, %.9f at the mode", f.Name(i), cov.At(i, i), f.Cov.At(i, i))
		}
	}
}

func TestThinRecordsGetTheWidestHonestAnswer(t *testing.T) {
	width := func(s *simulated) float64 {
		f := s.fit(t)
		e, err := f.Ensemble(200, s.course.Daily.Until()-1, 1, 1)
		if err != nil {
			t.Fatal(err)
		}
		fc, err := e.Forecast(Ask{Days: []int{s.course.Daily.Until()}, Futures: []profile.Daily{s.daily}})
		if err != nil {
			t.Fatal(err)
		}
		est := fc.Estimate(-1, 0, 0)
		return (est.Q95 - est.Q05) / est.Q50
	}
	many := width(simulate(t, plan{greens: 4, years: 4, seed: 5, ahead: 1}))
	one := simulate(t, plan{greens: 4, years: 4, seed: 5, ahead: 1})
	var kept []Measured
	for _, m := range one.course.Measured {
		if m.Round == "2020" && m.Green == 0 {
			kept = append(kept, m)
		}
	}
	one.course.Measured = kept
	few := width(one)
	t.Logf("90 %% range over the middle: %.2f from four rounds, %.2f from one round of one green", many, few)
	if few < 2*many {
		t.Errorf("one round of one green leaves a range of %.2f, four rounds of four greens %.2f: it should be far wider", few, many)
	}
}

func TestRecordsThatCannotBeCalibrated(t *testing.T) {
	base := func() *Course {
		s := simulate(t, plan{greens: 2, years: 2, seed: 1})
		return &s.course
	}
	for _, c := range []struct {
		name string
		bend func(*Course)
		want string
	}{
		{"nothing measured", func(c *Course) { c.Measured = nil }, "calibrating a course: no composite has been measured: cut and weigh a round first"},
		{"no weather", func(c *Course) { c.Daily.Temp, c.Daily.Index = nil, nil }, "driving a profile: there is no weather"},
		{"all organic", func(c *Course) { c.Measured[0].OM = 1 }, "calibrating a course: composite of 0–20 mm on day 18542 on green 1 has 100 % organic matter: it has to lie between 0 and 100"},
		{"too deep", func(c *Course) { c.Measured[0].Bottom = 130 }, "calibrating a course: composite of 0–130 mm on day 18542 on green 1 reaches deeper than a column of 140 mm allows: 120 mm at most, or set a deeper column"},
		{"before the start", func(c *Course) { c.Measured[0].Day = 18000 }, "calibrating a course: composite of 0–20 mm on day 18000 on green 1 lies outside the time from day 18262 to 18992 that weather and growth are known for"},
		{"fill above 1", func(c *Course) { c.Greens[0].Work[9].Opening.Fill = 1.2; c.Greens[0].Work[9].Opening.Touched = 0.1 }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			course := base()
			c.bend(course)
			_, err := NewFit(course, Usual())
			if err == nil {
				t.Fatal("it was calibrated")
			}
			if c.want != "" && err.Error() != c.want {
				t.Errorf("error %q\nwanted %q", err, c.want)
			}
			if c.want == "" {
				t.Log(err)
			}
		})
	}
}
