package app

import (
	"math"
	"slices"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/growth"
	"underfoot/profile"
)

// again is the work done, and that of the last twelve months over again until a day.
func (m *Model) again(until underfoot.Date) [][]profile.Event {
	from := m.LastDay()
	work := make([][]profile.Event, len(m.records.course.Greens))
	for g, green := range m.records.course.Greens {
		work[g] = append(slices.Clone(green.Work), repeated(green.Work, from, from, until)...)
	}
	return work
}

// repeated gives the work of the twelve months up to a day over again, where it falls after another and not after until.
func repeated(done []profile.Event, from, after, until underfoot.Date) []profile.Event {
	var list []profile.Event
	for n := 1; ; n++ {
		if yearsOn(from, n-1) >= until {
			break
		}
		for _, e := range done {
			if e.Day <= int(yearsOn(from, -1)) || e.Day > int(from) {
				continue
			}
			if e.Day = int(yearsOn(underfoot.Date(e.Day), n)); e.Day > int(after) && e.Day <= int(until) {
				list = append(list, e)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b profile.Event) int { return a.Day - b.Day })
	return list
}

// holdRunningOn gives, member by member, the sand spread a year [kg/m², as written down] that brings the layer at the
// surface back, two years on, to what it holds on the last day, with the work and nitrogen of the last twelve months over
// again in the weathers the course may have. NaN where sand does not lower the layer; nil where that is so in most members.
func (m *Model) holdRunningOn(layer calibrate.Layer) ([]float64, error) {
	from := m.LastDay()
	until := yearsOn(from, 2)
	density := float64(m.s.SandDensity())
	p := &puller{m: m, l: &Levers{From: from}, density: density, work: m.again(until)}
	futures, err := m.records.futuresWith(m.giftsAgain(until), int(until), modelFutures)
	if err != nil {
		return nil, err
	}
	p.ask = calibrate.Ask{
		Days: []int{int(until)}, Layers: []calibrate.Layer{layer}, Seed: modelSeed, Futures: futures, Workers: modelWorkers, Members: flowMembers,
	}
	today := p.ask
	today.Days, today.Seed = []int{int(from)}, modelSeed+1
	now, err := m.Ensemble.Forecast(today)
	if err != nil {
		return nil, err
	}
	var rate float64
	for _, w := range p.work {
		rate += spreadMM(w, int(from), int(until), density) * density / 1000 / 2 / float64(len(p.work))
	}
	const step = 3.0 // kg/m² a year
	put := func(more float64) (*calibrate.Forecast, error) { return p.spread(more, until, int(until)) }
	base, err := put(0)
	if err != nil {
		return nil, err
	}
	more, err := put(step)
	if err != nil {
		return nil, err
	}
	p.now = now
	sand, err := p.settle(put, 0, rate, step, base, more)
	if _, ok := middleOf(sand); err != nil || !ok {
		return nil, err
	}
	return sand, nil
}

// giftsAgain is the nitrogen given, and that of the last twelve months over again until a day.
func (m *Model) giftsAgain(until underfoot.Date) []growth.Gift {
	from := m.LastDay()
	gifts := slices.Clone(m.records.input.Nitrogen)
	for n := 1; yearsOn(from, n-1) < until; n++ {
		for _, g := range m.records.input.Nitrogen {
			if g.Day > int(yearsOn(from, -1)) && g.Day <= int(from) {
				gifts = append(gifts, growth.Gift{Day: int(yearsOn(underfoot.Date(g.Day), n)), KgHa: g.KgHa})
			}
		}
	}
	return gifts
}

// secant steps to the sand at which a layer is what it is now, in 1/f as [calibrate.Hold]; NaN where more sand does not
// lower it.
func secant(now, about, beyond []float64, at, step float64) []float64 {
	out := make([]float64, len(now))
	for i := range out {
		out[i] = math.NaN()
		if (beyond[i]-about[i])/step < -1e-6 {
			out[i] = math.Max(at+step*(1/now[i]-1/about[i])/(1/beyond[i]-1/about[i]), 0)
		}
	}
	return out
}

// deepKgM2 is the sand of the last twelve months that went into the layer at the surface and was not spread on it.
func (s *Standing) deepKgM2(until underfoot.Date) float64 {
	var mm float64
	for _, d := range s.Done {
		if d.Work.Date > yearsOn(until, -1) && d.Work.Date <= until && d.TopMM > d.SurfaceMM {
			mm += d.TopMM - d.SurfaceMM
		}
	}
	return mm * float64(s.SandDensity()) / 1000
}
