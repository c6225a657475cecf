package findings

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// sentence names the judgement and its reason.
func (j Judgement) sentence() string {
	reason := strings.TrimSpace(j.Reason)
	if !strings.ContainsAny(reason[len(reason)-1:], ".!?") {
		reason += "."
	}
	return fmt.Sprintf("The manager’s judgement of %s: %s. Reason: %s", day(j.Date), j.Verdict, reason)
}

// sentence tells a kind's season: "Firmness averaged 88 g over 14 reading days in 2025 (85 to 91),
// below the 95 to 115 g wanted. Softer than wanted on 9 of 14 days."
func (k KindVerdict) sentence() string {
	w := wordsOf(k.Kind)
	var b strings.Builder
	fmt.Fprintf(&b, "%s averaged %s %s over %s in %s", capital(w.name), number(k.Mean, w.decimals), w.unit,
		count(k.Days, "reading day"), k.Season)
	if k.Enough {
		fmt.Fprintf(&b, " (%s)", span(k.Low90, k.High90, w.decimals))
	}
	if math.IsInf(k.Low, -1) || math.IsInf(k.High, 1) {
		fmt.Fprintf(&b, ", %s what is wanted, %s.", k.place(), k.band(w.short))
	} else {
		fmt.Fprintf(&b, ", %s the %s wanted.", k.place(), k.band(w.short))
	}
	switch {
	case k.DaysBelow > 0 && k.DaysAbove > 0:
		fmt.Fprintf(&b, " %s than wanted on %d and %s on %d of %s.", capital(w.under), k.DaysBelow, w.over, k.DaysAbove, count(k.Days, "day"))
	case k.DaysBelow > 0:
		fmt.Fprintf(&b, " %s than wanted on %d of %s.", capital(w.under), k.DaysBelow, count(k.Days, "day"))
	case k.DaysAbove > 0:
		fmt.Fprintf(&b, " %s than wanted on %d of %s.", capital(w.over), k.DaysAbove, count(k.Days, "day"))
	}
	b.WriteString(k.differ())
	switch {
	case k.Constant:
		b.WriteString(" Every day reads the same, which is a stuck instrument or a copied number: without scatter a season cannot be judged.")
	case !k.Enough:
		b.WriteString(" One day is too few to judge a season by.")
	}
	return b.String()
}

// differ tells that some greens, by their own season means, are out of the band and others are not; else "".
func (k *KindVerdict) differ() string {
	w := wordsOf(k.Kind)
	tell := func(n int, how string) string {
		if n == 0 || n == k.Greens {
			return ""
		}
		return fmt.Sprintf(" By their own season means %d of %s %s %s than wanted.", n, count(k.Greens, "green"), map[bool]string{true: "is", false: "are"}[n == 1], how)
	}
	return tell(k.GreensBelow, w.under) + tell(k.GreensAbove, w.over)
}

// place says where the mean lies.
func (k KindVerdict) place() string {
	switch {
	case k.Mean < k.Low:
		return "below"
	case k.Mean > k.High:
		return "above"
	}
	return "within"
}

// band tells the wanted range with its unit: "95 to 115 g", "at least 95 g".
func (k KindVerdict) band(unit string) string {
	switch {
	case math.IsInf(k.Low, -1):
		return "at most " + bare(k.High) + " " + unit
	case math.IsInf(k.High, 1):
		return "at least " + bare(k.Low) + " " + unit
	}
	return bare(k.Low) + " to " + bare(k.High) + " " + unit
}

// silent says why the readings cannot speak, or "".
func (d *Direction) silent(readings []Reading, targets []Target, asOf time.Time) string {
	var wanted []Target
	for _, t := range targets {
		if wordsOf(t.Kind).underAsks != "" {
			wanted = append(wanted, t)
		}
	}
	var deciding, inSeason bool
	var last time.Time
	for _, r := range readings {
		if r.Date.After(asOf) || wordsOf(r.Kind).underAsks == "" {
			continue
		}
		deciding = true
		for _, t := range wanted {
			if t.Kind == r.Kind && t.contains(r.Date) {
				inSeason = true
				if r.Date.After(last) {
					last = r.Date
				}
			}
		}
	}
	switch {
	case !deciding && len(wanted) == 0:
		return noDirection("there are no readings of firmness or soil water, and no targets for them.")
	case !deciding:
		return noDirection("there are no readings of firmness or soil water.")
	case len(wanted) == 0:
		return noDirection("there are readings, but no targets for firmness or soil water to hold them against.")
	case !inSeason:
		return noDirection("none of the readings is of a kind and in the months that have a target.")
	case stale(last, asOf):
		return noDirection(fmt.Sprintf("the last readings are from %s, more than %d months ago.", day(last), staleMonths))
	}
	return ""
}

// missing says which half of the evidence is not there, and why.
func missing(firm, water *KindVerdict, readings []Reading, targets []Target) []string {
	var out []string
	tell := func(name string, is func(Kind) bool) {
		var read, wanted bool
		for _, r := range readings {
			read = read || is(r.Kind)
		}
		for _, t := range targets {
			wanted = wanted || is(t.Kind)
		}
		why := "too few recent readings in its season"
		switch {
		case !read:
			why = "no readings"
		case !wanted:
			why = "no target"
		}
		out = append(out, fmt.Sprintf("%s says nothing here: %s.", name, why))
	}
	if firm == nil {
		tell("Firmness", Kind.firmness)
	}
	if water == nil {
		tell("Soil water", func(k Kind) bool { return k == Moisture })
	}
	return out
}

// decision says what follows and what decided it.
func decision(firm, water *KindVerdict, by string, v Verdict, p float64) []string {
	var out []string
	if firm != nil && water != nil {
		f, _ := firm.asks().top()
		w, _ := water.asks().top()
		switch {
		case f == Lower && w == Raise:
			out = append(out, "Soft though dry: water is not the cause. Firmness decides, less surely; look at what else makes the surface soft, such as a puffy top or a recent disturbance.")
		case f == Raise && w == Lower:
			out = append(out, "Firm though wet: firmness decides, less surely; look at why water stays, such as a sealed layer or watering.")
		}
	}
	lead := map[string]string{"both": "Taken together", "firmness": "Firmness decides", "water": "Soil water decides"}[by]
	return append(out, conclusion(lead, v, p))
}

// conclusion tells a verdict with its chance.
func conclusion(lead string, v Verdict, p float64) string {
	asks := map[Verdict]string{
		Lower: "the surface asks for less organic matter",
		Hold:  "the surface asks for no change in organic matter",
		Raise: "the surface asks for more organic matter",
	}[v]
	chance, _ := Chance(p)
	return fmt.Sprintf("%s: %s (%s).", lead, asks, chance)
}

// undecided says that the readings do not settle it.
func (o odds) undecided() string {
	var parts []string
	for i, p := range o {
		chance, _ := Chance(p)
		parts = append(parts, fmt.Sprintf("%s %s", verdictAt(i), chance))
	}
	return noDirection("the readings do not settle it (" + strings.Join(parts, ", ") + ").")
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// noDirection says why there is none.
func noDirection(why string) string { return "No direction: " + why }
