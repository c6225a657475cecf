package findings

import (
	"fmt"
	"math"
	"strings"
)

// caution is said wherever readings are held against organic matter.
const caution = "Going together in records is no proof that one makes the other."

// Sentence says what the records tell of organic matter and the readings.
func (r Response) Sentence() string {
	w := wordsOf(r.Kind)
	switch {
	case !r.Known:
		return r.Why
	case !r.Tells:
		return fmt.Sprintf("These records cannot tell what organic matter in %s by itself does to %s: %s %s a point (%s, 95 %%).",
			r.layer(), w.name, signed(r.Direct.Value, 1), w.unit, span(r.Direct.Lower95, r.Direct.Upper95, 1))
	case r.Against:
		return fmt.Sprintf("In these records more organic matter in %s goes with %s greens at the same water content (%s %s a point; %s, 95 %%), which is not what it does by itself: something else goes with it, and no level is told.",
			r.layer(), r.way(), signed(r.Direct.Value, 1), w.unit, span(r.Direct.Lower95, r.Direct.Upper95, 1))
	}
	return fmt.Sprintf("At the same water content a point more organic matter in %s goes with %s greens: %s %s (%s, 95 %%). %s",
		r.layer(), r.way(), signed(r.Direct.Value, 1), w.unit, span(r.Direct.Lower95, r.Direct.Upper95, 1), caution)
}

// Split says what passes through water. Empty where nothing is known.
func (r Response) Split() string {
	if !r.Known {
		return ""
	}
	w := wordsOf(r.Kind)
	return fmt.Sprintf("A point more organic matter goes with %s %% of water by volume (%s), and through that with %s %s (%s); with water left to follow, with %s %s (%s) in all.",
		signed(r.WaterOnOM.Value, 1), span(r.WaterOnOM.Lower95, r.WaterOnOM.Upper95, 1),
		signed(r.Through.Value, 1), w.unit, span(r.Through.Lower95, r.Through.Upper95, 1),
		signed(r.Total.Value, 1), w.unit, span(r.Total.Lower95, r.Total.Upper95, 1))
}

// Explains says how much of the readings organic matter explains. Empty where nothing is known.
func (r Response) Explains() string {
	if !r.Known {
		return ""
	}
	name := wordsOf(r.Kind).name
	if !r.Tells {
		return fmt.Sprintf("Beyond water, organic matter explains between nothing and %s %% of the differences in %s.", percent(r.Beyond.Upper95), name)
	}
	return fmt.Sprintf("Beyond water, organic matter explains about %s %% of the differences in %s (%s to %s %%).",
		percent(r.Beyond.Share), name, percent(r.Beyond.Lower95), percent(r.Beyond.Upper95))
}

func percent(share float64) string { return number(100*share, 0) }

// Doubt says what the error of organic matter does. Empty where nothing is known.
func (r Response) Doubt() string {
	if !r.Known {
		return ""
	}
	return fmt.Sprintf("The composites know about %s %% of how organic matter differs over these readings; it enters as they let one expect it, so that its error widens the interval and does not flatten the slope.", percent(r.Reliability))
}

// Levels says at which organic matter the readings would be in their band. Empty where nothing is wanted or known.
func (r Response) Levels() string {
	w := wordsOf(r.Kind)
	k := KindVerdict{Low: r.Band.Low, High: r.Band.High}
	switch {
	case !r.Known, math.IsInf(r.Band.Low, 0) && math.IsInf(r.Band.High, 0), r.Against:
		return ""
	case !r.Tells:
		return fmt.Sprintf("At which organic matter these greens’ %s would be in its band, these records cannot tell.", w.name)
	}
	less, more := r.Range()
	wanted := !math.IsInf(less.Reading, 0)
	lead := fmt.Sprintf("At their usual %s %% of water these greens’ %s would be in its band (%s)", number(r.TypicalWater, 0), w.name, k.band(w.short))
	seen := fmt.Sprintf("(they have had %s %%)", span(r.SeenLow, r.SeenHigh, 1))
	layer := " organic matter in " + r.layer()
	switch {
	case less.Beyond > 0:
		return lead + " only with more" + layer + " than they have had or nearly so: where, these records cannot tell " + seen + "."
	case more.Beyond < 0:
		return lead + " only with less" + layer + " than they have had or nearly so: where, these records cannot tell " + seen + "."
	case less.Told && more.Told:
		return lead + " with " + less.words() + " to " + more.words() + layer + "."
	case less.Told:
		return lead + " from " + less.words() + layer + " on; where that ends, these records cannot tell " + seen + "."
	case more.Told && wanted:
		return lead + " up to " + more.words() + layer + "; where that begins, these records cannot tell " + seen + "."
	case more.Told:
		return lead + " up to " + more.words() + layer + "."
	case less.Beyond < 0 && (more.Beyond > 0 || math.IsInf(more.Reading, 0)), !wanted && more.Beyond > 0:
		return lead + " with all the" + layer + " they have had " + seen + "."
	}
	return fmt.Sprintf("At which organic matter these greens’ %s would be in its band, these records cannot tell.", w.name)
}

// words tells a level with its interval: "4.2 % (3.9 to 4.6)"; an open end is told as such.
func (l OMLevel) words() string {
	switch {
	case l.LowOpen:
		return fmt.Sprintf("%s %% (%s or less)", number(l.OM, 1), number(l.Upper95, 1))
	case l.UpperOpen:
		return fmt.Sprintf("%s %% (%s or more)", number(l.OM, 1), number(l.Lower95, 1))
	}
	return fmt.Sprintf("%s %% (%s)", number(l.OM, 1), span(l.Lower95, l.Upper95, 1))
}

// Because is the sentence for the reasons of a direction. Empty where it says nothing of the band.
func (r Response) Because() string {
	s := r.Levels()
	if s == "" || !r.Tells {
		return s
	}
	return s + " " + caution
}

func (r Response) layer() string { return layerName(r.TopMM, r.BottomMM) }

// way says how readings change with more organic matter: "softer", "firmer".
func (r Response) way() string {
	w := wordsOf(r.Kind)
	if r.Direct.Value < 0 {
		return w.under
	}
	return w.over
}

// explain tells what to beware of.
func (r *Response) explain(s *responseRows) {
	var left []string
	tell := func(n int, why string) {
		if n > 0 {
			left = append(left, fmt.Sprintf("%d %s", n, why))
		}
	}
	tell(s.firm-s.water, "without water content that day")
	tell(s.unsampled, "on greens never sampled")
	tell(s.far, "more than three months before the first round or after the last")
	if len(left) > 0 {
		r.Warnings = append(r.Warnings, "Readings left out: "+strings.Join(left, ", ")+".")
	}
	if r.Reliability < 0.5 {
		r.Warnings = append(r.Warnings, "More than half of how organic matter differs between these greens and days is not known: more cores per green would tell more.")
	}
	if r.Greens < 4 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("Only %s: what is organic matter and what is the green rests mostly on changes over time.", count(r.Greens, "green")))
	}
}
