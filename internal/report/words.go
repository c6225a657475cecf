package report

import (
	"math"
	"strings"
	"time"

	"underfoot/findings"
	"underfoot/internal/numeral"
)

// num writes a number as package numeral does, and says so when there is none.
func num(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "not known"
	}
	return numeral.Num(v, decimals)
}

func signed(v float64, decimals int) string       { return numeral.Signed(v, decimals) }
func span(low, high float64, decimals int) string { return numeral.Span(low, high, decimals) }
func signedSpan(low, high float64, decimals int) string {
	return numeral.SignedSpan(low, high, decimals)
}

// plusMinus writes a value with its standard error for a table.
func plusMinus(v, se float64, decimals int) string {
	return num(v, decimals) + " ± " + num(se, decimals)
}

// tonnes writes a mass to three figures or so.
func tonnes(t float64) string { return numeral.Mass(t) }

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
