package findings

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Verdict is a direction for organic matter.
type Verdict string

// The directions. Unknown is the honest answer without readings, targets or a judgement.
const (
	Lower   Verdict = "lower"
	Hold    Verdict = "hold"
	Raise   Verdict = "raise"
	Unknown Verdict = "unknown"
)

// Judgement is the direction stated by whoever looks after the course, with the reason.
type Judgement struct {
	Verdict Verdict
	Reason  string
	Date    time.Time
}

// Direction is which way the surface asks organic matter to go.
type Direction struct {
	Verdict     Verdict
	Probability float64  // that the readings support the verdict; 0 where none speak
	Because     []string // full plain sentences
	DecidedBy   string   // "firmness", "water", "both", "judgement" or ""
	Kinds       []KindVerdict

	FromReadings          Verdict // what the readings alone say
	PLower, PHold, PRaise float64 // chances from the readings alone; all 0 where none speak
}

// How the evidence is weighed.
const (
	// staleMonths is how old the last reading may be to speak for today: a season and a half, months
	// (common practice, no source).
	staleMonths = 18
	// contradiction is the share of the chance that firmness keeps where soil water says the opposite,
	// soft though dry or firm though wet; the rest goes to hold (common practice, no source).
	contradiction = 0.7
	// settled is the chance a verdict must reach to be given: below 6 in 10 the readings do not settle it
	// (common practice, no source).
	settled = 0.6
)

// odds are chances of lower, hold and raise, in that order.
type odds [3]float64

func verdictAt(i int) Verdict { return [...]Verdict{Lower, Hold, Raise}[i] }

// top is the likeliest verdict and its chance.
func (o odds) top() (Verdict, float64) {
	best := 1 // hold on a tie
	for _, i := range []int{0, 2} {
		if o[i] > o[best] {
			best = i
		}
	}
	return verdictAt(best), o[best]
}

// combine weighs firmness against soil water, taking the doubt of the two as independent:
//
//	            wet     in the band   dry
//	soft        lower   lower         lower 0.7, hold 0.3
//	in the band lower   hold          raise
//	firm        raise 0.7, hold 0.3   raise   raise
//
// Firmness is how the surface plays, so it decides; within its band, soil water does.
func combine(firm, water odds) odds {
	var out odds
	for f := range firm {
		for w := range water {
			p := firm[f] * water[w]
			switch {
			case f == 1:
				out[w] += p
			case w == 2-f: // opposites
				out[f] += contradiction * p
				out[1] += (1 - contradiction) * p
			default:
				out[f] += p
			}
		}
	}
	return out
}

// Judge gives the direction from the last season's readings against their targets, or from a stated
// judgement, which overrides them and is shown as such.
//
// Firmness and soil water decide (see combine); speed and infiltration are told and do not. The last
// season is that of the target's months with readings up to asOf; readings older than 18 months are
// too old to speak. Each season mean carries its own doubt (see judgeKind), and Probability is the
// chance of the verdict under it; below 6 in 10 no verdict is given.
func Judge(readings []Reading, targets []Target, judgement *Judgement, asOf time.Time) (Direction, error) {
	if err := checkReadings(readings, targets); err != nil {
		return Direction{}, fmt.Errorf("direction: %w", err)
	}
	if err := judgement.check(); err != nil {
		return Direction{}, fmt.Errorf("direction: %w", err)
	}
	d := Direction{Verdict: Unknown, FromReadings: Unknown}
	d.hear(readings, targets, asOf)
	if judgement != nil {
		d.override(*judgement)
	}
	return d, nil
}

func (j *Judgement) check() error {
	switch {
	case j == nil:
		return nil
	case j.Verdict != Lower && j.Verdict != Hold && j.Verdict != Raise:
		return fmt.Errorf("stated judgement %q: allowed are lower, hold and raise", j.Verdict)
	case strings.TrimSpace(j.Reason) == "":
		return fmt.Errorf("stated judgement %q: no reason: say why, in your own words", j.Verdict)
	case j.Date.IsZero():
		return fmt.Errorf("stated judgement %q: no date: give the day it was made", j.Verdict)
	}
	return nil
}

// hear fills in what the readings say.
func (d *Direction) hear(readings []Reading, targets []Target, asOf time.Time) {
	if why := d.silent(readings, targets, asOf); why != "" {
		d.Because = append(d.Because, why)
		return
	}
	d.Kinds = seasons(readings, targets, asOf)
	firm, water := d.deciding()
	for _, k := range d.Kinds {
		d.Because = append(d.Because, k.sentence())
	}
	d.Because = append(d.Because, missing(firm, water, readings, targets)...)
	var both odds
	switch {
	case firm == nil && water == nil:
		why := "one reading day is too few to judge a season by"
		if slices.ContainsFunc(d.Kinds, func(k KindVerdict) bool { return k.Constant && wordsOf(k.Kind).underAsks != "" }) {
			why = "readings that never change cannot be judged"
		}
		d.Because = append(d.Because, "No direction: "+why+", and speed and infiltration alone do not decide.")
		return
	case water == nil:
		both = firm.asks()
	case firm == nil:
		both = water.asks()
	default:
		both = combine(firm.asks(), water.asks())
	}
	d.PLower, d.PHold, d.PRaise = both[0], both[1], both[2]
	verdict, p := both.top()
	if p < settled {
		d.Because = append(d.Because, both.undecided())
		return
	}
	d.Verdict, d.FromReadings, d.Probability = verdict, verdict, p
	d.DecidedBy = decidedBy(verdict, firm, water)
	d.Because = append(d.Because, decision(firm, water, d.DecidedBy, verdict, p)...)
}

// deciding picks the verdicts of firmness and of soil water that have enough days; of two ways of
// measuring firmness, the one read on more days.
func (d *Direction) deciding() (firm, water *KindVerdict) {
	for i := range d.Kinds {
		k := &d.Kinds[i]
		switch {
		case !k.Enough:
		case k.Kind == Moisture:
			water = k
		case k.Kind.firmness() && (firm == nil || k.Days > firm.Days):
			firm = k
		}
	}
	return firm, water
}

// seasons judges every kind with a target in its last season; a kind whose last season is earlier than
// that of the others, or too old, is left out.
func seasons(readings []Reading, targets []Target, asOf time.Time) []KindVerdict {
	var all []KindVerdict
	latest := 0
	for _, w := range kinds() {
		for _, t := range targets {
			if t.Kind != w.kind {
				continue
			}
			if year, in, days := t.lastSeason(readings, asOf); len(days) > 0 && !stale(days[len(days)-1].date, asOf) {
				all = append(all, judgeKind(t, year, in, days))
				if w.underAsks != "" {
					latest = max(latest, year)
				}
			}
		}
	}
	var out []KindVerdict
	for _, k := range all {
		if k.year >= latest {
			out = append(out, k)
		}
	}
	return out
}

func stale(last, asOf time.Time) bool { return last.AddDate(0, staleMonths, 0).Before(asOf) }

// decidedBy names the evidence that leads to the verdict by itself.
func decidedBy(v Verdict, firm, water *KindVerdict) string {
	leads := func(k *KindVerdict) bool {
		if k == nil {
			return false
		}
		top, p := k.asks().top()
		return top == v && p >= settled
	}
	switch f, w := leads(firm), leads(water); {
	case f && w:
		return "both"
	case f:
		return "firmness"
	case w:
		return "water"
	}
	return "both" // neither alone: together they do
}

// override puts the stated judgement in front and keeps what the readings say behind it.
func (d *Direction) override(j Judgement) {
	d.Verdict, d.DecidedBy = j.Verdict, "judgement"
	d.Probability = d.probabilityOf(j.Verdict)
	said := []string{j.sentence()}
	for _, s := range d.Because { // no direction from the readings, but there is one
		said = append(said, strings.Replace(s, "No direction:", "No direction from the readings:", 1))
	}
	if n := len(said) - 1; d.FromReadings != Unknown {
		said[n] = conclusion("The readings alone", d.FromReadings, d.probabilityOf(d.FromReadings))
	}
	d.Because = said
}

// probabilityOf is the chance of a verdict from the readings alone.
func (d *Direction) probabilityOf(v Verdict) float64 {
	switch v {
	case Lower:
		return d.PLower
	case Hold:
		return d.PHold
	case Raise:
		return d.PRaise
	}
	return 0
}
