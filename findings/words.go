package findings

import (
	"fmt"
	"math"
	"strings"
)

// Sentence says in plain words what the trend is: one sentence, no figures but what matters.
func (f Trend) Sentence() string {
	matters := bare(f.Matters)
	switch {
	case !f.Estimated:
		return "No trend yet."
	case f.Verdict == NoChange && f.Steady:
		return fmt.Sprintf("Steady: any change is within %s points a year.", matters)
	case f.Verdict == NoChange:
		return "No change that this sampling could see."
	}
	verb := strings.ToUpper(string(f.Verdict[:1])) + string(f.Verdict[1:])
	switch {
	case f.PBeyond >= sure:
		return fmt.Sprintf("%s, and by more than the %s points a year that matter.", verb, matters)
	case f.PBeyond > 0.5:
		return verb + ", and more likely than not fast enough to matter."
	case f.Steady:
		return fmt.Sprintf("%s, but by less than the %s points a year that matter.", verb, matters)
	}
	return fmt.Sprintf("%s, but more likely than not by less than the %s points a year that matter.", verb, matters)
}

// Figures are the slope and its 90 % interval: "+0.52 points a year (0.32 to 0.72)". Empty where
// there is no trend.
func (f Trend) Figures() string {
	if !f.Estimated {
		return ""
	}
	return fmt.Sprintf("%s points a year (%s)", signed(f.SlopePerYear, 2), span(f.Lower90, f.Upper90, 2))
}

// ChanceOfChange is the chance that it moves the way the slope points, "9 in 10 that it rises", with
// its probability for the dots.
func (f Trend) ChanceOfChange() (words string, p float64) {
	verb, p := "rises", f.PRising
	if f.SlopePerYear < 0 {
		verb, p = "falls", f.PFalling
	}
	chance, _ := Chance(p)
	return chance + " that it " + verb, p
}

// ChanceItMatters is the chance that the change is beyond what matters, "6 in 10 that it beats 0.5 a
// year", with its probability for the dots.
func (f Trend) ChanceItMatters() (words string, p float64) {
	chance, _ := Chance(f.PBeyond)
	return fmt.Sprintf("%s that it beats %s a year", chance, bare(f.Matters)), f.PBeyond
}

// Visible says what this sampling could have seen. Empty where there is no trend.
func (f Trend) Visible() string {
	if !f.Estimated {
		return ""
	}
	// Rounded up: the sentence must not promise more than the sampling holds.
	v := math.Ceil(f.SmallestVisiblePerYear*100-1e-9) / 100
	return fmt.Sprintf("A change of %s points a year would be seen 8 times in 10.", number(v, 2))
}

// Equivalence says whether the change is too small to matter: two one-sided tests at 5 % (Steady), and the chance. Empty
// where there is no trend, or one that surely matters.
func (f Trend) Equivalence() string {
	chance, _ := Chance(f.PSteady)
	switch {
	case !f.Estimated, f.PBeyond >= sure:
		return ""
	case f.Steady:
		return fmt.Sprintf("Steady within ±%s points a year (%s).", bare(f.Matters), chance)
	}
	return fmt.Sprintf("Not shown to be steady within ±%s points a year (%s).", bare(f.Matters), chance)
}

// Behind says what the rounds tell about a line behind them that goes on. Empty where they cannot.
func (f Trend) Behind() string {
	u := f.Underlying
	if !u.Known {
		return ""
	}
	verb, p := "rises", u.PRising
	if u.PerYear < 0 {
		verb, p = "falls", 1-u.PRising
	}
	chance, _ := Chance(p)
	return fmt.Sprintf("With good and bad rounds as chance, it is %s that the line behind them %s (%s points a year, 95 %%).", chance, verb, span(u.Lower95, u.Upper95, 2))
}

// Sentence says whether the greens grow apart. Empty where it cannot be told.
func (g Growth) Sentence() string {
	if !g.Known {
		return ""
	}
	verb, p := "grows", g.PGrowing
	if g.PGrowing < 0.5 {
		verb, p = "shrinks", 1-g.PGrowing
	}
	chance, _ := Chance(p)
	switch g.Verdict {
	case Growing:
		return fmt.Sprintf("The greens grow apart: %s that their spread %s.", chance, verb)
	case Shrinking:
		return fmt.Sprintf("The greens grow alike: %s that their spread %s.", chance, verb)
	}
	return fmt.Sprintf("Whether the greens grow apart cannot be told: %s that their spread %s.", chance, verb)
}

// explain writes how the trend was worked out and what to beware of.
func (f *Trend) explain(p *panel, c chosen) {
	if p.pooled {
		f.warn("No green was sampled in two rounds: a difference between greens looks like a change.")
	}
	switch {
	case f.DF == 0:
		greens := "each green against itself"
		if p.pooled {
			greens, f.CoreSD = "round means, because no green was sampled twice", 0
		}
		f.Method = fmt.Sprintf("Weighted least squares, %s, weights from cores and bench; normal, with %s points of round-to-round scatter assumed.", greens, number(f.RoundSD, 2))
		f.warn(fmt.Sprintf("Only two rounds can be compared: they cannot tell a trend from a good or a bad year. The interval assumes that rounds scatter by %s points (common practice, no source).", number(f.RoundSD, 2)))
		if p.assumed {
			f.warn("Scatter of single cores assumed to be a third of the mean (common practice, no source).")
		}
	default:
		f.Method = fmt.Sprintf("Mixed model: %s; restricted maximum likelihood. The line runs through the mean of the sampled greens in the %s; Student t with %s degrees of freedom (Satterthwaite).",
			c.words(), count(f.Rounds, "round"), bare(math.Round(f.DF)))
		f.Choice = c.explain(p)
	}
	if p.parts > 1 {
		f.warn("Some rounds share no green with the others and add little to the trend.")
	}
	if u := f.Underlying; u.Known && (f.Verdict == Rising && u.PRising < sure || f.Verdict == Falling && u.PRising > 1-sure) {
		f.warn("This is what happened in these rounds; whether it goes on is less sure. " + f.Behind())
	}
	switch {
	case f.DF == 1:
		f.warn("Three rounds: one degree of freedom, so only a very steep and even change can be told from chance.")
	case f.Rounds == 3 && f.DF > 0:
		f.warn("Three rounds: one good or bad year could draw this line by itself.")
	}
	if apart := p.seasonsApart(); apart > 60 && !c.season {
		f.warn(fmt.Sprintf("Rounds were taken up to %.0f days apart in the year: part of the change may be the time of year.", apart))
	}
}

func (f *Trend) warn(sentence string) { f.Warnings = append(f.Warnings, sentence) }

// seasonsApart is the largest distance between two rounds' days of the year [d].
func (p *panel) seasonsApart() float64 {
	var most float64
	for i, a := range p.dates {
		for _, b := range p.dates[:i] {
			d := math.Mod(math.Abs(float64(a.YearDay()-b.YearDay())), daysPerYear)
			most = math.Max(most, math.Min(d, daysPerYear-d))
		}
	}
	return most
}

// explain writes how the spread between greens was worked out and what to beware of.
func (c *Consistency) explain(p *panel) {
	if !c.Known {
		c.Warnings = append(c.Warnings, "One green: nothing to compare it with.")
		return
	}
	from := fmt.Sprintf("how greens depart from one another over %s", count(len(p.rounds), "round"))
	if p.assumed {
		from = "the usual scatter of single cores, a third of the mean"
		c.Warnings = append(c.Warnings, "No green was sampled twice: what is the green and what is the cores rests on the usual scatter of single cores (common practice, no source).")
	}
	if c.left > 0 {
		c.Warnings = append(c.Warnings, fmt.Sprintf("%s left out: not sampled together with those of the last round.", count(c.left, "green")))
	}
	how, by := "Moments", "Q profile"
	if c.profiled {
		by = "profile likelihood"
	}
	if c.Model != "" {
		how = "Mixed model with rounds as they came, restricted maximum likelihood"
	}
	if c.Share {
		how += ", greens compared as shares of the level and told at that of the last round"
	}
	c.Method = how + ", with cores and bench taken out by " + from + "; interval by the " + by + ". A green stands out beyond the limit for all greens at once (Bonferroni)."
}

// Sentence says in plain words how even the greens are.
func (c Consistency) Sentence() string {
	if !c.Known {
		return "Nothing to compare: one green or none was sampled."
	}
	var high, low []string
	for _, g := range c.Greens {
		switch {
		case g.StandsOut && g.FromMiddle > 0:
			high = append(high, g.Green)
		case g.StandsOut:
			low = append(low, g.Green)
		}
	}
	rest := "the others cannot be told apart."
	switch {
	case len(high)+len(low) == 0:
		return "No green stands out from the rest."
	case len(low) == 0:
		return fmt.Sprintf("%s above the rest; %s", list(high, "lies", "lie"), rest)
	case len(high) == 0:
		return fmt.Sprintf("%s below the rest; %s", list(low, "lies", "lie"), rest)
	}
	return fmt.Sprintf("%s above the rest and %s below; %s", list(high, "lies", "lie"), list(low, "lies", "lie"), rest)
}

// list names greens before a verb: "Green 9 lies", "Greens 4 and 9 lie". Names that are not numbers
// stand as they are.
func list(names []string, one, many string) string {
	word := "Green"
	for _, n := range names {
		if strings.Trim(n, "0123456789") != "" {
			word = ""
		}
	}
	if len(names) == 1 {
		return strings.TrimSpace(word + " " + names[0] + " " + one)
	}
	if word != "" {
		word += "s "
	}
	last := len(names) - 1
	return word + strings.Join(names[:last], ", ") + " and " + names[last] + " " + many
}
