package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot/mixed"
)

// What a layer must have before a part of the model is tried.
const (
	// driftGreens and driftRounds: how many greens sampled in how many rounds slopes of their own need. With fewer greens the
	// criterion below is not defined; with fewer rounds a green's line goes through its cores (common practice, no source).
	driftGreens, driftRounds = 5, 4
	// seasonRounds is how many rounds a wave of the year needs: with fewer, its two numbers and the line leave less than
	// two rounds to judge by and the criterion below is not defined.
	seasonRounds = 7
	// tangled is the share of the year's spread over the rounds that may be explained by the wave before the two
	// are held to be one (a variance inflation of 4; common practice, no source).
	tangled = 0.75
)

// chosen is the model of a layer with its fit and why it is this one.
type chosen struct {
	layout
	fit     *mixed.Fitted
	because []string // plain sentences
}

// choose finds the model of a layer. Greens and rounds are in wherever the records can tell them from the cores; the
// rest is decided in three steps, each by a criterion that is the same every time:
//
//  1. share or points: the two have equally many numbers, so the higher restricted likelihood decides. A share is
//     what single cores show in the trade (see coreScatter), so points need to be better by 2 in −2 log L. Where rounds
//     cannot be told from cores it is points: there the line alone stands for the rounds, and each counts once;
//  2. drift, where the counts carry it: the greens, not the composites, are the evidence about it, so Akaike's criterion
//     with the small-sample correction counts greens: AICc = −2 log L + 2k + 2k(k + 1)/(G − k − 1), by restricted
//     likelihood, k = 1 without and 3 with drift;
//  3. season, where the counts carry it: the rounds are the evidence about it, so the same criterion counts rounds, by
//     maximum likelihood, k = 3 without and 5 with season.
//
// Sources: Akaike, IEEE Trans. Autom. Control 19:716–723, 1974; Hurvich & Tsai, Biometrika 76:297–307, 1989 (from memory).
func (p *panel) choose() (chosen, error) {
	m := model{green: p.repeats() && !p.pooled, round: p.tellsRounds()}
	points, pointsFit, err := p.fit(m, false)
	if err != nil {
		return chosen{}, err
	}
	best := chosen{layout: points, fit: pointsFit}
	if m.round && meanOM(p.cells) > 0 {
		m.share = true
		share, shareFit, err := p.fit(m, false)
		if err == nil && !(shareFit.Criterion > pointsFit.Criterion+2) {
			best = chosen{layout: share, fit: shareFit}
		}
	}
	p.tryDrift(&best)
	p.trySeason(&best)
	return best, nil
}

func (p *panel) tryDrift(best *chosen) {
	if !best.green || !p.carriesDrift() {
		return
	}
	m := best.model
	m.drift = true
	l := p.lay(m)
	if !best.drifts(l) {
		return
	}
	l, f, err := p.fit(m, false)
	if err != nil {
		return
	}
	if g := float64(p.greens); aicc(f, 3, g) < aicc(best.fit, 1, g) {
		best.layout, best.fit = l, f
		best.because = append(best.because, "Greens drift apart: slopes of their own are worth their two numbers.")
	}
}

// drifts takes a first look, without fitting: does the restricted likelihood rise at all for slopes that move greens by a
// fifth, two thirds or two of the residual over a half of the rounds' span, tied to the level or not? The criterion
// asks for far more than that, so that nothing is lost where it does not.
func (c *chosen) drifts(with layout) bool {
	v := variancesOf(c.design, c.fit)
	base, ok := newEquations(c.design, c.fit).solve(v)
	if !ok {
		return true
	}
	e := newEquations(with.design, c.fit)
	span := with.columns[1][len(with.columns[1])-1] - with.columns[1][0]
	for _, size := range []float64{0.2, 0.7, 2} {
		for _, tie := range []float64{-0.7, 0, 0.7} {
			sd := size * v.sigma() / math.Sqrt(usualCores) / (span / 2)
			w := append(variances{max(v[0], 1e-3*v.sigma()), tie * sd, sd * math.Sqrt(1-tie*tie)}, v[1:]...)
			if s, ok := e.solve(w); !ok || s.criterion < base.criterion {
				return true
			}
		}
	}
	return false
}

func (p *panel) trySeason(best *chosen) {
	if !p.carriesSeason() {
		return
	}
	m := best.model
	_, without, err := p.fit(m, true)
	if err != nil {
		return
	}
	m.season = true
	_, with, err := p.fit(m, true)
	if err != nil {
		return
	}
	r := float64(len(p.rounds))
	if aicc(with, 5, r) >= aicc(without, 3, r) {
		return
	}
	if l, f, err := p.fit(m, false); err == nil {
		best.layout, best.fit = l, f
		best.because = append(best.because, fmt.Sprintf("A wave of the year is worth its two numbers over %d rounds.", len(p.rounds)))
	}
}

// aicc is Akaike's criterion with the small-sample correction for k numbers judged by n independent units, n > k + 1.
func aicc(f *mixed.Fitted, k, n float64) float64 { return f.Criterion + 2*k + 2*k*(k+1)/(n-k-1) }

// repeats reports whether greens can be told from cores: some green in two rounds, and another green.
func (p *panel) repeats() bool {
	if p.greens < 2 {
		return false
	}
	for i := 1; i < len(p.cells); i++ {
		if p.green[i] == p.green[i-1] {
			return true
		}
	}
	return false
}

// tellsRounds reports whether good and bad rounds can be told from cores: three rounds, and something left once
// every green and every round has a level of its own.
func (p *panel) tellsRounds() bool {
	return len(p.rounds) >= 3 && len(p.cells)-p.greens-(len(p.rounds)-p.parts) > 0
}

func (p *panel) carriesDrift() bool {
	n := make([]int, p.greens)
	for _, g := range p.green {
		n[g]++
	}
	enough := 0
	for _, k := range n {
		if k >= driftRounds {
			enough++
		}
	}
	return enough >= driftGreens
}

// carriesSeason reports whether there are rounds enough for a wave of the year, and dates that tell it from the line.
func (p *panel) carriesSeason() bool {
	if len(p.rounds) < seasonRounds {
		return false
	}
	cos, sin := p.wave()
	return explained(p.t, cos, sin) < tangled && explained(cos, sin) < tangled && explained(sin, cos) < tangled
}

// explained is the share of y's spread about its mean that least squares on the columns explains; 1 where y does not vary.
func explained(y []float64, columns ...[]float64) float64 {
	x := append([][]float64{ones(len(y))}, columns...)
	w, ok := leastSquares(x)
	if !ok {
		return 1
	}
	mean := 0.0
	for _, v := range y {
		mean += v / float64(len(y))
	}
	var total, rest float64
	for i, v := range y {
		fitted := 0.0
		for k := range x {
			var b float64
			for j := range y {
				b += w[k][j] * y[j]
			}
			fitted += b * x[k][i]
		}
		total += (v - mean) * (v - mean)
		rest += (v - fitted) * (v - fitted)
	}
	if total <= 1e-12*float64(len(y)) {
		return 1
	}
	return 1 - rest/total
}

// explain tells what was chosen and what was not, and why.
func (c *chosen) explain(p *panel) string {
	said := slices.Clone(c.because)
	if !c.season {
		switch {
		case len(p.rounds) < seasonRounds:
			said = append(said, fmt.Sprintf("No season: %s, and a wave of the year needs %d.", count(len(p.rounds), "round"), seasonRounds))
		case !p.carriesSeason():
			said = append(said, "No season: the days of the rounds do not tell it from the line.")
		default:
			said = append(said, "No season: it is not worth its two numbers.")
		}
	}
	if c.green && !c.drift {
		switch {
		case !p.carriesDrift():
			said = append(said, fmt.Sprintf("Greens keep step: slopes of their own need %d greens in %d rounds.", driftGreens, driftRounds))
		default:
			said = append(said, "Greens keep step: slopes of their own are not worth their two numbers.")
		}
	}
	return strings.Join(said, " ")
}

// finite reports whether every number is one.
func finite(values ...float64) bool {
	return !slices.ContainsFunc(values, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}
