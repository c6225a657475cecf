package report

import (
	"fmt"
	"strings"

	"underfoot/findings"
	"underfoot/internal/figure"
)

// statement is the answer: the direction, and what follows from it.
func (b *builder) statement() string {
	if b.empty() {
		return "Nothing has been recorded yet, so there is nothing to report."
	}
	if b.s.Direction.Verdict == findings.Unknown {
		return "No direction yet. " + b.level()
	}
	return b.asks() + " " + b.follows()
}

// asks says what the surface, or whoever judged it, asks of organic matter.
func (b *builder) asks() string {
	d := b.s.Direction
	if d.DecidedBy == "judgement" {
		return "By the judgement on record, organic matter should " + map[findings.Verdict]string{
			findings.Lower: "come down.", findings.Hold: "be held where it is.", findings.Raise: "be allowed to rise.",
		}[d.Verdict]
	}
	if d.Verdict == findings.Hold {
		return "The " + surfaces(b.s.Surface) + " play as wanted."
	}
	soft := d.Verdict == findings.Lower
	return "The " + surfaces(b.s.Surface) + " play " + map[string]map[bool]string{
		"firmness": {true: "softer", false: "firmer"},
		"water":    {true: "wetter", false: "drier"},
		"both":     {true: "softer and wetter", false: "firmer and drier"},
	}[d.DecidedBy][soft] + " than wanted."
}

// level says how much organic matter there is at the surface, where that was measured.
func (b *builder) level() string {
	if l := b.top(); l != nil {
		m := l.Last()
		return fmt.Sprintf("Organic matter at %s is %s %% (%s).", l.Name(), num(float64(m.Mean), 1), span(float64(m.Low90), float64(m.High90), 1))
	}
	if len(b.s.Layers) > 0 {
		m := b.s.Layers[0].Last()
		return fmt.Sprintf("Organic matter at %s is %s %% (%s); nothing that starts at the surface was measured.", b.s.Layers[0].Name(),
			num(float64(m.Mean), 1), span(float64(m.Low90), float64(m.High90), 1))
	}
	return "No cores have been burnt that could be compared."
}

// because gives the reasons in a few sentences: the surface, the trend, the sand.
func (b *builder) because() []string {
	if b.empty() {
		return []string{"The list below says what to enter, and what each thing will show."}
	}
	var out []string
	for _, say := range []string{b.surfaceSays(), b.trendSays(), b.sandSays()} {
		if say != "" {
			out = append(out, say)
		}
	}
	return out
}

// surfaceSays is what the readings, or the judgement, rest on.
func (b *builder) surfaceSays() string {
	d := b.s.Direction
	switch {
	case d.DecidedBy == "judgement" && b.s.Judgement != nil:
		words := fmt.Sprintf("Judged by %s on %s: %s", b.s.Judgement.By, day(b.s.Judgement.Date.Time()), ended(b.s.Judgement.Reason))
		if d.FromReadings != d.Verdict && d.FromReadings != findings.Unknown {
			words += " The readings alone ask for " + asked(d.FromReadings) + "."
		}
		return words
	case d.Verdict == findings.Unknown:
		if len(d.Because) == 0 {
			return ""
		}
		return upper(strings.TrimPrefix(d.Because[len(d.Because)-1], "No direction: "))
	}
	var off, within []string
	var days string // the reading days the last kind was judged by
	for _, k := range d.Kinds {
		name, words := offDays(k)
		if name == "" {
			continue
		}
		of := fmt.Sprintf(" of %d reading days in %s", k.Days, k.Season)
		switch {
		case words == "":
			within = append(within, fmt.Sprintf("%s as wanted on all %d reading days in %s", name, k.Days, k.Season))
			continue
		case len(off) == 0:
			words = strings.Replace(words, " on ", " than wanted on ", 1)
		case of == days:
			off[len(off)-1] = strings.TrimSuffix(off[len(off)-1], of)
		}
		days = of
		off = append(off, words+of)
	}
	if len(off)+len(within) == 0 {
		return ""
	}
	return upper(list(append(off, within...))) + "."
}

// offDays counts the days on which firmness or soil water lay outside what is wanted: "softer on 7"; no words where
// none did, and no name for what does not decide or had too few days.
func offDays(k findings.KindVerdict) (name, words string) {
	var below, above string
	switch k.Kind {
	case findings.FirmnessGmax:
		name, below, above = "firmness", "softer", "firmer"
	case findings.FirmnessMM:
		name, below, above = "firmness", "firmer", "softer"
	case findings.Moisture:
		name, below, above = "soil water", "drier", "wetter"
	}
	switch {
	case name == "" || !k.Enough:
		return "", ""
	case k.DaysBelow == 0 && k.DaysAbove == 0:
		return name, ""
	case k.DaysAbove == 0:
		return name, fmt.Sprintf("%s on %d", below, k.DaysBelow)
	case k.DaysBelow == 0:
		return name, fmt.Sprintf("%s on %d", above, k.DaysAbove)
	}
	return name, fmt.Sprintf("%s on %d and %s on %d", below, k.DaysBelow, above, k.DaysAbove)
}

// trendSays is what the surface layer did over the rounds.
func (b *builder) trendSays() string {
	l := b.top()
	if l == nil {
		return ""
	}
	m, t := l.Last(), l.Trend
	about := "Organic matter at " + l.Name() + " is"
	said := b.s.Direction.Verdict == findings.Unknown // the heading has said how much there is
	if !said {
		about += fmt.Sprintf(" %s %% (%s)", num(float64(m.Mean), 1), span(float64(m.Low90), float64(m.High90), 1))
	}
	since := month(l.Rounds[0].Date)
	switch {
	case !t.Estimated && said:
		return "There is one round so far, so there is a level and no trend."
	case !t.Estimated:
		return about + " in the one round so far, so there is no trend yet."
	case t.Verdict == findings.NoChange && t.Steady:
		if !said {
			about += " and"
		}
		return fmt.Sprintf("%s steady since %s: any change is within %s points a year.", about, since, num(t.Matters, 1))
	case t.Verdict == findings.NoChange && said:
		return fmt.Sprintf("At %s there is no change that this sampling could see in %s since %s.", l.Name(), count(len(l.Rounds), "round", "rounds"), since)
	case t.Verdict == findings.NoChange:
		return fmt.Sprintf("%s: no change that this sampling could see in %s since %s.", about, count(len(l.Rounds), "round", "rounds"), since)
	}
	low, high, slope := t.Lower90, t.Upper90, t.SlopePerYear
	if t.Verdict == findings.Falling {
		low, high, slope = -high, -low, -slope
	}
	if !said {
		about += ","
	}
	return fmt.Sprintf("%s %s by %s points a year (%s) since %s.", about, t.Verdict, num(slope, 2), signedSpan(low, high, 2), since)
}

// strip gives the three answers everybody should leave with.
func (b *builder) strip() []Answer {
	if b.empty() {
		return nil
	}
	d := b.s.Direction
	asks := Answer{Name: "What the surface asks", Value: "no direction yet"}
	if w, ok := way(d.Verdict); ok {
		asks.Value, asks.Way = string(d.Verdict), &w
		if d.DecidedBy == "judgement" {
			asks.Note = "as judged"
		}
	}
	return []Answer{asks, b.sandNext(), b.howSure()}
}

func way(v findings.Verdict) (figure.Way, bool) {
	switch v {
	case findings.Raise:
		return figure.Raise, true
	case findings.Hold:
		return figure.Hold, true
	case findings.Lower:
		return figure.Lower, true
	}
	return 0, false
}

// howSure is how well the readings support the direction.
func (b *builder) howSure() Answer {
	d := b.s.Direction
	a := Answer{Name: "How sure the direction is", Value: "nothing to judge by"}
	switch {
	case d.FromReadings == findings.Unknown && d.DecidedBy == "judgement":
		a.Value = "a judgement, no readings"
	case len(d.Kinds) > 0 && d.Verdict == findings.Unknown:
		a.Value = "the readings do not settle it"
	case d.Verdict != findings.Unknown:
		a.Value, a.Chance = "", chance(d.Probability)
		if d.DecidedBy == "judgement" {
			a.Note = "by the readings"
		}
	}
	return a
}
