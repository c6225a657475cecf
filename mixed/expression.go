package mixed

import (
	"math"
	"strconv"
	"strings"
)

// node is one piece of a formula as it was written: a name, a number, a call, a bracket or an operator.
type node struct {
	op    string  // "name", "number", "call", "(", "neg", or the operator: + - * / ^ : | ||
	at    int     // character of the formula at which it starts, from 1
	name  string  // of a name or a call; a name in backticks without them
	tick  bool    // the name stood in backticks
	value float64 // of a number
	left  *node   // operand, argument of a call, inside of a bracket
	right *node
}

// functions are what may be called in a formula, beside factor and I. Numbers in, numbers out.
var functions = map[string]struct {
	f       func(float64) float64
	allowed string // what it takes, for messages
}{
	"log":   {math.Log, "above 0"},
	"log2":  {math.Log2, "above 0"},
	"log10": {math.Log10, "above 0"},
	"log1p": {math.Log1p, "above −1"},
	"exp":   {math.Exp, "up to 709"},
	"sqrt":  {math.Sqrt, "0 or more"},
	"abs":   {math.Abs, "any number"},
	"sin":   {math.Sin, "any finite number"},
	"cos":   {math.Cos, "any finite number"},
}

const functionNames = "factor, I, log, log2, log10, log1p, exp, sqrt, abs, sin, cos"

// isFactorCall tells whether the node turns its argument into a factor.
func (e *node) isFactorCall() bool {
	return e.op == "call" && (e.name == "factor" || e.name == "as.factor")
}

// String writes the expression as R would (deparse): spaces about +, − and *, none about /, ^ and :.
func (e *node) String() string {
	var b strings.Builder
	e.write(&b)
	return b.String()
}

func (e *node) write(b *strings.Builder) {
	switch e.op {
	case "name":
		if e.tick {
			b.WriteString("`" + e.name + "`")
		} else {
			b.WriteString(e.name)
		}
	case "number":
		b.WriteString(numberName(e.value))
	case "call":
		b.WriteString(e.name)
		b.WriteByte('(')
		e.left.write(b)
		b.WriteByte(')')
	case "(":
		b.WriteByte('(')
		e.left.write(b)
		b.WriteByte(')')
	case "neg":
		b.WriteByte('-')
		e.left.write(b)
	case "/", "^", ":":
		e.left.write(b)
		b.WriteString(e.op)
		e.right.write(b)
	default:
		e.left.write(b)
		b.WriteString(" " + e.op + " ")
		e.right.write(b)
	}
}

// numberName writes a number as R names it in a term: at most 15 significant digits, and the power of ten only where that
// is shorter (R, print.default and options(scipen = 0)).
func numberName(v float64) string {
	fixed, power := fixedName(v), powerName(v)
	if len(fixed) <= len(power) {
		return fixed
	}
	return power
}

// levelName writes a number as the name of a level: whole numbers in full (an R integer), others as [numberName] does.
func levelName(v float64) string {
	if v == math.Trunc(v) && math.Abs(v) < 1e15 {
		return strconv.FormatInt(int64(v), 10)
	}
	return numberName(v)
}

// rounded15 is v at 15 significant digits.
func rounded15(v float64) float64 {
	w, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 14, 64), 64)
	if err != nil {
		return v
	}
	return w
}

func fixedName(v float64) string { return strconv.FormatFloat(rounded15(v), 'f', -1, 64) }

func powerName(v float64) string { return strconv.FormatFloat(rounded15(v), 'e', -1, 64) }

// columns calls visit with every name in the expression.
func (e *node) columns(visit func(*node)) {
	if e == nil {
		return
	}
	if e.op == "name" {
		visit(e)
	}
	e.left.columns(visit)
	e.right.columns(visit)
}
