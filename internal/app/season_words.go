package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/findings"
	"underfoot/season"
)

// Sentences says the plan in words: what to do, what it does, how sure, what it takes, and what happens otherwise. w is
// what [SeasonPlan.WhatIf] says of the best plan; where there is none it needs nothing done, and the nearest plan.
func (p *SeasonPlan) Sentences(w *WhatIf) []string {
	a := p.Answer
	if a.Best == nil {
		out := []string{"No plan does what is wanted: " + strings.TrimSuffix(a.Unmet, ".") + "."}
		if a.Nearest != nil {
			out = append(out, fmt.Sprintf("The nearest: %s. It takes %s, and brings all of it about in %s: %s.", p.does(&a.Nearest.Plan), p.takes(a.Nearest.Cost), inTen(a.Nearest.Probability), p.lies(w.Plan)))
		}
		return append(out, "With nothing done: "+p.lies(w.Nothing)+".")
	}
	out := []string{
		fmt.Sprintf("%s. Then %s on %s.", upperFirst(p.does(&a.Best.Plan)), p.lies(w.Plan), dayText(p.Search.Calendar.Until)),
		fmt.Sprintf("All of what is wanted comes about in %s (%s wanted). It takes %s.", inTen(a.Best.Probability), inTen(p.Search.Aim.Probability), p.takes(a.Best.Cost)),
	}
	out = append(out, p.before(w.Plan)...)
	if p.Nitrogen > 0 {
		out = append(out, fmt.Sprintf("It counts on %.0f kg/ha of nitrogen a season, instead of what is planned.", p.Nitrogen))
	}
	for i := range a.Others {
		o := &a.Others[i]
		out = append(out, fmt.Sprintf("Otherwise, %s: %s, %s; %s.", o.Name, p.takes(o.Cost), p.against(o, a.Best), inTen(o.Probability)))
	}
	out = append(out, fmt.Sprintf("If only half of it is done: %s; all of it in %s.", p.lies(w.Half), inTen(w.Half.Probability)))
	if w.Hot != nil {
		out = append(out, fmt.Sprintf("If every summer is like the hottest of the course’s own years: %s; all of it in %s.", p.lies(w.Hot), inTen(w.Hot.Probability)))
	}
	out = append(out, fmt.Sprintf("The price of doing nothing: %s; all of it in %s.", p.lies(w.Nothing), inTen(w.Nothing.Probability)))
	for _, l := range a.Limits {
		if l.Saves > 0 {
			out = append(out, fmt.Sprintf("The limit on %s binds: without it about %s less, disturbed days reckoned in.", l.Name, p.money(l.Saves)))
		}
	}
	return out
}

// does says the work of a plan in a clause.
func (p *SeasonPlan) does(plan *season.Plan) string {
	if len(plan.Entries) == 0 {
		return "do nothing that is not in the log already"
	}
	type group struct {
		o           *season.Operation
		n           int
		low, high   float64
		first, last int
	}
	var groups []group
	at := map[string]int{}
	for _, e := range plan.Entries {
		i, ok := at[e.Operation.ID]
		if !ok {
			i = len(groups)
			at[e.Operation.ID] = i
			groups = append(groups, group{e.Operation, 0, math.Inf(1), 0, e.Day, e.Day})
		}
		g := &groups[i]
		g.n, g.low, g.high, g.last = g.n+1, math.Min(g.low, e.SandMM), math.Max(g.high, e.SandMM), e.Day
	}
	var list []string
	for _, g := range groups {
		s := g.o.Name
		switch {
		case g.high == 0:
		case g.high-g.low < 0.05:
			s += fmt.Sprintf(" with %.2f mm of sand", g.high)
		default:
			s += fmt.Sprintf(" with %.2f to %.2f mm of sand", g.low, g.high)
		}
		if g.n == 1 {
			s += " on " + dayText(g.first)
		} else {
			s += fmt.Sprintf(" %d times from %s to %s", g.n, dayText(g.first), dayText(g.last))
		}
		list = append(list, s)
	}
	return strings.Join(list, "; ")
}

// lies says where the layers come to lie.
func (p *SeasonPlan) lies(r *Rehearsed) string {
	f := r.Forecast
	day := len(f.Days) - 1
	var list []string
	for l, layer := range f.Layers {
		e := f.Estimate(-1, day, l)
		list = append(list, fmt.Sprintf("%s at %.1f %% (%.1f to %.1f %%%s)", underfoot.LayerName(layer.Top, layer.Bottom), 100*e.Q50, 100*e.Q05, 100*e.Q95, p.wanted(layer)))
	}
	return strings.Join(list, ", ")
}

// before says what comes about on days before the last on which a band is wanted.
func (p *SeasonPlan) before(r *Rehearsed) []string {
	var out []string
	f := r.Forecast
	for i, w := range p.Search.Aim.Wanted {
		if w.Day == p.Search.Calendar.Until {
			continue
		}
		e := f.Estimate(-1, slices.Index(f.Days, w.Day), slices.Index(f.Layers, w.Layer))
		out = append(out, fmt.Sprintf("On %s %s at %.1f %% (%.1f to %.1f %%; wanted %.1f to %.1f %%), in its band in %s.",
			dayText(w.Day), underfoot.LayerName(w.Layer.Top, w.Layer.Bottom), 100*e.Q50, 100*e.Q05, 100*e.Q95, 100*w.Low, 100*w.High, inTen(r.Each[i])))
	}
	return out
}

// wanted is the band of a layer, for brackets.
func (p *SeasonPlan) wanted(l calibrate.Layer) string {
	for _, w := range p.Search.Aim.Wanted {
		if w.Layer == l && w.Day == p.Search.Calendar.Until {
			return fmt.Sprintf("; wanted %.1f to %.1f %%", 100*w.Low, 100*w.High)
		}
	}
	return ""
}

// takes says sand, money and disturbance.
func (p *SeasonPlan) takes(c season.Cost) string {
	if c.SandMM == 0 && c.Money() == 0 {
		return "nothing"
	}
	return fmt.Sprintf("%.1f mm of sand (%.0f t as delivered), %s, %.0f crew hours and %s", c.SandMM, c.SandTonnes, p.money(c.Money()), c.Hours, counted(int(math.Round(c.Disturbed)), "disturbed day", "disturbed days"))
}

// against says what another plan takes more or less than the best.
func (p *SeasonPlan) against(o, best *season.Found) string {
	more := func(v float64, format func(float64) string) string {
		switch s := format(math.Abs(v)); {
		case v > 0:
			return s + " more"
		case v < 0:
			return s + " less"
		}
		return ""
	}
	var list []string
	for _, s := range []string{
		more(o.Cost.Money()-best.Cost.Money(), p.money),
		more(math.Round(o.Cost.Disturbed-best.Cost.Disturbed), func(v float64) string { return counted(int(v), "disturbed day", "disturbed days") }),
	} {
		if s != "" {
			list = append(list, s)
		}
	}
	if list == nil {
		return "the same in money and days"
	}
	return strings.Join(list, ", ")
}

// money prints a sum with its currency.
func (p *SeasonPlan) money(v float64) string {
	digits := fmt.Sprintf("%.0f", v)
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return strings.TrimSpace(digits + " " + p.Sand.Currency)
}

func dayText(day int) string { return underfoot.Date(day).Time().Format("2 January 2006") }

func inTen(chance float64) string {
	words, _ := findings.Chance(chance)
	return words
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
