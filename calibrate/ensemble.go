package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"underfoot/profile"
)

// Ensemble is a calibrated course as equally likely members, each with its columns as they stood at the end of a day.
type Ensemble struct {
	Fit       *Fit
	Now       int     // day the columns are at; what was done on it is done
	Effective float64 // independent draws the members rest on
	Shape     float64 // see [Weighed]; NaN for members of a sampler

	members []member
	logs    []float64 // of the weights of the draws they were taken from; nil for members of a sampler
	asked   int       // how many members
	seed    uint64
	workers int // that bring them

	once  sync.Once
	fault error // of bringing them up
}

// member is one draw: several members may share it.
type member struct {
	theta       []float64
	discrepancy float64           // its standard deviation, ln
	columns     []*profile.Column // by green, shared with members of the same draw
}

// trusted is the largest shape of the weights' tail at which they are relied on (Vehtari et al. 2024, JMLR 25:1–58).
const trusted = 0.7

// Trusted says whether the members stand for the posterior; else a sampler should be asked.
func (e *Ensemble) Trusted() bool { return !(e.Shape > trusted) }

// Members gives how many there are.
func (e *Ensemble) Members() int { return len(e.members) }

// usual numbers of an ensemble.
const (
	UsualMembers = 400
	drawsEach    = 2.0 // draws weighed for each member
)

// Ensemble draws members from the posterior, by weights on draws about the mode ([Fit.Weigh]), and brings them up to
// the end of a day, the last one sampled or a later one within Course.Daily. members: 0 for [UsualMembers].
func (f *Fit) Ensemble(members, now int, seed uint64, workers int) (*Ensemble, error) {
	if members == 0 {
		members = UsualMembers
	}
	if members < 10 {
		return nil, fmt.Errorf("drawing from a calibration: %d members: give 10 or more", members)
	}
	w, err := f.Weigh(int(drawsEach*float64(members)), seed, workers)
	if err != nil {
		return nil, err
	}
	e := f.gather(w, members, now, seed, workers)
	return e, e.brought()
}

// gather takes members from weighed draws. Their columns are not brought up yet.
func (f *Fit) gather(w *Weighed, members, now int, seed uint64, workers int) *Ensemble {
	e := &Ensemble{Fit: f, Now: now, Effective: w.Effective, Shape: w.Shape, logs: w.logs, asked: members, seed: seed, workers: workers}
	sum, next := 0.0, 0.5/float64(members)
	worth := f.worth()
	rng := rand.New(rand.NewPCG(seed, 0xd15c))
	for i, v := range w.Weights {
		for sum += v; next < sum && len(e.members) < members; next += 1 / float64(members) {
			spread := Spread{f.Spreads.Discrepancy, worth}.draw(rng, 0, 0)
			e.members = append(e.members, member{theta: w.Theta[i], discrepancy: spread})
		}
	}
	return e
}

// worth is how many discrepancies seen plainly their size is known as well as. A round and layer whose scatter leaves the part 1−b of
// its discrepancy's variance open counts b²: the information of its total variance on that part of it.
func (f *Fit) worth() float64 {
	worth, square := f.Prior.Discrepancy.Worth, f.Spreads.Discrepancy*f.Spreads.Discrepancy
	for i := f.problem.at.block; i < f.problem.at.n; i++ {
		b := 1 - f.Cov.At(i, i)/square
		worth += b * b
	}
	return worth
}

// Ensemble makes members of a sample.
func (s *Sample) Ensemble(f *Fit, members, now, workers int) (*Ensemble, error) {
	if members == 0 || members > len(s.Theta) {
		members = len(s.Theta)
	}
	e := &Ensemble{Fit: f, Now: now, Effective: slices.Min(s.Effective), Shape: math.NaN(), workers: workers}
	for m := range members {
		i := m * len(s.Theta) / members
		e.members = append(e.members, member{theta: s.Theta[i], discrepancy: s.Spreads[i].Discrepancy})
	}
	return e, e.brought()
}

// brought brings the members' columns up to Now, once.
func (e *Ensemble) brought() error {
	e.once.Do(func() { e.fault = e.bring(e.workers) })
	return e.fault
}

// bring runs every member's columns up to Now.
func (e *Ensemble) bring(workers int) error {
	f := e.Fit
	if e.Now < f.Course.Start || e.Now > f.Course.Daily.Until() {
		return fmt.Errorf("drawing from a calibration: day %d lies outside days %d to %d of its weather", e.Now, f.Course.Start, f.Course.Daily.Until())
	}
	workers = max(workers, 1)
	var firsts []int // of the members that share a draw, which follow one another
	for m := range e.members {
		if m == 0 || &e.members[m].theta[0] != &e.members[m-1].theta[0] {
			firsts = append(firsts, m)
		}
	}
	return side(workers, func(w int) error {
		ask := Ask{Days: []int{e.Now}, Step: usualStep, Layers: f.Layers[:1]}
		if err := ask.fill(e); err != nil {
			return err
		}
		l, err := e.whole(&ask)
		if err != nil {
			return err
		}
		for group := w; group < len(firsts); group += workers {
			m := firsts[group]
			if err := l.run(m); err != nil {
				return err
			}
			var kept []*profile.Column
			for g, c := range l.columns {
				k := profile.NewColumn(l.settings, l.tracks[g].Room(), nil)
				k.Copy(c)
				kept = append(kept, k)
			}
			for ; m < len(e.members) && (group+1 == len(firsts) || m < firsts[group+1]); m++ {
				e.members[m].columns = kept
			}
		}
		return nil
	})
}

// lane is a course's tracks with its weathers, for one worker.
type lane struct {
	e        *Ensemble
	ask      *Ask
	settings profile.Settings
	resumed  bool
	forcings []*profile.Forcing
	tracks   []*profile.Track
	columns  []*profile.Column
	outs     []*profile.Readout
}

// lane prepares runs for an ask: on from Now when all its days lie later.
func (e *Ensemble) lane(a *Ask) (*lane, error) {
	if slices.Min(a.Days) > e.Now {
		return e.prepare(a, e.Now)
	}
	return e.whole(a)
}

// whole prepares runs from the first profile.
func (e *Ensemble) whole(a *Ask) (*lane, error) { return e.prepare(a, e.Fit.Course.Start) }

func (e *Ensemble) prepare(a *Ask, start int) (*lane, error) {
	f := e.Fit
	l := &lane{e: e, ask: a, settings: f.Course.Settings, resumed: start > f.Course.Start}
	if l.resumed {
		if err := e.brought(); err != nil {
			return nil, err
		}
	}
	l.settings.Step = a.Step
	days := slices.Clone(a.Days)
	work := make([][]profile.Event, len(a.Work))
	for g, list := range a.Work {
		for _, event := range list {
			if l.resumed && event.Day <= start {
				continue
			}
			days = append(days, event.Day)
			work[g] = append(work[g], event)
		}
	}
	looks := l.settings.Looks(start, slices.Max(a.Days), days...)
	for _, w := range a.Futures {
		forcing, err := profile.NewForcing(w, looks, l.settings)
		if err != nil {
			return nil, err
		}
		l.forcings = append(l.forcings, forcing)
	}
	var sights []profile.Sight
	for _, d := range a.Days {
		for _, layer := range a.Layers {
			sights = append(sights, profile.Sight{Day: d, Top: layer.Top, Bottom: layer.Bottom})
		}
	}
	for g := range work {
		track, err := profile.NewTrack(l.settings, looks, work[g], sights)
		if err != nil {
			return nil, fmt.Errorf("green %s: %w", f.Course.Greens[g].Name, err)
		}
		room := track.Room()
		if l.resumed {
			room += e.members[0].columns[g].Parcels()
		}
		l.tracks = append(l.tracks, track)
		l.columns = append(l.columns, profile.NewColumn(l.settings, room, nil))
		l.outs = append(l.outs, profile.NewReadout(len(sights), 0))
	}
	return l, nil
}

// run takes a member through the tracks.
func (l *lane) run(m int) error {
	one := &l.e.members[m]
	forcing := l.forcings[m%len(l.forcings)]
	for g := range l.tracks {
		q := l.e.Fit.problem.params(one.theta, g)
		if g == 0 {
			forcing.Set(q, false)
		}
		var err error
		if l.resumed {
			err = l.tracks[g].Resume(l.columns[g], forcing, one.columns[g], l.outs[g])
		} else {
			err = l.tracks[g].Run(l.columns[g], forcing, q, l.outs[g])
		}
		if err != nil {
			return fmt.Errorf("forecasting green %s: %w", l.e.Fit.Course.Greens[g].Name, err)
		}
	}
	return nil
}

// put puts down what member m saw when it was run, or one of the same draw and weather, as the forecast's member to.
func (l *lane) put(m, to int, out *Forecast) {
	cells := len(out.Days) * len(out.Layers)
	for i := range cells {
		layer := out.Layers[i%len(out.Layers)]
		delta := math.Exp(l.e.members[m].discrepancy * l.ask.chance(m, out.Days[i/len(out.Layers)], layer))
		for g := range l.tracks {
			om := min(l.outs[g].Seen[i].OM()*delta, 1)
			out.draws[(g*cells+i)*out.member+to] = om
			out.draws[(out.Greens*cells+i)*out.member+to] += om / float64(out.Greens)
		}
	}
}

// chance is a standard normal number that belongs to a member, a day and a layer: the same whatever else is asked for.
func (a *Ask) chance(member, day int, layer Layer) float64 {
	const spread = 1 << 20 // far more than depths in tenths of a millimetre, so that layers do not meet
	where := uint64(day)*spread*spread + uint64(10*layer.Top)*spread + uint64(10*layer.Bottom)
	return rand.New(rand.NewPCG(a.Seed^where, uint64(member))).NormFloat64()
}
