package page

import (
	"fmt"
	"math"
	"strings"
	"time"

	"underfoot/internal/numeral"
)

// Num, Signed, Span, SignedSpan and Mass are those of package numeral.
func Num(v float64, decimals int) string { return numeral.Num(v, decimals) }

// Signed writes a number with its sign, plus too.
func Signed(v float64, decimals int) string { return numeral.Signed(v, decimals) }

// Span writes a range for a sentence: "0.32 to 0.72".
func Span(low, high float64, decimals int) string { return numeral.Span(low, high, decimals) }

// SignedSpan writes a range of changes for a sentence: "−0.19 to +0.03".
func SignedSpan(low, high float64, decimals int) string {
	return numeral.SignedSpan(low, high, decimals)
}

// Mass writes a mass of sand in tonnes to three figures or so.
func Mass(t float64) string { return numeral.Mass(t) }

// Reach writes a range for a table: "0.32–0.72", and with words where a minus would touch the dash.
func Reach(low, high float64, decimals int) string {
	l, h := Num(low, decimals), Num(high, decimals)
	if strings.HasPrefix(l, numeral.Minus) || strings.HasPrefix(h, numeral.Minus) {
		return l + " to " + h
	}
	return l + "–" + h
}

// Tonnes writes a mass of sand as it is ordered: whole from ten tonnes up.
func Tonnes(t float64) string {
	if math.Abs(t) >= 10 {
		return Num(t, 0)
	}
	return Num(t, 1)
}

// Day writes a date in full: "8 October 2026".
func Day(d time.Time) string { return d.Format("2 January 2006") }

// ShortDay writes a date with its weekday and without a year: "Thu 8 Oct".
func ShortDay(d time.Time) string { return d.Format("Mon 2 Jan") }

// PlainDay writes a date without its weekday: "8 Oct 2026".
func PlainDay(d time.Time) string { return d.Format("2 Jan 2006") }

// Moment writes when something was done, in the zone of its place: "8 Oct 2026, 14:05".
func Moment(t time.Time) string { return t.Format("2 Jan 2006, 15:04") }

// Count writes a number of things: "1 green", "18 greens"; numbers below thirteen may be asked for in words.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return Num(float64(n), 0) + " " + many
}

var numerals = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// CountWords writes a small number of things in words for a sentence: "eight dressings".
func CountWords(n int, one, many string) string {
	if n < 0 || n >= len(numerals) {
		return Count(n, one, many)
	}
	if n == 1 {
		return numerals[n] + " " + one
	}
	return numerals[n] + " " + many
}

// Sentence gives text a capital and a full stop. A name that text begins with, such as v02-0006 or tare_g, stays as it is.
func Sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return ""
	}
	if first, _, _ := strings.Cut(s, " "); !strings.ContainsAny(first, "0123456789_-.") {
		r := []rune(s)
		s = strings.ToUpper(string(r[:1])) + string(r[1:])
	}
	if !strings.ContainsAny(s[len(s)-1:], ".!?:") {
		s += "."
	}
	return s
}

// List joins names as a sentence does: "A, B and C".
func List(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func week(d time.Time) string {
	_, w := d.ISOWeek()
	return fmt.Sprintf("week %d", w)
}
