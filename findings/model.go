package findings

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"underfoot/mixed"
)

// model says what the mixed model of one layer holds.
type model struct {
	share  bool // greens and cores differ by a share of the level, not by points
	green  bool // each green has a level of its own
	drift  bool // and a slope of its own, correlated with its level
	round  bool // a good or a bad year moves all greens alike
	season bool // one harmonic of the year
	asCame bool // rounds stand as they came, as fixed effects beside the line, instead of being drawn towards it
}

// formula writes the model as the mixed command would take it, with level = mean of the round over the mean of all rounds.
func (m model) formula() string {
	var b strings.Builder
	b.WriteString("om ~ year")
	if m.season {
		b.WriteString(" + cos + sin")
	}
	switch {
	case m.green && m.drift && m.share:
		b.WriteString(" + (0 + level + level:year | green)")
	case m.green && m.drift:
		b.WriteString(" + (year | green)")
	case m.green && m.share:
		b.WriteString(" + (0 + level | green)")
	case m.green:
		b.WriteString(" + (1 | green)")
	}
	switch {
	case m.asCame:
		b.WriteString(" + round")
	case m.round:
		b.WriteString(" + (1 | round)")
	}
	return b.String()
}

// words tell the model in plain words: "year; greens, each with a level of its own in proportion to the round's mean; …".
func (m model) words() string {
	parts := []string{"year"}
	if m.season {
		parts = append(parts, "time of the year as one wave")
	}
	how := "in points"
	if m.share {
		how = "in proportion to the level"
	}
	switch {
	case m.green && m.drift:
		parts = append(parts, "greens that differ "+how+" and drift apart")
	case m.green:
		parts = append(parts, "greens that differ "+how)
	}
	if m.round {
		parts = append(parts, "good and bad rounds")
	}
	return strings.Join(parts, ", ") + "; cores scatter " + how
}

// layout is a panel written out for one model, with what is needed to speak of its greens and rounds.
type layout struct {
	model
	design  *mixed.Design
	columns [][]float64 // of the rounds: 1, year, the season, and rounds as they came
	line    int         // how many of them are the line and the season
	scale   []float64   // of the rounds: level over the mean level, 1 where greens differ in points
}

// lay writes the panel out as numbers.
//
//	y_ij = β₀ + β·t_j (+ season) + ℓ_j·(a_i + b_i·t_j) + r_j + e_ij    Var e_ij = ℓ_j²·σ²/cores_ij + u_ij²
//
// y_ij [%] is green i in round j at t_j years from the mean of the rounds, ℓ_j the level of the round over the mean
// level, or 1 where greens differ in points, a_i and b_i the green's own level and slope, r_j the round, σ [points]
// one core about its green, u_ij [points] the bench.
func (p *panel) lay(m model) layout {
	n := len(p.cells)
	l := layout{model: m, scale: ones(len(p.rounds))}
	if m.share {
		l.scale = p.shares()
	}
	l.columns = [][]float64{ones(len(p.rounds)), p.t}
	names := []string{"(Intercept)", "year"}
	if m.season {
		cos, sin := p.wave()
		l.columns, names = append(l.columns, cos, sin), append(names, "cos", "sin")
	}
	l.line = len(names)
	if m.asCame {
		for k, c := range beside(l.columns) {
			l.columns, names = append(l.columns, c), append(names, fmt.Sprintf("round %d beside the line", k+1))
		}
	}
	d := &mixed.Design{Response: "om", Y: make([]float64, n), Names: names, Weights: make([]float64, n)}
	for range names {
		d.Columns = append(d.Columns, make([]float64, n))
	}
	known := make([]float64, n)
	level, drift := make([]float64, n), make([]float64, n)
	for i, c := range p.cells {
		j := p.round[i]
		d.Y[i], known[i] = c.om, c.u
		d.Weights[i] = c.cores / (l.scale[j] * l.scale[j])
		for k := range names {
			d.Columns[k][i] = l.columns[k][j]
		}
		level[i], drift[i] = l.scale[j], l.scale[j]*p.t[j]
	}
	if p.measured() {
		d.KnownSD = known
	}
	if m.green {
		term := mixed.Term{Group: "green", Names: []string{"(Intercept)"}, Levels: p.greenNames(), Level: levels(p.green), Z: [][]float64{nil}}
		if m.share {
			term.Names[0], term.Z[0] = "level", level
		}
		if m.drift {
			term.Names, term.Z = append(term.Names, "drift"), append(term.Z, drift)
		}
		d.Terms = append(d.Terms, term)
	}
	if m.round && !m.asCame {
		d.Terms = append(d.Terms, mixed.Term{Group: "round", Names: []string{"(Intercept)"}, Levels: p.rounds, Level: levels(p.round), Z: [][]float64{nil}})
	}
	l.design = d
	return l
}

func levels(index []int) []int32 {
	out := make([]int32, len(index))
	for i, v := range index {
		out[i] = int32(v) //nolint:gosec // greens and rounds are counted in hundreds
	}
	return out
}

// greenNames are the greens in the order of their numbers.
func (p *panel) greenNames() []string {
	names := make([]string, p.greens)
	for i, c := range p.cells {
		names[p.green[i]] = c.green
	}
	return names
}

// shares gives the level of each round over the mean of the levels, greens taken as the same in every round. A round with
// next to nothing in it keeps a twentieth, so that it does not outweigh all the others.
func (p *panel) shares() []float64 {
	s := p.settle()
	out := make([]float64, len(p.rounds))
	var mean float64
	for j := range out {
		out[j], _ = p.level(s, j)
		mean += out[j] / float64(len(out))
	}
	const least = 0.05 // of the mean level (common practice, no source)
	for j := range out {
		out[j] = math.Max(out[j]/mean, least)
	}
	return out
}

// wave gives one harmonic of the year at the rounds: cosine and sine of the date as an angle.
func (p *panel) wave() (cos, sin []float64) {
	for _, at := range p.dates {
		angle := 2 * math.Pi * float64(at.YearDay()) / daysPerYear
		cos, sin = append(cos, math.Cos(angle)), append(sin, math.Sin(angle))
	}
	return cos, sin
}

var errExact = errors.New("greens and rounds explain every composite to the last decimal, which cores never allow: without scatter nothing can be told from chance")

// fit fits the model.
func (p *panel) fit(m model, ml bool) (layout, *mixed.Fitted, error) {
	l := p.lay(m)
	f, err := mixed.Fit(l.design, mixed.Options{ML: ml})
	if errors.Is(err, mixed.ErrExact) {
		return l, nil, errExact
	}
	if err != nil {
		return l, nil, fmt.Errorf("mixed model %s: %w", m.formula(), err)
	}
	return l, f, nil
}
