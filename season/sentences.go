package season

import (
	"fmt"
	"strings"

	"underfoot/coring"
)

// Statement is the advice in one sentence: the answer a page opens with.
func (a Advice) Statement() string {
	switch {
	case a.Reason != "":
		return fmt.Sprintf("No sand can be advised yet: %s.", a.Reason)
	case a.Direction.Toward == Unknown:
		return fmt.Sprintf("No direction yet%s: set one from readings or by judgement before planning sand.", because(a.Direction.Reason))
	case a.Top.NoneNeeded:
		return fmt.Sprintf("%s: no sand is needed on top this year.", a.asks())
	}
	return fmt.Sprintf("%s: put on about %s of sand a year.", a.asks(), about(a.Top.Sand.Depth, 1, "mm"))
}

// Sentences are the whole advice, the statement first. Every range is where 9 in 10 of the outcomes lie.
func (a Advice) Sentences() []string {
	out := []string{a.Statement()}
	add := func(s string) {
		if s != "" {
			out = append(out, s)
		}
	}
	if a.Reason != "" {
		return out
	}
	if a.Direction.Toward == Unknown {
		add(fmt.Sprintf("As a fact, not advice: holding %s as it is takes %s of sand a year.", a.Layer, about(a.Holding.Depth, 1, "mm")))
		add(a.got())
		return out
	}
	add(a.sureOfDirection())
	add(a.inTonnes())
	add(a.portions())
	add(a.aim())
	add(a.got())
	for _, p := range a.Deeper {
		add(a.below(p))
	}
	add(a.cores())
	add(a.nitrogen())
	add(a.rests())
	return out
}

func because(reason string) string {
	if reason == "" {
		return ""
	}
	return " (" + reason + ")"
}

func (a Advice) asks() string {
	what := map[Toward]string{
		Lower: "less organic matter", Hold: "organic matter to stay as it is", Raise: "more organic matter",
	}[a.Direction.Toward]
	if a.Direction.Judged {
		return fmt.Sprintf("By the manager’s judgement%s the %s ask for %s", because(a.Direction.Reason), a.Course.Surface, what)
	}
	return fmt.Sprintf("The surface asks for %s (%s)", what, chance(a.Direction.Chance))
}

func (a Advice) sureOfDirection() string {
	if a.Direction.Judged || a.Direction.Chance >= sureEnough || a.Direction.Toward == Hold {
		return ""
	}
	return fmt.Sprintf("The direction is not sure; until more readings are in, holding is the safer plan: %s of sand a year.", about(a.Holding.Depth, 1, "mm"))
}

func (a Advice) inTonnes() string {
	if a.Top.NoneNeeded {
		return ""
	}
	s := a.Top.Sand
	if a.Course.Area == 0 {
		return fmt.Sprintf("That is %s a year; how many tonnes that makes cannot be said until the area of the %s is known. It counts all sand that ends in %s, on top or in holes.",
			about(s.PerArea, 1, "kg/m²"), a.Course.Surface, a.Layer)
	}
	out := fmt.Sprintf("That is %s a year, on %s m² of %s %s dry", about(s.PerArea, 1, "kg/m²"), number(float64(a.Course.Area), 0), a.Course.Surface, tonnes(s.Dry))
	if a.Course.SandWater > 0 {
		out += fmt.Sprintf(", or %s as delivered with %s %% water", tonnes(s.Delivered), number(float64(a.Course.SandWater.Percent()), 1))
	}
	return out + fmt.Sprintf("; it counts all sand that ends in %s, on top or in holes.", a.Layer)
}

func (a Advice) portions() string {
	d := a.Dressings
	if d.Count == 0 {
		return ""
	}
	out := fmt.Sprintf("Give it on top in %s of about %s mm", counted(d.Count, "dressing", "dressings"), number(float64(d.Each), 2))
	if d.Count > 1 {
		out += fmt.Sprintf(", one every %d days over %s", d.Every, months(a.Course.Months))
	}
	out += fmt.Sprintf(", no more than %s mm at a time on a closed surface", number(float64(a.Course.LargestDressing), 1))
	if d.Rest > 0 {
		out += fmt.Sprintf("; the other %s mm do not fit and must go into open holes", number(float64(d.Rest), 1))
	}
	return out + "."
}

func (a Advice) aim() string {
	p := a.Top
	if p.Times == 1 {
		return fmt.Sprintf("It holds %s at %s %%.", a.Layer, number(float64(p.Now.Percent()), 1))
	}
	from := fmt.Sprintf("a working default of %s times the present", number(p.Times, 2))
	if p.Banded {
		from = "the band set for it"
	}
	return fmt.Sprintf("It moves %s from %s to %s %% in %s (%s); holding it as it is takes %s a year.",
		a.Layer, number(float64(p.Now.Percent()), 1), number(float64(p.Aim.Percent()), 1), seasons(a.Course.Goal.Years), from, about(a.Holding.Depth, 1, "mm"))
}

func seasons(years float64) string {
	if years == 1 {
		return "1 season"
	}
	return number(years, decimalsOf(years)) + " seasons"
}

func months(n float64) string {
	if n == 1 {
		return "1 month"
	}
	return number(n, decimalsOf(n)) + " months"
}

func decimalsOf(x float64) int {
	if x == float64(int(x)) {
		return 0
	}
	return 1
}

func (a Advice) got() string {
	return fmt.Sprintf("Since %s it got %s a year; the chance that this falls short of holding is %s.",
		a.Lately.Format("January 2006"), about(a.Applied.Depth, 1, "mm"), chance(a.Short))
}

func (a Advice) below(p Place) string {
	return fmt.Sprintf("%g–%g mm is out of line: %s (%s %%). Sand on top does not reach it: about %s a year must be placed in it, through holes or by injection.",
		float64(p.Top), float64(p.Bottom), p.Why, number(float64(p.Now.Percent()), 1), about(p.Sand.Depth, 1, "mm"))
}

func (a Advice) cores() string {
	c := a.Coring
	set := "One pass of an ordinary set-up"
	if c.Own {
		set = "One event of the course’s own set-up"
	}
	across := c.Tines.Across
	if across == 0 {
		across = c.Tines.Along
	}
	spacing := fmt.Sprintf("%g by %g mm", float64(c.Tines.Along), float64(across))
	if c.Tines.Pattern == coring.Triangular {
		spacing = fmt.Sprintf("triangles of %g mm", float64(c.Tines.Along))
	}
	return fmt.Sprintf("Coring: %s (%g mm tines at %s, %g mm deep, %s %% of the surface) takes %s of organic matter out of %s; its holes take %s kg/m² of sand there, and about %s less need go on top.",
		lowerFirst(set), float64(c.Tines.Diameter), spacing, float64(c.Tines.Depth), number(float64(c.Opening.Touched.Percent()), 1),
		about(c.Removed.Times(1000), 0, "g/m²"), a.Layer, number(float64(c.Holes), 1), about(c.Less, 1, "mm"))
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func (a Advice) nitrogen() string {
	if a.Growth == nil {
		return "Growth is the third lever; what less nitrogen is worth cannot be said until its use is in the log and organic matter is seen to form."
	}
	return fmt.Sprintf("Growth: a tenth less than last year’s %s kg/ha of nitrogen would save %s of sand a year, if organic matter forms in step with nitrogen (an assumption).",
		number(float64(a.Growth.Nitrogen), 0), about(a.Growth.Less, 1, "mm"))
}

func (a Advice) rests() string {
	out := fmt.Sprintf("This rests on %s between rounds; each range holds the outcome 9 times in 10", counted(a.Intervals, "interval", "intervals"))
	if a.Doubt != "" {
		out += fmt.Sprintf(", and the largest doubt lies in the %s", a.Doubt)
	}
	return out + "."
}
