package cli

import (
	"io"
	"math"
	"strconv"

	"underfoot/mixed"
)

// real is a number that is null in JSON when it is not known.
type real float64

// MarshalJSON writes the shortest decimals that read back as the same number.
func (r real) MarshalJSON() ([]byte, error) {
	v := float64(r)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	format := byte('f')
	if size := math.Abs(v); size != 0 && (size < 1e-6 || size >= 1e21) {
		format = 'e'
	}
	return strconv.AppendFloat(nil, v, format, -1, 64), nil
}

type mixedJSON struct {
	Model           string        `json:"model"`
	Method          string        `json:"method"`
	N               int           `json:"n"`
	RowsLeftOut     int           `json:"rows_left_out"`
	Criterion       real          `json:"criterion"`
	LogLikelihood   real          `json:"log_likelihood"`
	DFMethod        string        `json:"df_method"`
	Fixed           []fixedJSON   `json:"fixed"`
	Aliased         []aliasedJSON `json:"aliased"`
	Random          []randomJSON  `json:"random"`
	ResidualSD      real          `json:"residual_sd"`
	ResidualLower95 *real         `json:"residual_sd_lower95,omitempty"`
	ResidualUpper95 *real         `json:"residual_sd_upper95,omitempty"`
	KenwardRoger    []kenwardJSON `json:"kenward_roger,omitempty"`
	Effects         []effectJSON  `json:"random_effects"`
	Singular        bool          `json:"singular"`
	Warnings        []string      `json:"warnings"`
	Evaluations     int           `json:"evaluations"`
}

type fixedJSON struct {
	Name     string `json:"name"`
	Estimate real   `json:"estimate"`
	SE       real   `json:"se"`
	DF       real   `json:"df"`
	T        real   `json:"t"`
	P        real   `json:"p"`
	Lower95  real   `json:"lower95"`
	Upper95  real   `json:"upper95"`
}

type aliasedJSON struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// randomJSON is one effect of a random term; its correlation is that with the first effect of the term, null for the first.
type randomJSON struct {
	Group        string            `json:"group"`
	Name         string            `json:"name"`
	SD           real              `json:"sd"`
	Variance     real              `json:"variance"`
	Correlation  *real             `json:"correlation"`
	Correlations []correlationJSON `json:"correlations,omitempty"`
	Levels       int               `json:"levels"`
	Lower95      *real             `json:"lower95,omitempty"`
	Upper95      *real             `json:"upper95,omitempty"`
}

type correlationJSON struct {
	With        string `json:"with"`
	Correlation real   `json:"correlation"`
	Lower95     *real  `json:"lower95,omitempty"`
	Upper95     *real  `json:"upper95,omitempty"`
}

type kenwardJSON struct {
	Name string `json:"name"`
	SE   real   `json:"se"`
	DF   real   `json:"df"`
	T    real   `json:"t"`
	P    real   `json:"p"`
}

type effectJSON struct {
	Group        string `json:"group"`
	Level        string `json:"level"`
	Name         string `json:"name"`
	Estimate     real   `json:"estimate"`
	SD           real   `json:"sd"`
	PredictionSE real   `json:"prediction_se"`
}

// likelihood names what was maximised.
func (m *modelled) likelihood() string {
	if m.fit.ML {
		return "ML"
	}
	return "REML"
}

func (m *modelled) printJSON(w io.Writer) error {
	f := m.fit
	out := mixedJSON{
		Model: m.command.Model, Method: m.likelihood(), N: f.N, RowsLeftOut: m.design.Dropped, Criterion: real(f.Criterion),
		LogLikelihood: real(f.LogLikelihood), DFMethod: m.command.DF, Fixed: []fixedJSON{}, Aliased: []aliasedJSON{},
		Random: []randomJSON{}, ResidualSD: real(f.Sigma), Effects: []effectJSON{}, Singular: f.Singular, Warnings: m.warnings,
		Evaluations: f.Evaluations,
	}
	if out.Warnings == nil {
		out.Warnings = []string{}
	}
	for j, e := range m.coefficients {
		out.Fixed = append(out.Fixed, fixedJSON{f.Names[j], real(e.Value), real(e.SE), real(e.DF), real(e.T), real(e.P), real(e.Lower95), real(e.Upper95)})
	}
	for _, a := range f.Aliased {
		out.Aliased = append(out.Aliased, aliasedJSON{a.Name, a.Why})
	}
	for j, e := range m.kenward {
		out.KenwardRoger = append(out.KenwardRoger, kenwardJSON{f.Names[j], real(e.SE), real(e.DF), real(e.T), real(e.P)})
	}
	for _, t := range m.random() {
		out.Random = append(out.Random, t.json()...)
	}
	if i := m.residualInterval(); i != nil {
		out.ResidualLower95, out.ResidualUpper95 = known(i.Lower), known(i.Upper)
	}
	for _, e := range f.Modes() {
		out.Effects = append(out.Effects, effectJSON{e.Group, e.Level, e.Name, real(e.Estimate), real(e.SD), real(e.PredictionSE)})
	}
	return printJSON(w, out)
}

func known(v float64) *real {
	r := real(v)
	return &r
}

// randomRow is one effect of a random term with its correlations with those before it.
type randomRow struct {
	mixed.Component
	interval *mixed.Interval
	with     []correlationRow
}

type correlationRow struct {
	mixed.Component
	interval *mixed.Interval
}

// randomTerm is one random term as it is printed.
type randomTerm struct {
	term *mixed.Term
	rows []randomRow
}

// random sorts the components of the fit by term: each term has its standard deviations, then its correlations.
func (m *modelled) random() []randomTerm {
	var out []randomTerm
	c, i := m.fit.Components, m.intervals
	interval := func() *mixed.Interval {
		if len(i) == 0 {
			return nil
		}
		first := &i[0]
		i = i[1:]
		return first
	}
	for t := range m.design.Terms {
		term := &m.design.Terms[t]
		k := len(term.Names)
		r := randomTerm{term: term}
		for _, x := range c[:k] {
			r.rows = append(r.rows, randomRow{Component: x, interval: interval()})
		}
		c = c[k:]
		for j := range k {
			for range j {
				r.rows[j].with = append(r.rows[j].with, correlationRow{c[0], interval()})
				c = c[1:]
			}
		}
		out = append(out, r)
	}
	return out
}

// residualInterval is the last of the intervals; nil when none were asked for.
func (m *modelled) residualInterval() *mixed.Interval {
	if len(m.intervals) == 0 {
		return nil
	}
	return &m.intervals[len(m.intervals)-1]
}

func (t randomTerm) json() []randomJSON {
	var out []randomJSON
	for _, r := range t.rows {
		row := randomJSON{Group: r.Group, Name: r.Name, SD: real(r.SD), Variance: real(r.Variance), Levels: len(t.term.Levels)}
		if r.interval != nil {
			row.Lower95, row.Upper95 = known(r.interval.Lower), known(r.interval.Upper)
		}
		for _, w := range r.with {
			c := correlationJSON{With: w.Other, Correlation: real(w.Correlation)}
			if w.interval != nil {
				c.Lower95, c.Upper95 = known(w.interval.Lower), known(w.interval.Upper)
			}
			row.Correlations = append(row.Correlations, c)
		}
		if len(r.with) > 0 {
			row.Correlation = known(r.with[0].Correlation)
		}
		out = append(out, row)
	}
	return out
}
