package main

import (
	"fmt"
	"io"
	"math"
	"slices"
)

// calm is how little a layer may change to count as steady in truth [points a year]; matters is the change that matters.
const calm, matters = 0.1, 0.5

// score collects what was found beside what was true.
type score struct {
	trends     []trendPair
	silent     int // layers without a trend
	spreads    []spreadPair
	directions []directionPair
}

type trendPair struct {
	course                    string
	top                       float64
	truth                     layerTruth
	slope, se, df             float64
	lower, upper, rising, see float64
	verdict, model            string
	steady                    bool
}

type spreadPair struct {
	top              float64
	truth            layerTruth
	sd, lower, upper float64
	out, wrongSide   int     // greens said to stand out; of them, on the wrong side of the true middle
	greens, held     int     // greens, and those whose estimate ± 2 standard errors holds the true level
	misses           float64 // sum of squares of estimate − truth
	growing          float64 // chance that the spread grows, NaN where not said
	grows            string
}

type directionPair struct {
	course, truth, both, said string
	apart, probability        float64
}

func (s *score) add(t truth, f found, days map[float64]map[string][]string, verbose bool) {
	for _, l := range f.Layers {
		lt := t.layer(l.Top, days[l.Top])
		sp := spreadPair{top: l.Top, truth: lt, sd: math.NaN(), growing: math.NaN()}
		if l.SD != nil && l.SDLower != nil && l.SDUpper != nil {
			sp.sd, sp.lower, sp.upper = *l.SD, *l.SDLower, *l.SDUpper
		}
		if l.Spread != nil {
			sp.growing, sp.grows = l.Spread.PGrowing, l.Spread.Verdict
		}
		var levels []float64
		for _, v := range lt.levels {
			levels = append(levels, v)
		}
		slices.Sort(levels)
		middle := (levels[(len(levels)-1)/2] + levels[len(levels)/2]) / 2
		for _, g := range l.Greens {
			sp.greens++
			d := g.Estimate - lt.levels[g.Green]
			sp.misses += d * d
			if math.Abs(d) <= 2*g.SE {
				sp.held++
			}
			if g.StandsOut {
				sp.out++
				if (g.Estimate > mean(levels)) != (lt.levels[g.Green] > middle) {
					sp.wrongSide++
				}
			}
		}
		s.spreads = append(s.spreads, sp)
		if l.Trend == nil {
			s.silent++
			continue
		}
		p := trendPair{
			course: t.Course, top: l.Top, truth: lt, slope: l.Trend.Slope, se: l.Trend.SE, df: l.Trend.DF, lower: l.Trend.Lower, upper: l.Trend.Upper,
			rising: l.Trend.PRising, see: l.Trend.Smallest, verdict: l.Trend.Verdict, model: l.Trend.Model, steady: l.Trend.Steady,
		}
		s.trends = append(s.trends, p)
		if verbose {
			mark := " "
			if !p.holds(lt.slope) {
				mark = "*"
			}
			fmt.Printf("%s %-5s %2.0f mm  true %+.3f  said %+.3f (%+.3f to %+.3f, df %.1f) %s steady %v  sd true %.2f said %.2f (%.2f to %.2f)  %s\n",
				mark, t.Course, l.Top, lt.slope, p.slope, p.lower, p.upper, p.df, p.verdict, p.steady, lt.sd, sp.sd, sp.lower, sp.upper, p.model)
		}
	}
	d := directionPair{course: t.Course, said: f.Direction.Verdict, both: t.both()}
	d.truth, d.apart = t.direction()
	if f.Direction.Probability != nil {
		d.probability = *f.Direction.Probability
	}
	s.directions = append(s.directions, d)
	if verbose {
		fmt.Printf("  %-5s direction true %s (%s with water), %.1f from the edge; said %s (%.2f)  firmness %.1f of %.0f–%.0f, water %.1f\n",
			t.Course, d.truth, d.both, d.apart, d.said, d.probability, t.Firmness, t.FirmnessLow, t.FirmnessHigh, t.Moisture)
	}
}

func (p trendPair) holds(v float64) bool { return p.lower <= v && v <= p.upper }

func (s *score) print(w io.Writer) {
	fmt.Fprintf(w, "Trend of the mean of the sampled greens, points a year, against least squares through their true means on the sampled days\n")
	s.printTrends(w, "all layers", func(trendPair) bool { return true })
	for _, top := range []float64{0, 20, 40} {
		s.printTrends(w, fmt.Sprintf("%.0f–%.0f mm", top, top+20), func(p trendPair) bool { return p.top == top })
	}
	if s.silent > 0 {
		fmt.Fprintf(w, "  without a trend: %d\n", s.silent)
	}
	s.printCalls(w)
	s.printReliability(w)
	s.printModels(w)
	fmt.Fprintf(w, "Spread between greens, points\n")
	for _, top := range []float64{-1, 0, 20, 40} {
		s.printSpreads(w, top)
	}
	s.printDirections(w)
}

func (s *score) printTrends(w io.Writer, name string, keep func(trendPair) bool) {
	var n, held, patchy, missed2 float64
	var widths []float64
	for _, p := range s.trends {
		if !keep(p) {
			continue
		}
		n++
		held += count(p.holds(p.truth.slope))
		patchy += count(p.holds(p.truth.patchy))
		missed2 += (p.slope - p.truth.slope) * (p.slope - p.truth.slope)
		widths = append(widths, p.upper-p.lower)
	}
	if n == 0 {
		return
	}
	slices.Sort(widths)
	fmt.Fprintf(w, "  %-10s  n %4.0f  95 %% interval holds %.1f %% (each day's own greens: %.1f %%)  width median %.2f, mean %.2f  root mean square error %.3f\n",
		name, n, 100*held/n, 100*patchy/n, widths[len(widths)/2], mean(widths), math.Sqrt(missed2/n))
}

func (s *score) printCalls(w io.Writer) {
	var calls, wrong, calmN, calmCalls, steady, steadyWrong, equal, big, bigCalls float64
	for _, p := range s.trends {
		called := p.verdict == "rising" || p.verdict == "falling"
		v := p.truth.slope
		calls += count(called)
		wrong += count(p.verdict == "rising" && v < 0 || p.verdict == "falling" && v > 0)
		calmN += count(math.Abs(v) < calm)
		calmCalls += count(called && math.Abs(v) < calm)
		steady += count(p.steady)
		steadyWrong += count(p.steady && math.Abs(v) >= matters)
		equal += count(math.Abs(v) < matters)
		big += count(math.Abs(v) >= matters)
		bigCalls += count(called && math.Abs(v) >= matters)
	}
	fmt.Fprintf(w, "  called rising or falling %.0f, in the wrong direction %.0f; of %.0f that changed by %.1f or more: called %.0f (%.0f %%)\n",
		calls, wrong, big, matters, bigCalls, 100*bigCalls/big)
	fmt.Fprintf(w, "  of %.0f that changed by less than %.1f: called %.0f (%.0f %%)\n", calmN, calm, calmCalls, 100*calmCalls/calmN)
	fmt.Fprintf(w, "  said steady within ±%.1f: %.0f of %.0f that were; %.0f wrongly\n", matters, steady-steadyWrong, equal, steadyWrong)
}

func (s *score) printReliability(w io.Writer) {
	edges := []float64{0, .05, .2, .4, .6, .8, .95, 1.0000001}
	var brier float64
	fmt.Fprintf(w, "  chance of rising, said and true:")
	for i := range edges[1:] {
		var n, said, rose float64
		for _, p := range s.trends {
			if p.rising >= edges[i] && p.rising < edges[i+1] {
				n++
				said += p.rising
				rose += count(p.truth.slope > 0)
			}
		}
		if n > 0 {
			fmt.Fprintf(w, "  %.2f→%.2f (%.0f)", said/n, rose/n, n)
		}
	}
	for _, p := range s.trends {
		d := p.rising - count(p.truth.slope > 0)
		brier += d * d / float64(len(s.trends))
	}
	fmt.Fprintf(w, "  Brier %.4f\n", brier)
}

func (s *score) printModels(w io.Writer) {
	n, held := map[string]float64{}, map[string]float64{}
	var names []string
	for _, p := range s.trends {
		if n[p.model] == 0 {
			names = append(names, p.model)
		}
		n[p.model]++
		held[p.model] += count(p.holds(p.truth.slope))
	}
	slices.Sort(names)
	for _, name := range names {
		if name != "" {
			fmt.Fprintf(w, "  model %s: %.0f, holds %.1f %%\n", name, n[name], 100*held[name]/n[name])
		}
	}
}

func (s *score) printSpreads(w io.Writer, top float64) {
	var n, said, sd, all, held, heldAll, greens, greensHeld, miss, out, wrong, width, saidGrow, grew, called, calledRight float64
	for _, p := range s.spreads {
		if top >= 0 && p.top != top || math.IsNaN(p.sd) {
			continue
		}
		n++
		said, sd, all = said+p.sd*p.sd, sd+p.truth.sd*p.truth.sd, all+p.truth.sdAll*p.truth.sdAll
		held += count(p.lower <= p.truth.sd && p.truth.sd <= p.upper)
		heldAll += count(p.lower <= p.truth.sdAll && p.truth.sdAll <= p.upper)
		width += p.upper - p.lower
		greens, greensHeld, miss = greens+float64(p.greens), greensHeld+float64(p.held), miss+p.misses
		out, wrong = out+float64(p.out), wrong+float64(p.wrongSide)
		if !math.IsNaN(p.growing) {
			saidGrow += p.growing
			grew += count(p.truth.growing > 0)
			if p.grows == "growing" || p.grows == "shrinking" {
				called++
				calledRight += count((p.grows == "growing") == (p.truth.growing > 0))
			}
		}
	}
	name := "all layers"
	if top >= 0 {
		name = fmt.Sprintf("%.0f–%.0f mm", top, top+20)
	}
	fmt.Fprintf(w, "  %-10s  n %4.0f  said %.2f, true %.2f on the last day, %.2f over all (root mean square); interval holds %.1f %% (last), %.1f %% (all), mean width %.2f\n",
		name, n, math.Sqrt(said/n), math.Sqrt(sd/n), math.Sqrt(all/n), 100*held/n, 100*heldAll/n, width/n)
	fmt.Fprintf(w, "              greens within 2 standard errors %.1f %%, root mean square error %.3f; standing out %.0f of %.0f, on the wrong side %.0f\n",
		100*greensHeld/greens, math.Sqrt(miss/greens), out, greens, wrong)
	if saidGrow > 0 {
		fmt.Fprintf(w, "              growing: said %.0f of %.0f on average, in truth %.0f; called %.0f, rightly %.0f\n", saidGrow, n, grew, called, calledRight)
	}
}

func (s *score) printDirections(w io.Writer) {
	fmt.Fprintf(w, "Direction\n")
	for _, with := range []bool{false, true} {
		for _, far := range []bool{true, false} {
			var n, right, unknown, worst float64
			table := map[string]int{}
			for _, d := range s.directions {
				want := d.truth
				if with {
					want = d.both
				}
				if far && d.apart <= 2 {
					continue
				}
				n++
				right += count(d.said == want)
				unknown += count(d.said == "unknown")
				worst += count(d.said == "lower" && want == "raise" || d.said == "raise" && want == "lower")
				table[want+"→"+d.said]++
			}
			name, where := "by firmness", "everywhere"
			if with {
				name = "by firmness and, where that is in its band, water"
			}
			if far {
				where = "more than 2 units from an edge of the firmness band"
			}
			fmt.Fprintf(w, "  truth %s, %s: right %.0f of %.0f (%.1f %%), unknown %.0f, opposite %.0f; true→said %v\n", name, where, right, n, 100*right/n, unknown, worst, table)
		}
	}
}

func count(is bool) float64 {
	if is {
		return 1
	}
	return 0
}
