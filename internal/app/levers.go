package app

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/coring"
	"underfoot/growth"
	"underfoot/profile"
)

// Levers is what one more of each kind of work would do to the layers, beside going on as planned. Changes are in mass
// fraction, by horizon and layer; every run is made with and without, in the same weather and with the same draws.
type Levers struct {
	From     underfoot.Date   // last day of the record
	Horizons []underfoot.Date // one and two years on
	Layers   []calibrate.Layer
	Baseline string // what work the base goes by

	AppliedMM float64 // sand spread on top in the twelve months up to From, by the log, mm
	PlannedMM float64 // and in the base, mm a year

	Now  []calibrate.Estimate   // by layer, at From
	Base [][]calibrate.Estimate // by horizon and layer

	MoreSand     []calibrate.Effect // one millimetre a year
	OneCoring    []calibrate.Effect // one pass a year
	LessNitrogen []calibrate.Effect // 10 kg/ha a year
	CoringName   string

	Holding      []calibrate.Holding // sand on top that holds each layer over two years, as written down in the log, kg/m² a year
	HoldingFirst []calibrate.Holding // and over one
}

// Size of the levers.
const (
	leverMembers  = 200
	leverSandMM   = 1.0  // mm a year
	leverNitrogen = 10.0 // kg/ha a year
	mostSteps     = 4    // of the secant for the sand that holds
	yearsApart    = 0.08 // how far the sand that holds is off for years that differ, relative; working default, as package balance has it
)

// Usual coring, for courses that have none on record: common practice, no source.
const (
	usualTineMM  = 12
	usualTinesMM = 50
	usualCoreMM  = 60
	usualFill    = 0.85
)

// Levers works out what one more of each kind of work would do, once.
func (m *Model) Levers() (*Levers, error) {
	return m.levers.get(func() (*Levers, error) { return onShelf(m.shelf, shelfLevers, m.rests, m.pull) })
}

// pull does the work of [Model.Levers].
func (m *Model) pull() (*Levers, error) {
	l := &Levers{From: m.LastDay()}
	l.Horizons = []underfoot.Date{yearsOn(l.From, 1), yearsOn(l.From, 2)}
	p := &puller{m: m, l: l, density: float64(m.s.SandDensity())}
	for _, do := range []func() error{p.base, p.sand, p.coring, p.nitrogen} {
		if err := do(); err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
	}
	return l, nil
}

// puller is the levers at work.
type puller struct {
	m       *Model
	l       *Levers
	density float64 // of the sand, kg/m³
	ask     calibrate.Ask
	now     *calibrate.Forecast
	then    *calibrate.Forecast // of the base
	work    [][]profile.Event   // of the base, by green
}

// with foretells with other work, for days or the horizons.
func (p *puller) with(change func(green int, work []profile.Event) []profile.Event, days ...int) (*calibrate.Forecast, error) {
	a := p.ask
	if len(days) > 0 {
		a.Days = days
	}
	a.Work = make([][]profile.Event, len(p.work))
	for g, w := range p.work {
		a.Work[g] = change(g, w)
	}
	return p.m.Ensemble.Forecast(a)
}

// base foretells what is planned, and reads the layers as they are.
func (p *puller) base() error {
	m, l := p.m, p.l
	p.work, l.Baseline = m.basePlan(l.Horizons[1])
	futures, err := m.records.futures(int(l.Horizons[1]), modelFutures)
	if err != nil {
		return err
	}
	p.ask = calibrate.Ask{
		Days: []int{int(l.Horizons[0]), int(l.Horizons[1])}, Seed: modelSeed, Futures: futures, Work: p.work, Workers: modelWorkers, Members: leverMembers,
	}
	today := p.ask
	today.Days, today.Seed = []int{int(l.From)}, modelSeed+1 // what the model misses of a layer is another thing in two years
	if p.now, err = m.Ensemble.Forecast(today); err != nil {
		return err
	}
	if p.then, err = m.Ensemble.Forecast(p.ask); err != nil {
		return err
	}
	l.Layers = p.then.Layers
	for k := range l.Layers {
		l.Now = append(l.Now, p.now.Estimate(-1, 0, k))
	}
	for h := range l.Horizons {
		var row []calibrate.Estimate
		for k := range l.Layers {
			row = append(row, p.then.Estimate(-1, h, k))
		}
		l.Base = append(l.Base, row)
	}
	done, planned := 0.0, 0.0
	for g, w := range p.work {
		n := float64(len(p.work))
		done += spreadMM(m.records.course.Greens[g].Work, int(yearsOn(l.From, -1)), int(l.From), p.density) / n
		planned += spreadMM(w, int(l.From), int(l.Horizons[1]), p.density) / 2 / n
	}
	l.AppliedMM, l.PlannedMM = done, planned
	return nil
}

// spreadMM is the sand spread after a day until another.
func spreadMM(work []profile.Event, after, until int, density float64) float64 {
	var sum float64
	for _, e := range work {
		if e.Day > after && e.Day <= until && e.Bottom == 0 && e.Opening.Touched == 0 {
			sum += e.Sand
		}
	}
	return sum / density * 1000
}

// spread is the base with more sand a year [kg/m²] until a day, for days or the horizons.
func (p *puller) spread(more float64, until underfoot.Date, days ...int) (*calibrate.Forecast, error) {
	return p.with(func(_ int, w []profile.Event) []profile.Event {
		return calibrate.Spreadings(w, int(p.l.From), int(until), more, p.m.usualDressings(p.l.From, until))
	}, days...)
}

// usualDressings gives days to spread sand on where none is spread: four in each growing season, common practice.
func (m *Model) usualDressings(after, until underfoot.Date) []int {
	first := time.April
	if m.records.input.South {
		first = time.October
	}
	var days []int
	for y := after.Year() - 1; y <= until.Year(); y++ {
		for k := range 4 {
			if d := underfoot.MakeDate(y, first+time.Month(2*k), 15); d > after && d <= until {
				days = append(days, int(d))
			}
		}
	}
	return days
}

// sand pulls one more millimetre, and works out what holds.
func (p *puller) sand() error {
	step := leverSandMM * p.density / 1000
	end := p.l.Horizons[1]
	more, err := p.spread(step, end)
	if err != nil {
		return err
	}
	if p.l.MoreSand, err = calibrate.Effects(p.then, more); err != nil {
		return err
	}
	for h, until := range p.l.Horizons {
		list, err := p.hold(until)
		if err != nil {
			return err
		}
		if h == 0 {
			p.l.HoldingFirst = list
		} else {
			p.l.Holding = list
		}
	}
	return nil
}

// hold works out the sand that holds every layer at a horizon: a secant step about the base, and for every layer more of them
// about the rate found, until it stays, because a layer does not follow sand in a straight line. Each forecast is of one day, so that a member's discrepancy is the same in all of them but today's: what
// the model misses of a layer does not change with the sand.
func (p *puller) hold(until underfoot.Date) ([]calibrate.Holding, error) {
	rate := 0.0
	for _, w := range p.work {
		rate += spreadMM(w, int(p.l.From), int(until), p.density) * p.density / 1000 / float64(len(p.work))
	}
	rate /= float64(until-p.l.From) / 365.25
	put := func(more float64) (*calibrate.Forecast, error) { return p.spread(more, until, int(until)) }
	base, err := put(0)
	if err != nil {
		return nil, err
	}
	step := 2 * p.density / 1000
	more, err := put(step)
	if err != nil {
		return nil, err
	}
	var list []calibrate.Holding
	for k, layer := range base.Layers {
		sand, err := p.settle(put, k, rate, step, base, more)
		if err != nil {
			return nil, err
		}
		list = append(list, sum(layer, sand, rand.New(rand.NewPCG(modelSeed, uint64(k)))))
	}
	return list, nil
}

// settle steps to the sand that holds a layer until it stays, member by member.
func (p *puller) settle(put func(more float64) (*calibrate.Forecast, error), k int, rate, step float64, base, more *calibrate.Forecast) ([]float64, error) {
	at := rate
	sand := secant(p.now.Draws(-1, 0, k), base.Draws(-1, 0, k), more.Draws(-1, 0, k), at, step)
	for range mostSteps {
		middle, ok := middleOf(sand)
		if !ok || math.Abs(middle-at) < 0.05*(at+step) {
			break
		}
		at = middle
		about, err := put(at - rate)
		if err != nil {
			return nil, err
		}
		beyond, err := put(at - rate + step)
		if err != nil {
			return nil, err
		}
		sand = secant(p.now.Draws(-1, 0, k), about.Draws(-1, 0, k), beyond.Draws(-1, 0, k), at, step)
	}
	return sand, nil
}

// middleOf is the median of those that are numbers; not ok when most are not.
func middleOf(sand []float64) (float64, bool) {
	finite := slices.DeleteFunc(slices.Clone(sand), math.IsNaN)
	if 2*len(finite) < len(sand) {
		return 0, false
	}
	return median(finite), true
}

// sum sums the sand of the members up, with the doubt that years differ in more than the temperatures a model runs on.
func sum(layer calibrate.Layer, sand []float64, rng *rand.Rand) calibrate.Holding {
	var finite []float64
	for _, v := range sand {
		if noise := rng.NormFloat64(); !math.IsNaN(v) {
			finite = append(finite, math.Max(v*(1+yearsApart*noise), 0))
		}
	}
	h := calibrate.Holding{Layer: layer, Possible: float64(len(finite)) / float64(len(sand))}
	if len(finite) > 1 {
		h.Sand = calibrate.Sum(finite)
	}
	return h
}

// coring pulls one more pass of the usual coring a year.
func (p *puller) coring() error {
	event, month, day, name, err := p.m.usualCoring()
	if err != nil {
		return err
	}
	p.l.CoringName = name
	more, err := p.with(func(_ int, w []profile.Event) []profile.Event {
		out := slices.Clone(w)
		for y := p.l.From.Year(); y <= p.l.Horizons[1].Year(); y++ {
			if d := underfoot.MakeDate(y, month, day); d > p.l.From && d <= p.l.Horizons[1] {
				event.Day = int(d)
				out = append(out, event)
			}
		}
		slices.SortStableFunc(out, func(a, b profile.Event) int { return a.Day - b.Day })
		return out
	})
	if err != nil {
		return err
	}
	p.l.OneCoring, err = calibrate.Effects(p.then, more)
	return err
}

// usualCoring gives one pass of the course's last hollow coring, or a usual one, and when in the year it is done.
func (m *Model) usualCoring() (e profile.Event, month time.Month, day int, name string, err error) {
	w := underfoot.Work{
		Kind: "hollow_core", TineDiameterMM: underfoot.Some(usualTineMM * 1.0), SpacingAlongMM: underfoot.Some(usualTinesMM * 1.0),
		SpacingAcrossMM: underfoot.Some(usualTinesMM * 1.0), DepthMM: underfoot.Some(usualCoreMM * 1.0), Backfill: underfoot.Some(usualFill),
	}
	of := "none is on record: common practice"
	month, day = time.April, 1
	if m.records.input.South {
		month = time.October
	}
	for _, d := range m.s.Done {
		if d.Work.Kind == "hollow_core" && d.Opened > 0 {
			w, of = d.Work, "as last done, on "+d.Work.Date.String()
			t := d.Work.Date.Time()
			month, day = t.Month(), t.Day()
		}
	}
	w.Passes = underfoot.Some(1)
	opening, _, err := openingOf(w)
	if err != nil {
		return e, 0, 0, "", err
	}
	across := w.SpacingAcrossMM.Or(w.SpacingAlongMM.Value)
	name = fmt.Sprintf("one pass of %g mm tines at %g × %g mm, %g mm deep, %g %% filled (%s), on %d %s", w.TineDiameterMM.Value, w.SpacingAlongMM.Value, across,
		w.DepthMM.Value, 100*w.Backfill.Or(0), of, day, month)
	return openingEvent(w, opening), month, day, name, nil
}

// openingEvent is what a hollow coring does to a green.
func openingEvent(w underfoot.Work, o coring.Opening) profile.Event {
	return profile.Event{Opening: profile.Opening{
		Touched: float64(o.Touched), Depth: w.DepthMM.Value, Fill: w.Backfill.Or(0), Returned: w.CoresRemoved == "no",
	}}
}

// nitrogen pulls 10 kg/ha less in every season to come; a season given less than that gets none.
func (p *puller) nitrogen() error {
	a := p.ask
	a.Futures = nil
	for _, d := range p.ask.Futures {
		d.Nitrogen = slices.Clone(d.Nitrogen)
		for i := int(p.l.From) + 1 - d.First; i < len(d.Nitrogen); i++ {
			d.Nitrogen[i] = max(d.Nitrogen[i]-leverNitrogen/growth.Reference, 0)
		}
		a.Futures = append(a.Futures, d)
	}
	less, err := p.m.Ensemble.Forecast(a)
	if err != nil {
		return err
	}
	p.l.LessNitrogen, err = calibrate.Effects(p.then, less)
	return err
}
