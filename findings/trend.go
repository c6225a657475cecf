package findings

import (
	"fmt"
	"math"
	"time"

	"underfoot/mixed"
	"underfoot/unit"
)

// Options are what the reader may set about a trend.
type Options struct {
	Matters float64      // smallest change that matters [points a year]; 0 means DefaultMatters
	RoundSD unit.Percent // round-to-round scatter assumed with two rounds [points]; 0 means DefaultRoundSD
	Trends  bool         // trends only: Layer.Consistency, half of the work, is left out
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

// Slope is a slope that takes the rounds for a sample of all the good and bad years there might have been.
type Slope struct {
	Known            bool    // at least three rounds that can be told from the cores
	PerYear          float64 // points a year
	SE, DF           float64
	Lower95, Upper95 float64
	PRising          float64
}

// Trend is the change of one layer over the rounds, at fixed depth: the straight line through the mean of the greens
// that were sampled, in the rounds in which they were. Slope, interval and chances say what happened to those greens in
// those years. Whether a line lies behind it that good and bad years scatter about is Underlying.
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
	PSteady                float64 // chance that the slope lies inside ±Matters
	SmallestVisiblePerYear float64 // seen 8 times in 10 at 5 % two-sided
	RoundSD                float64 // round-to-round scatter beyond the cores [points]; assumed where DF is 0
	CoreSD                 float64 // one core about its green, at the mean level [points]
	Rounds, Greens         int
	Underlying             Slope    // the same slope as evidence about the line behind the rounds
	Model                  string   // the mixed model as a formula; empty where none was fitted
	Choice                 string   // why this model, in plain sentences
	Method                 string   // how it was worked out, in words
	Warnings               []string // plain sentences

	from, to time.Time
	pivot    time.Time // where level and slope are independent
	level    float64   // % at pivot
	levelVar float64   // points²
}

// FitTrend gives the change of one layer in points of organic matter a year, from composites of all
// its rounds, by a mixed model (see lay, choose) and restricted maximum likelihood.
//
// The slope is that of least squares through the mean of the sampled greens in every round, predicted from the fit (see
// realise); its t has Satterthwaite's degrees of freedom. Underlying is the fixed effect of the year, with rounds as a
// random sample of years, with Satterthwaite's degrees of freedom too, or after Kenward and Roger with three rounds.
//
// With two rounds that can be compared nothing shows what a good or a bad year does; then greens are swept out (see
// sweep), the slope is by generalised least squares, and its standard error takes the round-to-round scatter of the
// options beside that of the cores.
//
// Ignored: that one year may resemble the next, and that the layer holds other material every year.
// Sources (from memory): Giesbrecht & Burns, Biometrics 41:477–486, 1985; Kenward & Roger, Biometrics 53:983–997, 1997; Aitken 1935.
func FitTrend(obs []Observation, o Options) (Trend, error) {
	if err := check(obs); err != nil {
		return Trend{}, fmt.Errorf("trend: %w", err)
	}
	o, err := o.filled()
	if err != nil {
		return Trend{}, err
	}
	f, _ := fitTrend(newPanel(cells(obs)), o)
	return f, nil
}

// filled puts the defaults where nothing was set.
func (o Options) filled() (Options, error) {
	if o.Matters < 0 || math.IsNaN(o.Matters) || o.RoundSD < 0 || math.IsNaN(float64(o.RoundSD)) {
		return o, fmt.Errorf("trend: smallest change that matters %g points a year and round-to-round scatter %g points: allowed is 0 (the default) or more", o.Matters, float64(o.RoundSD))
	}
	if o.Matters == 0 {
		o.Matters = DefaultMatters
	}
	if o.RoundSD == 0 {
		o.RoundSD = DefaultRoundSD
	}
	return o, nil
}

// fitTrend gives the trend and the model it rests on; no model (its fit is nil) where none was needed.
func fitTrend(p *panel, o Options) (f Trend, c chosen) {
	f = Trend{Verdict: NoChange, Matters: o.Matters, Rounds: len(p.rounds), Greens: p.countGreens()}
	if why := p.cannot(); why != "" {
		f.Warnings = []string{why}
		return f, c
	}
	p.pool()
	s := p.settle()
	switch {
	case !s.moves():
		f.Warnings = []string{"No trend: the rounds that share greens were all taken at the same time."}
		return f, c
	case len(s.z) < 2: // rounds less one for the slope and one for each part
		f.assumeRounds(s, float64(o.RoundSD))
		f.CoreSD = math.Sqrt(p.coreVar)
		f.draw(p, s)
	default:
		var err error
		if c, err = p.choose(); err == nil {
			err = f.read(p, c)
		}
		if err != nil {
			f.Warnings = []string{"No trend: " + err.Error() + "."}
			return f, chosen{}
		}
	}
	f.Estimated = true
	f.conclude()
	f.explain(p, c)
	return f, c
}

// read takes the slope, the line and the scatter from a fit.
func (f *Trend) read(p *panel, c chosen) error {
	came := c
	if c.round {
		m := c.model
		m.asCame = true
		var err error
		if came.layout, came.fit, err = p.fit(m, false); err != nil {
			return err
		}
	}
	if !p.measured() && came.fit.Sigma < rounding*math.Sqrt(usualCores) {
		return errExact
	}
	r, ok := came.realise(p)
	if !ok {
		return fmt.Errorf("the records do not tell cores, greens and rounds apart")
	}
	f.SlopePerYear, f.SE, f.DF = r.slope, r.se, r.df
	f.CoreSD, f.Model = came.fit.Sigma, c.formula()
	for _, part := range c.fit.Components {
		if part.Group == "round" && part.Other == "" {
			f.RoundSD = part.SD
		}
	}
	f.underlie(c, len(p.rounds))
	f.level, f.levelVar = r.level, r.levelVar
	f.pivot = p.dates[0].Add(time.Duration((r.pivot - p.t[0]) * daysPerYear * 24 * float64(time.Hour)))
	f.from, f.to = p.dates[0], p.dates[len(p.dates)-1]
	return nil
}

// kenwardRounds is how many rounds are too few for Satterthwaite's degrees of freedom. In simulated courses (see
// TestTrendIntervalHoldsTheTruth) his 95 % intervals held the truth in 0.94 to 0.97 with four to ten rounds and 0.90 with three; those
// after Kenward and Roger in 0.96 to 1.00, 1.00 with three.
const kenwardRounds = 3

// rounding is the standard deviation of what two decimals leave out, 0.01/√12 [points] (a uniform distribution; JCGM 100:2008,
// 4.3.7): a composite of five cores that scatters less shows no scatter at all.
const rounding = 0.0029

// underlie gives the slope behind the rounds, where they can be told from the cores.
func (f *Trend) underlie(c chosen, rounds int) {
	if !c.round {
		return
	}
	l := make([]float64, len(c.fit.Names))
	for k, name := range c.fit.Names {
		if name == "year" {
			l[k] = 1
		}
	}
	method := mixed.Satterthwaite
	if rounds <= kenwardRounds {
		method = mixed.KenwardRoger
	}
	e, err := c.fit.Contrast(l, method)
	if err != nil || !finite(e.Value, e.SE, e.DF) || e.SE <= 0 {
		return
	}
	f.Underlying = Slope{Known: true, PerYear: e.Value, SE: e.SE, DF: e.DF, Lower95: e.Lower95, Upper95: e.Upper95}
	f.Underlying.PRising = 1 - probabilityBelow(0, e.Value, e.SE, e.DF)
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
	for _, c := range p.cells {
		if c.om != p.cells[0].om {
			return ""
		}
	}
	return "No trend: every composite reads the same, which is rounding or a copied number: without scatter nothing can be told from chance."
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

// assumeRounds fits the slope where nothing shows the round-to-round scatter, with an assumed one.
func (f *Trend) assumeRounds(s swept, roundSD float64) {
	beta, info, _, _ := s.fit(roundSD * roundSD)
	f.SlopePerYear, f.SE, f.DF, f.RoundSD = beta, 1/math.Sqrt(info), 0, roundSD
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
	f.PSteady = probabilityBelow(f.Matters, f.SlopePerYear, f.SE, f.DF) - probabilityBelow(-f.Matters, f.SlopePerYear, f.SE, f.DF)
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
