package say

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// phrasebook says English words that the program composed in another language. It knows the phrases of the program's source and
// reads composed words back into the phrase and what was put in: "9 greens need sand" is "%d greens need sand" of 9. What is put
// in is said by itself, so a phrase may stand in a phrase.
type phrasebook struct {
	exact   map[string]string   // phrases without places
	byWord  map[string][]*entry // phrases by the word of theirs that fewest others have
	singles map[string]string   // phrases of one word
	scripts map[string]string   // texts of the scripts of pages, by their English

	mu   sync.Mutex
	said map[string]string // what was said lately
}

type entry struct {
	from, to *phrase
	format   string // of from
}

// mostSaid bounds what a phrasebook remembers.
const mostSaid = 20_000

// newPhrasebook makes one of English phrases and what they are in the language. A phrase without one stays English; one may
// begin a sentence or stand in it.
func newPhrasebook(words map[string]string) *phrasebook {
	b := &phrasebook{exact: map[string]string{}, byWord: map[string][]*entry{}, singles: map[string]string{}, said: map[string]string{}}
	all := make(map[string]string, 2*len(words))
	for from, to := range words {
		if to == "" {
			continue
		}
		all[from] = to
		if other := otherCase(from); words[other] == "" {
			all[other] = otherCase(to)
		}
	}
	entries := make([]*entry, 0, len(all))
	often := map[string]int{}
	for from, to := range all {
		e := &entry{parsePhrase(from), parsePhrase(to), from}
		entries = append(entries, e)
		for _, w := range e.from.words {
			often[w]++
		}
	}
	for _, e := range entries {
		if len(e.from.verbs) == 0 {
			b.exact[e.from.pieces[0]] = e.to.pieces[0]
		}
		words := e.from.words
		if len(words) == 0 {
			continue
		}
		if len(e.from.verbs) == 0 && words[0] == e.from.pieces[0] {
			b.singles[words[0]] = e.to.pieces[0]
			continue
		}
		rarest := slices.MinFunc(words, func(x, y string) int { return often[x] - often[y] })
		b.byWord[rarest] = append(b.byWord[rarest], e)
	}
	return b
}

// otherCase turns the first letter of words from large to small or back.
func otherCase(words string) string {
	r, n := utf8.DecodeRuneInString(words)
	if unicode.IsUpper(r) {
		return string(unicode.ToLower(r)) + words[n:]
	}
	return string(unicode.ToUpper(r)) + words[n:]
}

func wordsIn(text string) []string {
	list := strings.FieldsFunc(text, func(r rune) bool { return !inWord(r) })
	return slices.DeleteFunc(list, func(w string) bool { return !strings.ContainsFunc(w, unicode.IsLetter) }) // ’27
}

// text says composed words. Words that are in no phrase stay.
func (b *phrasebook) text(words string) string {
	if strings.IndexFunc(words, unicode.IsLetter) < 0 {
		return words
	}
	b.mu.Lock()
	said, ok := b.said[words]
	b.mu.Unlock()
	if ok {
		return said
	}
	said = b.say(words)
	b.mu.Lock()
	if len(b.said) >= mostSaid {
		clear(b.said)
	}
	b.said[words] = said
	b.mu.Unlock()
	return said
}

// say reads words and says them.
func (b *phrasebook) say(words string) string {
	r := reading{book: b}
	loose := hardSpaces.Replace(words)
	said := r.whole(r.say(loose))
	if loose != words {
		said = looseUnit.ReplaceAllString(said, "${1}"+hardSpace+"${2}")
	}
	return said
}

// hardSpace keeps a number and its unit on one line; phrases are read without it and without narrow ones.
const hardSpace = "\u00a0"

var hardSpaces = strings.NewReplacer(hardSpace, " ", "\u202f", " ", "\u2009", " ")

var looseUnit = regexp.MustCompile(`(\d) (%|‰|(?:°C|[km]?g|[mc]?m[²³]?|t|in|ft|lb)\b)`)

// reading is a run of words being read: phrases found in it are said, and a sign of their own stands for them while the words
// around them are read.
type reading struct {
	book *phrasebook
	said []string
}

// firstSign is the first of the signs, private ones of Unicode; there are 6400.
const (
	firstSign = '\ue000'
	mostSigns = 6400
)

func isSign(r rune) bool { return r >= firstSign && r < firstSign+mostSigns }

// sign keeps what was said and returns the sign for it.
func (r *reading) sign(said string) string {
	if len(r.said) == mostSigns {
		return said
	}
	r.said = append(r.said, said)
	return string(rune(firstSign + len(r.said) - 1))
}

// whole puts what was said in the place of the signs for it.
func (r *reading) whole(words string) string {
	if strings.IndexFunc(words, isSign) < 0 {
		return words
	}
	var b strings.Builder
	for _, c := range words {
		if isSign(c) {
			b.WriteString(r.whole(r.said[c-firstSign]))
		} else {
			b.WriteRune(c)
		}
	}
	return b.String()
}

// say takes the phrases with most letters first. Each may be all of the words, and is then the answer, or a part of them.
func (r *reading) say(words string) string {
	core := strings.TrimSpace(words)
	if core == "" {
		return words
	}
	if at := strings.Index(words, core); len(core) < len(words) {
		return words[:at] + r.say(core) + words[at+len(core):]
	}
	if to, ok := r.book.exactly(words); ok {
		return to
	}
	if head, tail, ok := strings.Cut(words, " – "); ok { // the title of a page
		if to, ok := r.book.exactly(head); ok {
			return to + " – " + r.say(tail)
		}
	}
	for _, e := range r.book.candidates(words) {
		if args, ok := e.from.match(words); ok {
			return e.to.put(r.args(e, args))
		}
		for {
			from, to, args, ok := e.from.find(words)
			if !ok {
				break
			}
			words = words[:from] + r.sign(e.to.putPart(r.args(e, args))) + words[to:]
		}
	}
	return r.rest(words)
}

// exactly says words that are one phrase without places; a sentence may stand as a title, without its full stop.
func (b *phrasebook) exactly(words string) (string, bool) {
	if to, ok := b.exact[words]; ok {
		return to, true
	}
	to, ok := b.exact[words+"."]
	return strings.TrimSuffix(to, "."), ok
}

// args says what was put into a phrase and orders it by number; a name in quotes stays.
func (r *reading) args(e *entry, byPlace []string) []string {
	for i, v := range e.from.verbs {
		if v.kind != 'q' {
			byPlace[i] = r.say(byPlace[i])
		}
	}
	return e.from.inOrder(byPlace)
}

// rest says what lies between phrases, part by part.
func (r *reading) rest(words string) string {
	for _, joint := range joints {
		if head, tail, ok := strings.Cut(words, joint); ok {
			return r.rest(head) + joint + r.rest(tail)
		}
	}
	return r.book.singly(words)
}

// joints are between parts that are each said by themselves where no phrase holds them together.
var joints = []string{". ", "; ", ": ", " – ", ", ", " (", ")", "/"}

// candidates are the phrases all of whose words are among the words, those with most letters first.
func (b *phrasebook) candidates(words string) []*entry {
	var out []*entry
	there := map[string]bool{}
	for _, w := range wordsIn(words) {
		there[w] = true
	}
	for w := range there {
		for _, e := range b.byWord[w] {
			if !slices.ContainsFunc(e.from.words, func(w string) bool { return !there[w] }) {
				out = append(out, e)
			}
		}
	}
	slices.SortFunc(out, func(x, y *entry) int {
		if x.from.letters != y.from.letters {
			return y.from.letters - x.from.letters
		}
		return strings.Compare(x.format, y.format)
	})
	return out
}

// inOrder turns values by place into values by number.
func (p *phrase) inOrder(byPlace []string) []string {
	out := make([]string, len(byPlace))
	for i, v := range p.verbs {
		for v.arg >= len(out) {
			out = append(out, "")
		}
		out[v.arg] = byPlace[i]
	}
	return out
}

// singly says words one by one where each of them is known by itself, as "8 October 2026" or "3 courses" are.
func (b *phrasebook) singly(words string) string {
	list := wordsIn(words)
	for _, w := range list {
		if _, ok := b.singles[w]; !ok && len(w) > 2 {
			return words
		}
	}
	var out strings.Builder
	for _, w := range list {
		at := strings.Index(words, w)
		out.WriteString(words[:at])
		if said, ok := b.singles[w]; ok {
			out.WriteString(said)
		} else { // a unit
			out.WriteString(w)
		}
		words = words[at+len(w):]
	}
	return out.String() + words
}
