package findings

import (
	"fmt"
	"math"
	"time"

	"underfoot/unit"
)

// Options are what the reader may set about a trend.
type Options struct {
	Matters float64      // smallest change that matters [points a year]; 0 means DefaultMatters
	RoundSD unit.Percent // round-to-round scatter assumed with two rounds [points]; 0 means DefaultRoundSD
}

// Defaults of Options.
const (
	DefaultMatters float64      = 0.5 // points a year (common practice, no source)
	DefaultRoundSD unit.Percent = 0.3 // points: a good or a bad year moves the whole course by about this (common practice, no source)
)

// sure is the chance at which a direction of change is called: 0.95 on its side, so that a steady
// course is called changing one time in ten.
const sure = 0.95

// Verdict on a trend.
type TrendVerdict string

// The verdicts of a trend.
const (
	Rising   TrendVerdict = "rising"
	Falling  TrendVerdict = "falling"
	NoChange TrendVerdict = "no change seen"
)

// Trend is the change of one layer over the rounds, at fixed depth.
type Trend struct {
	Estimated              bool    // false: there is no slope, and Warnings says why
	SlopePerYear           float64 // points a year
	SE, DF                 float64 // DF 0: round-to-round scatter was assumed
	Lower95, Upper95       float64
	Lower90, Upper90       float64
	PRising, PFalling      float64
	PBeyond                float64 // chance that the slope, in its own direction, exceeds Matters
	Matters                float64 // points a year
	Steady                 bool    // the 90 % interval lies inside ±Matters
	Verdict                TrendVerdict
	SmallestVisiblePerYear float64 // seen 8 times in 10 at 5 % two-sided
	RoundSD                float64 // round-to-round scatter beyond the cores [points]; assumed where DF is 0
	CoreSD                 float64 // one core about its green [points]
	Rounds, Greens         int
	Method                 string   // how it was worked out, in words
	Warnings               []string // plain sentences

	from, to time.Time
	pivot    time.Time // where level and slope are independent
	level    float64   // % at pivot
	levelVar float64   // points²
}

// FitTrend gives the change of one layer in points of organic matter a year, from composites of all
// its rounds.
//
//	y_ij = a_i + β·t_j + r_j + e_ij    Var r_j = σ_round²    Var e_ij = σ_core²/cores_ij + u_ij²
//
// y_ij [%] is green i in round j, a_i the green's own level (fixed), β [points/a] the slope, r_j what
// a good or bad year does to all greens alike, e_ij cores and bench. σ_core² comes from how greens
// depart from one another between rounds, σ_round² from how the rounds depart from the line, both by
// moments; β by generalised least squares. The rounds, not the composites, are the evidence about a
// slope: t has rounds − 2 degrees of freedom, which is exact for greens and cores that are the same in
// every round. Where the rounds lie closer to the line than the cores allow, the wider of that
// interval and the one from the cores alone is given.
//
// Ignored: that greens may drift apart (their slopes differ), that one year may resemble the next,
// season of sampling (a warning is given), and that the layer holds other material every year.
// Source: weighted least squares, Aitken 1935; moments, Paule & Mandel 1982 (see excess); t on the rounds as
// for a split plot with rounds as main plots, Cochran & Cox, Experimental Designs 1957 ch. 7 (from memory).
func FitTrend(obs []Observation, o Options) (Trend, error) {
	if err := check(obs); err != nil {
		return Trend{}, fmt.Errorf("trend: %w", err)
	}
	if o.Matters < 0 || math.IsNaN(o.Matters) || o.RoundSD < 0 || math.IsNaN(float64(o.RoundSD)) {
		return Trend{}, fmt.Errorf("trend: smallest change that matters %g points a year and round-to-round scatter %g points: allowed is 0 (the default) or more", o.Matters, float64(o.RoundSD))
	}
	if o.Matters == 0 {
		o.Matters = DefaultMatters
	}
	if o.RoundSD == 0 {
		o.RoundSD = DefaultRoundSD
	}
	return fitTrend(newPanel(cells(obs)), o), nil
}

func fitTrend(p *panel, o Options) Trend {
	f := Trend{Verdict: NoChange, Matters: o.Matters, Rounds: len(p.rounds), Greens: p.countGreens()}
	if why := p.cannot(); why != "" {
		f.Warnings = []string{why}
		return f
	}
	p.pool()
	s := p.settle()
	df := float64(len(s.z) - 1) // rounds less one for the slope and one for each part
	switch {
	case !s.moves():
		f.Warnings = []string{"No trend: the rounds that share greens were all taken at the same time."}
		return f
	case df < 1:
		f.assumeRounds(s, float64(o.RoundSD))
	default:
		if p.residual == 0 { // the scatter about the line is all there is to go by
			s = p.rescale(s, df)
		}
		f.estimate(p, s, df)
	}
	f.Estimated = true
	f.CoreSD = math.Sqrt(p.coreVar)
	f.conclude()
	f.draw(p, s)
	f.explain(p)
	return f
}

func (p *panel) countGreens() int {
	n := 0
	for i, c := range p.cells {
		if i == 0 || c.green != p.cells[i-1].green {
			n++
		}
	}
	return n
}

// cannot says why there can be no trend, or "".
func (p *panel) cannot() string {
	switch len(p.rounds) {
	case 0:
		return "No trend: nothing was sampled."
	case 1:
		return "No trend: one round cannot show a change."
	}
	return ""
}

// moves reports whether time differs between rounds that can be compared.
func (s swept) moves() bool {
	const hour = 1.0 / 24 / daysPerYear // a; rounds less than a day or so apart are one visit
	var sum float64
	for _, x := range s.x {
		sum += x * x
	}
	return sum > hour*hour
}

// estimate fits the slope with the round-to-round scatter estimated from df ≥ 1 degrees of freedom.
func (f *Trend) estimate(p *panel, s swept, df float64) {
	tau2 := s.excess(df)
	beta, info, q, _ := s.fit(tau2)
	f.SlopePerYear, f.RoundSD = beta, math.Sqrt(tau2)
	f.SE, f.DF = math.Sqrt(max(q/df, 0)/info), df
	if tau2 > 0 || p.residual == 0 {
		return
	}
	// The rounds are no further from the line than the cores put them: the cores alone then set a
	// width that luck must not undercut.
	if se := 1 / math.Sqrt(info); quantile(0.975, p.residual)*se > quantile(0.975, df)*f.SE {
		f.SE, f.DF = se, p.residual
	}
}

// assumeRounds fits the slope where nothing shows the round-to-round scatter, with an assumed one.
func (f *Trend) assumeRounds(s swept, roundSD float64) {
	beta, info, _, _ := s.fit(roundSD * roundSD)
	f.SlopePerYear, f.SE, f.DF, f.RoundSD = beta, 1/math.Sqrt(info), 0, roundSD
}

// rescale makes σ_core² account for all scatter about the line.
func (p *panel) rescale(s swept, df float64) swept {
	_, _, q, _ := s.fit(0)
	bare := *p
	p.cells = append([]cell(nil), p.cells...)
	for i := range p.cells {
		p.cells[i].u = 0
	}
	if bare.measured() { // weights change when the measurement part is left out
		s = p.sweep(p.coreVar)
		_, _, q, _ = s.fit(0)
	}
	p.coreVar = max(p.coreVar*q/df, 1e-12)
	return p.sweep(p.coreVar)
}

// conclude turns slope, standard error and degrees of freedom into chances and a verdict.
func (f *Trend) conclude() {
	t95, t90 := quantile(0.975, f.DF), quantile(0.95, f.DF)
	f.Lower95, f.Upper95 = f.SlopePerYear-t95*f.SE, f.SlopePerYear+t95*f.SE
	f.Lower90, f.Upper90 = f.SlopePerYear-t90*f.SE, f.SlopePerYear+t90*f.SE
	f.PFalling = probabilityBelow(0, f.SlopePerYear, f.SE, f.DF)
	f.PRising = 1 - f.PFalling
	if f.SlopePerYear >= 0 {
		f.PBeyond = 1 - probabilityBelow(f.Matters, f.SlopePerYear, f.SE, f.DF)
	} else {
		f.PBeyond = probabilityBelow(-f.Matters, f.SlopePerYear, f.SE, f.DF)
	}
	f.Steady = f.Lower90 > -f.Matters && f.Upper90 < f.Matters
	f.SmallestVisiblePerYear = smallestSeen(f.SE, f.DF)
	switch {
	case f.DF == 0: // a good or a bad year would look the same
	case f.PRising >= sure:
		f.Verdict = Rising
	case f.PFalling >= sure:
		f.Verdict = Falling
	}
}
