package say

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Grammar of the quantities in composed words: a number, or a range or a product of numbers, or a list of ranges, and
// its unit; then, in brackets, a range of the same unit.
const (
	one    = `[−+±]?\d+(?:,\d{3})*(?:\.\d+)?`
	joint  = `(?:–| to | × | by | ± |±| and )`
	series = one + `(?:` + joint + one + `)*`
	lists  = one + `–` + one + `(?:(?:, | and | or )` + one + `–` + one + `)*`
	gap    = `(?: |\x{a0}|\x{202f}|\x{2009}|&nbsp;)`
)

var (
	number   = regexp.MustCompile(one)
	amount   = regexp.MustCompile(`(?:` + lists + `|` + series + `)` + gap + `(?:` + unitNames() + `)`)
	behind   = regexp.MustCompile(`^(?: a year| a season)?( or (?:more|less))?,? ?\((?:` + series + `)(?:[),;])`)
	plusTail = regexp.MustCompile(`^ ± ` + one)
	bareUnit = regexp.MustCompile(unitNames())

	// echo is a number said of the same thing again, without its unit: "got 5.1 mm of sand; holding it needs 4.0 a year".
	echo = regexp.MustCompile(`(^|[ (])(` + series + `)(?: a year\b| that holding|, 9 in 10| so far\b)`)
	// recorded marks sentences about instruments and sieves, whose readings stay as they were taken.
	recorded = regexp.MustCompile(`(?i)\bfirmness|\bpenetration|\bsiev|\bgrains?\b|\bD\d\d\b|\binfiltration|^Limit (?:not met|met|too close)`)
	// aTonne is the price of a tonne.
	aTonne = regexp.MustCompile(`(` + one + `)( [A-Z]{3})/t\b`)
)

func unitNames() string {
	var names []string
	for _, q := range quantities {
		if !q.asked {
			name := regexp.QuoteMeta(q.metric)
			if last := lastRune(q.metric); last < unicode.MaxASCII {
				name += `\b`
			}
			names = append(names, name)
		}
	}
	return strings.Join(names, "|")
}

// Text says composed English words with quantities in metric units and dates day first in the person's units and order.
// Words without quantities, and quantities already in US units, stay as they are.
func (s Style) Text(words string) string { return s.text(words, false) }

// text is Text; in the laboratory only layers, ranges of depth, are said in other units, sieve openings and bench
// readings are not.
func (s Style) text(words string, laboratory bool) string {
	return s.spoken(s.inUnits(words, laboratory))
}

// inUnits says English words in the person's units and order of dates.
func (s Style) inUnits(words string, laboratory bool) string {
	if s.Units == US && strings.ContainsAny(words, "0123456789") {
		words = bySentence(words, laboratory)
	}
	return s.dates(words)
}

// spoken says composed English words in the person's language, as far as its phrases go.
func (s Style) spoken(words string) string {
	if b := s.book(); b != nil {
		return b.text(words)
	}
	return words
}

// bySentence says each sentence by itself: what an instrument read is in the sentence that names it.
func bySentence(words string, laboratory bool) string {
	var b strings.Builder
	for words != "" {
		end := len(words)
		if i := strings.Index(words, ". "); i >= 0 {
			end = i + 2
		}
		sentence := words[:end]
		b.WriteString(quantitiesIn(sentence, laboratory || recorded.MatchString(sentence)))
		words = words[end:]
	}
	return b.String()
}

func quantitiesIn(words string, laboratory bool) string {
	words = aTonne.ReplaceAllStringFunc(words, pricePerTon)
	var b strings.Builder
	var last *quantity // of the amount said last, but for a layer
	at := 0
	between := func(to int) {
		if last == nil || laboratory {
			b.WriteString(words[at:to])
		} else {
			b.WriteString(last.echoes(words[at:to]))
		}
	}
	for {
		m := amount.FindStringIndex(words[at:])
		if m == nil {
			break
		}
		from, to := at+m[0], at+m[1]
		found := words[from:to]
		name, head := unitAtEnd(found)
		if !boundary(words, to) || startsInWord(words, from) {
			// a longer word or unit begins here: go on behind the first number
			next := from + number.FindStringIndex(found)[1]
			between(next)
			at = next
			continue
		}
		q, _ := find(name)
		if laboratory && !isLayer(head, name) || hot(head, name) {
			b.WriteString(words[at:to])
			at = to
			continue
		}
		if name == "°C" && difference(words[to:]) {
			q.offset = 0
		}
		between(from)
		b.WriteString(q.readings(head))
		b.WriteString(q.named(words[to:]))
		at = to
		if !isLayer(head, name) {
			last = &q
		}
		for _, tail := range []*regexp.Regexp{plusTail, behind} {
			if t := tail.FindStringIndex(words[at:]); t != nil {
				b.WriteString(number.ReplaceAllStringFunc(words[at:at+t[1]], q.reading))
				at += t[1]
			}
		}
	}
	between(len(words))
	return b.String()
}

// echoes converts the numbers that are said of the same thing again.
func (q quantity) echoes(words string) string {
	var b strings.Builder
	at := 0
	for _, m := range echo.FindAllStringSubmatchIndex(words, -1) {
		found := words[m[4]:m[5]]
		b.WriteString(words[at:m[4]])
		if !isYear(found) {
			found = q.readings(found)
		}
		b.WriteString(found)
		at = m[5]
	}
	b.WriteString(words[at:])
	return b.String()
}

// isYear tells a year of the calendar, as in "in 2026 so far".
func isYear(number string) bool {
	return len(number) == 4 && (strings.HasPrefix(number, "19") || strings.HasPrefix(number, "20"))
}

// named is the US unit before the words that follow: "inches in all", not "in in all".
func (q quantity) named(rest string) string {
	if q.us == "in" && (strings.HasPrefix(rest, " in ") || strings.HasPrefix(rest, " into ")) {
		return "inches"
	}
	return q.us
}

// pricePerTon says a price a tonne as one a short ton.
func pricePerTon(found string) string {
	p := aTonne.FindStringSubmatch(found)
	q, _ := find("a tonne")
	return q.reading(p[1]) + p[2] + "/ton"
}

// readings converts the numbers of an amount.
func (q quantity) readings(head string) string { return number.ReplaceAllStringFunc(head, q.reading) }

// unitAtEnd parts an amount from its unit; the gap between stays with the amount.
func unitAtEnd(found string) (name, head string) {
	for _, q := range quantities {
		if rest, ok := strings.CutSuffix(found, q.metric); ok && (rest == "" || !isWord(lastRune(rest))) {
			return q.metric, rest
		}
	}
	return "", found
}

// boundary tells whether the unit ends where the match ends.
func boundary(words string, to int) bool {
	r, _ := utf8.DecodeRuneInString(words[to:])
	return to == len(words) || !isWord(r) && !strings.ContainsRune("/²³-", r)
}

// startsInWord tells whether the number belongs to a name, such as v02-0006.
func startsInWord(words string, from int) bool {
	if from == 0 {
		return false
	}
	r := lastRune(words[:from])
	return isWord(r) || r == '.' || r == '-' || r == '/' || r == ':'
}

func lastRune(s string) rune {
	r, _ := utf8.DecodeLastRuneInString(s)
	return r
}

func isWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' }

// isLayer tells a depth range of a core from the range between two sieves.
func isLayer(head, name string) bool {
	if name != "mm" || !strings.Contains(head, "–") && !strings.Contains(head, " to ") {
		return false
	}
	n := number.FindAllString(head, -1)
	return len(n) >= 2 && !strings.Contains(head, ".") && len(n[len(n)-1]) >= 2
}

// hot tells the temperature of an oven or a furnace, which the laboratory sets in °C.
func hot(head, name string) bool {
	if name != "°C" {
		return false
	}
	n := number.FindString(head)
	return len(strings.TrimLeft(n, "−+±")) >= 3 && !strings.Contains(n, ".")
}

// difference tells that a temperature is a difference of two.
func difference(rest string) bool {
	for _, w := range []string{" warmer", " cooler", " hotter", " colder", " above", " below", " more", " less"} {
		if strings.HasPrefix(rest, w) {
			return true
		}
	}
	return false
}

// Head says the head of a column or an axis, and returns the metric unit that its bare numbers are in; empty where it
// names none or both stay.
func (s Style) Head(words string) (said, metric string) {
	said, metric = s.head(words)
	return s.spoken(said), metric
}

// head is Head in English.
func (s Style) head(words string) (said, metric string) {
	said = s.inUnits(words, false)
	if s.Units != US {
		return said, ""
	}
	for _, m := range bareUnit.FindAllStringIndex(said, -1) {
		if name := said[m[0]:m[1]]; standsAlone(said, m[0], m[1]) {
			q, _ := find(name)
			us := q.named(said[m[1]:])
			if us == "in" && strings.HasSuffix(said[:m[0]], "in ") {
				us = "inches"
			}
			return said[:m[0]] + us + said[m[1]:], name
		}
	}
	return said, ""
}

// standsAlone tells whether a unit is all there is between two breaks, and no number stands before it.
func standsAlone(words string, from, to int) bool {
	if !boundary(words, to) {
		return false
	}
	if from == 0 {
		return true
	}
	before := strings.TrimRight(words[:from], " \u00a0")
	return !isWord(lastRune(words[:from])) && (before == "" || !unicode.IsDigit(lastRune(before))) && lastRune(words[:from]) != '/'
}
