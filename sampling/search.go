package sampling

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Figure is what a design is to be good for.
type Figure int

// The figures.
const (
	MeanOfCourse Figure = iota // half width of the interval of the course's mean, from one round [points]
	ChangeOfTwo                // smallest visible change between two rounds [points]
	SlopeOfTrend               // smallest visible slope over the rounds of a schedule [points/year]
)

// Goal is the precision wanted.
type Goal struct {
	Figure     Figure
	Points     float64    // at most this half width, or this smallest visible change; > 0
	Confidence float64    // of the interval, for MeanOfCourse
	Test       Test       // for ChangeOfTwo and SlopeOfTrend
	Target     Target     // for MeanOfCourse and SlopeOfTrend
	NewGreens  bool       // other greens in each round, for ChangeOfTwo and SlopeOfTrend
	Schedules  []Schedule // for SlopeOfTrend: those to choose from
}

// Range is a whole number from Low to High.
type Range struct{ Low, High int }

// Limits bound the search.
type Limits struct {
	OnCourse       int // greens there are; 0 where not known
	Greens         Range
	Cores          Range
	Determinations Range
}

// Option is a design with what it costs and what it is good for.
type Option struct {
	Design
	Schedule Schedule // for SlopeOfTrend
	Rounds   int
	Cost     float64 // of all rounds
	Points   float64 // half width or smallest visible change
	Differs  string  // from the best in kind: "more greens, fewer cores"; empty for the best itself
}

// Answer is the cheapest design and those next to it.
type Answer struct {
	Goal    Goal
	Reached bool     // false: no design within the limits is good enough, and Best is the most precise of them
	Best    Option   // the cheapest that reaches the goal; of equals, the one with fewest cores, then fewest greens
	Others  []Option // the cheapest of each other kind that reaches it, cheapest first; a kind that is a cheaper one with more changed is left out
}

// Cheapest looks through all designs within the limits for the one that reaches the goal for the least money. The search
// is exact: for every schedule, number of greens and of determinations, precision gets better with each core and cost
// does not fall, so the fewest cores that reach the goal are found by halving, and nothing cheaper is passed over.
func Cheapest(c Components, p Prices, l Limits, goal Goal) (Answer, error) {
	if err := first(c.check(), p.check(), goal.check(), l.check(goal)); err != nil {
		return Answer{}, err
	}
	s := search{c, p, l, goal, map[float64]float64{}}
	options := s.options(s.fewestCores)
	if len(options) == 0 {
		best := s.options(s.mostCores)
		if len(best) == 0 {
			return Answer{}, errors.New("cheapest design: one green cannot show how greens scatter: allow at least 2")
		}
		slices.SortFunc(best, func(a, b Option) int { return cmp.Or(cmp.Compare(a.Points, b.Points), cheaper(a, b)) })
		return Answer{Goal: goal, Best: best[0]}, nil
	}
	slices.SortFunc(options, cheaper)
	a := Answer{Goal: goal, Reached: true, Best: options[0]}
	var kinds []kind
	for _, o := range options[1:] {
		k := kindOf(a.Best, o)
		if k.trades() && !slices.ContainsFunc(kinds, k.includes) {
			kinds, o.Differs = append(kinds, k), k.String()
			a.Others = append(a.Others, o)
		}
	}
	return a, nil
}

// Evaluate says what one design costs and what it is good for; Goal.Points is not looked at. schedule matters for
// SlopeOfTrend only.
func Evaluate(c Components, p Prices, d Design, schedule Schedule, goal Goal) (Option, error) {
	d.NewGreens = goal.NewGreens && goal.Figure != MeanOfCourse
	goal.Points, goal.Schedules = 1, []Schedule{schedule}
	if err := first(c.check(), p.check(), goal.check(), d.check(), goal.Target.check(d.Greens)); err != nil {
		return Option{}, err
	}
	s := search{c, p, Limits{}, goal, map[float64]float64{}}
	o := s.with(s.option(d, schedule), d.Cores)
	if math.IsInf(o.Points, 1) {
		return Option{}, fmt.Errorf("%s: one green cannot show how greens scatter: sample at least 2", d)
	}
	return o, nil
}

// cheaper puts options in order: cost, then work, then what is simplest.
func cheaper(a, b Option) int {
	return cmp.Or(cmp.Compare(a.Cost, b.Cost),
		cmp.Compare(a.Rounds*a.Greens*a.Cores, b.Rounds*b.Greens*b.Cores),
		cmp.Compare(a.Rounds*a.Greens, b.Rounds*b.Greens),
		cmp.Compare(a.Determinations, b.Determinations), cmp.Compare(a.Rounds, b.Rounds))
}

// search is one question being answered.
type search struct {
	components Components
	prices     Prices
	limits     Limits
	goal       Goal
	factors    map[float64]float64 // half widths or visible changes per standard error, by degrees of freedom
}

// options gives the designs that pick chooses the cores of, one for every schedule, number of greens and of
// determinations. pick may find none.
func (s search) options(pick func(Option) (Option, bool)) []Option {
	var found []Option
	for _, schedule := range s.schedules() {
		for greens := s.limits.Greens.Low; greens <= s.limits.greens(s.goal); greens++ {
			for d := s.limits.Determinations.Low; d <= s.limits.Determinations.High; d++ {
				design := Design{Greens: greens, OnCourse: s.limits.OnCourse, Determinations: d, NewGreens: s.goal.NewGreens && s.goal.Figure != MeanOfCourse}
				o := s.option(design, schedule)
				if o, ok := pick(o); ok {
					found = append(found, o)
				}
			}
		}
	}
	return found
}

// option is a design with the number of its rounds.
func (s search) option(d Design, schedule Schedule) Option {
	switch s.goal.Figure {
	case ChangeOfTwo:
		return Option{Design: d, Rounds: 2}
	case SlopeOfTrend:
		return Option{Design: d, Rounds: schedule.Rounds(), Schedule: schedule}
	}
	return Option{Design: d, Rounds: 1}
}

func (s search) schedules() []Schedule {
	if s.goal.Figure == SlopeOfTrend {
		return s.goal.Schedules
	}
	return []Schedule{{}}
}

// fewestCores gives the option the fewest cores that reach the goal.
func (s search) fewestCores(o Option) (Option, bool) {
	cores, ok := smallest(s.limits.Cores.Low, s.limits.Cores.High, func(cores int) bool {
		return s.with(o, cores).Points <= s.goal.Points
	})
	if !ok {
		return Option{}, false
	}
	return s.with(o, cores), true
}

// mostCores gives the option all cores it may have.
func (s search) mostCores(o Option) (Option, bool) {
	o = s.with(o, s.limits.Cores.High)
	return o, !math.IsInf(o.Points, 1)
}

// with is the option with so many cores, its cost and its precision; infinitely bad without degrees of freedom.
func (s search) with(o Option, cores int) Option {
	o.Cores = cores
	o.Cost = float64(o.Rounds) * s.prices.cost(o.Design)
	var e Estimate
	switch s.goal.Figure {
	case MeanOfCourse:
		e = s.components.courseMean(o.Design, s.goal.Target)
	case ChangeOfTwo:
		e = s.components.change(o.Design)
	case SlopeOfTrend:
		e = s.components.slope(o.Design, o.Schedule.Times(), s.goal.Target)
	}
	o.Points = math.Inf(1)
	if e.DF > 0 {
		o.Points = s.factor(e.DF) * e.SE()
	}
	return o
}

// factor is the half width, or the smallest visible change, of a standard error of 1.
func (s search) factor(df float64) float64 {
	f, known := s.factors[df]
	if !known {
		if s.goal.Figure == MeanOfCourse {
			f = Estimate{1, df}.halfWidth(s.goal.Confidence)
		} else {
			f = s.goal.Test.offset(df)
		}
		s.factors[df] = f
	}
	return f
}

// greens is the largest number of greens that a round may have.
func (l Limits) greens(goal Goal) int {
	high := l.Greens.High
	if l.OnCourse > 0 {
		on := l.OnCourse
		if goal.NewGreens && goal.Figure != MeanOfCourse {
			on /= 2
		}
		high = min(high, on)
	}
	if goal.Target > 0 {
		high = min(high, int(goal.Target))
	}
	return high
}

func (l Limits) check(goal Goal) error {
	const doing = "limits"
	if l.OnCourse < 0 {
		return fmt.Errorf("%s: a course of %s: give the number there are, or 0 where it is not known", doing, count(l.OnCourse, "green"))
	}
	for _, v := range []struct {
		name string
		Range
		most int
	}{{"greens", l.Greens, 1000}, {"cores a green", l.Cores, 1_000_000}, {"determinations a green", l.Determinations, 1000}} {
		if v.Low < 1 || v.High < v.Low || v.High > v.most {
			return fmt.Errorf("%s: %d to %d %s: give 1 or more, the larger number last, %d at most", doing, v.Low, v.High, v.name, v.most)
		}
	}
	if high := l.greens(goal); high < l.Greens.Low {
		return fmt.Errorf("%s: at least %s a round, where there are no more than %d to take: ask for fewer", doing, count(l.Greens.Low, "green"), high)
	}
	return nil
}

func (g Goal) check() error {
	const doing = "goal"
	if err := positive(doing, "precision", g.Points); err != nil {
		return err
	}
	if g.Target < 0 {
		return g.Target.check(1)
	}
	switch g.Figure {
	case MeanOfCourse:
		return checkConfidence(g.Confidence)
	case ChangeOfTwo:
		return g.Test.check()
	case SlopeOfTrend:
		if len(g.Schedules) == 0 {
			return errors.New("goal: no schedule of rounds: give at least one, for example once a year for 5 years")
		}
		if g.NewGreens && g.Target != GreensLikeThese {
			return errors.New("goal: other greens in every round speak for greens like these, not for exactly the ones on the course")
		}
		for _, s := range g.Schedules {
			if err := s.check(); err != nil {
				return err
			}
		}
		return g.Test.check()
	}
	return fmt.Errorf("goal: figure %d: ask for the mean of the course, the change between two rounds, or the slope", g.Figure)
}
