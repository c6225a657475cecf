package calibrate

import (
	"errors"
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
		s := simulate(t, plan{greens: 3, years: 3, seed: 100 + seed, truth: drawPrior, ahead: 1})
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
	for _, p := range []plan{{greens: 4, years: 4, seed: 21, truth: drawPrior, ahead: 1}, {greens: 2, years: 5, seed: 26, truth: drawPrior, ahead: 1}} {
		s := simulate(t, p)
		f := s.fit(t)
		now := s.course.Daily.Until() - 1
		weighed, err := f.Ensemble(2000, now, 1, 2)
		if err != nil {
			t.Fatal(err)
		}
		var chains [2]*Ensemble // one after the other
		var least [2]float64
		if err := side(2, func(w int) error {
			sample, err := f.Sample(1000, 4, uint64(w), nil)
			if err != nil {
				return err
			}
			least[w] = slices.Min(sample.Effective[:profile.Unknowns])
			chains[w], err = sample.Ensemble(f, 0, now, 1)
			return err
		}); err != nil {
			t.Fatal(err)
		}
		sampled := &Ensemble{Fit: f, Now: now, members: append(chains[0].members, chains[1].members...)}
		worst := 0.0
		for u, e := range profile.Table {
			a, b := Sum(placesOf(weighed, u)), Sum(placesOf(sampled, u))
			off := math.Abs(a.Mean-b.Mean) / b.SD
			worst = math.Max(worst, off)
			if off > 0.2 {
				t.Errorf("%s: mean %.3f of weighted draws, %.3f of the sampler, sd %.3f", e.Name, a.Mean, b.Mean, b.SD)
			}
		}
		spread := func(e *Ensemble) Estimate {
			var d []float64
			for _, m := range e.members {
				d = append(d, m.discrepancy)
			}
			return Sum(d)
		}
		if a, b := spread(weighed), spread(sampled); !near(a.Q50, b.Q50, 0.05) || !near(a.Q05, b.Q05, 0.1) || !near(a.Q95, b.Q95, 0.1) {
			t.Errorf("size of discrepancies %.4f (%.4f to %.4f), of the sampler %.4f (%.4f to %.4f)", a.Q50, a.Q05, a.Q95, b.Q50, b.Q05, b.Q95)
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
			for _, q := range [][2]float64{{x.Q05, y.Q05}, {x.Q50, y.Q50}, {x.Q95, y.Q95}} {
				if math.Abs(q[0]-q[1]) > 0.35*y.SD {
					t.Errorf("layer %v: a quantile is %.4f of weighted draws, %.4f of the sampler, sd %.4f", a.Layers[l], q[0], q[1], y.SD)
				}
			}
		}
		t.Logf("largest difference of means %.2f sd; weighted draws worth %.0f, the chains of the course's unknowns at least %.0f and %.0f", worst, weighed.Effective, least[0], least[1])
	}
}

func placesOf(e *Ensemble, u int) []float64 {
	var d []float64
	for _, m := range e.members {
		d = append(d, m.theta[u])
	}
	return d
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
}

// Member by member: layers of an account sum to the whole, what is made of the parts of a change is the change, and the sand of the
// log comes in.
func TestAccountsOfLayersAreThatOfTheWhole(t *testing.T) {
	s := simulate(t, plan{greens: 3, years: 3, seed: 12, uncored: true})
	e, err := s.fit(t).Ensemble(40, s.course.Daily.Until()-1, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	edges := []int{firstDay + 365, firstDay + 730, firstDay + 1094}
	parts, err := e.flows(&AskFlows{Edges: edges, Members: 40})
	if err != nil {
		t.Fatal(err)
	}
	whole, err := e.flows(&AskFlows{Edges: edges, Members: 40, Layers: []Layer{{0, 60}}})
	if err != nil {
		t.Fatal(err)
	}
	sanding := e.Values(profile.Sanding, 40)
	for leaf := range 2 {
		var laid float64
		for _, ev := range s.course.Greens[0].Work {
			if ev.Day > edges[leaf] && ev.Day <= edges[leaf+1] {
				laid += ev.Sand
			}
		}
		for m := range 40 {
			all := whole[leaf][m]
			top, middle, bottom := parts[leaf*3][m], parts[leaf*3+1][m], parts[leaf*3+2][m]
			for k := range 16 + 1 {
				sum := top[k] + middle[k] + bottom[k]
				switch k {
				case 0, 1, 2, 5, 6, 15, 16: // made, decayed, taken out, sand in and out, what is there
				case 3, 7: // come in at the top
					sum = top[k]
				case 4, 8: // gone out at the bottom
					sum = bottom[k]
				default:
					continue
				}
				if math.Abs(sum-all[k]) > 1e-9*(1+math.Abs(all[k])) {
					t.Errorf("leaf %d, member %d, term %d: layers sum to %.12f, the whole is %.12f", leaf, m, k, sum, all[k])
				}
			}
			if !near(top[5], laid*sanding[m], 1e-9) || middle[5] != 0 {
				t.Errorf("leaf %d, member %d: %.6f kg/m² of sand in, %.6f spread", leaf, m, top[5], laid*sanding[m])
			}
			if gap := all[15] - start(whole, leaf, m) - all[0] + all[1] + all[2] + all[4]; math.Abs(gap) > 1e-9 {
				t.Errorf("leaf %d, member %d: %.3g kg/m² of organic matter came from nowhere", leaf, m, gap)
			}
		}
	}
}

// start is the organic matter in the whole at the start of a leaf: that at the end of the one before, or worked out from its parts.
func start(whole [][]flow, leaf, m int) float64 {
	if leaf > 0 {
		return whole[leaf-1][m][15]
	}
	f := whole[leaf][m]
	return f[15] - f[0] + f[1] + f[2] + f[4] - f[3]
}

// A trial on a course of one green is its forecast, with the same discrepancies (which are some 0.03).
func TestTrialOfOneGreenIsItsForecast(t *testing.T) {
	s := simulate(t, plan{greens: 1, years: 3, seed: 15, ahead: 2})
	now := s.course.Daily.Until() - 1
	e, err := s.fit(t).Ensemble(40, now, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	var work []profile.Event
	var slots []int
	for _, ev := range s.work {
		if ev.Day > now && ev.Day <= now+400 {
			work, slots = append(work, ev), append(slots, ev.Day)
		}
	}
	days := []int{now + 200, now + 400}
	trial, err := e.Trial(AskTrial{Days: days, Slots: slots, Futures: []profile.Daily{s.daily}, Members: 40, Seed: 9})
	if err != nil {
		t.Fatal(err)
	}
	draws := make([]float64, len(days)*len(trial.Layers)*trial.Members())
	if err := trial.Run(work, draws); err != nil {
		t.Fatal(err)
	}
	fc, err := e.Forecast(Ask{Days: days, Futures: []profile.Daily{s.daily}, Work: [][]profile.Event{work}, Seed: 9})
	if err != nil {
		t.Fatal(err)
	}
	for d := range days {
		for l := range trial.Layers {
			for m, v := range fc.Draws(-1, d, l) {
				if got := draws[(d*len(trial.Layers)+l)*40+m]; !near(got, v, 1e-3) { // the days looked at differ
					t.Fatalf("day %d, layer %v, member %d: %.12f tried, %.12f foretold", days[d], trial.Layers[l], m, got, v)
				}
			}
		}
	}
	if err := trial.Run([]profile.Event{{Day: now + 1, Sand: 1}}, draws); err == nil || err.Error() != fmt.Sprintf("trying a plan: work 1 is on day %d, which is not among those the trial was made for", now+1) {
		t.Errorf("work on another day: %v", err)
	}
}

// Discrepancies are standard normal and have nothing to do with those of the next day or the layer below.
func TestChancesAreNormalAndIndependent(t *testing.T) {
	ask := Ask{Seed: 1}
	const n, days = 1000, 100
	var mean, square, next, below float64 // chi-squares, one degree of freedom a day
	for d := range days {
		var a1, a2, ab, ac float64
		for m := range n {
			a, b, c := ask.chance(m, 20000+d, Layer{0, 20}), ask.chance(m, 20001+d, Layer{0, 20}), ask.chance(m, 20000+d, Layer{20, 40})
			a1, a2, ab, ac = a1+a, a2+a*a-1, ab+a*b, ac+a*c
		}
		mean, square, next, below = mean+a1*a1/n, square+a2*a2/(2*n), next+ab*ab/n, below+ac*ac/n
	}
	for name, chi := range map[string]float64{"mean": mean, "square": square, "with the next day": next, "with the layer below": below} {
		if chi > 149.4 { // 99.9 % point of chi-square with 100 degrees of freedom
			t.Errorf("%s: chi-square %.1f on %d degrees of freedom", name, chi, days)
		}
	}
}

// A fit and its ensemble may be asked by many at once, as pages are.
func TestManyMayAskAtOnce(t *testing.T) {
	s := simulate(t, plan{greens: 2, years: 2, seed: 16})
	f := s.fit(t)
	e, err := f.Ensemble(20, s.course.Daily.Until()-1, 1, 2)
	if err != nil {
		t.Fatal(err)
	}
	first, err := f.Misfits()
	if err != nil {
		t.Fatal(err)
	}
	err = side(4, func(w int) error {
		list, err := f.Misfits()
		if err == nil && !slices.Equal(list, first) {
			err = fmt.Errorf("asker %d was told something else", w)
		}
		f.Learnt()
		_, foretold := e.Forecast(Ask{Days: []int{s.course.Daily.Until()}, Workers: 2})
		_, accounted := e.Flows(AskFlows{Edges: []int{firstDay, firstDay + 400}})
		_, weighed := f.Weigh(20, 1, 2)
		return errors.Join(err, foretold, accounted, weighed)
	})
	if err != nil {
		t.Error(err)
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
