package mixed

import (
	"fmt"
	"math"
	"strconv"
)

// values is a variable worked out for every row of a table: numbers or a factor.
type values struct {
	numbers []float64
	factor  *factor
}

// source works out variables over a table; what was written is for messages.
type source struct {
	written
	frame *Frame
}

// column finds the column of a name node.
func (s source) column(e *node) (*column, error) {
	if c := s.frame.byName[e.name]; c != nil {
		return c, nil
	}
	if e.name == "pi" && !e.tick {
		return nil, nil
	}
	return nil, s.fault(e.at, "there is no column %s: there are %s", e.name, s.frame.known())
}

// variable works out a variable as numbers, or as a factor when it is a column of labels, factor(…), or asFactor is set.
func (s source) variable(e *node, asFactor bool) (values, error) {
	inner := e
	if e.isFactorCall() {
		asFactor, inner = true, e.left
	}
	for inner.op == "(" {
		inner = inner.left
	}
	if inner.op == "name" {
		c, err := s.column(inner)
		if err != nil {
			return values{}, err
		}
		if c == nil {
			return values{}, s.fault(inner.at, "there is no column pi: there are %s", s.frame.known())
		}
		if asFactor || c.numbers == nil {
			f := c.factor()
			return values{factor: &f}, nil
		}
		return values{numbers: c.numbers}, nil
	}
	numbers, err := s.numbers(inner)
	if err != nil {
		return values{}, err
	}
	if asFactor {
		f := factorOf(numbers)
		return values{factor: &f}, nil
	}
	return values{numbers: numbers}, nil
}

// numbers works out arithmetic. A missing value stays missing; a value that cannot be worked out is an error.
func (s source) numbers(e *node) ([]float64, error) {
	v, constant, err := s.arithmetic(e)
	if err != nil {
		return nil, err
	}
	if v == nil {
		v = make([]float64, s.frame.rows)
		for i := range v {
			v[i] = constant
		}
	}
	return v, nil
}

// arithmetic gives one number a row, or none and a constant. The slice may be a column of the frame: it is not written to.
func (s source) arithmetic(e *node) ([]float64, float64, error) {
	switch e.op {
	case "number":
		return nil, e.value, nil
	case "(":
		return s.arithmetic(e.left)
	case "name":
		c, err := s.column(e)
		switch {
		case err != nil:
			return nil, 0, err
		case c == nil:
			return nil, math.Pi, nil
		case c.numbers == nil:
			return nil, 0, s.fault(e.at, "column %s holds words (%s) where numbers are needed", e.name, c.example())
		}
		return c.numbers, 0, nil
	case "neg":
		return s.each(e, func(v float64) float64 { return -v })
	case "call":
		if e.name == "I" {
			return s.arithmetic(e.left)
		}
		return s.each(e, functions[e.name].f)
	}
	return s.pair(e)
}

// each applies a function of one number.
func (s source) each(e *node, f func(float64) float64) ([]float64, float64, error) {
	v, constant, err := s.arithmetic(e.left)
	if err != nil {
		return nil, 0, err
	}
	if v == nil {
		out := f(constant)
		return nil, out, s.sound(e, -1, out, constant)
	}
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = f(x)
		if err := s.sound(e, i, out[i], x); err != nil {
			return nil, 0, err
		}
	}
	return out, 0, nil
}

// pair applies an operator.
func (s source) pair(e *node) ([]float64, float64, error) {
	a, ca, err := s.arithmetic(e.left)
	if err != nil {
		return nil, 0, err
	}
	b, cb, err := s.arithmetic(e.right)
	if err != nil {
		return nil, 0, err
	}
	f := operators[e.op]
	if a == nil && b == nil {
		out := f(ca, cb)
		return nil, out, s.sound(e, -1, out, ca, cb)
	}
	out := make([]float64, s.frame.rows)
	for i := range out {
		x, y := ca, cb
		if a != nil {
			x = a[i]
		}
		if b != nil {
			y = b[i]
		}
		out[i] = f(x, y)
		if err := s.sound(e, i, out[i], x, y); err != nil {
			return nil, 0, err
		}
	}
	return out, 0, nil
}

// operators are the arithmetic of two numbers.
var operators = map[string]func(a, b float64) float64{
	"+": func(a, b float64) float64 { return a + b },
	"-": func(a, b float64) float64 { return a - b },
	"*": func(a, b float64) float64 { return a * b },
	"/": func(a, b float64) float64 { return a / b },
	"^": power,
}

// power is a^b; a whole power is a product, correctly rounded; a missing value to the power 0 stays missing.
func power(a, b float64) float64 {
	switch {
	case math.IsNaN(a) || math.IsNaN(b):
		return math.NaN()
	case b >= 2 && b <= highestPower && b == math.Trunc(b):
		if v := (double{a, 0}).raised(int(b)).float(); !math.IsNaN(v) { // a square too large on the way
			return v
		}
	}
	return math.Pow(a, b)
}

// sound refuses a value that came out of known ones and is no finite number. Row −1 is a constant.
func (s source) sound(e *node, row int, out float64, in ...float64) error {
	if !math.IsNaN(out) && !math.IsInf(out, 0) {
		return nil
	}
	for _, v := range in {
		if math.IsNaN(v) {
			return nil // missing
		}
	}
	place, allowed := "", ""
	if row >= 0 {
		place = fmt.Sprintf(" in row %d", row+1)
	}
	if e.op == "call" {
		allowed = ": allowed is " + functions[e.name].allowed
		return s.fault(e.at, "%s cannot be worked out%s, where %s is %s%s", e, place, e.left, shownNumber(in[0]), allowed)
	}
	if e.op == "neg" {
		return s.fault(e.at, "%s cannot be worked out%s, where %s is %s", e, place, e.left, shownNumber(in[0]))
	}
	return s.fault(e.at, "%s cannot be worked out%s: %s %s %s is no finite number", e, place, shownNumber(in[0]), e.op, shownNumber(in[1]))
}

// shownNumber writes a number for a message, with a true minus.
func shownNumber(v float64) string {
	if math.IsInf(v, 0) {
		return "infinite"
	}
	if v < 0 {
		return "−" + numberName(-v)
	}
	return strconv.FormatFloat(v, 'g', 15, 64)
}
