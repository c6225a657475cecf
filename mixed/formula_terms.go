package mixed

import (
	"math"
	"math/bits"
	"slices"
)

// variable is what a term is made of: a column, or a function of columns.
type variable struct {
	name string // as R writes it: "age", "I(day^2)", "factor(x)"
	expr *node
}

// term is a set of variables, one bit each; their product. The empty set is the intercept.
type term uint64

func (t term) degree() int { return bits.OnesCount64(uint64(t)) }

// side is one side of a formula or of a bar with its terms in R's order: by degree, then as written.
type side struct {
	variables []variable
	terms     []term
	intercept bool
}

// expansion turns operators into terms (R, "An Introduction to R" section 11.1 and ?formula).
type expansion struct {
	p    *parser
	side side
	bars []*node // random terms in the order written
	open bool    // random terms are allowed
}

// expand reads the terms of one side.
func (p *parser) expand(e *node, bars bool) (side, []*node, error) {
	x := &expansion{p: p, side: side{intercept: true}, open: bars}
	terms, err := x.terms(e, bars)
	if err != nil {
		return side{}, nil, err
	}
	slices.SortStableFunc(terms, func(a, b term) int { return a.degree() - b.degree() })
	x.side.terms = terms
	return x.side, x.bars, nil
}

// terms gives the terms of an expression; 0 and 1 change the intercept only. top is true outside of any product.
func (x *expansion) terms(e *node, top bool) ([]term, error) {
	switch e.op {
	case "number":
		switch e.value {
		case 0:
			x.side.intercept = false
		case 1:
			x.side.intercept = true
		default:
			return nil, x.p.fault(e.at, "%s cannot be a term: allowed are 1 (with intercept) and 0 (without); a power of a column is written I(x^2)", numberName(e.value))
		}
		return nil, nil
	case "name", "call":
		t, err := x.variable(e)
		return []term{t}, err
	case "(":
		if e.left.op == "|" || e.left.op == "||" {
			if !x.open || !top {
				return nil, x.p.fault(e.at, "a random term stands where none can: add it with + outside of other brackets")
			}
			x.bars = append(x.bars, e.left)
			return nil, nil
		}
		return x.terms(e.left, top)
	case "neg":
		return x.without(nil, e.left)
	case "|", "||":
		return nil, x.p.fault(e.at, "a random term stands in brackets: write (1 | group)")
	}
	left, err := x.terms(e.left, top && (e.op == "+" || e.op == "-"))
	if err != nil {
		return nil, err
	}
	switch e.op {
	case "-":
		return x.without(left, e.right)
	case "^":
		return x.power(left, e)
	}
	right, err := x.terms(e.right, top && e.op == "+")
	if err != nil {
		return nil, err
	}
	if len(left)*len(right) > mostProducts {
		return nil, x.tooMany(e)
	}
	switch e.op {
	case "+":
		return x.within(e, distinct(left, right))
	case ":":
		return x.within(e, products(left, right))
	case "*":
		return x.within(e, distinct(left, right, products(left, right)))
	default: // a/b is a + a:b; (a + b)/c is a + b + a:b:c
		var all term
		for _, t := range left {
			all |= t
		}
		return x.within(e, distinct(left, products([]term{all}, right)))
	}
}

// within refuses more terms than anybody can want.
func (x *expansion) within(e *node, ts []term) ([]term, error) {
	if len(ts) > mostTerms {
		return nil, x.tooMany(e)
	}
	return ts, nil
}

func (x *expansion) tooMany(e *node) error {
	return x.p.fault(e.at, "%q makes more than %d terms", e.op, mostTerms)
}

// variable finds or adds a variable and returns the term of it alone.
func (x *expansion) variable(e *node) (term, error) {
	name := e.String()
	for i, v := range x.side.variables {
		if v.name == name {
			return 1 << i, nil
		}
	}
	if err := x.p.checkVariable(e); err != nil {
		return 0, err
	}
	if len(x.side.variables) == mostVariables {
		return 0, x.p.fault(e.at, "there are more than %d variables", mostVariables)
	}
	x.side.variables = append(x.side.variables, variable{name, e})
	return 1 << (len(x.side.variables) - 1), nil
}

// without takes terms away; −1 takes the intercept and −0 gives it back.
func (x *expansion) without(left []term, e *node) ([]term, error) {
	if e.op == "number" && (e.value == 0 || e.value == 1) {
		x.side.intercept = e.value == 0
		return left, nil
	}
	had := x.side.intercept
	right, err := x.terms(e, false)
	if err != nil {
		return nil, err
	}
	x.side.intercept = had
	return slices.DeleteFunc(slices.Clone(left), func(t term) bool { return slices.Contains(right, t) }), nil
}

// power crosses the terms with themselves: (a + b + c)^2 has every pair.
func (x *expansion) power(left []term, e *node) ([]term, error) {
	n := e.right.value
	if e.right.op != "number" || n != math.Trunc(n) || n < 1 || n > mostVariables {
		return nil, x.p.fault(e.right.at, "the power of a bracket of terms is a whole number from 1 to %d; a power of a column is written I(x^2)", mostVariables)
	}
	if e.left.op == "name" || e.left.op == "call" {
		return nil, x.p.fault(e.left.at, "%s^%s is %[1]s itself in this notation: the power of a column is written I(%[1]s^%[2]s)", e.left, numberName(n))
	}
	out := left
	for range int(n) - 1 {
		if len(out)*len(left) > mostProducts {
			return nil, x.tooMany(e)
		}
		grown := distinct(out, products(out, left))
		if len(grown) > mostTerms {
			return nil, x.tooMany(e)
		}
		if len(grown) == len(out) {
			break
		}
		out = grown
	}
	return out, nil
}

func products(left, right []term) []term {
	seen := map[term]bool{}
	var out []term
	for _, a := range left {
		for _, b := range right {
			if t := a | b; !seen[t] {
				seen[t] = true
				out = append(out, t)
			}
		}
	}
	return out
}

// distinct joins lists and keeps the first of equal terms.
func distinct(lists ...[]term) []term {
	seen := map[term]bool{}
	var out []term
	for _, list := range lists {
		for _, t := range list {
			if !seen[t] {
				seen[t] = true
				out = append(out, t)
			}
		}
	}
	return out
}
