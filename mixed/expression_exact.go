package mixed

import "math"

// longestExact is the number of rows up to which arithmetic is worked out in double arithmetic too. Longer tables are
// never so badly conditioned that it shows. Common practice, no source.
const longestExact = 50_000

// beyond gives, for each column of the fixed effects, what rounding took from it: the exact column is the column plus
// this, to about 32 digits. It is nil for a column that is exact, and where no column lost anything.
//
// Powers written as columns, I(x^2) to I(x^10), are nearly collinear, and their rounding to 16 digits alone costs half the
// digits of the coefficients (NIST StRD, Filip); the data rounded to 16 digits cost none.
func (d *draft) beyond(p *plan, vs []values, columns [][]float64) [][]float64 {
	if len(d.rows) > longestExact {
		return nil
	}
	var out [][]float64
	j := 0
	if p.intercept {
		j = 1
	}
	for _, t := range p.terms {
		if exact := d.exactProduct(p, t, vs); exact != nil {
			lost := make([]float64, len(exact))
			some := false
			for i, v := range exact {
				lost[i] = v.minus(double{columns[j][i], 0}).float()
				some = some || lost[i] != 0
			}
			if some {
				if out == nil {
					out = make([][]float64, len(columns))
				}
				out[j] = lost
			}
		}
		j += p.width(t)
	}
	return out
}

// exactProduct is a term of numbers in double arithmetic; nil when it is one plain column or cannot be worked out.
func (d *draft) exactProduct(p *plan, t planTerm, vs []values) []double {
	plain := len(t.variables) == 1
	for _, v := range t.variables {
		c := p.variables[v]
		if c.factor {
			return nil
		}
		plain = plain && c.expr.op == "name"
	}
	if plain {
		return nil
	}
	var out []double
	for _, v := range t.variables {
		x := exactly(p.variables[v].expr, d.exactColumn)
		if x.rows == nil {
			return nil
		}
		if out == nil {
			out = x.rows
			continue
		}
		for i := range out {
			out[i] = out[i].times(x.rows[i])
		}
	}
	for _, v := range out {
		if math.IsNaN(v.float()) || math.IsInf(v.float(), 0) {
			return nil
		}
	}
	return out
}

// exactColumn is a column of the frame at the rows kept, in numbers of its own.
func (d *draft) exactColumn(e *node) []double {
	c := d.frame.byName[e.name]
	if c == nil || c.numbers == nil {
		return nil
	}
	out := make([]double, len(d.rows))
	for i, r := range d.rows {
		out[i].hi = c.numbers[r]
	}
	return out
}

// exact is arithmetic in progress: numbers row by row, or one for all rows; neither when it cannot be worked out exactly.
type exact struct {
	rows     []double
	constant double
	known    bool
}

// exactly works out sums, products, quotients and whole powers.
func exactly(e *node, column func(*node) []double) exact {
	switch e.op {
	case "number":
		return exact{constant: double{e.value, 0}, known: true}
	case "name":
		rows := column(e)
		return exact{rows: rows, known: rows != nil}
	case "(":
		return exactly(e.left, column)
	case "call":
		if e.name == "I" {
			return exactly(e.left, column)
		}
		return exact{}
	case "neg":
		return exactly(e.left, column).with(exact{known: true}, func(a, _ double) double { return double{-a.hi, -a.lo} })
	}
	a := exactly(e.left, column)
	b := exactly(e.right, column)
	switch e.op {
	case "+":
		return a.with(b, double.plus)
	case "-":
		return a.with(b, double.minus)
	case "*":
		return a.with(b, double.times)
	case "/":
		return a.with(b, double.over)
	case "^":
		n := b.constant.hi
		if b.known && b.rows == nil && n >= 1 && n <= highestPower && n == math.Trunc(n) {
			return a.with(exact{known: true}, func(x, _ double) double { return x.raised(int(n)) })
		}
	}
	return exact{}
}

// with joins two results; the rows of the first are written over.
func (a exact) with(b exact, f func(a, b double) double) exact {
	switch {
	case !a.known || !b.known:
		return exact{}
	case a.rows == nil && b.rows == nil:
		return exact{constant: f(a.constant, b.constant), known: true}
	case a.rows == nil:
		for i, v := range b.rows {
			b.rows[i] = f(a.constant, v)
		}
		return b
	case b.rows == nil:
		for i, v := range a.rows {
			a.rows[i] = f(v, b.constant)
		}
		return a
	}
	for i, v := range a.rows {
		a.rows[i] = f(v, b.rows[i])
	}
	return a
}

// highestPower is the highest whole power worked out by products.
const highestPower = 64

// raised is the n-th power, n ≥ 1, by squaring.
func (a double) raised(n int) double {
	out, some := double{1, 0}, false
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			if some {
				out = out.times(a)
			} else {
				out, some = a, true
			}
		}
		a = a.times(a)
	}
	return out
}

// lost is what rounding took from column j, row by row; nil for nothing.
func (d *Design) lost(j int) []float64 {
	if d.Coding == nil || d.Coding.beyond == nil {
		return nil
	}
	return d.Coding.beyond[j]
}
