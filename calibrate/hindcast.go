package calibrate

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Hindcast is a layer of a round that was left out, and what the rounds before it foretold with the work and weather
// that really came.
type Hindcast struct {
	Round     string
	Day       int
	Layer     Layer
	N         int      // composites
	Measured  float64  // their mean, mass fraction
	Foretold  Estimate // of the true mean of the same greens
	Sampled   Estimate // of what composites of them would read
	LastValue float64  // mean of the layer's last round before, what one would say without a model; NaN when there is none
}

// Inside says whether the measured mean lies in the 90 % interval for what would be measured.
func (h Hindcast) Inside() bool { return h.Measured >= h.Sampled.Q05 && h.Measured <= h.Sampled.Q95 }

// ErrTooFew is returned when leaving rounds out leaves nothing to learn from.
var ErrTooFew = errors.New("looking back: rounds of two dates or more have to be left after leaving some out")

// LookBack leaves the last rounds out, calibrates on the rest and foretells what was left out. rounds: how many dates
// of sampling to leave out, the later ones.
func LookBack(c *Course, prior Prior, rounds, members int, seed uint64) ([]Hindcast, error) {
	labels := roundsByDay(c)
	if rounds < 1 || len(labels)-rounds < 2 {
		return nil, ErrTooFew
	}
	out := labels[len(labels)-rounds:]
	known := *c
	known.Measured = nil
	var left []Measured
	for _, m := range c.Measured {
		if slices.Contains(out, m.Round) {
			left = append(left, m)
		} else {
			known.Measured = append(known.Measured, m)
		}
	}
	fit, err := NewFit(&known, prior)
	if err != nil {
		return nil, fmt.Errorf("looking back: %w", err)
	}
	e, err := fit.Ensemble(members, fit.Course.Last(), seed, 1)
	if err != nil {
		return nil, fmt.Errorf("looking back: %w", err)
	}
	return e.foretell(left, seed)
}

// roundsByDay lists the labels of rounds by their first day.
func roundsByDay(c *Course) []string {
	first := map[string]int{}
	for _, m := range c.Measured {
		if d, ok := first[m.Round]; !ok || m.Day < d {
			first[m.Round] = m.Day
		}
	}
	var labels []string
	for l := range first {
		labels = append(labels, l)
	}
	slices.SortFunc(labels, func(a, b string) int { return cmp.Or(cmp.Compare(first[a], first[b]), cmp.Compare(a, b)) })
	return labels
}

func (e *Ensemble) foretell(left []Measured, seed uint64) ([]Hindcast, error) {
	ask := Ask{Seed: seed}
	for _, m := range left {
		if !slices.Contains(ask.Days, m.Day) {
			ask.Days = append(ask.Days, m.Day)
		}
		if l := (Layer{m.Top, m.Bottom}); !slices.Contains(ask.Layers, l) {
			ask.Layers = append(ask.Layers, l)
		}
	}
	forecast, err := e.Forecast(ask)
	if err != nil {
		return nil, fmt.Errorf("looking back: %w", err)
	}
	type key struct {
		round string
		layer Layer
	}
	groups := map[key][]Measured{}
	var keys []key
	for _, m := range left {
		k := key{m.Round, Layer{m.Top, m.Bottom}}
		if groups[k] == nil {
			keys = append(keys, k)
		}
		groups[k] = append(groups[k], m)
	}
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(groups[a][0].Day, groups[b][0].Day), cmp.Compare(a.layer.Top, b.layer.Top), cmp.Compare(a.layer.Bottom, b.layer.Bottom))
	})
	rng := rand.New(rand.NewPCG(seed, 77))
	var list []Hindcast
	for _, k := range keys {
		list = append(list, e.Fit.compare(forecast, groups[k], k.layer, rng))
	}
	return list, nil
}

// compare sets the composites of one round and layer beside the members.
func (f *Fit) compare(fc *Forecast, group []Measured, layer Layer, rng *rand.Rand) Hindcast {
	h := Hindcast{Round: group[0].Round, Day: group[0].Day, Layer: layer, N: len(group), LastValue: f.lastValue(layer)}
	truth, read := make([]float64, fc.Members()), make([]float64, fc.Members())
	l := slices.Index(fc.Layers, layer)
	sd := f.compositeSD(layer)
	n := float64(len(group))
	for _, m := range group {
		h.Measured += m.OM / n
		cores := m.Cores
		if cores == 0 {
			cores = usualCores
		}
		s := math.Sqrt(sd*sd*usualCores/float64(cores) + m.BenchSD*m.BenchSD)
		for i, v := range fc.Draws(m.Green, slices.Index(fc.Days, m.Day), l) {
			truth[i] += v / n
			read[i] += v * math.Exp(s*rng.NormFloat64()-s*s/2) / n
		}
	}
	h.Foretold, h.Sampled = Sum(truth), Sum(read)
	return h
}

// compositeSD is the scatter of a composite of five cores in a layer, ln.
func (f *Fit) compositeSD(layer Layer) float64 {
	if i := slices.Index(f.Layers, layer); i >= 0 {
		return f.Spreads.Composite[i]
	}
	return f.Prior.Composite(layer.Top).SD
}

// lastValue is the mean of the layer's last round.
func (f *Fit) lastValue(layer Layer) float64 {
	round, day := "", 0
	for _, m := range f.Course.Measured {
		if (Layer{m.Top, m.Bottom}) == layer && (round == "" || m.Day > day) {
			round, day = m.Round, m.Day
		}
	}
	var sum, n float64
	for _, m := range f.Course.Measured {
		if (Layer{m.Top, m.Bottom}) == layer && m.Round == round {
			sum, n = sum+m.OM, n+1
		}
	}
	return sum / n
}
