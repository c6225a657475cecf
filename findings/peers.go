package findings

import (
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// LeastPeers is how many other courses it takes before anything is said of peers: fewer would be single courses, not a
// distribution (common practice, no source).
const LeastPeers = 5

// PeerCaution is said wherever peers are shown.
const PeerCaution = "Peers inform, they do not decide: this says where others are, not where this course should be, and no target is made from it."

// CourseLevel is what one course measured in one layer: the mean of its greens in one round.
type CourseLevel struct {
	Course string
	OM     unit.Percent
	SE     unit.Percent // standard error for greens like those sampled, points
	Greens int          // it rests on; 0 takes SE as it stands
	DF     float64      // of SE; 0 where it was assumed
}

// PeerTable is the distribution of one layer among the courses of someone else, without the courses.
type PeerTable struct {
	Source  string
	Courses int
	MeanSE  unit.Percent // mean standard error of the courses behind it, points
	P       []float64    // rising probabilities inside 0..1, three or more
	OM      []unit.Percent
}

// PeersAsked is what is needed to set a course among its peers: courses of the same species and layer.
type PeersAsked struct {
	Own    CourseLevel
	Others []CourseLevel
	Tables []PeerTable
	Seed   uint64 // of the draws for the interval; 0 means 1
}

// Peers is where a course stands among its peers.
type Peers struct {
	Known      bool
	Why        string // a plain sentence where nothing is shown
	Courses    int    // others, in the store and in tables
	FromTables int    // of them

	Measured, MeasuredSE unit.Percent // of this course, as it was sampled; with the scatter of all courses' greens
	Level, LevelSE       unit.Percent // drawn towards its peers by how little its sampling says
	Percentile           float64      // share of the peers that lie below, 0..100: expected value
	Low90, High90        float64      // 90 % interval of it
	Mean                 unit.Percent // of the true levels of all courses
	SD                   unit.Percent // between them, by restricted maximum likelihood, points
	Quantiles            []PeerQuantile
	Says                 string
	Method               string
}

// PeerQuantile is a quantile of the true levels of the peers.
type PeerQuantile struct {
	P  float64
	OM unit.Percent
}

// peerQuantiles are the probabilities a distribution of peers is told by.
func peerQuantiles() []float64 { return []float64{0.10, 0.25, 0.50, 0.75, 0.90} }

// ComparePeers sets a course among its peers, after partial pooling, so that one noisy round does not make a rank.
//
//	y_i ~ N(θ_i, s_i²)    θ_i ~ N(μ, τ²)    percentile = 100·E[share of peers with θ_j < θ_own]
//
// y_i [%] is what course i measured and s_i [points] its standard error, taken as known; θ_i its true level. Flat priors on
// μ and on τ; the posterior of τ is laid out on a grid, and given τ all is normal: courses that were measured well stand
// as measured, noisy ones are drawn to the others. The interval and the quantiles of the peers' true levels come from
// draws with a fixed seed. A table enters as its courses, spread over its quantiles along straight lines in normal
// scores, each with the mean standard error of the table. Courses lend one another the scatter of their greens. Ignored: that true levels need not be normal, that years and
// ways of sampling differ, and that s_i is itself estimated.
// Sources: Gelman, Carlin, Stern & Rubin, Bayesian Data Analysis, 2nd ed. 2004, section 5.4, equations 5.17 to 5.21;
// expected ranks, Laird & Louis, J. Educ. Stat. 14:29–46, 1989; τ by REML, Viechtbauer, J. Educ. Behav. Stat. 30:261–293,
// 2005 (all from memory).
func ComparePeers(a PeersAsked) (Peers, error) {
	if err := a.check(); err != nil {
		return Peers{}, fmt.Errorf("peers: %w", err)
	}
	out := Peers{Courses: len(a.Others), Measured: a.Own.OM}
	all := oneWay{}
	for _, l := range lendScatter(append([]CourseLevel{a.Own}, a.Others...)) {
		all.add(l)
	}
	out.MeasuredSE = unit.Percent(all.s[0])
	for _, t := range a.Tables {
		out.FromTables += t.Courses
		for _, c := range t.courses() {
			all.add(c)
		}
	}
	out.Courses += out.FromTables
	if out.Courses < LeastPeers {
		out.Why = fewPeers(out.Courses)
		return out, nil
	}
	out.Known = true
	mean, _, tau2 := all.reml()
	out.Mean, out.SD = unit.Percent(mean), unit.Percent(math.Sqrt(tau2))
	post := all.posterior()
	level, se := post.level(0)
	out.Level, out.LevelSE = unit.Percent(level), unit.Percent(se)
	if a.Seed == 0 {
		a.Seed = 1
	}
	shares, quantiles := post.draw(a.Seed)
	for _, s := range shares {
		out.Percentile += 100 * s / float64(len(shares))
	}
	slices.Sort(shares)
	out.Low90, out.High90 = 100*Quantile(shares, 0.05), 100*Quantile(shares, 0.95)
	for i, p := range peerQuantiles() {
		out.Quantiles = append(out.Quantiles, PeerQuantile{p, unit.Percent(quantiles[i])})
	}
	out.Says = out.sentence()
	out.Method = "Normal levels between courses with the standard error of each taken as known, flat priors on their mean and spread; quantiles of type 8; interval from draws with a fixed seed."
	return out, nil
}

// lendScatter gives every course the scatter of greens that all courses show together, as a share of the mean: a few
// greens that happen to agree would otherwise make a course look exact.
//
//	c² = Σ ν_i·G_i·(s_i/y_i)² / Σ ν_i    s_i = c·y_i/√G_i
//
// s_i [points] is the standard error, y_i [%] the mean and G_i the number of greens of course i, ν_i its degrees of freedom.
func lendScatter(levels []CourseLevel) []CourseLevel {
	var ss, df float64
	for _, l := range levels {
		if l.Greens > 0 && l.DF > 0 && l.OM > 0 {
			r := float64(l.SE / l.OM)
			ss, df = ss+l.DF*float64(l.Greens)*r*r, df+l.DF
		}
	}
	out := slices.Clone(levels)
	if df == 0 || ss == 0 {
		return out
	}
	c := math.Sqrt(ss / df)
	for i := range out {
		if l := &out[i]; l.Greens > 0 && l.OM > 0 {
			l.SE = unit.Percent(c * float64(l.OM) / math.Sqrt(float64(l.Greens)))
		}
	}
	return out
}

// fewPeers says why there is nothing to show.
func fewPeers(n int) string {
	others := "no other course has"
	switch {
	case n == 1:
		others = "1 other course has"
	case n > 1:
		others = fmt.Sprintf("%d other courses have", n)
	}
	return fmt.Sprintf("Nothing is shown: %s this species and layer on record, and it takes %d.", others, LeastPeers)
}

func (p *Peers) sentence() string {
	low, high := number(p.Low90, 0), number(p.High90, 0)
	interval := fmt.Sprintf(" (%s to %s in 100, 9 in 10)", low, high)
	if low == high { // few courses, far apart
		interval = ""
	}
	return fmt.Sprintf("At %s %% this course lies above about %s in 100 of %d other courses%s; half of them hold %s to %s %%.",
		number(float64(p.Level), 1), number(p.Percentile, 0), p.Courses, interval, number(float64(p.Quantiles[1].OM), 1), number(float64(p.Quantiles[3].OM), 1))
}

func (a PeersAsked) check() error {
	for _, l := range append([]CourseLevel{a.Own}, a.Others...) {
		if !(l.OM >= 0 && l.OM <= 100) {
			return fmt.Errorf("course %q: organic matter is %g %%: allowed is 0 to 100 %%", l.Course, float64(l.OM))
		}
		if !(l.SE >= 0) || math.IsInf(float64(l.SE), 0) {
			return fmt.Errorf("course %q: standard error is %g points: allowed is 0 or more", l.Course, float64(l.SE))
		}
	}
	for _, t := range a.Tables {
		if err := t.check(); err != nil {
			return err
		}
	}
	return nil
}
