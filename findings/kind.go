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

	year int
	last dayMean
}

// judgeKind compares a season's day means with the band.
//
//	m = Σ d_i/n    se = s/√n_e    n_e = n·(1 − r)/(1 + r)    ν = n_e − 1
//
// d_i is the mean over greens on reading day i, s the standard deviation of the d_i, r their lag-1 correlation
// corrected for the few days it comes from and kept within 0 to 0.9: days close together tell less than
// days far apart. Ignored: uneven spacing of the days, which greens were read on which day, and the
// season's own course, which widens s.
// Sources (from memory): effective number, Bayley & Hammersley, J. R. Stat. Soc. Suppl. 8:184–197, 1946;
// correction of r, Marriott & Pope, Biometrika 41:390–402, 1954.
func judgeKind(t Target, year int, days []dayMean) KindVerdict {
	n := float64(len(days))
	k := KindVerdict{
		Kind: t.Kind, Season: t.seasonName(year), Days: len(days), Low: t.Low, High: t.High,
		year: year, last: days[len(days)-1],
	}
	for _, d := range days {
		k.Mean += d.value / n
		switch {
		case d.value < t.Low:
			k.DaysBelow++
		case d.value > t.High:
			k.DaysAbove++
		}
	}
	if k.Enough = len(days) >= 2; !k.Enough {
		k.Low90, k.High90 = k.Mean, k.Mean
		return k
	}
	var ss, cross float64
	for i, d := range days {
		ss += (d.value - k.Mean) * (d.value - k.Mean)
		if i > 0 {
			cross += (d.value - k.Mean) * (days[i-1].value - k.Mean)
		}
	}
	effective := n
	if ss > 0 && len(days) > fewDays {
		r := cross / ss
		r = min(0.9, max(0, r+(1+3*r)/n))
		effective = max(2, n*(1-r)/(1+r))
	}
	k.SE, k.DF = math.Sqrt(ss/(n-1)/effective), effective-1
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

// asks turns the chances of one kind into what it asks of organic matter.
func (k KindVerdict) asks() odds {
	if wordsOf(k.Kind).underAsks == Lower {
		return odds{k.PBelow, k.PWithin, k.PAbove}
	}
	return odds{k.PAbove, k.PWithin, k.PBelow}
}
