package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"underfoot/profile"
)

// Simulation-based calibration (Talts et al. 2018, arXiv:1804.06788): for courses drawn from the prior the rank of the
// truth among the members is uniform, for an unknown and for a forecast.
func TestTruthRanksEvenlyAmongMembers(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates many courses")
	}
	const courses, members, bins = 100, 120, 5
	counts := map[string]*[bins]int{"growth": {}, "decay": {}, "next year's 0–20 mm": {}, "next year's 20–40 mm": {}}
	for seed := range uint64(courses) {
		s := simulate(t, plan{greens: 4, years: 3, seed: 100 + seed, truth: drawPrior, ahead: 1})
		f := s.fit(t)
		e, err := f.Ensemble(members, s.course.Daily.Until()-1, seed, 2)
		if err != nil {
			t.Fatal(err)
		}
		day := s.course.Daily.Until() + 280
		ask := Ask{Days: []int{day}, Futures: []profile.Daily{s.daily}, Seed: seed}
		for range s.course.Greens {
			ask.Work = append(ask.Work, s.work)
		}
		for i := range e.members { // the truth holds no discrepancy
			e.members[i].discrepancy = 0
		}
		fc, err := e.Forecast(ask)
		if err != nil {
			t.Fatal(err)
		}
		rank := func(name string, truth float64, draws []float64) {
			below := 0
			for _, d := range draws {
				if d < truth {
					below++
				}
			}
			counts[name][min(below*bins/len(draws), bins-1)]++
		}
		x := s.truth.Coordinates()
		var growth, decay []float64
		for _, m := range e.members {
			growth, decay = append(growth, m.theta[profile.Growth]), append(decay, m.theta[profile.SlowRate])
		}
		rank("growth", x[profile.Growth], growth)
		rank("decay", x[profile.SlowRate], decay)
		rank("next year's 0–20 mm", s.om(-1, day, Layer{0, 20}), fc.Draws(-1, 0, 0))
		rank("next year's 20–40 mm", s.om(-1, day, Layer{20, 40}), fc.Draws(-1, 0, 1))
	}
	for name, c := range counts {
		var chi float64
		for _, n := range c {
			d := float64(n) - courses/bins
			chi += d * d / (courses / bins)
		}
		t.Logf("%s: ranks %v, chi-square %.1f on 4 degrees of freedom", name, *c, chi)
		if chi > 18.47 { // 99.9 % point of chi-square with 4 degrees of freedom
			t.Errorf("%s: ranks %v are not even", name, *c)
		}
	}
}

// The sampler knows nothing of normality; weighted draws must agree with it.
func TestSamplerAgreesWithWeightedDraws(t *testing.T) {
	if testing.Short() {
		t.Skip("samples for a while")
	}
	s := simulate(t, plan{greens: 4, years: 4, seed: 21, truth: drawPrior, ahead: 1})
	f := s.fit(t)
	now := s.course.Daily.Until() - 1
	weighed, err := f.Ensemble(1000, now, 1, 2)
	if err != nil {
		t.Fatal(err)
	}
	sample, err := f.Sample(800, 3, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	sampled, err := sample.Ensemble(f, 0, now, 2)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for u, e := range profile.Table {
		of := func(x *Ensemble) Estimate {
			var d []float64
			for _, m := range x.members {
				d = append(d, m.theta[u])
			}
			return Sum(d)
		}
		a, b := of(weighed), of(sampled)
		off := math.Abs(a.Mean-b.Mean) / b.SD
		worst = math.Max(worst, off)
		if off > 0.35 { // four standard errors of a mean of 130 draws
			t.Errorf("%s: mean %.3f of weighted draws, %.3f of the sampler, sd %.3f", e.Name, a.Mean, b.Mean, b.SD)
		}
	}
	ask := Ask{Days: []int{now + 280}, Futures: []profile.Daily{s.daily}}
	for range s.course.Greens {
		ask.Work = append(ask.Work, s.work)
	}
	a, err := weighed.Forecast(ask)
	if err != nil {
		t.Fatal(err)
	}
	b, err := sampled.Forecast(ask)
	if err != nil {
		t.Fatal(err)
	}
	for l := range a.Layers {
		x, y := a.Estimate(-1, 0, l), b.Estimate(-1, 0, l)
		t.Logf("%v: weighted %.2f (%.2f to %.2f), sampler %.2f (%.2f to %.2f)", a.Layers[l], 100*x.Q50, 100*x.Q05, 100*x.Q95, 100*y.Q50, 100*y.Q05, 100*y.Q95)
		if math.Abs(x.Mean-y.Mean) > 0.35*y.SD || x.SD < 0.7*y.SD || x.SD > 1.4*y.SD {
			t.Errorf("layer %v: weighted %.4f ± %.4f, sampler %.4f ± %.4f", a.Layers[l], x.Mean, x.SD, y.Mean, y.SD)
		}
	}
	t.Logf("largest difference of means %.2f sd; weighted draws worth %.0f, sampler at least %.0f of %d after %d runs", worst, weighed.Effective, slices.Min(sample.Effective), len(sample.Theta), sample.Evaluated)
}

func TestRunningOnIsTheSameAsRunningWhole(t *testing.T) {
	s := simulate(t, plan{greens: 3, years: 3, seed: 8, ahead: 2})
	now := s.course.Daily.Until() - 1
	e, err := s.fit(t).Ensemble(20, now, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i := range e.members {
		e.members[i].discrepancy = 0
	}
	ask := func(days ...int) Ask {
		a := Ask{Days: days, Futures: []profile.Daily{s.daily}}
		for range s.course.Greens {
			a.Work = append(a.Work, s.work)
		}
		return a
	}
	on, err := e.Forecast(ask(now+300, now+600))
	if err != nil {
		t.Fatal(err)
	}
	whole, err := e.Forecast(ask(now, now+300, now+600))
	if err != nil {
		t.Fatal(err)
	}
	for g := -1; g < on.Greens; g++ {
		for d := range on.Days {
			for l := range on.Layers {
				for m, v := range on.Draws(g, d, l) {
					if w := whole.Draws(g, d+1, l)[m]; !near(v, w, 1e-9) {
						t.Fatalf("green %d, day %d, layer %d, member %d: %.12f run on, %.12f run whole", g, d, l, m, v, w)
					}
				}
			}
		}
	}
}

func TestAnswerDoesNotDependOnWorkers(t *testing.T) {
	s := simulate(t, plan{greens: 3, years: 3, seed: 8, ahead: 1})
	f := s.fit(t)
	var seen []float64
	for _, workers := range []int{1, 3} {
		e, err := f.Ensemble(40, s.course.Daily.Until()-1, 7, workers)
		if err != nil {
			t.Fatal(err)
		}
		fc, err := e.Forecast(Ask{Days: []int{s.course.Daily.Until() + 100}, Futures: []profile.Daily{s.daily}, Workers: workers})
		if err != nil {
			t.Fatal(err)
		}
		if seen == nil {
			seen = slices.Clone(fc.draws)
		} else if !slices.Equal(seen, fc.draws) {
			t.Errorf("%d workers give another answer than one", workers)
		}
	}
}

func TestFlowsAddUp(t *testing.T) {
	s := simulate(t, plan{greens: 3, years: 3, seed: 12})
	e, err := s.fit(t).Ensemble(40, s.course.Daily.Until()-1, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	edges := []int{firstDay + 365, firstDay + 730, firstDay + 1094}
	list, err := e.Flows(AskFlows{Edges: edges, Members: 40})
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 6 {
		t.Fatalf("%d flows, wanted 2 leaves of 3 layers", len(list))
	}
	for i, f := range list {
		parts := f.ByMade.Mean + f.ByDecay.Mean + f.ByTaking.Mean + f.BySand.Mean + f.BySinking.Mean
		if change := f.End.Mean - f.Start.Mean; math.Abs(parts-change) > 1e-12 {
			t.Errorf("layer %v: parts sum to %.9f, the change is %.9f", f.Layer, parts, change)
		}
		if i%3 > 0 { // what comes down from above is what sank out there
			up := list[i-1]
			if !near(up.SunkOut.Mean, f.SunkIn.Mean, 1e-9) || !near(up.SandSunkOut.Mean, f.SandSunkIn.Mean, 1e-9) {
				t.Errorf("layer %v takes in %.6f, the one above loses %.6f", f.Layer, f.SunkIn.Mean, up.SunkOut.Mean)
			}
		}
		if f.Made.Mean <= 0 || f.Decayed.Mean <= 0 {
			t.Errorf("layer %v: made %.4f, decayed %.4f kg/m²: both should be above 0", f.Layer, f.Made.Mean, f.Decayed.Mean)
		}
	}
	top := list[0]
	var laid float64
	for _, ev := range s.work {
		if ev.Day > edges[0] && ev.Day <= edges[1] {
			laid += ev.Sand
		}
	}
	if top.SandIn.Q05 < 0.85*laid || top.SandIn.Q95 > 1.25*laid+1 {
		t.Errorf("sand into 0–20 mm is %.2f to %.2f kg/m², the log spread %.2f and filled holes", top.SandIn.Q05, top.SandIn.Q95, laid)
	}
}

func TestHoldingSandHolds(t *testing.T) {
	s := simulate(t, plan{greens: 3, years: 4, seed: 14, ahead: 2})
	now := s.course.Daily.Until() - 1
	e, err := s.fit(t).Ensemble(200, now, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i := range e.members {
		e.members[i].discrepancy = 0
	}
	end := now + 365
	forecast := func(more float64, day int) *Forecast {
		a := Ask{Days: []int{day}, Futures: []profile.Daily{s.daily}, Layers: []Layer{{0, 20}}}
		for range s.course.Greens {
			a.Work = append(a.Work, Spreadings(s.work, now, end, more, nil))
		}
		f, err := e.Forecast(a)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	var rate float64
	for _, ev := range s.work {
		if ev.Day > now && ev.Day <= end {
			rate += ev.Sand
		}
	}
	const step, less = 1.5, -5.0 // asked from a plan with far less sand than the course has lived on
	present := forecast(0, now)
	h := Hold(present, forecast(less, end), forecast(less+step, end), rate+less, step)[0]
	then := forecast(h.Sand.Q50-rate, end).Estimate(-1, 0, 0)
	if bare := forecast(less, end).Estimate(-1, 0, 0); bare.Q50 < 1.05*present.Estimate(-1, 0, 0).Q50 {
		t.Fatalf("with %.1f kg/m² less sand 0–20 mm goes to %.3f only: the test shows nothing", -less, bare.Q50)
	}
	is := present.Estimate(-1, 0, 0)
	t.Logf("holding takes %.1f kg/m² a year (%.1f to %.1f), %.1f were spread; 0–20 mm %.2f %% now, %.2f %% after a year of it", h.Sand.Q50, h.Sand.Q05, h.Sand.Q95, rate, 100*is.Q50, 100*then.Q50)
	if math.Abs(then.Q50-is.Q50) > 0.03*is.Q50 {
		t.Errorf("the sand that holds %.3f %% brings it to %.3f %%", 100*is.Q50, 100*then.Q50)
	}
}

func TestARoundThatDoesNotFitIsNamed(t *testing.T) {
	s := simulate(t, plan{greens: 5, years: 5, seed: 31})
	for i := range s.course.Measured {
		if m := &s.course.Measured[i]; m.Round == "2022" && m.Top == 0 {
			m.OM *= 1.6
		}
	}
	list, err := s.fit(t).Misfits()
	if err != nil {
		t.Fatal(err)
	}
	var odd []string
	for _, m := range list {
		if m.Odd() {
			odd = append(odd, fmt.Sprint(m.Round, " ", m.Layer.Top))
			t.Log(m.Sentence())
		}
	}
	if !slices.Equal(odd, []string{"2022 0"}) {
		t.Errorf("rounds said not to fit: %v, wanted 2022 0", odd)
	}
}

// Forty courses of a kind unlike the built-in prior teach the forty-first.
func TestCourseFortyOneStartsFromWhatFortyTaught(t *testing.T) {
	if testing.Short() {
		t.Skip("calibrates many courses")
	}
	kind := func(rng *rand.Rand) profile.Params {
		x := profile.Default().Coordinates()
		x[profile.Growth] = math.Log(5) + 0.1*rng.NormFloat64()
		x[profile.SlowRate] = math.Log(0.3) + 0.1*rng.NormFloat64()
		x[profile.RootDepth] = math.Log(14) + 0.08*rng.NormFloat64()
		x[profile.Surface] = math.Log(0.12) + 0.2*rng.NormFloat64()
		return profile.At(x)
	}
	var taught []Evidence
	for seed := range uint64(40) {
		taught = append(taught, simulate(t, plan{greens: 3, years: 4, seed: 500 + seed, truth: kind}).fit(t).Evidence)
	}
	learnt, err := Learn(Usual(), taught)
	if err != nil {
		t.Fatal(err)
	}
	for u, want := range map[profile.Unknown]float64{profile.Growth: 5, profile.RootDepth: 14, profile.Surface: 0.12} {
		e := profile.Table[u]
		got := e.Scale.Value(learnt.Mean[u])
		t.Logf("%s: built in %.3g, learnt %.3g ± %.2f, true %.3g", e.Name, e.Middle, got, math.Sqrt(learnt.Cov.At(int(u), int(u))), want)
		if math.Abs(math.Log(got/want)) > 0.5*math.Abs(math.Log(e.Middle/want)) {
			t.Errorf("%s: learnt %.3g, true %.3g, built in %.3g: less than half the way was learnt", e.Name, got, want, e.Middle)
		}
	}
	var plainSquare, learntSquare, plainWidth, learntWidth float64
	for seed := range uint64(12) {
		s := simulate(t, plan{greens: 3, years: 2, seed: 900 + seed, truth: kind, ahead: 2})
		day := s.course.Daily.Until() + 280
		for i, prior := range []Prior{Usual(), learnt} {
			f, err := NewFit(&s.course, prior)
			if err != nil {
				t.Fatal(err)
			}
			e, err := f.Ensemble(100, s.course.Daily.Until()-1, 1, 2)
			if err != nil {
				t.Fatal(err)
			}
			ask := Ask{Days: []int{day}, Futures: []profile.Daily{s.daily}}
			for range s.course.Greens {
				ask.Work = append(ask.Work, s.work)
			}
			fc, err := e.Forecast(ask)
			if err != nil {
				t.Fatal(err)
			}
			for l, layer := range fc.Layers {
				est := fc.Estimate(-1, 0, l)
				off := math.Log(est.Q50 / s.om(-1, day, layer))
				if i == 0 {
					plainSquare, plainWidth = plainSquare+off*off, plainWidth+math.Log(est.Q95/est.Q05)
				} else {
					learntSquare, learntWidth = learntSquare+off*off, learntWidth+math.Log(est.Q95/est.Q05)
				}
			}
		}
	}
	t.Logf("after two rounds: error %.0f %% with the built-in prior, %.0f %% learnt; 90 %% range %.0f %% and %.0f %%", 100*math.Sqrt(plainSquare/36), 100*math.Sqrt(learntSquare/36), 100*plainWidth/36, 100*learntWidth/36)
	if learntSquare >= plainSquare || learntWidth >= plainWidth {
		t.Errorf("what forty courses taught does not help: squares %.4f against %.4f, widths %.3f against %.3f", learntSquare, plainSquare, learntWidth, plainWidth)
	}
}
