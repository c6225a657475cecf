package mixed

// plan is how the columns of one side of a formula are made from its variables.
type plan struct {
	intercept bool
	variables []coded
	terms     []planTerm
	names     []string // of the columns made
}

// coded is a variable with what the fit knew of it.
type coded struct {
	variable
	factor bool
	levels []string // of a factor
}

// planTerm is one product of variables.
type planTerm struct {
	variables []int
	full      []bool // for each: a column for every level, not only for those after the first
}

// newPlan works out which factors of which terms lose their first level (treatment contrasts).
//
// A factor v of a term T is coded by contrasts when T without v lies within the span of the terms before T: when T∖{v} is
// part of an earlier term, or is empty. Without an intercept the first factor of the first term that has one keeps all its
// levels. This is R's rule (terms.formula and model.matrix of R 4; Chambers & Hastie 1992, "Statistical Models in S",
// section 2.3.2).
func newPlan(s side, variables []coded) plan {
	p := plan{intercept: s.intercept, variables: variables}
	whole := !s.intercept // a factor still has to stand for the intercept
	for k, t := range s.terms {
		var pt planTerm
		for i := range variables {
			bit := term(1) << i
			if t&bit == 0 {
				continue
			}
			full := false
			if variables[i].factor {
				full = !within(t&^bit, s.terms[:k]) || whole
				whole = false
			}
			pt.variables = append(pt.variables, i)
			pt.full = append(pt.full, full)
		}
		p.terms = append(p.terms, pt)
	}
	p.name()
	return p
}

// within tells whether a term is empty or part of one of the terms.
func within(t term, earlier []term) bool {
	if t == 0 {
		return true
	}
	for _, e := range earlier {
		if t&^e == 0 {
			return true
		}
	}
	return false
}

// first is the first level of a factor that gets a column.
func first(full bool) int {
	if full {
		return 0
	}
	return 1
}

// width is the number of columns of a term.
func (p *plan) width(t planTerm) int {
	n := 1
	for j, v := range t.variables {
		if c := p.variables[v]; c.factor {
			n *= len(c.levels) - first(t.full[j])
		}
	}
	return n
}

// columns is the number of columns of the plan, cut off beyond limit.
func (p *plan) columns(limit int) int {
	n := 0
	if p.intercept {
		n = 1
	}
	for _, t := range p.terms {
		w := 1
		for j, v := range t.variables {
			if c := p.variables[v]; c.factor {
				if w *= len(c.levels) - first(t.full[j]); w > limit {
					return limit + 1
				}
			}
		}
		if n += w; n > limit {
			return limit + 1
		}
	}
	return n
}

// name writes the names of the columns; within a term the first variable runs fastest.
func (p *plan) name() {
	if p.columns(mostColumns) > mostColumns {
		return // refused by whoever asks for the columns
	}
	if p.intercept {
		p.names = append(p.names, "(Intercept)")
	}
	for _, t := range p.terms {
		for k := range p.width(t) {
			name := ""
			for j, v := range t.variables {
				c := p.variables[v]
				if j > 0 {
					name += ":"
				}
				name += c.name
				if c.factor {
					n := len(c.levels) - first(t.full[j])
					name += c.levels[first(t.full[j])+k%n]
					k /= n
				}
			}
			p.names = append(p.names, name)
		}
	}
}

// mostColumns bounds the columns of one side: normal equations of more would take hours. Common practice, no source.
const mostColumns = 5000

// matrix gives the columns for n rows of worked-out variables; a nil column is all ones. A column that is one variable as
// it stands is that variable's slice. The codes of a factor count its levels in the plan.
func (p *plan) matrix(vs []values, n int) [][]float64 {
	var out [][]float64
	if p.intercept {
		out = append(out, nil)
	}
	for _, t := range p.terms {
		for k := range p.width(t) {
			out = append(out, p.product(t, k, vs, n))
		}
	}
	return out
}

// product is column k of a term.
func (p *plan) product(t planTerm, k int, vs []values, n int) []float64 {
	var out []float64
	owned := false
	for j, v := range t.variables {
		c := p.variables[v]
		if !c.factor {
			if out == nil {
				out = vs[v].numbers
				continue
			}
			if !owned {
				out, owned = append(make([]float64, 0, n), out...), true
			}
			for i, x := range vs[v].numbers {
				out[i] *= x
			}
			continue
		}
		from := first(t.full[j])
		size := len(c.levels) - from
		level := int32(from + k%size)
		k /= size
		codes := vs[v].factor.codes
		switch {
		case out == nil:
			out, owned = make([]float64, n), true
			for i, code := range codes {
				if code == level {
					out[i] = 1
				}
			}
		default:
			if !owned {
				out, owned = append(make([]float64, 0, n), out...), true
			}
			for i, code := range codes {
				if code != level {
					out[i] = 0
				}
			}
		}
	}
	return out
}
