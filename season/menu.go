package season

import (
	"fmt"
	"math"
	"slices"
)

// opened is one way of opening the greens (or injecting) in a season: nothing, one piece of work or several.
type opened struct {
	entries []Entry
	name    string
}

// openings lists the ways of opening the greens in a season: nothing; each operation once in the first half or the second half of its
// time, on the day growth is fastest; and twice, where it may be.
func (s *Search) openings(year int) []opened {
	list := []opened{{name: "no coring"}}
	var once []opened
	for i := range s.Operations {
		o := &s.Operations[i]
		if o.Kind == Topdress {
			continue
		}
		var days []int
		for _, d := range s.slots {
			if s.Calendar.Year(d) == year && s.Calendar.Allows(o, d) {
				days = append(days, d)
			}
		}
		if len(days) == 0 {
			continue
		}
		middle := (days[0] + days[len(days)-1]) / 2
		early, late := s.best(days, func(d int) bool { return d <= middle }), s.best(days, func(d int) bool { return d > middle })
		sand := o.SandLow
		one := func(day int) opened {
			return opened{[]Entry{{day, o, sand}}, o.Name}
		}
		if early > 0 {
			once = append(once, one(early))
		}
		if late > 0 {
			once = append(once, one(late))
		}
	}
	list = append(list, once...)
	for i, a := range once { // the same twice, early and late
		for _, b := range once[i+1:] {
			x, y := a.entries[0], b.entries[0]
			if x.Operation == y.Operation && x.Operation.PerSeason != 1 && y.Day-x.Day >= max(x.Operation.Apart, x.Operation.Spacing) {
				list = append(list, opened{[]Entry{x, y}, a.name + " twice"})
			}
		}
	}
	return list
}

// best gives the day of fastest growth among those that fit, the first of equals; 0 when none fits.
func (s *Search) best(days []int, fits func(int) bool) int {
	best, index := 0, -1.0
	for _, d := range days {
		if i := s.Calendar.Index(d); fits(d) && i > index+1e-9 {
			best, index = d, i
		}
	}
	return best
}

// dressings spreads so many millimetres over a season in the cheapest way an operation of the catalogue allows; ok is false
// when none can put so much on.
func (s *Search) dressings(year int, mm float64, openings []Entry) (list []Entry, ok bool) {
	if mm <= 1e-9 {
		return nil, true
	}
	weight := math.Inf(1)
	for i := range s.Operations {
		o := &s.Operations[i]
		if o.Kind != Topdress {
			continue
		}
		days := s.spaced(year, o, openings)
		n := int(math.Ceil(mm/o.SandHigh - 1e-9))
		if n > len(days) || n == 0 || mm/float64(n) < o.SandLow-1e-9 {
			continue
		}
		if o.PerSeason > 0 && n > o.PerSeason {
			continue
		}
		var entries []Entry
		var cost Cost
		for k := range n {
			e := Entry{days[(2*k+1)*len(days)/(2*n)], o, mm / float64(n)}
			entries = append(entries, e)
			cost.add(s.Prices.of(e, s.Calendar))
		}
		if w := cost.Money() + s.Aim.DayWorth*cost.Disturbed; w < weight-1e-9 {
			list, weight, ok = entries, w, true
		}
	}
	return list, ok
}

// spaced lists as many days of a season as an operation's spacing allows, starting with the first.
func (s *Search) spaced(year int, o *Operation, openings []Entry) []int {
	var days []int
	for _, d := range s.slots {
		if s.Calendar.Year(d) != year || !s.Calendar.Allows(o, d) {
			continue
		}
		if len(days) > 0 && d-days[len(days)-1] < o.Spacing {
			continue
		}
		if slices.ContainsFunc(openings, func(e Entry) bool { return e.Day == d }) {
			continue // sand goes on with the opening itself that day
		}
		days = append(days, d)
	}
	return days
}

// most gives how much a season's dressings can put on at most, mm.
func (s *Search) most(year int) float64 {
	var most float64
	for i := range s.Operations {
		o := &s.Operations[i]
		if o.Kind != Topdress {
			continue
		}
		n := len(s.spaced(year, o, nil))
		if o.PerSeason > 0 {
			n = min(n, o.PerSeason)
		}
		most = math.Max(most, float64(n)*o.SandHigh)
	}
	if s.Aim.Caps.SandMM > 0 {
		most = math.Min(most, s.Aim.Caps.SandMM)
	}
	return most
}

// within says whether a plan keeps to the caps, and which it breaks.
func (s *Search) within(p *Plan) (broken string, ok bool) {
	caps := s.Aim.Caps
	for y, c := range p.CostByYear(s.Prices, s.Calendar) {
		if caps.SandMM > 0 && c.SandMM > caps.SandMM+1e-9 {
			return fmt.Sprintf("sand in %d: %.1f mm of %.1f mm", y, c.SandMM, caps.SandMM), false
		}
		if caps.Disturbed > 0 && c.Disturbed > caps.Disturbed+1e-9 {
			return fmt.Sprintf("disturbed days in %d: %.0f of %.0f", y, c.Disturbed, caps.Disturbed), false
		}
	}
	if m := p.Cost(s.Prices, s.Calendar).Money(); caps.Money > 0 && m > caps.Money+1e-9 {
		return fmt.Sprintf("money: %.0f of %.0f", m, caps.Money), false
	}
	if caps.CrewHours > 0 {
		weeks := map[int]float64{}
		for _, e := range p.Entries {
			week := (e.Day + 3) / 7 // weeks begin on Monday
			weeks[week] += s.Prices.of(e, s.Calendar).Hours
			if weeks[week] > caps.CrewHours+1e-9 {
				return fmt.Sprintf("crew hours in one week: %.0f of %.0f", weeks[week], caps.CrewHours), false
			}
		}
	}
	return "", true
}
