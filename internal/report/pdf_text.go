package report

import "strings"

// setLine is one line of a paragraph.
type setLine struct {
	words string
	wide  float64
	cut   bool // its last word goes on in the next line
}

// paragraph is words broken into lines of one lettering.
type paragraph struct {
	letters lettering
	lines   []setLine
	lead    float64 // from line to line
	of      *element
}

func (g paragraph) high() float64 { return float64(len(g.lines)) * g.lead }

// para breaks words into lines not wider than the measure. Numbers stay with their units; a last line of one short word is
// avoided.
func (p *press) para(l lettering, leading float64, words string, measure float64) paragraph {
	g := paragraph{letters: l, lead: l.size * leading}
	words = heldTogether(words)
	g.lines = p.broken(l, words, measure)
	for n, narrow := len(g.lines), measure; n > 1 && g.lines[n-1].wide < measure*0.16; {
		if narrow -= measure * 0.02; narrow < measure*0.8 {
			break
		}
		if again := p.broken(l, words, narrow); len(again) == n {
			g.lines = again
		} else {
			break
		}
	}
	return g
}

// balanced breaks words into as few lines as fit, of about the same width: for headings.
func (p *press) balanced(l lettering, leading float64, words string, measure float64) paragraph {
	g := paragraph{letters: l, lead: l.size * leading}
	words = heldTogether(words)
	g.lines = p.broken(l, words, measure)
	low, high := measure/3, measure
	for range 12 {
		mid := (low + high) / 2
		if try := p.broken(l, words, mid); len(try) <= len(g.lines) && widest(try) <= mid {
			g.lines, high = try, mid
		} else {
			low = mid
		}
	}
	return g
}

func widest(lines []setLine) float64 {
	w := 0.0
	for _, l := range lines {
		w = max(w, l.wide)
	}
	return w
}

// heldTogether puts blanks that do not break where numbers stay with their units.
func heldTogether(words string) string {
	var b strings.Builder
	for _, x := range pieces(words) {
		if x.held {
			b.WriteString(strings.ReplaceAll(x.words, " ", "\u00a0"))
		} else {
			b.WriteString(x.words)
		}
	}
	return b.String()
}

// words parts a text where it may be broken: at blanks, after a hyphen between letters and after a slash.
func wordsOf(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' })
}

// broken breaks words at blanks where it can and inside a word where it must: nothing is cut off.
func (p *press) broken(l lettering, words string, measure float64) []setLine {
	var out []setLine
	line, wide := "", 0.0
	blank := p.width(l, " ")
	put := func() {
		if line != "" {
			out = append(out, setLine{words: line, wide: wide})
		}
		line, wide = "", 0
	}
	for _, word := range wordsOf(words) {
		w := p.width(l, word)
		if line != "" && wide+blank+w <= measure+0.01 {
			line, wide = line+" "+word, wide+blank+w
			continue
		}
		put()
		for w > measure && len([]rune(word)) > 1 { // a word wider than the measure
			part, rest := p.cut(l, word, measure)
			out = append(out, setLine{words: part, wide: p.width(l, part), cut: true})
			word, w = rest, p.width(l, rest)
		}
		line, wide = word, w
	}
	put()
	if len(out) == 0 {
		return []setLine{{}}
	}
	return out
}

// cut parts a word so that its first part is as long as the measure allows, one letter at least; behind a hyphen or a slash
// where there is one.
func (p *press) cut(l lettering, word string, measure float64) (part, rest string) {
	r := []rune(word)
	n := len(r) - 1
	for n > 1 && p.width(l, string(r[:n])) > measure {
		n--
	}
	for k := n; k > n/2; k-- {
		if strings.ContainsRune("-/_.–", r[k-1]) {
			n = k
			break
		}
	}
	return string(r[:n]), string(r[n:])
}

// paint sets a paragraph with its upper edge at y. The words of a line stand in the middle of its lead, as in a browser.
func (p *press) paint(x, y float64, g paragraph) {
	p.paintBy(y, g, func(setLine) float64 { return x })
}

// paintEnding sets a paragraph to the right.
func (p *press) paintEnding(x, y float64, g paragraph) {
	p.paintBy(y, g, func(l setLine) float64 { return x - l.wide })
}

// paintBy sets a paragraph with its lines where from says. A line ends with a blank, which is not seen, so that whoever reads
// the lines one after the other keeps their words apart.
func (p *press) paintBy(y float64, g paragraph, from func(setLine) float64) {
	if len(g.lines) == 0 {
		return
	}
	p.as(g.of, func() {
		for i, l := range g.lines {
			words := l.words
			if !l.cut && words != "" {
				words += " "
			}
			p.say(from(l), baseline(g.letters, y+float64(i)*g.lead, g.lead), g.letters, words)
		}
	})
}

// ascent and descent of the faces, in parts of the size, by their table hhea.
const (
	ascent  = 0.99
	descent = 0.32
)

// baseline is where the letters of a line stand that begins at y.
func baseline(l lettering, y, lead float64) float64 {
	return y + lead/2 + l.size*(ascent-descent)/2
}
