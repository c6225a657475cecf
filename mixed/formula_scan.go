package mixed

import (
	"fmt"
	"math"
	"strconv"
	"unicode"
	"unicode/utf8"
)

// token is one word of a formula.
type token struct {
	kind string // "name", "number", "end", or the sign itself
	text string
	at   int // its first character, from 1
	tick bool
}

// Limits of a formula; far above what anybody writes, so that no text can exhaust the machine.
const (
	longestFormula = 20000 // [bytes]
	deepestBracket = 200
	mostVariables  = 64 // a term is a set of variables kept in 64 bits
	mostTerms      = 5000
	mostProducts   = 200 * mostTerms
)

// written is a text with what it is, for messages: a model, or the weights.
type written struct{ what, text string }

// fault is an error about one place of the text.
func (w written) fault(at int, format string, args ...any) error {
	return fmt.Errorf("%s %q, character %d: %s", w.what, w.text, at, fmt.Sprintf(format, args...))
}

// scan splits a formula into words.
func (w written) scan() ([]token, error) {
	text := w.text
	if len(text) > longestFormula {
		return nil, fmt.Errorf("%s of %d bytes: allowed are %d", w.what, len(text), longestFormula)
	}
	var out []token
	at := 0 // characters before the one looked at
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		at++
		switch {
		case unicode.IsSpace(r):
			i += size
		case r == '`':
			n, chars := quotedName(text[i+1:])
			if n < 0 {
				return nil, w.fault(at, "the backtick is not closed: write one after the name of the column")
			}
			if n == 0 {
				return nil, w.fault(at, "there is no name between the backticks")
			}
			out = append(out, token{"name", text[i+1 : i+1+n], at, true})
			i, at = i+n+2, at+chars+1
		case nameStart(text[i:]):
			n, chars := nameLength(text[i:])
			out = append(out, token{"name", text[i : i+n], at, false})
			i, at = i+n, at+chars-1
		case r >= '0' && r <= '9' || r == '.':
			n := numberLength(text[i:])
			if n == 0 {
				return nil, w.fault(at, `"." stands for no column here: name the columns`)
			}
			if v, err := strconv.ParseFloat(text[i:i+n], 64); err != nil || math.IsInf(v, 0) {
				return nil, w.fault(at, "%s is not a number that can be kept", text[i:i+n])
			}
			out = append(out, token{"number", text[i : i+n], at, false})
			i, at = i+n, at+n-1
		case r == '|' && i+1 < len(text) && text[i+1] == '|':
			out = append(out, token{"||", "||", at, false})
			i, at = i+2, at+1
		case r == '−': // the true minus, as a word processor writes it
			out = append(out, token{"-", "-", at, false})
			i += size
		case r < utf8.RuneSelf && isSign(byte(r)):
			out = append(out, token{string(r), string(r), at, false})
			i += size
		default:
			return nil, w.fault(at, "%q means nothing in a formula: allowed are names, numbers, + - * / : ^ ~ | and round brackets; put an unusual name between backticks", r)
		}
	}
	return append(out, token{"end", "", at + 1, false}), nil
}

func isSign(c byte) bool {
	switch c {
	case '+', '-', '*', '/', ':', '^', '~', '|', '(', ')', ',':
		return true
	}
	return false
}

// quotedName is how many bytes and characters stand before the closing backtick; −1 when there is none.
func quotedName(s string) (n, chars int) {
	for i, r := range s {
		if r == '`' {
			return i, chars + 1
		}
		chars++
	}
	return -1, 0
}

// nameStart tells whether a name starts here: a letter, or a dot or underscore before a letter, dot or underscore.
func nameStart(s string) bool {
	r, size := utf8.DecodeRuneInString(s)
	if r == '.' || r == '_' {
		next, _ := utf8.DecodeRuneInString(s[size:])
		return unicode.IsLetter(next) || next == '.' || next == '_' || r == '_' && unicode.IsDigit(next)
	}
	return unicode.IsLetter(r)
}

func nameLength(s string) (n, chars int) {
	for _, r := range s {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) && r != '.' && r != '_' {
			break
		}
		n, chars = n+utf8.RuneLen(r), chars+1
	}
	return n, chars
}

// numberLength is the length of the decimal number at the start of s, with its power of ten; 0 when there is none.
func numberLength(s string) int {
	digits := func(i int) int {
		for i < len(s) && s[i] >= '0' && s[i] <= '9' {
			i++
		}
		return i
	}
	n := digits(0)
	some := n > 0
	if n < len(s) && s[n] == '.' {
		end := digits(n + 1)
		some = some || end > n+1
		n = end
	}
	if !some {
		return 0
	}
	if n < len(s) && (s[n] == 'e' || s[n] == 'E') {
		from := n + 1
		if from < len(s) && (s[from] == '+' || s[from] == '-') {
			from++
		}
		if end := digits(from); end > from {
			n = end
		}
	}
	return n
}
