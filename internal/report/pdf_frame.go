package report

import (
	"fmt"

	"underfoot/internal/figure"
)

// head draws the running head: the mark, the course, what the report is about, and a thick rule with a thin one below.
func (f *flow) head() {
	x := f.left
	y, _ := f.edges()
	f.mark(x, y)
	name := lettering{face: f.faces.semibold, size: 15, colour: inkColour}
	subject := lettering{face: f.faces.sans, size: 11.5, colour: ink2Colour}
	about := f.para(subject, 1.3, f.model.Subject, wide*0.6)
	about.lines = about.lines[:1]
	free := wide - 21 - about.lines[0].wide - 20
	for name.size > 10 && f.width(name, f.model.Course) > free {
		name.size -= 0.5
	}
	f.say(x+21, y+13.5, name, f.shortened(name, f.model.Course, free))
	f.say(x+wide-about.lines[0].wide, y+13, subject, about.lines[0].words)
	f.area(x, y+24, wide, 2.5, inkColour)
	f.area(x, y+28, wide, 1, inkColour)
}

// shortened cuts words to a width, with an ellipsis where something was cut.
func (p *press) shortened(l lettering, words string, width float64) string {
	if p.width(l, words) <= width {
		return words
	}
	r := []rune(words)
	for len(r) > 1 && p.width(l, string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// mark draws the little core that stands for the program.
func (p *press) mark(x, y float64) {
	const k = 12.0 / 18
	for _, z := range []struct {
		from, to float64
		colour   string
	}{{0, 7, "#653329"}, {7, 15, "#E58751"}, {15, 26, "#FAE587"}} {
		p.area(x+k, y+k*z.from, 16*k, k*(z.to-z.from), z.colour)
	}
	p.rule(x+k, y, x+k, y+26*k, 2*k, inkColour)
	p.rule(x+17*k, y, x+17*k, y+26*k, 2*k, inkColour)
}

// foot draws the running foot: who prepared it, and which page of how many.
func (f *flow) foot(page, of int) {
	l := lettering{face: f.faces.sans, size: 11.5, colour: ink2Colour}
	_, lower := f.edges()
	y := f.paper.h - lower - 16
	f.rule(f.left, y-7, f.left+wide, y-7, 1, hairColour)
	f.say(f.left, y+11, l, f.shortened(l, f.model.Prepared, wide-70))
	f.sayEnding(f.left+wide, y+11, l, f.model.word(fmt.Sprintf("%d of %d", page, of)))
}

// statement is the answer, smaller where it takes more than two lines.
func (f *flow) statement(measure float64) paragraph {
	l := lettering{face: f.faces.medium, size: 28, colour: inkColour, track: -0.012}
	g := f.balanced(l, 1.16, f.model.Statement, measure)
	if len(g.lines) > 2 {
		l.size = 24
		g = f.balanced(l, 1.16, f.model.Statement, measure)
	}
	return f.tagged(asTitle, g)
}

// opening sets whom it is for, the answer, what it rests on, and the few figures everybody should leave with.
func (f *flow) opening() {
	m := f.model
	measure := wide
	if f.logo.w > 0 {
		measure -= f.logo.w + 24
	}
	to := f.para(lettering{face: f.faces.sans, size: 12.5, colour: ink2Colour}, 1.45, m.word("For "+m.Recipient), measure)
	if m.Recipient == "" {
		to.lines = nil
	}
	to = f.tagged(asParagraph, to)
	says := f.statement(measure)
	high := to.high() + 2 + says.high()
	if f.logo.w > 0 {
		high = max(high, f.logo.h+2)
	}
	f.add(item{high: high, keep: true, entry: m.Statement, draw: func(x, y float64) {
		f.paint(x, y, to)
		f.paint(x, y+to.high()+2, says)
		f.drawLogo(x+wide-f.logo.w, y)
	}})
	if len(m.Because) > 0 {
		words := ""
		for _, s := range m.Because {
			words += s + " "
		}
		lead := f.tagged(asParagraph, f.para(lettering{face: f.faces.serif, size: 16, colour: inkColour}, 1.48, words, wide))
		f.add(item{before: 10, high: lead.high(), keep: len(m.Strip) > 0, draw: func(x, y float64) { f.paint(x, y, lead) }})
	}
	if len(m.Strip) > 0 {
		f.strip(m.Strip)
	}
	f.next = 20
}

// Room before the value of an answer for its arrow or its dots.
const wayRoom, dotsRoom = 22.0, 99.0

// stripMeasure is how wide an answer may be: as wide as it wants where all fit side by side, else its share.
func (f *flow) stripMeasure(answers []Answer, name, value lettering) float64 {
	gaps := 24 * float64(len(answers)-1)
	all := gaps
	for _, a := range answers {
		w := f.width(value, heldTogether(a.Value))
		if a.Way != nil {
			w += wayRoom
		}
		if a.Chance != nil {
			w = max(w, dotsRoom+f.width(value, heldTogether(a.Chance.Words)))
		}
		all += max(w, f.width(name, a.Name), f.width(name, a.Note))
	}
	if all <= wide {
		return wide
	}
	return (wide - gaps) / float64(len(answers))
}

// strip sets the answers side by side between two rules.
func (f *flow) strip(answers []Answer) {
	name := lettering{face: f.faces.sans, size: 11.5, colour: ink2Colour}
	value := lettering{face: f.faces.bold, size: 14, colour: inkColour}
	type column struct {
		name, value, note paragraph
		answer            Answer
		lead              float64 // before the value
	}
	columns := make([]column, len(answers))
	most := f.stripMeasure(answers, name, value)
	high := 0.0
	widths := make([]float64, len(answers))
	list := f.tag(asList)
	for i, a := range answers {
		c := column{answer: a, name: f.para(name, 1.45, a.Name, most)}
		words := a.Value
		if a.Way != nil {
			c.lead = wayRoom
		}
		if a.Chance != nil {
			c.lead = dotsRoom
			words = a.Chance.Words
		}
		c.value = f.para(value, 1.35, words, most-c.lead)
		if a.Note != "" {
			c.note = f.para(name, 1.35, a.Note, most)
		}
		one := list.add(asItem)
		c.name.of = one.add(asLabel)
		c.value.of = one.add(asBody)
		c.note.of = c.value.of
		columns[i] = c
		widths[i] = max(widest(c.name.lines), c.lead+widest(c.value.lines), widest(c.note.lines))
		high = max(high, 7+c.name.high()+2+c.value.high()+c.note.high()+8)
	}
	gap := wide
	for _, w := range widths {
		gap -= w
	}
	gap /= max(1, float64(len(answers)-1))
	f.add(item{before: 14, high: high + 3, draw: func(x, y float64) {
		f.area(x, y, wide, 2, inkColour)
		f.area(x, y+high+2, wide, 1, inkColour)
		for i, c := range columns {
			f.paint(x, y+9, c.name)
			v := y + 9 + c.name.high() + 2
			if c.answer.Way != nil {
				f.scene(figure.DirectionIcon(*c.answer.Way), x, v+1.5, 1)
			}
			if c.answer.Chance != nil {
				f.scene(figure.Odds(c.answer.Chance.HalfDots), x, v+4.5, 1)
			}
			f.paint(x+c.lead, v, c.value)
			f.paint(x, v+c.value.high(), c.note)
			x += widths[i] + gap
		}
	}})
}
