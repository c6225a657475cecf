package sampling

import (
	"fmt"
	"math"
	"strings"
)

// String says the round in words: "6 greens of 5 cores, each determined twice".
func (d Design) String() string {
	s := count(d.Greens, "green") + " of " + count(d.Cores, "core")
	each := ", each determined "
	if d.Singly {
		s += ", every core for itself"
		each = " and determined "
	}
	switch {
	case d.Determinations == 2:
		s += each + "twice"
	case d.Determinations > 2:
		s += each + count(d.Determinations, "time")
	}
	if d.NewGreens {
		s += ", other greens every time"
	}
	return s
}

// Sentence says what the option is good for, with figures rounded so that they do not promise too much: "With 6 greens of
// 5 cores, twice a year for 3 years, a change of 0.4 percentage points a year would be seen in 8 of 10 cases."
func (o Option) Sentence(goal Goal) string {
	return "With " + o.design(goal) + ", " + goal.claim(upTo(o.Points)) + "."
}

// design says who is sampled and when: "6 greens of 5 cores, twice a year for 3 years".
func (o Option) design(goal Goal) string {
	switch goal.Figure {
	case ChangeOfTwo:
		return o.Design.String() + " in each of two rounds"
	case SlopeOfTrend:
		return o.Design.String() + ", " + o.Schedule.String()
	}
	return o.Design.String()
}

// claim says what a precision of so many points means.
func (g Goal) claim(points string) string {
	switch g.Figure {
	case ChangeOfTwo:
		return fmt.Sprintf("a change of %s percentage points would be seen in %s", points, cases(g.Test.Power))
	case SlopeOfTrend:
		return fmt.Sprintf("a change of %s percentage points a year would be seen in %s", points, cases(g.Test.Power))
	}
	return fmt.Sprintf("the mean of the course would be known to ± %s percentage points in %s", points, cases(g.Confidence))
}

// wanted says what was asked for.
func (g Goal) wanted() string {
	points := trimmed(g.Points, 4)
	switch g.Figure {
	case ChangeOfTwo:
		return fmt.Sprintf("Seeing a change of %s percentage points between two rounds in %s", points, cases(g.Test.Power))
	case SlopeOfTrend:
		return fmt.Sprintf("Seeing a change of %s percentage points a year in %s", points, cases(g.Test.Power))
	}
	return fmt.Sprintf("Knowing the mean of the course to ± %s percentage points in %s", points, cases(g.Confidence))
}

// unit says the unit of the figure.
func (g Goal) unit() string {
	if g.Figure == SlopeOfTrend {
		return "percentage points a year"
	}
	return "percentage points"
}

// Sentence says which design is the cheapest and what it costs, or that the limits do not allow the goal and what they do
// allow.
func (a Answer) Sentence() string {
	if !a.Reached {
		return fmt.Sprintf("%s cannot be reached: the best these limits allow is %s %s, with %s, at a cost of %s.",
			a.Goal.wanted(), upTo(a.Best.Points), a.Goal.unit(), a.Best.design(a.Goal), money(a.Best.Cost))
	}
	return fmt.Sprintf("%s costs %s: %s.", a.Goal.wanted(), money(a.Best.Cost), a.Best.design(a.Goal))
}

// RunnersUp says, one sentence each, what the other kinds of design would cost.
func (a Answer) RunnersUp() []string {
	var sentences []string
	for _, o := range a.Others {
		more := "costs the same"
		if extra := o.Cost - a.Best.Cost; extra > 0 {
			more = "costs " + money(extra) + " more"
		}
		kind := strings.ToUpper(o.Differs[:1]) + o.Differs[1:]
		sentences = append(sentences, fmt.Sprintf("%s (%s) %s.", kind, o.design(a.Goal), more))
	}
	return sentences
}

// Sentence says what the next round is worth: "A round of 6 greens of 5 cores would bring the smallest change that is seen
// in 8 of 10 cases from 0.62 to 0.4 percentage points a year."
func (w Worth) Sentence() string {
	d := Design{Greens: len(w.Planned.Greens), Cores: w.Planned.Cores, Determinations: w.Planned.Determinations}
	with := "A round of " + d.String() + " would "
	b, a := w.Before, w.After
	seen := "the smallest change that is seen in " + cases(w.Test.Power)
	switch {
	case b.Visible.OK && upTo(a.Visible.Value) == upTo(b.Visible.Value):
		return with + "hardly change what can be seen: " + seen + " stays at " + upTo(a.Visible.Value) + " percentage points a year."
	case b.Visible.OK:
		return with + "bring " + seen + " from " + upTo(b.Visible.Value) + " to " + upTo(a.Visible.Value) + " percentage points a year."
	case a.Visible.OK:
		return with + "make it possible to tell a trend from chance: " + seen + " would be " + upTo(a.Visible.Value) + " percentage points a year."
	case a.Slope.OK:
		return with + "give a first slope; a third round is needed to tell a trend from chance."
	}
	return with + "give a level, known to a standard error of " + upTo(a.Level.Value) + " percentage points; a trend needs rounds at other dates."
}

// money prints an amount without decimals that mean nothing.
func money(v float64) string {
	if v == math.Trunc(v) {
		return thousands(trimmed(v, 0))
	}
	return thousands(fmt.Sprintf("%.2f", v))
}

// thousands parts the digits before the point in threes by commas.
func thousands(number string) string {
	whole, rest, _ := strings.Cut(number, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return strings.TrimSuffix(whole+"."+rest, ".")
}
