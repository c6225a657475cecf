package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
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
	Members int               // runs; 0 for 400
	Seed    uint64
	Step    int     // longest step of these runs, d; 0 for 28
	Off     float64 // by how much what is really put on in the future is off what is planned, ln; 0 for none
	Workers int     // runs go side by side; 0 for 1. The answer is the same
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
	usualMembers = 400
	usualStep    = 28 // d; off from daily steps by less than 0.02 points (TestStepHalvingConverges)
)

func (a *Ask) fill(f *Fit) error {
	if a.Layers == nil {
		a.Layers = f.Layers
	}
	if a.Members == 0 {
		a.Members = usualMembers
	}
	if a.Step == 0 {
		a.Step = usualStep
	}
	if a.Workers == 0 {
		a.Workers = 1
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
	case a.Members < 2:
		return fmt.Errorf("forecasting a course: %d members: give 2 or more", a.Members)
	case len(a.Work) != len(f.Course.Greens):
		return fmt.Errorf("forecasting a course: work for %d greens, the course has %d", len(a.Work), len(f.Course.Greens))
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

// future is a course's tracks with one weather, for one worker.
type future struct {
	forcings []*profile.Forcing
	tracks   []*profile.Track
	columns  []*profile.Column
	outs     []*profile.Readout
}

func (f *Fit) prepare(a *Ask) (*future, error) {
	s := f.Course.Settings
	s.Step = a.Step
	days := slices.Clone(a.Days)
	for _, w := range a.Work {
		for _, e := range w {
			days = append(days, e.Day)
		}
	}
	looks := s.Looks(f.Course.Start, slices.Max(a.Days), days...)
	u := &future{}
	for _, w := range a.Futures {
		forcing, err := profile.NewForcing(w, looks, s)
		if err != nil {
			return nil, err
		}
		u.forcings = append(u.forcings, forcing)
	}
	var sights []profile.Sight
	for _, d := range a.Days {
		for _, l := range a.Layers {
			sights = append(sights, profile.Sight{Day: d, Top: l.Top, Bottom: l.Bottom})
		}
	}
	for g, w := range a.Work {
		track, err := profile.NewTrack(s, looks, w, sights)
		if err != nil {
			return nil, fmt.Errorf("green %s: %w", f.Course.Greens[g].Name, err)
		}
		u.tracks = append(u.tracks, track)
		u.columns = append(u.columns, track.NewColumn(s, nil))
		u.outs = append(u.outs, profile.NewReadout(len(sights), 0))
	}
	return u, nil
}

// draw gives a place drawn from the normal distribution about the mode.
func (f *Fit) draw(rng *rand.Rand) []float64 {
	n := len(f.Mode)
	z := make([]float64, n)
	for i := range z {
		z[i] = rng.NormFloat64()
	}
	theta := slices.Clone(f.Mode)
	for i := range n {
		for j := 0; j <= i; j++ {
			theta[i] += f.lower.At(i, j) * z[j]
		}
	}
	return theta
}

// Forecast runs an ensemble: unknowns drawn from what the rounds left open, weather drawn from the futures, and the
// discrepancy between model and greens on top, shared by the greens of a day and layer.
func (f *Fit) Forecast(a Ask) (*Forecast, error) {
	if err := a.fill(f); err != nil {
		return nil, err
	}
	out := &Forecast{Days: a.Days, Layers: a.Layers, Greens: len(f.Course.Greens), member: a.Members}
	cells := len(a.Days) * len(a.Layers)
	out.draws = make([]float64, (out.Greens+1)*cells*a.Members)
	errs := make([]error, a.Workers)
	var wg sync.WaitGroup
	for w := range a.Workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			u, err := f.prepare(&a)
			if err != nil {
				errs[w] = err
				return
			}
			for m := w; m < a.Members; m += a.Workers {
				if err := f.member(&a, u, m, out); err != nil {
					errs[w] = err
					return
				}
			}
		}()
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// member runs one member and puts down what it saw.
func (f *Fit) member(a *Ask, u *future, m int, out *Forecast) error {
	rng := rand.New(rand.NewPCG(a.Seed, uint64(m)))
	theta := f.draw(rng)
	forcing := u.forcings[m%len(u.forcings)]
	cells := len(a.Days) * len(a.Layers)
	delta := make([]float64, cells)
	for i := range delta {
		delta[i] = math.Exp(f.Spreads.Discrepancy * rng.NormFloat64())
	}
	for g := range u.tracks {
		q := f.problem.params(theta, g)
		if g == 0 {
			forcing.Set(q, false)
		}
		if err := u.tracks[g].Run(u.columns[g], forcing, q, u.outs[g]); err != nil {
			return fmt.Errorf("forecasting green %s: %w", f.Course.Greens[g].Name, err)
		}
		for i := range cells {
			om := min(u.outs[g].Seen[i].OM()*delta[i], 1)
			out.draws[(g*cells+i)*a.Members+m] = om
			out.draws[(out.Greens*cells+i)*a.Members+m] += om / float64(out.Greens)
		}
	}
	return nil
}
