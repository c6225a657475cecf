package findings

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"underfoot/mixed"
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
	Growth               Growth    // whether the spread grows
	Share                bool      // greens differ by a share of the level, and are compared at that of the last round
	Model                string    // the mixed model as a formula; empty where none was fitted
	Method               string
	Warnings             []string

	profiled bool // the interval is that of the profile likelihood
	left     int  // greens that cannot be compared with those of the last round
}

// Green is one green's level in one layer, as at the last round.
type Green struct {
	Green      string
	Estimate   unit.Percent // shrunk towards the course
	SE         unit.Percent // points
	Deviation  float64      // shrunk, from the mean of the greens [points]
	FromMiddle float64      // shrunk, from the median of the greens [points]
	FromSE     float64      // standard error of the deviation [points]
	StandsOut  bool
	Rounds     int          // it was sampled in
	Last       unit.Percent // what its last composite showed
	LastDate   time.Time
}

// CompareGreens gives the standard deviation between greens in one layer and each green's level, as at the last round.
//
//	y_ij·ℓ_R/ℓ_j = ρ_j + a_i (+ b_i·(t_j − t_R)) + e_ij    Var e_ij = σ²/cores_ij + (u_ij·ℓ_R/ℓ_j)²
//
// ρ_j [%] is round j as it came, a_i [points] green i at the last round R, drawn from a normal distribution of standard
// deviation SD; ℓ is the level of a round over the mean level where greens differ by a share of the level (see choose),
// else 1. SD is by restricted maximum likelihood; a green's estimate is its best linear unbiased prediction, with the
// standard error of that prediction. The interval of SD is that of the profile likelihood. A green stands out where its prediction
// lies further from the median of the greens than the two-sided 5 % limit for G greens at once allows (Bonferroni): from
// the median, so that one odd green does not make all the others odd.
//
// With no green sampled twice the usual scatter of single cores stands in for σ, SD is by moments, and its interval puts the
// greens' levels â_i with their variances v_i into Σ (â_i − â)²/(SD² + v_i) = χ² quantiles of G − 1 (see interval).
// Ignored: that SD is estimated, in the standard errors.
// Sources (from memory): Henderson, Biometrics 31:423–447, 1975; Viechtbauer, Statist. Med. 26:37–52, 2007 (Q profile);
// Williams, Biometrika 49:278–281, 1962; Paule & Mandel 1982.
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
	p := newPanel(newPanel(cs).lastPart())
	if m, ok := p.greenModel(); ok {
		return compareAs(cs, m)
	}
	return compareAs(cs, model{})
}

// greenModel is how the greens differ, where the records show it.
func (p *panel) greenModel() (model, bool) {
	same := !slices.ContainsFunc(p.cells, func(c cell) bool { return c.om != p.cells[0].om })
	if same || !p.repeats() || len(p.cells)-p.greens-(len(p.rounds)-p.parts) <= 0 {
		return model{}, false
	}
	c, err := p.choose()
	if err != nil {
		return model{}, false
	}
	return c.model, true
}

func compareAs(cs []cell, m model) Consistency {
	all := newPanel(cs)
	p := newPanel(all.lastPart())
	if m.share {
		p.bringToLast()
	}
	out := Consistency{left: all.greens - p.greens, AsAt: p.dates[len(p.dates)-1], Share: m.share}
	s := p.settle()
	sc := p.own(s, m.drift)
	df := float64(p.greens - 1)
	if df <= 0 {
		out.Greens = p.list()
		out.Greens[0].Estimate, out.Greens[0].SE = unit.Percent(sc.z[0]), unit.Percent(math.Sqrt(sc.v[0]))
		out.explain(p)
		return out
	}
	out.Known = true
	out.Threshold = quantile(1-0.025/float64(p.greens), p.residual)
	if m.green && out.predict(p, m) {
		out.Growth = all.growth(m)
	} else {
		out.shrink(p, sc, sc.excess(df))
	}
	if !out.profiled {
		low, high := sc.interval(df, p.residual)
		out.SDLower95 = min(out.SD, unit.Percent(math.Sqrt(low)))
		out.SDUpper95 = max(out.SD, unit.Percent(math.Sqrt(high)))
	}
	out.explain(p)
	return out
}

// bringToLast scales every composite to the level of the last round: what greens and cores differ by there.
func (p *panel) bringToLast() {
	scale := p.shares()
	last := scale[len(scale)-1]
	for i := range p.cells {
		k := last / scale[p.round[i]]
		p.cells[i].om *= k
		p.cells[i].u *= k
	}
}

// own gives the greens' levels at the last round from their own composites alone [%], rounds' effects taken out, and their
// variances [points²]. What all greens share, the doubt about the rounds' effects, is left out: it moves them together.
// Greens that drift have a line each.
func (p *panel) own(s swept, drift bool) scatter {
	last := len(p.rounds) - 1
	a, v := make([]float64, p.greens), make([]float64, p.greens)
	for i := 0; i < len(p.cells); {
		g := p.green[i]
		from := i
		var w, wt, wtt float64
		for ; i < len(p.cells) && p.green[i] == g; i++ {
			t := p.t[p.round[i]] - p.t[last]
			k := p.weight(i, p.coreVar)
			w, wt, wtt = w+k, wt+k*t, wtt+k*t*t
		}
		det := w*wtt - wt*wt
		line := drift && i-from >= driftRounds && det > 1e-9*w*wtt
		for c := from; c < i; c++ {
			k := p.weight(c, p.coreVar) / w
			if line {
				k = p.weight(c, p.coreVar) * (wtt - wt*(p.t[p.round[c]]-p.t[last])) / det
			}
			a[g] += k * (p.cells[c].om - s.effects[p.round[c]] + s.effects[last])
			v[g] += k * k / p.weight(c, p.coreVar)
		}
	}
	return scatter{z: a, x: ones(p.greens), v: v}
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

// predict fits the greens by the mixed model and fills in the spread and every green; false where it cannot be fitted.
func (c *Consistency) predict(p *panel, m model) bool {
	d, err := p.greensAtLast(m.drift)
	if err != nil {
		return false
	}
	f, err := mixed.Fit(d, mixed.Options{})
	if err != nil || !(f.Sigma > 0) {
		return false
	}
	for _, part := range f.Components {
		if part.Other == "" && part.Name == "(Intercept)" {
			c.SD = unit.Percent(part.SD)
		}
	}
	k := len(d.Terms[0].Names)
	var asks []combination
	for i := range p.greens { // the level, and how far from the mean of the greens
		at := combination{fixed: make([]float64, len(d.Columns)), random: [][]float64{make([]float64, k*p.greens)}}
		apart := combination{fixed: make([]float64, len(d.Columns)), random: [][]float64{make([]float64, k*p.greens)}}
		at.fixed[len(p.rounds)-1] = 1
		at.random[0][i*k] = 1
		for g := range p.greens {
			apart.random[0][g*k] = -1 / float64(p.greens)
		}
		apart.random[0][i*k]++
		asks = append(asks, at, apart)
	}
	values, cov, ok := newEquations(d, f).covariance(asks, variancesOf(d, f))
	if !ok || len(f.Aliased) > 0 {
		return false
	}
	c.Model = m.greensFormula()
	if bounds, err := f.Intervals(0.95); err == nil && len(bounds) > 0 && finite(bounds[0].Lower, bounds[0].Upper) {
		c.profiled = true
		c.SDLower95, c.SDUpper95 = unit.Percent(min(bounds[0].Lower, float64(c.SD))), unit.Percent(max(bounds[0].Upper, float64(c.SD)))
	}
	c.Greens = p.list()
	for i := range c.Greens {
		g := &c.Greens[i]
		g.Estimate, g.SE = unit.Percent(values[2*i]), unit.Percent(math.Sqrt(max(0, cov.At(2*i, 2*i))))
		g.Deviation, g.FromSE = values[2*i+1], math.Sqrt(max(0, cov.At(2*i+1, 2*i+1)))
	}
	c.mark()
	return true
}

// greensAtLast writes out the model of CompareGreens: a column for every round, greens random, years from the last round.
func (p *panel) greensAtLast(drift bool) (*mixed.Design, error) {
	n, last := len(p.cells), len(p.rounds)-1
	d := &mixed.Design{Response: "om", Y: make([]float64, n), Weights: make([]float64, n)}
	for _, r := range p.rounds {
		d.Names, d.Columns = append(d.Names, "round "+r), append(d.Columns, make([]float64, n))
	}
	known, t := make([]float64, n), make([]float64, n)
	for i, c := range p.cells {
		j := p.round[i]
		d.Y[i], d.Weights[i], known[i], t[i] = c.om, c.cores, c.u, p.t[j]-p.t[last]
		d.Columns[j][i] = 1
	}
	if p.measured() {
		d.KnownSD = known
	}
	term := mixed.Term{Group: "green", Names: []string{"(Intercept)"}, Levels: p.greenNames(), Level: levels(p.green), Z: [][]float64{nil}}
	if drift {
		term.Names, term.Z = append(term.Names, "year"), append(term.Z, t)
	}
	d.Terms = []mixed.Term{term}
	if n <= len(p.rounds) {
		return nil, fmt.Errorf("%d composites in %d rounds", n, len(p.rounds))
	}
	return d, nil
}

func (m model) greensFormula() string {
	left := "om"
	if m.share {
		left = "om × level of the last round / level"
	}
	if m.drift {
		return left + " ~ round + (year | green)"
	}
	return left + " ~ round + (1 | green)"
}

// list gives the greens in order of name with what their last composites showed.
func (p *panel) list() []Green {
	var out []Green
	for i, c := range p.cells {
		if i == 0 || c.green != p.cells[i-1].green {
			out = append(out, Green{Green: c.green})
		}
		g := &out[len(out)-1]
		g.Rounds++
		if !c.date.Before(g.LastDate) {
			g.Last, g.LastDate = unit.Percent(c.seen), c.date
		}
	}
	return out
}

// shrink pulls each green towards the mean of the greens by how little is known about it, with the spread sb2 between
// them by moments.
//
//	estimate_i = â + SD²/(SD² + v_i)·(â_i − â)
func (c *Consistency) shrink(p *panel, s scatter, sb2 float64) {
	c.SD = unit.Percent(math.Sqrt(sb2))
	mean, info, _, _ := s.fit(sb2)
	c.Greens = p.list()
	for i := range c.Greens {
		g := &c.Greens[i]
		part := sb2 / (sb2 + s.v[i])
		own := part * s.v[i]
		g.Deviation = part * (s.z[i] - mean)
		g.Estimate = unit.Percent(mean + g.Deviation)
		g.SE, g.FromSE = unit.Percent(math.Sqrt(own+(1-part)*(1-part)/info)), math.Sqrt(own)
	}
	c.mark()
}

// mark finds the greens that stand out from the median of the greens.
func (c *Consistency) mark() {
	var all []float64
	for _, g := range c.Greens {
		all = append(all, g.Deviation)
	}
	middle := median(all)
	for i := range c.Greens {
		g := &c.Greens[i]
		g.FromMiddle = g.Deviation - middle
		g.StandsOut = g.FromSE > 0 && math.Abs(g.FromMiddle) > c.Threshold*g.FromSE
	}
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
