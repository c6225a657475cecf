package findings

import (
	"math"
	"slices"
	"time"

	"underfoot/mixed"
)

// waveDays is how many reading days a wave of the year needs: with fewer, a season is too short for its two numbers
// (common practice, no source).
const waveDays = 8

// model judges the season by the mixed model of judgeKind; false where it cannot be fitted.
func (k *KindVerdict) model(in []Reading, days []dayMean) bool {
	d := layOutSeason(in, days)
	if len(d.Terms[0].Levels) < 2 || len(in) <= len(days)+len(d.Terms[0].Levels) || slices.Contains(d.Terms[0].Levels, "") {
		return false
	}
	f, err := mixed.Fit(d, mixed.Options{})
	if err != nil {
		return false
	}
	if with, ok := waved(d, days); ok {
		n := float64(len(days))
		plain, err := mixed.Fit(d, mixed.Options{ML: true})
		if err == nil {
			wave, err := mixed.Fit(with, mixed.Options{ML: true})
			if err == nil && aicc(wave, 4, n) < aicc(plain, 2, n) {
				if g, err := mixed.Fit(with, mixed.Options{}); err == nil {
					d, f, k.Wave = with, g, true
				}
			}
		}
	}
	return k.take(d, f, len(days))
}

// take reads mean, standard error, spreads and greens off the fit.
func (k *KindVerdict) take(d *mixed.Design, f *mixed.Fitted, days int) bool {
	greens := len(d.Terms[0].Levels)
	mean := combination{fixed: make([]float64, len(d.Columns)), random: [][]float64{make([]float64, greens), make([]float64, days)}}
	mean.fixed[0] = 1
	for i := range greens {
		mean.random[0][i] = 1 / float64(greens)
	}
	asks := []combination{mean}
	for i := range greens {
		own := combination{fixed: mean.fixed, random: [][]float64{make([]float64, greens), mean.random[1]}}
		own.random[0][i] = 1
		asks = append(asks, own)
	}
	e, v := newEquations(d, f), variancesOf(d, f)
	if !(f.Sigma > 1e-6*(math.Abs(v[0])+math.Abs(v[1]))) { // greens keep exactly apart
		return false
	}
	values, cov, ok := e.covariance(asks, v)
	if !ok {
		return false
	}
	df, ok := e.degrees(mean, v)
	if !ok {
		return false
	}
	rest := make([]float64, days)
	for _, m := range f.Modes() {
		if m.Group == "day" {
			at := slices.Index(d.Terms[1].Levels, m.Level)
			rest[at] = m.Estimate
		}
	}
	n, effective := float64(days), effectiveDays(rest)
	ofDays := v[1] * v[1] / n
	variance := cov.At(0, 0) + ofDays*(n/effective-1)
	left := effective - 1
	if k.Wave {
		left = max(1, effective-3)
	}
	k.Mean, k.SE, k.DF = values[0], math.Sqrt(variance), min(df, left)
	k.Greens, k.GreenSD, k.DaySD = greens, math.Abs(v[0]), math.Abs(v[1])
	for _, own := range values[1:] {
		switch {
		case own < k.Low:
			k.GreensBelow++
		case own > k.High:
			k.GreensAbove++
		}
	}
	return finite(k.Mean, k.SE, k.DF) && k.SE > 0
}

// layOutSeason writes the readings of one season out, greens and days random.
func layOutSeason(in []Reading, days []dayMean) *mixed.Design {
	d := &mixed.Design{Response: "reading", Y: make([]float64, len(in)), Names: []string{"(Intercept)"}, Columns: [][]float64{ones(len(in))}, Weights: ones(len(in))}
	green := mixed.Term{Group: "green", Names: []string{"(Intercept)"}, Level: make([]int32, len(in)), Z: [][]float64{nil}}
	day := mixed.Term{Group: "day", Names: []string{"(Intercept)"}, Level: make([]int32, len(in)), Z: [][]float64{nil}}
	for _, r := range in {
		if !slices.Contains(green.Levels, r.Green) {
			green.Levels = append(green.Levels, r.Green)
		}
	}
	slices.Sort(green.Levels)
	for _, k := range days {
		day.Levels = append(day.Levels, k.date.Format(time.DateOnly))
	}
	for i, r := range in {
		d.Y[i] = r.Value
		green.Level[i] = int32(slices.Index(green.Levels, r.Green))                  //nolint:gosec // greens are counted in tens
		day.Level[i] = int32(slices.Index(day.Levels, r.Date.Format(time.DateOnly))) //nolint:gosec // and days in hundreds
	}
	d.Terms = []mixed.Term{green, day}
	return d
}

// waved adds one wave of the year, about its mean over the days so that the intercept stays the season's mean; false where
// the days are too few or too close together for it.
func waved(d *mixed.Design, days []dayMean) (*mixed.Design, bool) {
	if len(days) < waveDays {
		return nil, false
	}
	var cos, sin []float64
	for _, k := range days {
		angle := 2 * math.Pi * float64(k.date.YearDay()) / daysPerYear
		cos, sin = append(cos, math.Cos(angle)), append(sin, math.Sin(angle))
	}
	if explained(cos, sin) >= tangled || explained(sin, cos) >= tangled {
		return nil, false
	}
	out := *d
	out.Names, out.Columns = slices.Clone(d.Names), slices.Clone(d.Columns)
	for k, c := range [][]float64{cos, sin} {
		var mean float64
		for _, v := range c {
			mean += v / float64(len(c))
		}
		column := make([]float64, len(d.Y))
		for i, day := range d.Terms[1].Level {
			column[i] = c[day] - mean
		}
		out.Names, out.Columns = append(out.Names, []string{"cos", "sin"}[k]), append(out.Columns, column)
	}
	return &out, true
}
