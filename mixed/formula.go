package mixed

import (
	"slices"
	"strings"
)

// Formula is a model in words: response ~ fixed terms + (effects | group) + …
//
// The notation is that of Wilkinson & Rogers (1973, J R Stat Soc C 22, 392–399) as R reads it, with random terms in bars
// (Bates, Mächler, Bolker & Walker 2015, J Stat Softw 67(1), section 2.2):
//
//	a + b, a:b, a*b, a/b, (a + b)^2, - a    terms, their product, both, nesting, all pairs, without
//	1, 0, - 1                               with and without intercept
//	factor(x)                               a column of numbers as a factor
//	I(x^2), log(x), sqrt(x), …              arithmetic; the response too may be an expression
//	(1 | g), (x | g), (0 + x | g)           random intercept, intercept and slope correlated, slope alone
//	(x || g)                                intercept and slope independent: (1 | g) + (0 + x | g)
//	(1 | a:b), (1 | a/b)                    groups by two columns; (1 | a) + (1 | a:b)
//
// A column of words is a factor by itself, coded by treatment contrasts against its first level; any column can be a group.
type Formula struct {
	written
	response *node
	fixed    side
	random   []randomTerm
}

// randomTerm is one (effects | group).
type randomTerm struct {
	effects side
	group   []variable
	at      int // character of the formula
}

// groupName is the name of the group: its columns joined with colons, as written.
func (r randomTerm) groupName() string { return joined(r.group) }

func joined(vs []variable) string {
	names := make([]string, len(vs))
	for i, v := range vs {
		names[i] = v.name
	}
	return strings.Join(names, ":")
}

// of gives the variables of a term in the order of the side.
func (s side) of(t term) []variable {
	var out []variable
	for i, v := range s.variables {
		if t&(1<<i) != 0 {
			out = append(out, v)
		}
	}
	return out
}

// ParseFormula reads a formula. It knows nothing of the data: that a column is there is checked by [Formula.Design].
func ParseFormula(text string) (Formula, error) {
	w := written{"model", text}
	words, err := w.scan()
	if err != nil {
		return Formula{}, err
	}
	p := &parser{written: w, words: words}
	if len(words) == 1 {
		return Formula{}, p.fault(1, "nothing is written: write response ~ terms, for example y ~ x + (1 | group)")
	}
	response, terms, err := p.sides()
	if err != nil {
		return Formula{}, err
	}
	f := Formula{written: w, response: response}
	if err := p.checkResponse(response); err != nil {
		return Formula{}, err
	}
	var bars []*node
	if f.fixed, bars, err = p.expand(terms, true); err != nil {
		return Formula{}, err
	}
	if err := p.checkFixed(f); err != nil {
		return Formula{}, err
	}
	for _, bar := range bars {
		if err := p.randomTerms(&f, bar); err != nil {
			return Formula{}, err
		}
	}
	return f, p.checkRandom(f)
}

// randomTerms adds what one bracket with a bar says.
func (p *parser) randomTerms(f *Formula, bar *node) error {
	if bar.left.op == "|" || bar.left.op == "||" {
		return p.fault(bar.at, "there are two bars in one random term: write one bracket for each, (1 | a) + (1 | b)")
	}
	effects, _, err := p.expand(bar.left, false)
	if err != nil {
		return err
	}
	if !effects.intercept && len(effects.terms) == 0 {
		return p.fault(bar.left.at, "there is no effect before the bar: write 1 or the name of a column")
	}
	groups, err := p.groups(bar.right)
	if err != nil {
		return err
	}
	for _, g := range groups {
		for _, e := range independent(effects, bar.op == "||") {
			f.random = append(f.random, randomTerm{e, g, bar.left.at})
		}
	}
	return nil
}

// independent splits the effects of a double bar into terms of their own; the columns of one factor stay together.
func independent(s side, split bool) []side {
	if !split {
		return []side{s}
	}
	var out []side
	if s.intercept {
		out = append(out, side{intercept: true})
	}
	for _, t := range s.terms {
		vs := s.of(t)
		out = append(out, side{variables: vs, terms: []term{1<<len(vs) - 1}})
	}
	return out
}

// groups gives the groups named after a bar, each as the columns whose levels together are its levels.
func (p *parser) groups(e *node) ([][]variable, error) {
	if err := p.noNumbers(e); err != nil {
		return nil, err
	}
	s, _, err := p.expand(e, false)
	if err != nil {
		return nil, err
	}
	if len(s.terms) == 0 {
		return nil, p.fault(e.at, "there is no group after the bar: name a column")
	}
	var out [][]variable
	for _, t := range s.terms {
		out = append(out, s.of(t))
	}
	return out, nil
}

// noNumbers refuses a number where a group stands.
func (p *parser) noNumbers(e *node) error {
	switch {
	case e == nil || e.op == "call":
		return nil
	case e.op == "number":
		return p.fault(e.at, "%s cannot be a group: name a column", numberName(e.value))
	}
	if err := p.noNumbers(e.left); err != nil {
		return err
	}
	return p.noNumbers(e.right)
}

// checkVariable refuses a term that is no column, factor or arithmetic of columns.
func (p *parser) checkVariable(e *node) error {
	switch {
	case e.op == "name":
		return nil
	case e.isFactorCall() && e.left.isFactorCall():
		return p.fault(e.left.at, "%s of a factor is that factor: write it once", e.name)
	case !p.named(e):
		return p.fault(e.at, "%s names no column", e)
	}
	return p.arithmetic(e.left)
}

func (p *parser) named(e *node) bool {
	some := false
	e.columns(func(*node) { some = true })
	return some
}

// arithmetic refuses what cannot be worked out row by row.
func (p *parser) arithmetic(e *node) error {
	switch e.op {
	case ":", "|", "||":
		return p.fault(e.at, "%q has no meaning in arithmetic: allowed are + - * / ^ and %s", e.op, functionNames)
	}
	if e.isFactorCall() {
		return p.fault(e.at, "a factor has no place in arithmetic")
	}
	for _, part := range []*node{e.left, e.right} {
		if part != nil {
			if err := p.arithmetic(part); err != nil {
				return err
			}
		}
	}
	return nil
}

func (p *parser) checkResponse(e *node) error {
	if e.isFactorCall() {
		return p.fault(e.at, "the response must be numbers and %s is a factor", e)
	}
	if !p.named(e) {
		return p.fault(e.at, "the response %s names no column", e)
	}
	return p.arithmetic(e)
}

func (p *parser) checkFixed(f Formula) error {
	for _, v := range f.fixed.variables {
		if v.name == f.response.String() {
			return p.fault(v.expr.at, "the response %s is among the terms that explain it", v.name)
		}
	}
	return nil
}

// checkRandom refuses the same effect of the same group twice: the two variances could not be told apart.
func (p *parser) checkRandom(f Formula) error {
	seen := map[string]bool{}
	for _, r := range f.random {
		names := make([]string, len(r.group))
		for i, v := range r.group {
			names[i] = v.name
		}
		slices.Sort(names)
		group := strings.Join(names, "\x00")
		effects := map[string]string{} // for comparing and for saying
		if r.effects.intercept {
			effects["1"] = "the intercept"
		}
		for _, t := range r.effects.terms {
			effects[joined(r.effects.of(t))] = joined(r.effects.of(t))
		}
		for _, key := range sortedKeys(effects) {
			if id := group + "\x01" + key; seen[id] {
				return p.fault(r.at, "%s varies by %s in two random terms, and two such variances cannot be told apart: keep one (a slope alone is written 0 + x)", effects[key], r.groupName())
			} else {
				seen[id] = true
			}
		}
	}
	return nil
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// String gives the formula as it was written.
func (f Formula) String() string { return f.text }

// Response gives the response as R names it.
func (f Formula) Response() string {
	if f.response == nil {
		return ""
	}
	return f.response.String()
}

// Column is a column of a table that a formula uses.
type Column struct {
	Name   string
	Factor bool // only its levels are used, never its numbers
}

// Columns gives the columns the formula uses, in the order written.
func (f Formula) Columns() []Column {
	var out []Column
	at := map[string]int{}
	add := func(e *node, factor bool) {
		e.columns(func(n *node) {
			i, known := at[n.name]
			if !known {
				at[n.name] = len(out)
				out = append(out, Column{n.name, factor})
				return
			}
			out[i].Factor = out[i].Factor && factor
		})
	}
	levels := func(e *node) bool { return e.isFactorCall() && e.left.op == "name" }
	add(f.response, false)
	for _, v := range f.fixed.variables {
		add(v.expr, levels(v.expr))
	}
	for _, r := range f.random {
		for _, v := range r.effects.variables {
			add(v.expr, levels(v.expr))
		}
		for _, v := range r.group {
			add(v.expr, levels(v.expr) || v.expr.op == "name")
		}
	}
	return out
}
