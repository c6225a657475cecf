package app

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/profile"
)

// Outlook is what the calibrated model says of a course, gathered once for pages and the report. Its account by season is
// [Model.SeasonFlows].
type Outlook struct {
	Foretold
	Model   *Model
	Back    []calibrate.Hindcast
	BackWhy string // why there is no looking back
	Skill   Skill
}

// Foretold is the part of an outlook that is kept by itself: numbers and words.
type Foretold struct {
	From     underfoot.Date   // last day of the record
	Horizons []underfoot.Date // one and two years on
	Plan     string           // what work the forecast goes by
	Work     []underfoot.Date // planned, or repeated, after From
	Layers   []OutlookLayer
	Burial   Burial
	Misfits  []calibrate.Misfit
	Learnt   []calibrate.Learnt
}

// OutlookLayer is one layer: what the model makes of its past and of its future, as mass fractions.
type OutlookLayer struct {
	calibrate.Layer
	Past, Future []OutlookPoint
	Now          calibrate.Estimate   // at From
	Ahead        []calibrate.Estimate // at the horizons
	Greens       [][]calibrate.Estimate
}

// OutlookPoint is a layer on a day, the mean of all greens.
type OutlookPoint struct {
	Day underfoot.Date
	calibrate.Estimate
}

// Skill is how well the model foretold the rounds it was not shown, beside the last value [points].
type Skill struct {
	N, Inside        int
	Model, LastValue float64 // root mean square of foretold less measured; LastValue is NaN when there is none
}

// outlookKept keeps a standing's outlook.
type outlookKept struct {
	once  sync.Once
	value atomic.Pointer[Outlook]
	err   error
}

// Outlook works out what the model says, once. The error says in a sentence what is missing.
func (s *Standing) Outlook() (*Outlook, error) {
	s.outlook.once.Do(func() {
		o, err := s.lookOut()
		s.outlook.err = err
		if err == nil {
			s.outlook.value.Store(o)
		}
	})
	return s.outlook.value.Load(), s.outlook.err
}

// OutlookIfKnown gives the outlook if it has been worked out, else nil: it never works anything out.
func (s *Standing) OutlookIfKnown() *Outlook { return s.outlook.value.Load() }

func (s *Standing) lookOut() (*Outlook, error) {
	m, err := s.Model()
	if err != nil {
		return nil, err
	}
	o := &Outlook{Model: m}
	if o.Foretold, err = onShelf(m.shelf, shelfOutlook, m.rests, m.lookOut); err != nil {
		return nil, err
	}
	if o.Back, err = m.Hindcasts(); err != nil {
		o.BackWhy = err.Error()
	}
	o.Skill = skillOf(o.Back)
	return o, nil
}

// lookOut works out the part of the outlook that is kept by itself.
func (m *Model) lookOut() (Foretold, error) {
	back := make(chan struct{})
	go func() { // beside the rest, for it calibrates once more
		defer close(back)
		m.Hindcasts()
	}()
	defer func() { <-back }()
	o := Foretold{From: m.LastDay(), Learnt: m.Fit.Learnt()}
	o.Horizons = []underfoot.Date{yearsOn(o.From, 1), yearsOn(o.From, 2)}
	work := o.plan(m)
	if err := o.foretell(m, work); err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	var err error
	if o.Burial, err = m.Burial(o.Horizons[1], work); err != nil {
		return o, err
	}
	if o.Misfits, err = m.Fit.Misfits(); err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return o, nil
}

// yearsOn is the same day n years later.
func yearsOn(d underfoot.Date, n int) underfoot.Date {
	return underfoot.DateOf(d.Time().AddDate(n, 0, 0))
}

// foretell fills in the layers: the past and the months ahead, and the horizons by the forecast that everyone else asks for.
func (o *Foretold) foretell(m *Model, work [][]profile.Event) error {
	ask := func(days []int) (*calibrate.Forecast, error) {
		a, err := m.ask(days)
		if err != nil {
			return nil, err
		}
		a.Work = work
		return m.Ensemble.Forecast(a)
	}
	past, err := ask(pastDays(m.records.course.Start, int(o.From)))
	if err != nil {
		return err
	}
	ahead, err := ask([]int{int(o.Horizons[0]), int(o.Horizons[1])})
	if err != nil {
		return err
	}
	months, err := ask(monthsAhead(o.From, o.Horizons[1]))
	if err != nil {
		return err
	}
	for l, layer := range past.Layers {
		x := OutlookLayer{Layer: layer, Past: points(past, l), Ahead: []calibrate.Estimate{ahead.Estimate(-1, 0, l), ahead.Estimate(-1, 1, l)}}
		x.Now = x.Past[len(x.Past)-1].Estimate
		x.Future = points(months, l)
		for i := range x.Future {
			if h := slices.Index(o.Horizons, x.Future[i].Day); h >= 0 { // one number for one day
				x.Future[i].Estimate = x.Ahead[h]
			}
		}
		for g := range ahead.Greens {
			x.Greens = append(x.Greens, []calibrate.Estimate{ahead.Estimate(g, 0, l), ahead.Estimate(g, 1, l)})
		}
		o.Layers = append(o.Layers, x)
	}
	return nil
}

func points(f *calibrate.Forecast, layer int) []OutlookPoint {
	out := make([]OutlookPoint, len(f.Days))
	for d, day := range f.Days {
		out[d] = OutlookPoint{underfoot.Date(day), f.Estimate(-1, d, layer)}
	}
	return out
}

// pastDays gives a day every two months or so from the start to the last day.
func pastDays(start, last int) []int {
	const each = 61
	n := max(1, (last-start)/each)
	var days []int
	for i := range n + 1 {
		if d := start + i*(last-start)/n; len(days) == 0 || d > days[len(days)-1] {
			days = append(days, d)
		}
	}
	return days
}

// monthsAhead gives a day a month from the last day to the end.
func monthsAhead(from, until underfoot.Date) []int {
	var days []int
	for i := 1; ; i++ {
		d := underfoot.DateOf(from.Time().AddDate(0, i, 0))
		if d >= until {
			break
		}
		days = append(days, int(d))
	}
	return append(days, int(until))
}

// skillOf sums looking back up.
func skillOf(back []calibrate.Hindcast) Skill {
	var k Skill
	var model, last float64
	for _, h := range back {
		k.N++
		if h.Inside() {
			k.Inside++
		}
		model += (h.Foretold.Mean - h.Measured) * (h.Foretold.Mean - h.Measured)
		last += (h.LastValue - h.Measured) * (h.LastValue - h.Measured)
	}
	k.Model, k.LastValue = 100*math.Sqrt(model/float64(k.N)), 100*math.Sqrt(last/float64(k.N))
	return k
}
