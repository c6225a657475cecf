package calibrate

import (
	"fmt"
	"math"
	"slices"

	"underfoot/profile"
)

// Trial runs many plans quickly: on a few members of an ensemble, and on one green that stands for all, whose layers are
// brought to the mean of the greens by what the two were without any work. Plans are tried on a fixed list of days.
type Trial struct {
	Days   []int
	Layers []Layer

	settings profile.Settings
	looks    []int
	members  []trialMember
	column   *profile.Column
	out      *profile.Readout
	sights   []profile.Sight
	room     int
}

type trialMember struct {
	state   *profile.Column
	forcing *profile.Forcing
	factor  []float64 // by day and layer: mean of the greens over the one green, times the discrepancy
}

// AskTrial is what [Ensemble.Trial] takes.
type AskTrial struct {
	Days    []int           // on which layers are looked at, after Now
	Layers  []Layer         // nil for all that were sampled
	Slots   []int           // days on which work may be done, after Now
	Futures []profile.Daily // as in [Ask]
	Members int             // 0 for 64
	Most    int             // pieces of work a plan may hold; 0 for 200
	Seed    uint64
	Step    int // 0 for 28
}

// Trial prepares for plans.
func (e *Ensemble) Trial(a AskTrial) (*Trial, error) {
	if a.Members == 0 {
		a.Members = 64
	}
	if a.Most == 0 {
		a.Most = 200
	}
	a.Members = min(a.Members, len(e.members))
	greens := len(e.Fit.Course.Greens)
	ask := Ask{Days: a.Days, Layers: a.Layers, Futures: a.Futures, Seed: a.Seed, Step: a.Step, Work: make([][]profile.Event, greens)}
	if err := ask.fill(e); err != nil {
		return nil, err
	}
	if slices.Min(a.Days) <= e.Now {
		return nil, fmt.Errorf("trying plans: day %d is not after the last day of the record, %d", slices.Min(a.Days), e.Now)
	}
	end := slices.Max(a.Days)
	t := &Trial{Days: ask.Days, Layers: ask.Layers, settings: e.Fit.Course.Settings}
	t.settings.Step = ask.Step
	named := slices.Clone(a.Days)
	for _, d := range a.Slots {
		if d > e.Now && d <= end {
			named = append(named, d)
		}
	}
	t.looks = t.settings.Looks(e.Now, end, named...)
	for _, d := range t.Days {
		for _, l := range t.Layers {
			t.sights = append(t.sights, profile.Sight{Day: d, Top: l.Top, Bottom: l.Bottom})
		}
	}
	full, err := e.lane(&ask)
	if err != nil {
		return nil, err
	}
	stand, err := e.standIn(ask.Step)
	if err != nil {
		return nil, err
	}
	idle, err := profile.NewTrack(t.settings, t.looks, nil, t.sights)
	if err != nil {
		return nil, err
	}
	for i := range a.Members {
		m := i * len(e.members) / a.Members
		one := trialMember{factor: make([]float64, len(t.sights))}
		if one.state, err = stand.run(m); err != nil {
			return nil, err
		}
		t.room = max(t.room, one.state.Parcels())
		if one.forcing, err = profile.NewForcing(ask.Futures[m%len(ask.Futures)], t.looks, t.settings); err != nil {
			return nil, err
		}
		one.forcing.Set(e.Fit.standIn(e.members[m].theta), false)
		if err := full.run(m); err != nil {
			return nil, err
		}
		for _, out := range full.outs {
			for k := range one.factor {
				one.factor[k] += out.Seen[k].OM() / float64(greens)
			}
		}
		column, out := profile.NewColumn(t.settings, idle.Room()+one.state.Parcels(), nil), profile.NewReadout(len(t.sights), 0)
		if err := idle.Resume(column, one.forcing, one.state, out); err != nil {
			return nil, err
		}
		for k := range one.factor {
			day, layer := t.Days[k/len(t.Layers)], t.Layers[k%len(t.Layers)]
			one.factor[k] *= math.Exp(e.members[m].discrepancy*ask.chance(m, day, layer)) / out.Seen[k].OM()
		}
		t.members = append(t.members, one)
	}
	t.column, t.out = profile.NewColumn(t.settings, idle.Room()+t.room+a.Most, nil), profile.NewReadout(len(t.sights), 0)
	return t, nil
}

// Members gives how many a plan is tried on.
func (t *Trial) Members() int { return len(t.members) }

// Run tries a plan, work in order of days that are among the slots, and fills draws, (day·layers + layer)·members +
// member, with organic mass fractions. Not for use by two at a time.
func (t *Trial) Run(work []profile.Event, draws []float64) error {
	for i, e := range work {
		if _, ok := slices.BinarySearch(t.looks, e.Day); !ok {
			return fmt.Errorf("trying a plan: work %d is on day %d, which is not among those the trial was made for", i+1, e.Day)
		}
	}
	track, err := profile.NewTrack(t.settings, t.looks, work, t.sights)
	if err != nil {
		return err
	}
	n := len(t.members)
	for m := range t.members {
		one := &t.members[m]
		if err := track.Resume(t.column, one.forcing, one.state, t.out); err != nil {
			return err
		}
		for k, f := range one.factor {
			draws[k*n+m] = min(t.out.Seen[k].OM()*f, 1)
		}
	}
	return nil
}

// standIn gives the values of the green that stands for all: the means of the greens' factors.
func (f *Fit) standIn(theta []float64) profile.Params {
	var x [profile.Unknowns]float64
	copy(x[:], theta[:profile.Unknowns])
	at, n := f.problem.at, float64(len(f.Course.Greens))
	for g := range f.Course.Greens {
		x[profile.Growth] += theta[at.growth+g] / n
		x[profile.Surface] += theta[at.surface+g] / n
	}
	return profile.At(x)
}

// standing runs the green that stands for all up to Now, with the work of the first green.
type standing struct {
	e        *Ensemble
	settings profile.Settings
	track    *profile.Track
	forcing  *profile.Forcing
	out      *profile.Readout
}

func (e *Ensemble) standIn(step int) (*standing, error) {
	c := e.Fit.Course
	s := &standing{e: e, settings: c.Settings, out: profile.NewReadout(0, 0)}
	s.settings.Step = step
	var days []int
	for _, w := range c.Greens[0].Work {
		days = append(days, w.Day)
	}
	looks := s.settings.Looks(c.Start, e.Now, days...)
	var err error
	if s.forcing, err = profile.NewForcing(c.Daily, looks, s.settings); err != nil {
		return nil, err
	}
	s.track, err = profile.NewTrack(s.settings, looks, c.Greens[0].Work, nil)
	return s, err
}

func (s *standing) run(m int) (*profile.Column, error) {
	p := s.e.Fit.standIn(s.e.members[m].theta)
	s.forcing.Set(p, false)
	c := s.track.NewColumn(s.settings, nil)
	return c, s.track.Run(c, s.forcing, p, s.out)
}
