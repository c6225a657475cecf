package season

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// others finds the best plans of other kinds than the best: without opening the greens, opening them once, and with the fewest events.
func (s *Search) others(ctx context.Context, a *Answer) error {
	count := func(x *opened) int { return len(x.entries) }
	kinds := []struct {
		name    string
		allowed func(x, y *opened) bool
	}{
		{"more sand and no coring", func(x, y *opened) bool { return count(x)+count(y) == 0 }},
		{"one opening", func(x, y *opened) bool { return count(x)+count(y) == 1 }},
		{"an opening each season", func(x, y *opened) bool { return count(x) == 1 && count(y) == 1 }},
		{"two openings a season", func(x, y *opened) bool { return count(x) >= 2 && count(y) >= 2 }},
	}
	for _, kind := range kinds {
		if kind.allowed(&s.menus[0][a.Best.opened[0]], &s.menus[1][a.Best.opened[1]]) {
			continue // that is the best itself
		}
		f, _, judged, err := s.hunt(ctx, s.kins(kind.allowed), s.Most/6, math.Inf(1))
		if err != nil {
			return err
		}
		a.Judged += judged
		if f != nil {
			f.Name = kind.name + ": " + f.Name
			a.Others = append(a.Others, *f)
		}
	}
	slices.SortStableFunc(a.Others, func(x, y Found) int {
		switch {
		case x.Weight < y.Weight:
			return -1
		case x.Weight > y.Weight:
			return 1
		}
		return 0
	})
	a.Evaluations = s.evaluations
	return nil
}

// nearest finds the plan most likely to do what is wanted, and says which demand stands in the way.
func (s *Search) nearest(a *Answer) error {
	buffer := make([]float64, len(s.cells)*s.trial.Members())
	q := s.kins(func(_, _ *opened) bool { return true })
	if q.Len() == 0 {
		a.Unmet = s.capInTheWay()
		return nil
	}
	var best kin
	var steps [2]int
	chance, off := -1.0, math.Inf(1)
	for _, k := range *q {
		s.fill(k)
		for _, l := range k.lots {
			s.estimate(k.openings, l.steps, buffer)
			c, d := s.chance(buffer, nil), s.off(buffer)
			if c > chance+1e-9 || c > chance-1e-9 && d < off-1e-9 {
				chance, off, best, steps = c, d, *k, l.steps
			}
		}
	}
	if chance < 0 {
		a.Unmet = s.capInTheWay()
		return nil
	}
	f, _, err := s.judgeAt(best.openings, steps, buffer)
	if err != nil {
		return err
	}
	if err := s.verify(f); err != nil {
		return err
	}
	if s.Verify != nil && f.Probability >= s.Aim.Probability { // short of it on the members of the trial only
		a.Best, a.Bound, a.Evaluations = f, f.Weight, s.evaluations
		return nil
	}
	a.Nearest, a.Evaluations = f, s.evaluations
	worst := 0
	for i := range f.Each {
		if f.Each[i] < f.Each[worst] {
			worst = i
		}
	}
	w := s.Aim.Wanted[worst]
	side := "above"
	if f.Middle[worst] < w.Low {
		side = "below"
	} else if f.Middle[worst] <= w.High {
		side = "within"
	}
	a.Unmet = fmt.Sprintf("%g–%g mm cannot be brought between %.1f and %.1f %% with a chance of %.0f in 100: the nearest plan has %.0f in 100, its middle %.1f %%, %s the band",
		w.Layer.Top, w.Layer.Bottom, 100*w.Low, 100*w.High, 100*s.Aim.Probability, math.Floor(100*f.Probability), 100*f.Middle[worst], side)
	return nil
}

// off gives how far the middles of the cells lie outside their bands together, ln.
func (s *Search) off(logs []float64) float64 {
	n := len(logs) / len(s.cells)
	var sum float64
	for i, band := range s.log {
		m := mean(logs[i*n : (i+1)*n])
		sum += math.Max(math.Max(band[0]-m, m-band[1]), 0)
	}
	return sum
}

// capInTheWay names the cap that leaves no plan at all.
func (s *Search) capInTheWay() string {
	for k := range 2 {
		for _, parts := range s.parts[k] {
			for _, p := range parts {
				if p.broken != "" {
					return "no plan keeps to the limits: " + p.broken
				}
			}
		}
	}
	return "no plan keeps to the limits: the budget is smaller than any work costs"
}

// curve judges the best plan's openings with less and with more sand.
func (s *Search) curve(a *Answer) error {
	b := a.Best
	first, later := s.parts[0][b.opened[0]], s.parts[1][b.opened[1]]
	buffer := make([]float64, len(s.cells)*s.trial.Members())
	total := b.steps[0] + b.steps[1]
	var seen [][2]int
	for _, share := range []float64{0, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 2} {
		var steps [2]int
		for k, parts := range [][]part{first, later} {
			part := float64(b.steps[k])
			if total == 0 { // no sand in the best plan: what a little would do
				part = 4
			}
			steps[k] = min(int(math.Round(share*part)), len(parts)-1)
		}
		if slices.Contains(seen, steps) || len(first[steps[0]].entries) == 0 && steps[0] > 0 || len(later[steps[1]].entries) == 0 && steps[1] > 0 {
			continue
		}
		seen = append(seen, steps)
		f, _, err := s.judgeAt(b.opened, steps, buffer)
		if err != nil {
			return err
		}
		a.Curve = append(a.Curve, *f)
	}
	a.Evaluations = s.evaluations
	return nil
}

// limits says what doing without each cap would save: the best plan is looked for again without it.
func (s *Search) limits(ctx context.Context, best *Found) ([]Limit, error) {
	caps, kept := s.Aim.Caps, s.parts
	defer func() { s.Aim.Caps, s.parts = caps, kept }()
	var list []Limit
	for _, c := range []struct {
		name string
		set  bool
		free func(*Caps)
	}{
		{"sand a season", caps.SandMM > 0, func(c *Caps) { c.SandMM = 0 }},
		{"money", caps.Money > 0, func(c *Caps) { c.Money = 0 }},
		{"disturbed days a season", caps.Disturbed > 0, func(c *Caps) { c.Disturbed = 0 }},
		{"crew hours a week", caps.CrewHours > 0, func(c *Caps) { c.CrewHours = 0 }},
	} {
		if !c.set {
			continue
		}
		s.Aim.Caps = caps
		c.free(&s.Aim.Caps)
		s.cost()
		f, _, _, err := s.hunt(ctx, s.kins(func(_, _ *opened) bool { return true }), s.Most/4, best.Weight)
		if err != nil {
			return nil, err
		}
		l := Limit{Name: c.name}
		if f != nil {
			l.Saves = best.Weight - f.Weight
		}
		list = append(list, l)
	}
	return list, nil
}

// Less gives the plan with a share of every amount of sand and, in order, of the openings left out: what happens when it is only
// partly done.
func (p *Plan) Less(share float64) Plan {
	var out Plan
	opening := 0.0
	for _, e := range p.Entries {
		if e.Operation.opens() {
			if opening += share; opening < 1 {
				continue
			}
			opening--
			out.Entries = append(out.Entries, e)
			continue
		}
		e.SandMM *= share
		out.Entries = append(out.Entries, e)
	}
	return out
}

// Judge runs any plan, after [Search.Find].
func (s *Search) Judge(p Plan) (*Found, error) {
	f, _, err := s.look(p)
	return f, err
}
