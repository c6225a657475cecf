package mixed

import (
	"slices"
	"strings"
)

// Coding is how the columns of a table became the columns of a design, so that other rows can be coded the same way.
type Coding struct {
	formula Formula
	fixed   plan
	random  []randomPlan
	beyond  [][]float64 // what rounding took from the columns of the fit; see draft.beyond
}

// randomPlan is how one random term is coded.
type randomPlan struct {
	effects plan
	group   grouping
}

// grouping is the levels of a group of one or more columns.
type grouping struct {
	columns []coded
	pairs   [][]uint64 // for each column after the first: which (level so far, level of the column) occur, sorted
	levels  []string
}

// pair puts two levels into one number that sorts by the first, then the second.
func pair(a, b int32) uint64 { return uint64(uint32(a))<<32 | uint64(uint32(b)) }

// group folds the factors of the columns of a group into one and keeps how.
func (g *grouping) fold(fs []factor) []int32 {
	codes, levels := fs[0].codes, fs[0].levels
	for _, f := range fs[1:] {
		keys := pairsOf(codes, f.codes)
		names := make([]string, len(keys))
		for i, k := range keys {
			names[i] = levels[k>>32] + ":" + f.levels[uint32(k)]
		}
		codes, levels = ranked(codes, f.codes, keys), names
		g.pairs = append(g.pairs, keys)
	}
	g.levels = levels
	return codes
}

// pairsOf gives the pairs that occur, sorted.
func pairsOf(a, b []int32) []uint64 {
	seen := map[uint64]struct{}{}
	last := pair(-1, -1)
	for i := range a {
		if k := pair(a[i], b[i]); k != last && a[i] >= 0 && b[i] >= 0 {
			seen[k] = struct{}{}
			last = k
		}
	}
	keys := make([]uint64, 0, len(seen))
	for k := range seen {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// ranked gives for each row the place of its pair among the keys; −1 for one that is not there.
func ranked(a, b []int32, keys []uint64) []int32 {
	out := make([]int32, len(a))
	last, place := pair(-1, -1), int32(-1)
	for i := range a {
		if k := pair(a[i], b[i]); k != last {
			last, place = k, -1
			if a[i] >= 0 && b[i] >= 0 {
				if at, ok := slices.BinarySearch(keys, k); ok {
					place = int32(at)
				}
			}
		}
		out[i] = place
	}
	return out
}

// At codes rows for prediction as the rows of the fit were coded. The response need not be there. A level of a factor that
// the fit has not seen is an error, a level of a group that it has not seen is −1: so is a missing one, and all of them
// when the table has no such column, which predicts for the population.
func (d *Design) At(frame *Frame) ([]At, error) {
	if d.Coding == nil {
		return nil, errNoCoding
	}
	c := d.Coding
	s := source{c.formula.written, frame}
	n := frame.rows
	x, err := s.rows(&c.fixed, n)
	if err != nil {
		return nil, err
	}
	p, q := len(c.fixed.names), 0
	z, levels := make([][][]float64, len(c.random)), make([][]int32, len(c.random))
	for t := range c.random {
		if z[t], err = s.rows(&c.random[t].effects, n); err != nil {
			return nil, err
		}
		if levels[t], err = s.groupAt(&c.random[t].group, n); err != nil {
			return nil, err
		}
		q += len(z[t])
	}
	out := make([]At, n)
	numbers := make([]float64, n*(p+q))
	codes := make([]int32, n*len(z))
	parts := make([][]float64, n*len(z))
	take := func(columns [][]float64, i int) []float64 {
		row := numbers[:len(columns):len(columns)]
		numbers = numbers[len(columns):]
		for j, c := range columns {
			row[j] = 1
			if c != nil {
				row[j] = c[i]
			}
		}
		return row
	}
	for i := range out {
		out[i].X = take(x, i)
		out[i].Level, codes = codes[:len(z):len(z)], codes[len(z):]
		out[i].Z, parts = parts[:len(z):len(z)], parts[len(z):]
		for t := range z {
			out[i].Z[t], out[i].Level[t] = take(z[t], i), levels[t][i]
		}
	}
	return out, nil
}

// rows gives the columns of a plan for the rows of another table.
func (s source) rows(p *plan, n int) ([][]float64, error) {
	vs := make([]values, len(p.variables))
	for i, c := range p.variables {
		v, err := s.variable(c.expr, c.factor)
		if err != nil {
			return nil, err
		}
		if v.factor != nil && !c.factor {
			return nil, s.fault(c.expr.at, "%s holds words, and held numbers when the model was fitted", c.name)
		}
		if c.factor {
			known := recoded(*v.factor, c.levels)
			for row, code := range known {
				if code >= 0 {
					continue
				}
				if old := v.factor.codes[row]; old >= 0 {
					return nil, s.fault(c.expr.at, "%s is %q in row %d, which the model has not seen: allowed are %s", c.name, v.factor.levels[old], row+1, listed(c.levels))
				}
				return nil, s.fault(c.expr.at, "%s is missing in row %d", c.name, row+1)
			}
			v.factor = &factor{known, c.levels}
		} else if row := firstUnknown(v.numbers); row >= 0 {
			return nil, s.fault(c.expr.at, "%s is missing or infinite in row %d", c.name, row+1)
		}
		vs[i] = v
	}
	return p.matrix(vs, n), nil
}

// groupAt gives the level of a group for each row.
func (s source) groupAt(g *grouping, n int) ([]int32, error) {
	var codes []int32
	for i, c := range g.columns {
		f := factor{codes: slices.Repeat([]int32{-1}, n)}
		if s.has(c.expr) {
			v, err := s.variable(c.expr, true)
			if err != nil {
				return nil, err
			}
			f = *v.factor
		}
		known := recoded(f, c.levels)
		if i == 0 {
			codes = known
			continue
		}
		codes = ranked(codes, known, g.pairs[i-1])
	}
	return codes, nil
}

// has tells whether every column of an expression is there.
func (s source) has(e *node) bool {
	all := true
	e.columns(func(n *node) { all = all && (s.frame.byName[n.name] != nil || n.name == "pi" && !n.tick) })
	return all
}

// recoded gives the codes of a factor by other levels; −1 for one that is not among them.
func recoded(f factor, levels []string) []int32 {
	at := make(map[string]int32, len(levels))
	for i, l := range levels {
		at[l] = int32(i)
	}
	to := make([]int32, len(f.levels))
	for i, l := range f.levels {
		to[i] = -1
		if code, ok := at[l]; ok {
			to[i] = code
		}
	}
	out := make([]int32, len(f.codes))
	for i, c := range f.codes {
		out[i] = -1
		if c >= 0 {
			out[i] = to[c]
		}
	}
	return out
}

// Formula gives the formula the design was made by.
func (c *Coding) Formula() Formula { return c.formula }

// Reference is the level that the others of a factor are compared with.
type Reference struct{ Factor, Level string }

// References gives the first levels of the factors of the fixed effects that are coded by contrasts.
func (c *Coding) References() []Reference {
	var out []Reference
	for i, v := range c.fixed.variables {
		if v.factor && c.fixed.contrasted(i) {
			out = append(out, Reference{v.name, v.levels[0]})
		}
	}
	return out
}

// contrasted tells whether a factor lacks its first level in some term.
func (p *plan) contrasted(v int) bool {
	for _, t := range p.terms {
		for j, of := range t.variables {
			if of == v && !t.full[j] {
				return true
			}
		}
	}
	return false
}

// TermNames writes the random terms as they were understood: "(1 + Days | Subject)".
func (c *Coding) TermNames() []string {
	var out []string
	for _, r := range c.formula.random {
		var effects []string
		if r.effects.intercept {
			effects = append(effects, "1")
		} else {
			effects = append(effects, "0")
		}
		for _, t := range r.effects.terms {
			effects = append(effects, joined(r.effects.of(t)))
		}
		out = append(out, "("+strings.Join(effects, " + ")+" | "+r.groupName()+")")
	}
	return out
}
