package sampling

import (
	"errors"
	"fmt"
	"math"
)

// Planned is a round that may be taken.
type Planned struct {
	Year                  float64  // when, in years, counted as Components.Origin is
	Greens                []string // which; names as in the record, so that a green meets its own past
	Cores, Determinations int      // of each green
}

// Knowledge is what a record can say.
type Knowledge struct {
	Rounds  int
	Slope   Known // standard error of the slope [points/year]; not known from rounds of one date
	Visible Known // smallest slope that the test would see [points/year]; not known from fewer than three rounds
	Level   Known // standard error of the line at the planned round's date [points]
}

// Known is a figure that may be missing.
type Known struct {
	Value float64
	OK    bool
}

// Worth is what the next round is worth.
type Worth struct {
	Planned       Planned
	Test          Test
	Before, After Knowledge
}

// NextRound works out what a planned round adds to a record: how well slope and level are known before and after. record
// may be empty or have any holes. Only standard errors follow from a design; what the round will find does not.
// Source: as Trend and Test.seen.
func (c Components) NextRound(record []Composite, next Planned, target Target, test Test) (Worth, error) {
	if err := first(c.check(), next.check(), test.check()); err != nil {
		return Worth{}, err
	}
	w := Worth{Planned: next, Test: test}
	var err error
	if len(record) > 0 {
		if w.Before, err = c.knowledge(record, next.Year, target, test); err != nil {
			return Worth{}, err
		}
	}
	w.After, err = c.knowledge(next.after(record), next.Year, target, test)
	return w, err
}

func (c Components) knowledge(panel []Composite, year float64, target Target, test Test) (Knowledge, error) {
	t, err := c.Trend(panel, target)
	if err != nil {
		return Knowledge{}, err
	}
	k := Knowledge{Rounds: t.Rounds}
	if !t.level || year == t.date {
		k.Level = Known{math.Sqrt(t.variance(1, year-c.Origin)), true}
	}
	if t.level {
		return k, nil
	}
	e, err := t.Slope()
	if err != nil {
		return Knowledge{}, err
	}
	k.Slope = Known{e.SE(), true}
	if e.DF > 0 {
		k.Visible = Known{test.offset(e.DF) * e.SE(), true}
	}
	return k, nil
}

// EarliestRound is the first year, from the planned one up to a last one, at which the planned round would make the slope's
// standard error smaller by the given share [0 to 1]: 0.3 wants it at 70 % of what it is. The sooner a round comes after
// the last, the less it adds to a slope. found is false where no date up to the last year does it.
// It looks at 200 dates, then halves the stretch before the first that will do.
func (c Components) EarliestRound(record []Composite, next Planned, target Target, share, last float64) (year float64, found bool, err error) {
	const doing, steps = "earliest round", 200
	switch {
	case !(share > 0 && share < 1):
		return 0, false, fmt.Errorf("%s: a standard error smaller by a share of %g: give one between 0 and 1, for example 0.3", doing, share)
	case !(last >= next.Year) || !isYear(last):
		return 0, false, fmt.Errorf("%s: from year %g to %g: give a last year that is not before the first", doing, next.Year, last)
	}
	if err := first(c.check(), next.check()); err != nil {
		return 0, false, err
	}
	before, err := c.knowledge(record, next.Year, target, UsualTest())
	if err != nil {
		return 0, false, err
	}
	if !before.Slope.OK {
		return 0, false, errors.New("earliest round: the record has rounds of one date only and knows no slope yet: a round at any other date gives the first")
	}
	wanted := (1 - share) * before.Slope.Value
	short := func(year float64) float64 { // how much the standard error is too large; NaN where the panel is not one
		p := next
		p.Year = year
		t, e := c.Trend(p.after(record), target)
		if e != nil {
			err = e
			return math.NaN()
		}
		return math.Sqrt(t.variance(0, 1)) - wanted
	}
	low := next.Year
	if short(low) <= 0 {
		return low, err == nil, err
	}
	for i := 1; i <= steps && err == nil; i++ {
		high := next.Year + (last-next.Year)*float64(i)/steps
		if short(high) <= 0 {
			for range 50 {
				middle := low + (high-low)/2
				if short(middle) <= 0 {
					high = middle
				} else {
					low = middle
				}
			}
			return high, err == nil, err
		}
		low = high
	}
	return 0, false, err
}

// after is the record with the planned round added. Its name cannot be that of a round people named.
func (p Planned) after(record []Composite) []Composite {
	panel := append([]Composite{}, record...)
	for _, green := range p.Greens {
		panel = append(panel, Composite{green, "\x00planned", p.Year, p.Cores, p.Determinations})
	}
	return panel
}

func (p Planned) check() error {
	const doing = "planned round"
	switch {
	case len(p.Greens) == 0:
		return fmt.Errorf("%s: no greens: name those to be sampled", doing)
	case !isYear(p.Year):
		return fmt.Errorf("%s: year %g: give its date", doing, p.Year)
	case p.Cores < 1:
		return fmt.Errorf("%s: %s a green: take at least 1", doing, count(p.Cores, "core"))
	case p.Determinations < 1:
		return fmt.Errorf("%s: %s a green: make at least 1", doing, count(p.Determinations, "determination"))
	}
	seen := map[string]bool{}
	for _, green := range p.Greens {
		if green == "" {
			return fmt.Errorf("%s: a green without a name: name it", doing)
		}
		if seen[green] {
			return fmt.Errorf("%s: green %s is named twice: name it once", doing, green)
		}
		seen[green] = true
	}
	return nil
}
