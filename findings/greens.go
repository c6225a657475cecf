package findings

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"underfoot/unit"
)

// Consistency says how even the greens are in one layer.
type Consistency struct {
	SD                   unit.Percent // between greens, points
	SDLower95, SDUpper95 unit.Percent
	Known                bool      // false: fewer than two greens, nothing to compare
	AsAt                 time.Time // the round the estimates are brought to: the last
	Greens               []Green   // in order of name
	Threshold            float64   // a green stands out beyond this many of its standard errors
	Method               string
	Warnings             []string

	left int // greens that cannot be compared with those of the last round
}

// Green is one green's level in one layer, as at the last round.
type Green struct {
	Green      string
	Estimate   unit.Percent // shrunk towards the course
	SE         unit.Percent // points
	Deviation  float64      // shrunk, from the mean of the greens [points]
	FromMiddle float64      // shrunk, from the median of the greens [points]
	StandsOut  bool
	Rounds     int          // it was sampled in
	Last       unit.Percent // what its last composite showed
	LastDate   time.Time
}

// CompareGreens gives the standard deviation between greens in one layer and each green's level.
//
//	â_i = a_i + error of variance v_i    Σ (â_i − â)²/(σ_b² + v_i) = G − 1
//	estimate_i = â + σ_b²/(σ_b² + v_i)·(â_i − â)
//
// â_i [%] is green i after the rounds' effects are taken out, brought to the last round; v_i
// [points²] the variance left in it by cores and bench over the rounds it was in; σ_b [points] the spread between
// greens. v_i comes from how greens depart from one another between rounds; with no green sampled
// twice it comes from the usual scatter of single cores. The interval of σ_b sets the sum above to χ²
// quantiles, with v scaled as Williams' interval does for its own uncertainty; for equal numbers it is
// that interval. A green stands out where it lies further from the median of the greens than the
// two-sided 5 % limit for G greens at once (Bonferroni) allows, after shrinkage: from the median, so that
// one odd green does not make all the others odd. Ignored: that σ_b is estimated, in the standard errors.
// Sources (from memory): Paule & Mandel 1982; Viechtbauer, Statist. Med. 26:37–52, 2007 (Q profile);
// Williams, Biometrika 49:278–281, 1962; best linear unbiased prediction, Henderson 1975.
func CompareGreens(obs []Observation) (Consistency, error) {
	if err := check(obs); err != nil {
		return Consistency{}, fmt.Errorf("spread between greens: %w", err)
	}
	return compareGreens(cells(obs)), nil
}

func compareGreens(cs []cell) Consistency {
	if len(cs) == 0 {
		return Consistency{}
	}
	all := newPanel(cs)
	p := newPanel(all.lastPart())
	out := Consistency{left: all.greens - p.greens}
	s := p.settle()
	a, v := p.greenLevels(s)
	out.AsAt = p.dates[len(p.dates)-1]
	sc := scatter{z: a, x: ones(len(a)), v: v}
	df := float64(len(a) - 1)
	var sb2 float64
	if df > 0 {
		out.Known = true
		sb2 = sc.excess(df)
		low, high := sc.interval(df, p.residual)
		out.SD = unit.Percent(math.Sqrt(sb2))
		out.SDLower95, out.SDUpper95 = unit.Percent(math.Sqrt(low)), unit.Percent(math.Sqrt(high))
		out.Threshold = quantile(1-0.025/float64(len(a)), p.residual)
	}
	out.Greens = p.shrink(sc, sb2, out.Threshold)
	out.explain(p)
	return out
}

// greenLevels are the greens' levels brought to the last round [%] and their variances [points²].
// What all greens share, the doubt about the rounds' effects, is left out: it moves them together.
func (p *panel) greenLevels(s swept) (a, v []float64) {
	last := s.effects[len(s.effects)-1]
	a, v = make([]float64, p.greens), make([]float64, p.greens)
	for i := range p.cells {
		g := p.green[i]
		w := p.weight(i, p.coreVar)
		a[g] += w / s.greenW[g] * (p.cells[i].om - s.effects[p.round[i]] + last)
		v[g] = 1 / s.greenW[g]
	}
	return a, v
}

// interval gives the 95 % bounds of the excess variance, where v itself has vdf degrees of freedom (0:
// taken as known).
func (s scatter) interval(df, vdf float64) (low, high float64) {
	bound := func(prob float64) float64 {
		chi := distuv.ChiSquared{K: df}.Quantile(prob)
		scale := 1.0
		if vdf > 0 {
			scale = distuv.F{D1: df, D2: vdf}.Quantile(prob) * df / chi
		}
		t := scatter{z: s.z, x: s.x, v: make([]float64, len(s.v))}
		for i := range s.v {
			t.v[i] = s.v[i] * scale
		}
		return t.excess(chi)
	}
	return bound(0.975), bound(0.025)
}

// shrink pulls each green towards the mean of the greens by how little is known about it.
func (p *panel) shrink(s scatter, sb2, threshold float64) []Green {
	mean, info, _, _ := s.fit(sb2)
	middle := median(s.z)
	var out []Green
	for i, c := range p.cells {
		if i == 0 || c.green != p.cells[i-1].green {
			out = append(out, Green{Green: c.green})
		}
		g := &out[len(out)-1]
		g.Rounds++
		if !c.date.Before(g.LastDate) {
			g.Last, g.LastDate = unit.Percent(c.om), c.date
		}
	}
	for i := range out {
		g := &out[i]
		part := sb2 / (sb2 + s.v[i])
		if len(out) == 1 { // no other green to be drawn to
			part = 1
		}
		g.Deviation = part * (s.z[i] - mean)
		g.Estimate = unit.Percent(mean + g.Deviation)
		own := part * s.v[i]
		g.SE = unit.Percent(math.Sqrt(own + (1-part)*(1-part)/info))
		g.FromMiddle = part * (s.z[i] - middle)
		g.StandsOut = threshold > 0 && own > 0 && math.Abs(g.FromMiddle) > threshold*math.Sqrt(own)
	}
	return out
}

func median(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

func ones(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = 1
	}
	return x
}
