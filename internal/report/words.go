package report

import (
	"math"
	"strconv"
	"strings"
	"time"

	"underfoot/findings"
)

const minus = "\u2212"

// num writes a number with so many decimals, thousands set off, and a true minus.
func num(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "not known"
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, rest, found := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if found {
		whole += "." + rest
	}
	if v < 0 && strings.Trim(s, "0.") != "" {
		return minus + whole
	}
	return whole
}

// signed writes a change with its sign.
func signed(v float64, decimals int) string {
	s := num(v, decimals)
	if v > 0 && strings.Trim(s, "0.,") != "" {
		return "+" + s
	}
	return s
}

// span writes a range: "0.32 to 0.72".
func span(low, high float64, decimals int) string {
	return num(low, decimals) + " to " + num(high, decimals)
}

// signedSpan writes a range of changes that may go either way: "−0.19 to +0.03".
func signedSpan(low, high float64, decimals int) string {
	if low >= 0 {
		return span(low, high, decimals)
	}
	return signed(low, decimals) + " to " + signed(high, decimals)
}

// plusMinus writes a value with its standard error for a table.
func plusMinus(v, se float64, decimals int) string {
	return num(v, decimals) + " ± " + num(se, decimals)
}

// tonnes writes a mass to three figures or so.
func tonnes(t float64) string {
	switch a := math.Abs(t); {
	case a >= 100:
		return num(t, 0)
	case a >= 1:
		return num(t, 1)
	}
	return num(t, 2)
}

// day writes a date in full; a date that is not known stays empty.
func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2 January 2006")
}

func shortDay(t time.Time) string { return t.Format("2 Jan 2006") }

func month(t time.Time) string { return t.Format("January 2006") }

func shortMonth(t time.Time) string { return t.Format("Jan 2006") }

var numerals = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// count writes how many: small numbers in words.
func count(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	if n >= 0 && n < len(numerals) {
		return numerals[n] + " " + many
	}
	return num(float64(n), 0) + " " + many
}

// list joins names as a sentence does: "A, B and C".
func list(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// upper gives a sentence its capital.
func upper(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// sentence gives a remark its capital and its full stop.
func sentence(s string) string {
	s = upper(strings.TrimSpace(s))
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?:") {
		return s
	}
	return s + "."
}

// ended gives a remark after a colon its full stop and leaves its first letter.
func ended(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return string(r[:1]) + sentence(s)[len(string(r[:1])):]
}

// chance puts a probability into words and dots.
func chance(p float64) *Chance {
	words, dots := findings.Chance(p)
	return &Chance{Words: words, HalfDots: dots}
}

// surfaces names the kind of green in the plural, as people say it.
func surfaces(kind string) string {
	switch kind {
	case "tee":
		return "tees"
	case "approach":
		return "approaches"
	case "bowling":
		return "bowling greens"
	}
	return "greens"
}
