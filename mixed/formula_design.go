package mixed

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// DesignOptions names columns beside the formula.
type DesignOptions struct {
	Weights string // precision weights: a column, or arithmetic of columns such as 1/s^2; empty for none
	KnownSD string // known standard deviations of measurement, likewise
}

var errNoCoding = errors.New("this design was made by hand: rows for prediction have to be coded by hand too")

// mostNumbers bounds the fixed columns of a design: 4 GB of them.
const mostNumbers = 5e8

// draft is a design in the making: every variable the model uses, worked out once.
type draft struct {
	source
	formula Formula
	made    map[string]*values
	order   []string // names of made, as worked out
	rows    []int    // rows kept
}

// Design writes the model out as numbers. Rows that lack the response, a term, a group, a weight or a known standard
// deviation are left out and counted. A column of the design that is a column of the frame as it stands shares its slice.
func (f Formula) Design(frame *Frame, o DesignOptions) (*Design, error) {
	if f.response == nil {
		return nil, errors.New("the model is empty: make one with ParseFormula")
	}
	d := &draft{source{f.written, frame}, f, map[string]*values{}, nil, nil}
	out := &Design{Response: f.Response(), Coding: &Coding{formula: f}}
	if err := d.gather(o); err != nil {
		return nil, err
	}
	if err := d.leaveOut(out); err != nil {
		return nil, err
	}
	if err := d.beside(out, o); err != nil {
		return nil, err
	}
	if err := d.fixed(out); err != nil {
		return nil, err
	}
	for i := range f.random {
		if err := d.random(out, &f.random[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Keys of what a draft has made; a variable as a group is a factor whatever it is elsewhere.
const (
	keyResponse = "response"
	keyWeights  = "weights"
	keyKnownSD  = "known sd"
	keyTerm     = "term "
	keyGroup    = "group "
)

// gather works out everything the model uses.
func (d *draft) gather(o DesignOptions) error {
	if d.frame.rows == 0 {
		return errors.New("the table has no rows")
	}
	y, err := d.variable(d.formula.response, false)
	if err != nil {
		return err
	}
	if y.factor != nil {
		return d.fault(d.formula.response.at, "the response %s holds words (%s): it must be numbers", d.formula.Response(), exampleOf(*y.factor))
	}
	d.keep(keyResponse, y)
	for _, v := range d.formula.fixed.variables {
		if err := d.take(keyTerm, v, false); err != nil {
			return err
		}
	}
	for _, r := range d.formula.random {
		for _, v := range r.effects.variables {
			if err := d.take(keyTerm, v, false); err != nil {
				return err
			}
		}
		for _, v := range r.group {
			if err := d.take(keyGroup, v, true); err != nil {
				return err
			}
		}
	}
	for _, beside := range []struct{ key, text string }{{keyWeights, o.Weights}, {keyKnownSD, o.KnownSD}} {
		if beside.text == "" {
			continue
		}
		v, err := d.expression(beside.key, beside.text)
		if err != nil {
			return err
		}
		d.keep(beside.key, values{numbers: v})
	}
	return nil
}

func exampleOf(f factor) string {
	for _, c := range f.codes {
		if c >= 0 {
			return strconv.Quote(f.levels[c])
		}
	}
	return "nothing"
}

func (d *draft) keep(key string, v values) {
	d.made[key] = &v
	d.order = append(d.order, key)
}

func (d *draft) take(kind string, v variable, asFactor bool) error {
	if d.made[kind+v.name] != nil {
		return nil
	}
	made, err := d.variable(v.expr, asFactor)
	if err != nil {
		return err
	}
	d.keep(kind+v.name, made)
	return nil
}

// expression works out what stands beside the formula: a column by its name, or arithmetic.
func (d *draft) expression(what, text string) ([]float64, error) {
	w := written{what, text}
	e := &node{op: "name", at: 1, name: text}
	if d.frame.byName[text] == nil {
		var err error
		if e, err = w.expression(); err != nil {
			return nil, err
		}
	}
	return source{w, d.frame}.numbers(e)
}

// expression reads arithmetic that stands by itself.
func (w written) expression() (*node, error) {
	words, err := w.scan()
	if err != nil {
		return nil, err
	}
	p := &parser{written: w, words: words}
	e, err := p.expression(1)
	if err != nil {
		return nil, err
	}
	if t := p.next(); t.kind != "end" {
		return nil, w.fault(t.at, "expected an operator or the end and found %s", t.said())
	}
	if !p.named(e) {
		return nil, w.fault(1, "%s names no column", e)
	}
	return e, p.arithmetic(e)
}

// leaveOut finds the rows without a missing value and keeps only those of everything made.
func (d *draft) leaveOut(out *Design) error {
	n := d.frame.rows
	var lacking []bool
	lost := func(i int) {
		if lacking == nil {
			lacking = make([]bool, n)
		}
		lacking[i] = true
	}
	worst, most := "", 0
	for _, key := range d.order {
		v, missing := d.made[key], 0
		if v.factor != nil {
			for i, c := range v.factor.codes {
				if c < 0 {
					lost(i)
					missing++
				}
			}
		} else {
			for i, x := range v.numbers {
				switch {
				case math.IsNaN(x):
					lost(i)
					missing++
				case math.IsInf(x, 0):
					return fmt.Errorf("%s is infinite in row %d: every value must be finite, or empty", d.said(key), i+1)
				}
			}
		}
		if missing > most {
			worst, most = key, missing
		}
	}
	for i := range n {
		if lacking == nil || !lacking[i] {
			out.Rows = append(d.grown(out.Rows, n), i)
		}
	}
	d.rows = out.Rows
	out.Dropped = n - len(out.Rows)
	if len(out.Rows) == 0 {
		return fmt.Errorf("no row of %d has every value the model needs: %s is missing in %d", n, d.said(worst), most)
	}
	if out.Dropped > 0 {
		for _, v := range d.made {
			v.numbers = chosen(v.numbers, d.rows)
			if v.factor != nil {
				v.factor = &factor{chosen(v.factor.codes, d.rows), v.factor.levels}
			}
		}
	}
	out.Y = d.made[keyResponse].numbers
	return nil
}

// grown makes room for all rows at once.
func (d *draft) grown(rows []int, n int) []int {
	if rows == nil {
		return make([]int, 0, n)
	}
	return rows
}

func chosen[T any](from []T, rows []int) []T {
	if from == nil {
		return nil
	}
	out := make([]T, len(rows))
	for i, r := range rows {
		out[i] = from[r]
	}
	return out
}

// said names what a key stands for.
func (d *draft) said(key string) string {
	switch key {
	case keyResponse:
		return "the response " + d.formula.Response()
	case keyWeights:
		return "the weight"
	case keyKnownSD:
		return "the known sd"
	}
	for _, kind := range []string{keyTerm, keyGroup} {
		if len(key) > len(kind) && key[:len(kind)] == kind {
			return key[len(kind):]
		}
	}
	return key
}

// beside checks the weights and the known standard deviations.
func (d *draft) beside(out *Design, o DesignOptions) error {
	if v := d.made[keyWeights]; v != nil {
		for i, w := range v.numbers {
			if !(w > 0) {
				return fmt.Errorf("weights %s, row %d: %s: a precision weight must be above 0", o.Weights, d.rows[i]+1, shownNumber(w))
			}
		}
		out.Weights = v.numbers
	}
	if v := d.made[keyKnownSD]; v != nil {
		for i, s := range v.numbers {
			if s < 0 {
				return fmt.Errorf("known sd %s, row %d: %s: a standard deviation must be 0 or more", o.KnownSD, d.rows[i]+1, shownNumber(s))
			}
		}
		out.KnownSD = v.numbers
	}
	return nil
}

// coded gives the variables of a side with their levels, and their values by those levels.
func (d *draft) coded(s side) ([]coded, []values, error) {
	cs, vs := make([]coded, len(s.variables)), make([]values, len(s.variables))
	for i, v := range s.variables {
		made := d.made[keyTerm+v.name]
		cs[i] = coded{variable: v}
		if made.factor != nil {
			used := made.factor.used()
			if len(used.levels) == 1 && appears(s, i) {
				return nil, nil, d.fault(v.expr.at, "the factor %s has one level (%q) in the %s used: a factor needs 2 or more to be compared; leave it out", v.name, used.levels[0], counted(len(d.rows), "row"))
			}
			made.factor = &used
			cs[i].factor, cs[i].levels = true, used.levels
		}
		vs[i] = *made
	}
	return cs, vs, nil
}

// appears tells whether a variable is still in a term after terms were taken away.
func appears(s side, i int) bool {
	for _, t := range s.terms {
		if t&(1<<i) != 0 {
			return true
		}
	}
	return false
}

// fixed writes the columns of the fixed effects.
func (d *draft) fixed(out *Design) error {
	cs, vs, err := d.coded(d.formula.fixed)
	if err != nil {
		return err
	}
	n := len(d.rows)
	p := newPlan(d.formula.fixed, cs)
	switch k := p.columns(mostColumns); {
	case k == 0:
		return fmt.Errorf("model %q has no fixed effect: keep the intercept, 1", d.formula.text)
	case k > mostColumns:
		return fmt.Errorf("the fixed part of model %q has more than %d columns: put a factor of many levels into a random term, (1 | factor)", d.formula.text, mostColumns)
	case float64(k)*float64(n) > mostNumbers:
		return fmt.Errorf("the fixed part of model %q has %d columns of %d rows, and %.0f numbers can be held: put a factor of many levels into a random term, (1 | factor)", d.formula.text, k, n, float64(mostNumbers))
	}
	out.Columns, out.Names, out.Coding.fixed = p.matrix(vs, n), p.names, p
	for j, c := range out.Columns {
		if c == nil {
			c = make([]float64, n)
			for i := range c {
				c[i] = 1
			}
			out.Columns[j] = c
		}
	}
	out.Coding.beyond = d.beyond(&p, vs, out.Columns)
	return nil
}

// random writes one random term.
func (d *draft) random(out *Design, r *randomTerm) error {
	cs, vs, err := d.coded(r.effects)
	if err != nil {
		return err
	}
	n := len(d.rows)
	p := newPlan(r.effects, cs)
	switch k := p.columns(mostColumns); {
	case k == 0:
		return d.fault(r.at, "there is no effect left before the bar")
	case k > mostColumns || float64(k)*float64(n) > mostNumbers:
		return d.fault(r.at, "a random term has too many effects of %s: allowed are %d", r.groupName(), mostColumns)
	}
	g := grouping{}
	fs := make([]factor, len(r.group))
	for i, v := range r.group {
		made := d.made[keyGroup+v.name]
		used := made.factor.used()
		made.factor, fs[i] = &used, used
		g.columns = append(g.columns, coded{v, true, used.levels})
	}
	t := Term{Group: r.groupName(), Names: p.names, Level: g.fold(fs)}
	t.Levels, t.Z = g.levels, p.matrix(vs, n)
	out.Terms = append(out.Terms, t)
	out.Coding.random = append(out.Coding.random, randomPlan{p, g})
	return d.identifiable(out, r, t)
}

// identifiable refuses a random term that these rows cannot tell from the residual whatever they say.
func (d *draft) identifiable(out *Design, r *randomTerm, t Term) error {
	n, levels, effects := len(d.rows), len(t.Levels), len(t.Names)
	only := effects == 1 && t.Z[0] == nil
	switch {
	case levels == 1:
		return d.fault(r.group[0].expr.at, "the group %s has one level (%q) in the %s used: a random term needs 2 or more", t.Group, t.Levels[0], counted(n, "row"))
	case out.KnownSD != nil:
		return nil
	case only && levels == n && even(out.Weights):
		return d.fault(r.group[0].expr.at, "the group %s has a level for each of the %s used, so that its variance cannot be told from the residual: leave the term out", t.Group, counted(n, "row"))
	case levels*effects > n || levels*effects == n && effects > 1:
		return d.fault(r.group[0].expr.at, "%s of %s are %s and there are %s: fewer effects than rows are needed to tell their variance from the residual", counted(effects, "effect"), counted(levels, "level")+" of "+t.Group, counted(levels*effects, "random effect"), counted(n, "row"))
	}
	return nil
}

// even tells whether all weights are equal.
func even(weights []float64) bool {
	for _, w := range weights {
		if w != weights[0] {
			return false
		}
	}
	return true
}

// firstUnknown is the first row whose value is missing or infinite; −1 when there is none.
func firstUnknown(vs []float64) int {
	for i, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return i
		}
	}
	return -1
}

// Columns adds the columns that the options use to those that a formula uses.
func (o DesignOptions) Columns(used []Column) []Column {
	at := map[string]int{}
	for i, c := range used {
		at[c.Name] = i
	}
	add := func(name string) {
		if i, known := at[name]; known {
			used[i].Factor = false
			return
		}
		at[name] = len(used)
		used = append(used, Column{Name: name})
	}
	for _, beside := range []struct{ key, text string }{{keyWeights, o.Weights}, {keyKnownSD, o.KnownSD}} {
		if beside.text == "" {
			continue
		}
		add(beside.text) // a column may have any name
		if e, err := (written{beside.key, beside.text}).expression(); err == nil {
			e.columns(func(n *node) { add(n.name) })
		}
	}
	return used
}
