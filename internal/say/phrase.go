package say

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// phrase is a text with places for what is put in: pieces[0] verb pieces[1] verb … pieces[n].
type phrase struct {
	pieces []string
	verbs  []verb

	// Without the places and signs at its ends it is a part of other words: from piece first to piece last.
	first, last int
	part        []string // the pieces, without spaces at the ends of the part
	words       []string // those that stand in the phrase itself
	letters     int      // how many of them: the more, the surer a match is no chance
}

// verb is a place in a phrase.
type verb struct {
	kind byte // 's', 'd', 'g', 'q' …
	arg  int  // which of the values stands here, from 0
}

// parsePhrase reads a format in the notation of package fmt: "%s takes %[1]d" and "%%" for a share.
func parsePhrase(format string) *phrase {
	p := &phrase{}
	var piece strings.Builder
	next := 0
	for i := 0; i < len(format); i++ {
		if format[i] != '%' || i+1 == len(format) {
			piece.WriteByte(format[i])
			continue
		}
		end := i + 1
		for end < len(format) && strings.IndexByte("[]0123456789.+-# *", format[end]) >= 0 {
			end++
		}
		if end == len(format) {
			piece.WriteString(format[i:])
			break
		}
		if format[end] == '%' {
			piece.WriteByte('%')
			i = end
			continue
		}
		arg := next
		if open, shut := strings.IndexByte(format[i:end], '['), strings.IndexByte(format[i:end], ']'); open >= 0 && shut > open {
			if n, err := strconv.Atoi(format[i+open+1 : i+shut]); err == nil && n > 0 {
				arg = n - 1
			}
		}
		next = arg + 1
		p.pieces = append(p.pieces, piece.String())
		p.verbs = append(p.verbs, verb{format[end], arg})
		piece.Reset()
		i = end
	}
	p.pieces = append(p.pieces, piece.String())
	p.measure()
	return p
}

// measure works out what finding the phrase asks for.
func (p *phrase) measure() {
	p.last = len(p.pieces) - 1
	for p.first < p.last && len(wordsIn(p.pieces[p.first])) == 0 {
		p.first++
	}
	for p.last > p.first && len(wordsIn(p.pieces[p.last])) == 0 {
		p.last--
	}
	p.part = slices.Clone(p.pieces)
	p.part[p.first] = strings.TrimLeft(p.part[p.first], " ")
	p.part[p.last] = strings.TrimRight(p.part[p.last], " ")
	for _, piece := range p.pieces {
		p.words = append(p.words, wordsIn(piece)...)
	}
	for _, w := range p.words {
		p.letters += utf8.RuneCountInString(w)
	}
}

// match reads words as the whole phrase and returns what is put in, by place.
func (p *phrase) match(words string) ([]string, bool) {
	last := len(p.pieces) - 1
	if last == 0 {
		return nil, words == p.pieces[0]
	}
	if !strings.HasPrefix(words, p.pieces[0]) {
		return nil, false
	}
	rest := words[len(p.pieces[0]):]
	args := make([]string, len(p.verbs))
	for i, v := range p.verbs {
		piece := p.pieces[i+1]
		at := len(rest)
		switch {
		case i+1 == last && !strings.HasSuffix(rest, piece):
			return nil, false
		case i+1 == last:
			at -= len(piece)
		case piece == "":
			at = 0 // two places side by side: the second has it all
		default:
			if at = strings.Index(rest, piece); at < 0 {
				return nil, false
			}
		}
		if !v.takes(rest[:at]) || strings.Contains(rest[:at], ". ") { // what is put in is no more than a sentence
			return nil, false
		}
		args[i] = rest[:at]
		rest = rest[at+len(piece):]
	}
	return args, true
}

// find looks for the phrase, without the places and signs at its ends, in words; it returns where it begins and ends, and what is put in
// between by place, or no match. Words are found whole.
func (p *phrase) find(words string) (from, to int, args []string, ok bool) {
	if len(p.words) == 0 {
		return 0, 0, nil, false
	}
	widest := 8 + 3*p.letters // few letters of its own do not hold a long run together
	first, last, pieces := p.first, p.last, p.part
	for start := 0; ; {
		at := strings.Index(words[start:], pieces[first])
		if at < 0 {
			return 0, 0, nil, false
		}
		from = start + at
		to = from + len(pieces[first])
		ok = whole(words, from, pieces[first])
		args = make([]string, len(p.verbs))
		for i := first + 1; ok && i <= last; i++ {
			gap := strings.Index(words[to:], pieces[i])
			if ok = gap >= 0 && gap <= widest && p.verbs[i-1].takes(words[to:to+gap]) && !strings.Contains(words[to:to+gap], ". "); ok {
				args[i-1] = words[to : to+gap]
				to += gap + len(pieces[i])
			}
		}
		if ok && whole(words, to-len(pieces[last]), pieces[last]) {
			return from, to, args, true
		}
		start = from + 1
	}
}

// whole tells whether a piece at a place of words begins and ends with its words, not in the middle of longer ones.
func whole(words string, at int, piece string) bool {
	before, _ := utf8.DecodeLastRuneInString(words[:at])
	first, _ := utf8.DecodeRuneInString(piece)
	after, _ := utf8.DecodeRuneInString(words[at+len(piece):])
	last, _ := utf8.DecodeLastRuneInString(piece)
	return !(inWord(before) && inWord(first)) && !(inWord(last) && inWord(after))
}

func inWord(r rune) bool { return unicode.IsLetter(r) || r == '’' || r == '\'' }

// takes tells whether words can stand at a place: numbers at one for numbers.
func (v verb) takes(words string) bool {
	switch v.kind {
	case 'd', 'f', 'g', 'e':
		return words != "" && strings.IndexFunc(words, func(r rune) bool { return unicode.IsLetter(r) && r != 'e' && r != 'N' && r != 'a' }) < 0
	case 'q':
		return strings.HasPrefix(words, `"`) && strings.HasSuffix(words, `"`)
	}
	return true
}

// put writes the phrase with values at its places: one that its source did not have is left empty.
func (p *phrase) put(args []string) string { return p.write(args, 0, len(p.pieces)-1) }

// putPart writes the phrase without the places and signs at its ends, as [phrase.find] found it.
func (p *phrase) putPart(args []string) string {
	return strings.TrimSpace(p.write(args, p.first, p.last))
}

func (p *phrase) write(args []string, first, last int) string {
	var b strings.Builder
	for i := first; i <= last; i++ {
		b.WriteString(p.pieces[i])
		if i < last && p.verbs[i].arg < len(args) {
			b.WriteString(args[p.verbs[i].arg])
		}
	}
	return b.String()
}
