package calibrate

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"underfoot/profile"
)

// Ask is what a forecast is asked for.
type Ask struct {
	Days    []int             // days since 1970-01-01, from Course.Start on
	Layers  []Layer           // nil for every layer that was ever sampled
	Futures []profile.Daily   // weathers to draw from: each the course's own days so far and then one way it may go on
	Work    [][]profile.Event // by green: what was done and what is planned; nil for the course's own
	Seed    uint64            // of the discrepancies
	Step    int               // longest step of these runs, d; 0 for 28
	Workers int               // runs go side by side; 0 for 1. The answer is the same
	Members int               // of the ensemble's to run, spread over them; 0 for all
}

// Forecast holds every member's layers.
type Forecast struct {
	Days   []int
	Layers []Layer
	Greens int
	draws  []float64 // ((green·days + day)·layers + layer)·members + member, the mean of all greens last; mass fraction
	member int
}

// Members gives the number of runs.
func (f *Forecast) Members() int { return f.member }

// Draws gives the members' organic mass fractions, green −1 for the mean of all greens. The slice is the forecast's own.
func (f *Forecast) Draws(green, day, layer int) []float64 {
	if green < 0 {
		green = f.Greens
	}
	at := ((green*len(f.Days)+day)*len(f.Layers) + layer) * f.member
	return f.draws[at : at+f.member]
}

// Estimate sums draws up.
type Estimate struct {
	Mean, SD                float64
	Q05, Q25, Q50, Q75, Q95 float64
}

// Estimate of one green (−1: mean of all greens), day and layer, as mass fractions.
func (f *Forecast) Estimate(green, day, layer int) Estimate { return Sum(f.Draws(green, day, layer)) }

// Sum gives mean, standard deviation and quantiles (linear between order statistics) of draws.
func Sum(draws []float64) Estimate {
	s := slices.Clone(draws)
	slices.Sort(s)
	var e Estimate
	n := float64(len(s))
	for _, v := range s {
		e.Mean += v / n
	}
	for _, v := range s {
		e.SD += (v - e.Mean) * (v - e.Mean)
	}
	e.SD = math.Sqrt(e.SD / math.Max(n-1, 1))
	at := func(p float64) float64 {
		h := p * (n - 1)
		i := int(h)
		if i+1 >= len(s) {
			return s[len(s)-1]
		}
		return s[i] + (h-float64(i))*(s[i+1]-s[i])
	}
	e.Q05, e.Q25, e.Q50, e.Q75, e.Q95 = at(0.05), at(0.25), at(0.5), at(0.75), at(0.95)
	return e
}

const (
	usualStep = 28 // d; off from daily steps by less than 0.06 points of organic matter (docs/model/profile.md), which the unknowns, weighed with the same steps, take up
)

func (a *Ask) fill(e *Ensemble) error {
	f := e.Fit
	if a.Layers == nil {
		a.Layers = f.Layers
	}
	if a.Step == 0 {
		a.Step = usualStep
	}
	if a.Workers == 0 {
		a.Workers = 1
	}
	if a.Members == 0 || a.Members > len(e.members) {
		a.Members = len(e.members)
	}
	if a.Work == nil {
		for _, g := range f.Course.Greens {
			a.Work = append(a.Work, g.Work)
		}
	}
	if len(a.Futures) == 0 {
		a.Futures = []profile.Daily{f.Course.Daily}
	}
	switch {
	case len(a.Days) == 0:
		return fmt.Errorf("forecasting a course: no day is asked for")
	case len(a.Work) != len(f.Course.Greens):
		return fmt.Errorf("forecasting a course: work for %d greens, the course has %d", len(a.Work), len(f.Course.Greens))
	}
	for _, l := range a.Layers {
		if deepest := f.Course.Settings.Depth - spare; !(l.Top >= 0 && l.Bottom > l.Top && l.Bottom <= deepest) {
			return fmt.Errorf("forecasting a course: %g–%g mm is asked for: give depths from 0 to %g mm, the second deeper, or set a column deeper than %g mm", l.Top, l.Bottom, deepest, f.Course.Settings.Depth)
		}
	}
	for _, d := range a.Days {
		if d < f.Course.Start {
			return fmt.Errorf("forecasting a course: day %d lies before the first profile of day %d", d, f.Course.Start)
		}
		for _, w := range a.Futures {
			if d > w.Until() {
				return fmt.Errorf("forecasting a course: day %d lies after the weather that was given, which ends on day %d", d, w.Until())
			}
		}
	}
	return nil
}

// Forecast runs the ensemble on through planned work and drawn weather, with the discrepancy between model and greens on
// top, shared by the greens of a day and layer. When every day asked for lies after e.Now the runs go on from
// there, with the work after it; else they begin at the first profile.
func (e *Ensemble) Forecast(a Ask) (*Forecast, error) {
	if err := a.fill(e); err != nil {
		return nil, err
	}
	out := &Forecast{Days: a.Days, Layers: a.Layers, Greens: len(e.Fit.Course.Greens), member: a.Members}
	cells := len(a.Days) * len(a.Layers)
	out.draws = make([]float64, (out.Greens+1)*cells*out.member)
	runs := e.runs(&a)
	err := side(a.Workers, func(w int) error {
		l, err := e.lane(&a)
		if err != nil {
			return err
		}
		for r := w; r < len(runs)-1; r += a.Workers {
			if err := l.run(a.of(e, runs[r])); err != nil {
				return err
			}
			for i := runs[r]; i < runs[r+1]; i++ {
				l.put(a.of(e, i), i, out)
			}
		}
		return nil
	})
	return out, err
}

// of gives the member of the ensemble that is the forecast's member i.
func (a *Ask) of(e *Ensemble, i int) int { return i * len(e.members) / a.Members }

// runs gives the forecast's first members of each run, and their number last. Members of one draw that follow one another share a
// run where all weathers are the same up to the last day.
func (e *Ensemble) runs(a *Ask) []int {
	alike := alikeUntil(a.Futures, slices.Max(a.Days))
	var runs []int
	for i := range a.Members {
		if i == 0 || !alike || &e.members[a.of(e, i)].theta[0] != &e.members[a.of(e, i-1)].theta[0] {
			runs = append(runs, i)
		}
	}
	return append(runs, a.Members)
}

// alikeUntil says whether weathers that reach a day are the same up to it, to the last bit.
func alikeUntil(list []profile.Daily, day int) bool {
	for _, w := range list[1:] {
		n := day - w.First // the last day itself is looked at in its morning
		if w.First != list[0].First || (w.Nitrogen == nil) != (list[0].Nitrogen == nil) ||
			!slices.Equal(w.Temp[:n], list[0].Temp[:n]) || !slices.Equal(w.Index[:n], list[0].Index[:n]) ||
			w.Nitrogen != nil && !slices.Equal(w.Nitrogen[:n], list[0].Nitrogen[:n]) {
			return false
		}
	}
	return true
}

// side runs do for workers 0 to n−1 side by side.
func side(n int, do func(worker int) error) error {
	errs := make([]error, n)
	var wg sync.WaitGroup
	for w := range n {
		wg.Go(func() { errs[w] = do(w) })
	}
	wg.Wait()
	return errors.Join(errs...)
}

// On gives the part of the forecast on some of its days.
func (f *Forecast) On(days []int) *Forecast {
	part := &Forecast{Days: days, Layers: f.Layers, Greens: f.Greens, member: f.member}
	for g := range f.Greens + 1 {
		for _, day := range days {
			d := slices.Index(f.Days, day)
			for l := range f.Layers {
				part.draws = append(part.draws, f.Draws(g, d, l)...)
			}
		}
	}
	return part
}
