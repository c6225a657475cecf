package findings

import (
	"math"
	"strings"
)

// kindWords are the words and the number of decimals a kind of reading is told in.
type kindWords struct {
	kind                Kind
	name, unit, short   string // "firmness", "g", "g", "g"
	under, over         string // what below and above the band mean
	decimals            int
	underAsks, overAsks Verdict // of organic matter; empty where the kind only informs
}

// kinds gives the words of all kinds in the order they are told.
func kinds() []kindWords {
	return []kindWords{
		{FirmnessGmax, "firmness", "g", "g", "softer", "firmer", 0, Lower, Raise},
		{FirmnessMM, "penetration depth", "mm", "mm", "firmer", "softer", 1, Raise, Lower},
		{Moisture, "soil water", "% by volume", "%", "drier", "wetter", 1, Raise, Lower},
		{SpeedM, "green speed", "m", "m", "slower", "faster", 2, "", ""},
		{SpeedFt, "green speed", "ft", "ft", "slower", "faster", 1, "", ""},
		{Infiltration, "infiltration", "mm/h", "mm/h", "slower", "faster", 0, "", ""},
	}
}

func wordsOf(k Kind) kindWords {
	for _, w := range kinds() {
		if w.kind == k {
			return w
		}
	}
	return kindWords{}
}

func known(k Kind) bool { return wordsOf(k).kind == k && k != "" }

func kindList() string {
	var names []string
	for _, w := range kinds() {
		names = append(names, string(w.kind))
	}
	return strings.Join(names, ", ")
}

// firmness reports whether the kind tells how firm the surface is.
func (k Kind) firmness() bool { return k == FirmnessGmax || k == FirmnessMM }

// KindVerdict is what the last season's readings of one kind say against their target.
type KindVerdict struct {
	Kind                    Kind
	Season                  string  // "2025", or "2025/26"
	Mean, SE                float64 // season mean of the day means and its standard error, unit of the kind
	DF                      float64
	Low90, High90           float64
	Days                    int // reading days
	DaysBelow, DaysAbove    int // of them below and above the band
	Low, High               float64
	PBelow, PWithin, PAbove float64 // chances for the season's mean
	Enough                  bool    // at least two days, so that there is a spread to judge by
	Constant                bool    // every day reads the same: nothing scatters, and it is not enough
	Greens                  int     // greens read; 0 where greens are not told apart, with the next four
	GreenSD, DaySD          float64 // standard deviation between greens, and between days once the season is out, unit of the kind
	GreensBelow             int     // greens whose own season mean, drawn towards the others, lies below the band
	GreensAbove             int     // and above it
	Wave                    bool    // the season's own course is taken out

	year int
	last dayMean
}

// judgeKind compares a season with the band.
//
//	x_ik = μ (+ season) + g_i + d_k + e_ik    m = μ + Σ g_i/G    se² = V − V_d + V_d·n/n_e
//
// x_ik is green i on reading day k, g_i the green, d_k the day, both random, the season one wave of the year about its mean
// over the days where that is worth its two numbers (AICc counting days, as in choose); m is the mean of the greens that
// were read, in all the days there might have been, V its variance from the fit and V_d = σ_d²/n the part of the days.
// Days close together tell less than days far apart: n_e = n·(1 − r)/(1 + r), r the lag-1 correlation of the
// days' departures corrected for the few days it comes from and kept within 0 to 0.9. Degrees of freedom after Satterthwaite,
// not more than n_e − 1 (n_e − 3 with season). Where there is nothing to tell greens from days (one green, no green
// named, greens that keep exactly apart) the day means stand alone: m = Σ d_k/n, se = s/√n_e, ν = n_e − 1.
// Ignored: uneven spacing of the days.
// Sources (from memory): effective number, Bayley & Hammersley, J. R. Stat. Soc. Suppl. 8:184–197, 1946;
// correction of r, Marriott & Pope, Biometrika 41:390–402, 1954.
func judgeKind(t Target, year int, in []Reading, days []dayMean) KindVerdict {
	k := KindVerdict{
		Kind: t.Kind, Season: t.seasonName(year), Days: len(days), Low: t.Low, High: t.High,
		year: year, last: days[len(days)-1],
	}
	for _, d := range days {
		switch {
		case d.value < t.Low:
			k.DaysBelow++
		case d.value > t.High:
			k.DaysAbove++
		}
	}
	if k.Enough = len(days) >= 2; !k.Enough {
		k.Mean = days[0].value
		k.Low90, k.High90 = k.Mean, k.Mean
		return k
	}
	if k.Constant = constant(in); k.Constant {
		k.Enough, k.Mean = false, in[0].Value
		k.Low90, k.High90 = k.Mean, k.Mean
		return k
	}
	if !k.model(in, days) {
		k.byDays(days)
	}
	if k.Constant = !(k.SE > 0); k.Constant { // day means that never change
		k.Enough, k.Low90, k.High90 = false, k.Mean, k.Mean
		return k
	}
	half := quantile(0.95, k.DF) * k.SE
	k.Low90, k.High90 = k.Mean-half, k.Mean+half
	k.PBelow = probabilityBelow(t.Low, k.Mean, k.SE, k.DF)
	if math.IsInf(t.Low, -1) {
		k.PBelow = 0
	}
	k.PAbove = 1 - probabilityBelow(t.High, k.Mean, k.SE, k.DF)
	if math.IsInf(t.High, 1) {
		k.PAbove = 0
	}
	k.PWithin = max(0, 1-k.PBelow-k.PAbove)
	return k
}

// constant reports whether all readings are the same.
func constant(in []Reading) bool {
	for _, r := range in {
		if r.Value != in[0].Value {
			return false
		}
	}
	return true
}

// byDays takes mean, standard error and degrees of freedom from the day means alone.
func (k *KindVerdict) byDays(days []dayMean) {
	n := float64(len(days))
	k.Mean = 0
	for _, d := range days {
		k.Mean += d.value / n
	}
	rest := make([]float64, len(days))
	var ss float64
	for i, d := range days {
		rest[i] = d.value - k.Mean
		ss += rest[i] * rest[i]
	}
	effective := effectiveDays(rest)
	k.SE, k.DF = math.Sqrt(ss/(n-1)/effective), effective-1
}

// effectiveDays is how many days apart would tell as much as these, from their departures in order of date.
func effectiveDays(rest []float64) float64 {
	n := float64(len(rest))
	var ss, cross float64
	for i, d := range rest {
		ss += d * d
		if i > 0 {
			cross += d * rest[i-1]
		}
	}
	if ss == 0 || len(rest) <= fewDays {
		return n
	}
	r := cross / ss
	r = min(0.9, max(0, r+(1+3*r)/n))
	return max(2, n*(1-r)/(1+r))
}

// asks turns the chances of one kind into what it asks of organic matter.
func (k KindVerdict) asks() odds {
	if wordsOf(k.Kind).underAsks == Lower {
		return odds{k.PBelow, k.PWithin, k.PAbove}
	}
	return odds{k.PAbove, k.PWithin, k.PBelow}
}
