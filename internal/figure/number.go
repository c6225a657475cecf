package figure

import (
	"math"
	"strconv"
	"strings"
)

// minus is U+2212, the sign that lines up with figures.
const minus = "\u2212"

// number writes v with d decimals, a true minus, and no negative zero.
func number(v float64, d int) string {
	s := strconv.FormatFloat(v, 'f', d, 64)
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return minus + rest
	}
	return s
}

// prose writes an interval for a sentence: "0.32 to 0.72".
func (i Interval) prose(d int) string { return number(i.Low, d) + " to " + number(i.High, d) }

// terse writes an interval for a tight place: "0.32–0.72", or in prose where a minus would run into
// the dash.
func (i Interval) terse(d int) string {
	if i.Low < 0 || i.High < 0 {
		return i.prose(d)
	}
	return number(i.Low, d) + "–" + number(i.High, d)
}

// spoken turns the dash of a range of depths into a word, for what is read out.
func spoken(s string) string { return strings.ReplaceAll(s, "–", " to ") }

// said writes an estimate with its unit: "7.2 % (6.6 to 7.8)".
func (e Estimate) said(unit string, d int) string {
	s := number(e.Mid, d) + " " + unit
	if e.Outer.known() {
		return s + " (" + e.Outer.prose(d) + ")"
	}
	return s + " (interval not known)"
}

// decimals gives how many decimals a step between ticks needs, at most 6.
func decimals(step float64) int {
	for d := 0; d < 6; d++ {
		p := step * math.Pow10(d)
		if math.Abs(p-math.Round(p)) < 1e-6 {
			return d
		}
	}
	return 6
}

// textWidth estimates how wide a line is set [px]: widths of the sans face by kind of letter, from
// measuring it, a little generous so that what is placed by it does not collide.
func textWidth(s string, st Style) float64 {
	em := 0.0
	for _, r := range s {
		switch {
		case r == ' ' || r == '.' || r == ',' || r == '’' || r == ':' || r == 'i' || r == 'l' || r == 'j':
			em += .3
		case r == '(' || r == ')' || r == 't' || r == 'r' || r == 'f' || r == 'I':
			em += .38
		case r >= '0' && r <= '9' || r == '–' || r == minusRune:
			em += .62
		case r == 'm' || r == 'w' || r == '%' || r == 'M' || r == 'W':
			em += .88
		case r >= 'A' && r <= 'Z':
			em += .66
		case r < 0x250:
			em += .56
		default:
			em += 1
		}
	}
	l := st.Look()
	if l.Weight > 500 {
		em *= 1.05
	}
	return em * l.Size
}

const minusRune = '\u2212'

// fitted cuts words to a width, with an ellipsis where something was cut.
func fitted(s string, st Style, width float64) string {
	if textWidth(s, st) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 1 && textWidth(string(r)+"…", st) > width {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ") + "…"
}
