package app

import (
	"fmt"
	"math"

	"underfoot"
	"underfoot/sampling"
)

// PowerAsked is what is asked of the sampling of one layer. A number of 0 means as the course does now, or the default.
type PowerAsked struct {
	TopMM, BottomMM                               float64 // both 0: the uppermost layer
	Greens, Cores, Determinations, PerYear, Years int
	Prices                                        *sampling.Prices // nil: the defaults
	Slope                                         float64          // wanted: the smallest change to be seen, points a year
	Half                                          float64          // wanted: half the interval of the course's mean, points
}

// Defaults of [PowerAsked]: what is wanted where nobody says (common practice, no source).
const (
	wantedHalf   = 0.5 // points
	plannedYears = 5
)

// PowerFound is the answer of the power command: organic matter in percentage points, slopes in points a year.
type PowerFound struct {
	Course   string      `json:"course"`
	TopMM    float64     `json:"top_mm"`
	BottomMM float64     `json:"bottom_mm"`
	OnCourse int         `json:"greens_on_course"`
	Parts    []PowerPart `json:"scatter"`
	Own      int         `json:"own_components"`

	SoFar PowerSoFar  `json:"so_far"`
	Slope PowerDesign `json:"slope"` // what the design sees over its years
	Mean  PowerDesign `json:"mean"`  // how well one of its rounds knows the course

	Cheapest []PowerAnswer `json:"cheapest"`
	Notes    []string      `json:"notes"`

	Design   sampling.Design   `json:"-"`
	Schedule sampling.Schedule `json:"-"`
	Prices   sampling.Prices   `json:"-"`
	Wanted   PowerWanted       `json:"wanted"`
	Lines    []PowerLine       `json:"-"` // for the picture
}

// PowerWanted is the precision that was wanted.
type PowerWanted struct {
	Slope float64 `json:"slope_points_per_year"`
	Half  float64 `json:"half_width_points"`
}

// PowerSoFar is what the rounds on record hold, and what one more like the last would add.
type PowerSoFar struct {
	Rounds    int      `json:"rounds"`
	Happened  *float64 `json:"smallest_visible_in_these_rounds"` // of what happened to the sampled greens in those years
	Behind    *float64 `json:"smallest_visible_behind_them"`     // of the line behind the rounds, good and bad ones taken for chance
	WithNext  *float64 `json:"with_one_more_round"`              // of the same
	NextSays  string   `json:"next_round"`
	NextYear  float64  `json:"next_round_year"`
	NextCost  float64  `json:"next_round_cost"`
	NextGreen int      `json:"next_round_greens"`
	NextCores int      `json:"next_round_cores"`
}

// PowerDesign is what one design is good for.
type PowerDesign struct {
	Points   *float64 `json:"points"`
	Cautious *float64 `json:"points_cautious"` // with the scatter as large as it may be in 9 of 10 cases; null where nothing tells how much it may be
	Cost     float64  `json:"cost"`
	Says     string   `json:"says"`
}

// PowerAnswer is the cheapest design for something wanted.
type PowerAnswer struct {
	For     string   `json:"for"` // "slope" or "mean"
	Reached bool     `json:"reached"`
	Greens  int      `json:"greens"`
	Cores   int      `json:"cores"`
	Repeats int      `json:"determinations"`
	PerYear int      `json:"rounds_per_year"`
	Years   int      `json:"years"`
	Points  float64  `json:"points"`
	Cost    float64  `json:"cost"`
	Says    string   `json:"says"`
	Others  []string `json:"others"`
}

// PowerLine is one design as its years go on: the smallest slope it sees after each, points a year.
type PowerLine struct {
	Name   string
	Chosen bool
	Years  []int
	Points []float64
}

// PowerLimit bounds one number of [PowerAsked].
type PowerLimit struct {
	Column    string
	Name      string
	Low, High float64
	Whole     bool
}

// PowerLimits are the numbers that may be set, in the order they are asked for.
func PowerLimits(onCourse int) []PowerLimit {
	return []PowerLimit{
		{"greens", "Greens a round", 2, float64(max(onCourse, 2)), true},
		{"cores", "Cores a green", 1, 60, true},
		{"determinations", "Determinations a green", 1, 5, true},
		{"per_year", "Rounds a year", 1, 6, true},
		{"years", "Years", 1, 20, true},
		{"cost_visit", "Cost of a visit", 0, 1e6, false},
		{"cost_green", "Cost of a green", 0, 1e6, false},
		{"cost_core", "Cost of a core", 0, 1e6, false},
		{"cost_determination", "Cost of a determination", 0, 1e6, false},
		{"slope", "Change to be seen", 0.01, 20, false},
		{"half", "Mean known to ±", 0.01, 20, false},
	}
}

// Allow says what is wrong with a value, or "".
func (l PowerLimit) Allow(v float64) string {
	whole := ""
	if l.Whole {
		whole = "whole "
	}
	if !(v >= l.Low && v <= l.High) || l.Whole && v != math.Trunc(v) {
		return fmt.Sprintf("%s: %s: allowed is a %snumber from %s to %s", l.Name, underfoot.FormatNumber(v), whole, underfoot.FormatNumber(l.Low), underfoot.FormatNumber(l.High))
	}
	return ""
}

// filled puts the course's own way, or the defaults, where nothing was asked.
func (a PowerAsked) filled(p layerSampling) PowerAsked {
	set := func(v *int, usual int) {
		if *v == 0 {
			*v = usual
		}
	}
	set(&a.Greens, max(2, p.design.Greens))
	set(&a.Cores, p.design.Cores)
	set(&a.Determinations, 1)
	set(&a.PerYear, 1)
	set(&a.Years, plannedYears)
	if a.Prices == nil {
		usual := sampling.DefaultPrices()
		a.Prices = &usual
	}
	if a.Slope == 0 {
		a.Slope = p.layer.Trend.Matters
	}
	if a.Half == 0 {
		a.Half = wantedHalf
	}
	return a
}

// check refuses what lies outside the limits.
func (a PowerAsked) check(onCourse int) error {
	values := []float64{
		float64(a.Greens), float64(a.Cores), float64(a.Determinations), float64(a.PerYear), float64(a.Years),
		a.Prices.Visit, a.Prices.Green, a.Prices.Core, a.Prices.Determination, a.Slope, a.Half,
	}
	for i, l := range PowerLimits(onCourse) {
		if why := l.Allow(values[i]); why != "" {
			return fieldError(l.Column, "%s", why)
		}
	}
	if a.PerYear*a.Years < 3 {
		return fieldError("years", "%s in all: allowed are 3 or more, for two cannot tell a trend from chance", counted(a.PerYear*a.Years, "round", "rounds"))
	}
	return nil
}

// Power says what sampling of a layer can see: so far, with the design that is asked for, with the cheapest one for what is
// wanted, and with one more round. It is about exactly the greens of the course.
func (s *Standing) Power(asked PowerAsked) (*PowerFound, error) {
	l, err := s.powerLayer(asked)
	if err != nil {
		return nil, err
	}
	p, err := s.samplingOf(l)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "sampling of %s: %w", l.Name(), err)
	}
	a := asked.filled(p)
	if err := a.check(p.onCourse); err != nil {
		return nil, err
	}
	out := &PowerFound{
		Course: s.Records.Course.ID, TopMM: l.TopMM, BottomMM: l.BottomMM, OnCourse: p.onCourse, Parts: p.parts, Own: p.own(), Prices: *a.Prices,
		Design:   sampling.Design{Greens: a.Greens, OnCourse: p.onCourse, Cores: a.Cores, Determinations: a.Determinations},
		Schedule: sampling.Schedule{PerYear: a.PerYear, Years: a.Years}, Wanted: PowerWanted{a.Slope, a.Half}, Cheapest: []PowerAnswer{}, Notes: []string{},
	}
	for _, step := range []func(layerSampling) error{out.design, out.cheapest, out.lines} {
		if err := step(p); err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "sampling of %s: %w", l.Name(), err)
		}
	}
	if out.SoFar, err = p.soFar(s.Today, *a.Prices); err != nil {
		out.Notes = append(out.Notes, "What the next round is worth could not be worked out: "+err.Error())
	}
	out.note(p)
	return out, nil
}

// powerLayer is the layer that is asked for.
func (s *Standing) powerLayer(a PowerAsked) (*Layer, error) {
	if len(s.Layers) == 0 {
		return nil, underfoot.Errorf(underfoot.Negative, "nothing has been measured that may stand in a trend: a first round says what scatter to plan with")
	}
	if a.TopMM == 0 && a.BottomMM == 0 {
		return &s.Layers[0], nil
	}
	if l := s.Layer(a.TopMM, a.BottomMM); l != nil {
		return l, nil
	}
	var names string
	for i := range s.Layers {
		if i > 0 {
			names += ", "
		}
		names += s.Layers[i].Name()
	}
	return nil, fieldError("layer", "%s was not sampled: allowed are %s", underfoot.LayerName(a.TopMM, a.BottomMM), names)
}

// goals are the two questions: the slope over the years, and the mean of one round.
func (f *PowerFound) goals(p layerSampling) (slope, mean sampling.Goal) {
	slope = sampling.Goal{Figure: sampling.SlopeOfTrend, Points: f.Wanted.Slope, Test: sampling.UsualTest(), Target: p.target}
	mean = sampling.Goal{Figure: sampling.MeanOfCourse, Points: f.Wanted.Half, Confidence: 0.9, Target: p.target}
	return slope, mean
}

// design works out what the design that is asked for sees.
func (f *PowerFound) design(p layerSampling) error {
	slope, mean := f.goals(p)
	for _, q := range []struct {
		goal sampling.Goal
		to   *PowerDesign
	}{{slope, &f.Slope}, {mean, &f.Mean}} {
		for _, cautious := range []bool{false, true} {
			c, err := p.components(cautious)
			if err != nil {
				return err
			}
			o, err := sampling.Evaluate(c, f.Prices, f.Design, f.Schedule, q.goal)
			if err != nil {
				return err
			}
			if !cautious {
				*q.to = PowerDesign{Points: finite(o.Points), Cost: o.Cost, Says: o.Sentence(q.goal)}
			} else if p.doubted() {
				q.to.Cautious = finite(o.Points)
			}
		}
	}
	return nil
}

// cheapest looks for the cheapest designs for what is wanted: over the same years, once a year up to as often as asked or twice.
func (f *PowerFound) cheapest(p layerSampling) error {
	c, err := p.components(false)
	if err != nil {
		return err
	}
	slope, mean := f.goals(p)
	for n := 1; n <= max(2, f.Schedule.PerYear); n++ {
		if s := (sampling.Schedule{PerYear: n, Years: f.Schedule.Years}); s.Rounds() >= 3 {
			slope.Schedules = append(slope.Schedules, s)
		}
	}
	for _, q := range []struct {
		name string
		goal sampling.Goal
	}{{"slope", slope}, {"mean", mean}} {
		a, err := sampling.Cheapest(c, f.Prices, sampling.DefaultLimits(p.onCourse), q.goal)
		if err != nil {
			f.Notes = append(f.Notes, "No cheapest design: "+err.Error())
			continue
		}
		f.Cheapest = append(f.Cheapest, PowerAnswer{
			For: q.name, Reached: a.Reached, Greens: a.Best.Greens, Cores: a.Best.Cores, Repeats: a.Best.Determinations, PerYear: a.Best.Schedule.PerYear,
			Years: a.Best.Schedule.Years, Points: a.Best.Points, Cost: a.Best.Cost, Says: a.Sentence(), Others: noNil(a.RunnersUp()),
		})
	}
	return nil
}

// mostYears is how far the picture looks ahead.
const mostYears = 10

// lines are the design that is asked for, and the same with more of one thing, as their years go on.
func (f *PowerFound) lines(p layerSampling) error {
	c, err := p.components(false)
	if err != nil {
		return err
	}
	goal, _ := f.goals(p)
	more, again := f.Design, f.Schedule
	more.Greens, again.PerYear = min(2*more.Greens, p.onCourse), 2*again.PerYear
	type wish struct {
		name     string
		design   sampling.Design
		schedule sampling.Schedule
	}
	wishes := []wish{{f.Design.String(), f.Design, f.Schedule}}
	if more.Greens > f.Design.Greens {
		wishes = append(wishes, wish{more.String(), more, f.Schedule})
	}
	name := fmt.Sprintf("%s, %d times a year", f.Design, again.PerYear)
	if again.PerYear == 2 {
		name = f.Design.String() + ", twice a year"
	}
	wishes = append(wishes, wish{name, f.Design, again})
	factor := map[float64]float64{} // smallest visible changes for a standard error of 1, by degrees of freedom
	for i, w := range wishes {
		line := PowerLine{Name: w.name, Chosen: i == 0}
		for y := 1; y <= max(mostYears, f.Schedule.Years); y++ {
			w.schedule.Years = y
			if w.schedule.Rounds() < 3 {
				continue
			}
			e, err := c.Slope(w.design, w.schedule.Times(), p.target)
			if err != nil {
				return err
			}
			if _, known := factor[e.DF]; !known {
				if factor[e.DF], err = (sampling.Estimate{Variance: 1, DF: e.DF}).SmallestVisible(goal.Test); err != nil {
					return err
				}
			}
			line.Years, line.Points = append(line.Years, y), append(line.Points, factor[e.DF]*e.SE())
		}
		f.Lines = append(f.Lines, line)
	}
	return nil
}

// SamplingSoFar says what the rounds of a layer can see, and what one more like the last would add, at the default prices.
func (s *Standing) SamplingSoFar(l *Layer) (PowerSoFar, error) {
	p, err := s.samplingOf(l)
	if err == nil {
		var out PowerSoFar
		if out, err = p.soFar(s.Today, sampling.DefaultPrices()); err == nil {
			return out, nil
		}
	}
	return PowerSoFar{}, underfoot.Errorf(underfoot.Invalid, "sampling of %s: %w", l.Name(), err)
}

// soFar says what the record holds and what one more round is worth.
func (p layerSampling) soFar(today underfoot.Date, prices sampling.Prices) (PowerSoFar, error) {
	t := p.layer.Trend
	out := PowerSoFar{Rounds: len(p.layer.Rounds)}
	if t.Estimated {
		out.Happened = finite(t.SmallestVisiblePerYear)
	}
	c, err := p.components(false)
	if err != nil {
		return out, err
	}
	next := p.next(today)
	w, err := c.NextRound(p.record(), next, p.target, sampling.UsualTest())
	if err != nil {
		return out, err
	}
	if w.Before.Visible.OK {
		out.Behind = finite(w.Before.Visible.Value)
	}
	if w.After.Visible.OK {
		out.WithNext = finite(w.After.Visible.Value)
	}
	out.NextSays, out.NextYear, out.NextGreen, out.NextCores = w.Sentence(), next.Year, len(next.Greens), next.Cores
	out.NextCost, err = prices.Cost(sampling.Design{Greens: len(next.Greens), Cores: next.Cores, Determinations: 1})
	return out, err
}

// note says what the answer rests on.
func (f *PowerFound) note(p layerSampling) {
	switch {
	case f.Own == 0:
		f.Notes = append(f.Notes, "All scatter is default (common practice, no source), at the level of the last round: this course may differ by half or double.")
	case f.Own < len(p.parts)-1:
		f.Notes = append(f.Notes, "Scatter that this course’s rounds do not show is default (common practice, no source).")
	}
	if p.parts[partRound].Own && len(p.layer.Rounds) < fewRounds {
		f.Notes = append(f.Notes, fmt.Sprintf("%s say little about how rounds scatter: the cautious figure allows for that.", counted(len(p.layer.Rounds), "round", "rounds")))
	}
}
