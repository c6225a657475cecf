package say

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"underfoot/internal/numeral"
)

// Num writes a number of a metric unit as the person reads it, without its unit: 12.4 mm with one decimal is "12.4", or
// "0.49". What is converted is the number as it reads in metric units, so that it agrees with every other place.
func (s Style) Num(v float64, decimals int, metric string) string {
	return s.Bare(numeral.Num(v, decimals), metric)
}

// Signed writes a change of a metric unit with its sign.
func (s Style) Signed(v float64, decimals int, metric string) string {
	return s.Bare(numeral.Signed(v, decimals), metric)
}

// Span writes a range for a sentence.
func (s Style) Span(low, high float64, decimals int, metric string) string {
	return s.Num(low, decimals, metric) + " to " + s.Num(high, decimals, metric)
}

// Bare converts numbers that stand without their unit, such as the cell of a table whose head names it. What is no number
// stays: a dash, a word.
func (s Style) Bare(text, metric string) string {
	q, ok := find(metric)
	if !ok || s.Units != US {
		return text
	}
	return number.ReplaceAllStringFunc(text, q.reading)
}

// With writes a number with its unit: "12.4 mm", "0.49 in".
func (s Style) With(v float64, decimals int, metric string) string {
	return s.Num(v, decimals, metric) + " " + s.Unit(metric)
}

// reading converts one written number, with its sign and its decimals.
func (q quantity) reading(text string) string {
	sign, digits := "", text
	for _, mark := range []string{numeral.Minus, "+", "±"} {
		if rest, ok := strings.CutPrefix(text, mark); ok {
			sign, digits = mark, rest
		}
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(digits, ",", ""), 64)
	if err != nil {
		return text
	}
	_, rest, _ := strings.Cut(digits, ".")
	if v == 0 && rest == "" && q.offset == 0 {
		return text
	}
	switch sign {
	case numeral.Minus:
		x, d := q.read(-v, len(rest))
		return numeral.Num(x, d)
	case "+", "±": // a change or a doubt, not a point on a scale
		q.offset = 0
	}
	x, d := q.read(v, len(rest))
	return sign + numeral.Num(x, d)
}

// FromTyped converts a number typed in the person's unit to the metric unit, as text with as many figures as it takes to come
// back the same. What is no number stays as it was typed, to be refused where it is checked.
func (s Style) FromTyped(text, metric string) string {
	q, ok := find(metric)
	if !ok || s.Units != US {
		return text
	}
	return eachNumber(text, func(v float64) string {
		return plain(strconv.FormatFloat((v-q.offset)/q.per, 'g', inputFigures, 64))
	})
}

// each finds the numbers of a text that holds several, such as "0-20 20-40": a dash parts them.
var each = regexp.MustCompile(`\d+(?:[.,]\d+)?`)

// EachToTyped is ToTyped for each number of a text that holds several, such as the layers of a round.
func (s Style) EachToTyped(text, metric string) string {
	return each.ReplaceAllStringFunc(text, func(n string) string {
		v, err := strconv.ParseFloat(s.ToTyped(n, metric), 64)
		if err != nil {
			return n
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	})
}

// EachFromTyped turns what [Style.EachToTyped] showed for value, and a person may have changed, into metric numbers. A number
// that was shown is the metric one it stood for; another is rounded to whole units, as cores are cut to no less, so that an inch
// is 25 mm.
func (s Style) EachFromTyped(text, metric, shown, value string) string {
	known := map[string]string{}
	if is, of := each.FindAllString(shown, -1), each.FindAllString(value, -1); len(is) == len(of) {
		for i := range is {
			known[is[i]] = of[i]
		}
	}
	return each.ReplaceAllStringFunc(text, func(n string) string {
		if was, ok := known[n]; ok {
			return was
		}
		v, err := strconv.ParseFloat(s.FromTyped(n, metric), 64)
		if err != nil {
			return n
		}
		if whole := math.Round(v); whole > 0 || v == 0 {
			v = whole
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	})
}

// Reader is how a script reads a metric number as [Style.Num] does: the number with its d decimals times Per, with d + Shift
// decimals, and as many more, up to Most, as it takes for rounding to move it by no more than the share Slack.
type Reader struct {
	Unit  string  `json:"unit"`
	Per   float64 `json:"per"`
	Shift int     `json:"shift"`
	Slack float64 `json:"slack"`
	Most  int     `json:"most"`
}

// Reader gives a script the reading of a metric unit that is in proportion to the person's.
func (s Style) Reader(metric string) Reader {
	q, ok := find(metric)
	if !ok || s.Units != US || q.offset != 0 {
		return Reader{Unit: metric, Per: 1, Slack: math.MaxFloat64}
	}
	return Reader{q.us, q.per, q.decimalsOf(0), slack, mostDecimals}
}

// ToTyped is the metric number as it stands in a field of the person's unit.
func (s Style) ToTyped(text, metric string) string {
	q, ok := find(metric)
	if !ok || s.Units != US {
		return text
	}
	return eachNumber(text, func(v float64) string {
		_, rest, _ := strings.Cut(strings.TrimSpace(text), ".")
		if len(rest) > 4 { // converted before, of a typed number: the tail is noise
			return plain(strconv.FormatFloat(round(v*q.per+q.offset, 8)+0, 'g', inputFigures-3, 64))
		}
		if q.offset != 0 { // a degree more has 1.8 of the other: one place more brings each back
			return plain(strconv.FormatFloat(round(v*q.per+q.offset, len(rest)+1)+0, 'f', -1, 64))
		}
		x, d := q.read(v, len(rest))
		return plain(strconv.FormatFloat(x, 'f', d, 64))
	})
}

// eachNumber converts the text if it is one number, with a point or a comma.
func eachNumber(text string, f func(float64) string) string {
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return text
	}
	return f(v)
}

// plain writes a number without an exponent and without zeros at its end.
func plain(s string) string {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return s
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
