package report

import (
	"strconv"

	"underfoot/internal/figure"
)

func (f *flow) sans(size float64, colour string) lettering {
	return lettering{face: f.faces.sans, size: size, colour: colour}
}

func (f *flow) bold(size float64) lettering {
	return lettering{face: f.faces.bold, size: size, colour: inkColour}
}

// section sets a part of the report: its heading stays with what follows.
func (f *flow) section(s Section) {
	f.within(f.tag(asSection), func() { f.parts(s) })
}

func (f *flow) parts(s Section) {
	switch {
	case s.Title == "":
		f.next = max(f.next, 16)
	case len(f.items) > 3:
		f.next = max(f.next, 27)
	}
	f.heading = asHeading
	if s.Title != "" {
		f.heading = asSubheading
		g := f.tagged(asHeading, f.para(lettering{face: f.faces.semibold, size: 18, colour: inkColour, track: -0.005}, 1.25, s.Title, wide))
		f.add(item{high: g.high() + 7, keep: true, entry: s.Title, draw: func(x, y float64) { f.paint(x, y, g) }})
	}
	for i, b := range s.Blocks {
		f.block(b, wide, i == 0)
	}
}

// block sets one block in a column.
func (f *flow) block(b Block, measure float64, first bool) {
	room := func(v float64) {
		if !first {
			f.next = max(f.next, v)
		}
	}
	switch v := b.(type) {
	case Text:
		room(8)
		f.text(v, measure)
	case List:
		room(10)
		f.list(v, measure)
	case Notice:
		room(16)
		f.notice(v, measure)
	case Figure:
		room(18)
		f.figure(v, measure)
	case Strata:
		room(18)
		f.strata(v)
	case Table:
		room(18)
		f.table(v, measure)
	case Pair:
		room(18)
		f.pair(v)
	}
}

// lines adds a paragraph line by line; two of its lines at least stand on either page.
func (f *flow) lines(g paragraph, indent float64) {
	n := len(g.lines)
	for i := range g.lines {
		one := paragraph{letters: g.letters, lead: g.lead, lines: g.lines[i : i+1], of: g.of}
		f.add(item{high: g.lead, keep: i == 0 && n > 1 || i == n-2, draw: func(x, y float64) { f.paint(x+indent, y, one) }})
	}
}

func (f *flow) text(t Text, measure float64) {
	size, colour, most := 14.0, inkColour, 46.0
	if t.Fine {
		size, colour, most = 11.5, ink2Colour, 60
	}
	f.lines(f.tagged(asParagraph, f.para(f.sans(size, colour), 1.45, t.Words, min(measure, size*most))), 0)
}

func (f *flow) list(l List, measure float64) {
	size, colour, most := 13.0, inkColour, 50.0
	if l.Fine {
		size, colour, most = 11.5, ink2Colour, 60
	}
	if l.Title != "" {
		g := f.tagged(f.heading, f.para(f.bold(13), 1.35, l.Title, measure))
		f.add(item{high: g.high(), keep: true, draw: func(x, y float64) { f.paint(x, y, g) }})
		f.next = 2
	}
	indent := 1.3 * size
	list := f.tag(asList)
	list.attr = withDots
	if l.Steps {
		list.attr = withNumbers
	}
	for i, words := range l.Items {
		mark := "•"
		if l.Steps {
			mark = strconv.Itoa(i+1) + "."
		}
		g := f.para(f.sans(size, colour), 1.45, words, min(measure, size*most)-indent)
		one := list.add(asItem)
		label := one.add(asLabel)
		g.of = one.add(asBody)
		f.next = max(f.next, 4)
		f.add(item{high: g.high(), draw: func(x, y float64) {
			at := baseline(g.letters, y, g.lead)
			f.as(label, func() {
				if l.Steps {
					f.sayEnding(x+indent-5, at, f.sans(size, ink3Colour), mark)
				} else {
					f.say(x+indent*0.35, at, f.sans(size, ink3Colour), mark)
				}
			})
			f.paint(x+indent, y, g)
		}})
	}
}

// notice is a box with round corners.
func (f *flow) notice(n Notice, measure float64) {
	inner := measure - 36
	title := f.tagged(f.heading, f.para(lettering{face: f.faces.semibold, size: 16, colour: inkColour}, 1.3, n.Title, inner))
	high := 13 + title.high()
	var list []paragraph
	for _, w := range n.Words {
		g := f.tagged(asParagraph, f.para(f.sans(14, inkColour), 1.45, w, inner))
		list = append(list, g)
		high += 4 + g.high()
	}
	high += 15
	f.add(item{high: high, entry: n.Title, draw: func(x, y float64) {
		f.frame(x+1, y+1, measure-2, high-2, 3, 2, inkColour)
		y += 13
		f.paint(x+18, y, title)
		y += title.high()
		for _, g := range list {
			f.paint(x+18, y+4, g)
			y += 4 + g.high()
		}
	}})
}

// captioned is what stands above a figure: its number, what it says and how sure that is.
type captioned struct {
	number     string
	of         *element // of the number
	says, sure paragraph
}

func (f *flow) caption(number int, says, sure string, measure float64) captioned {
	c := captioned{number: f.model.word("Fig. " + strconv.Itoa(number)), of: f.tag(asParagraph)}
	c.says = f.tagged(asParagraph, f.para(lettering{face: f.faces.medium, size: 16.5, colour: inkColour, track: -0.004}, 1.3, says, measure))
	if sure != "" {
		c.sure = f.tagged(asParagraph, f.para(f.sans(12.5, ink2Colour), 1.4, sure, measure))
	}
	return c
}

func (c captioned) high() float64 { return 17 + c.says.high() + 3 + c.sure.high() + 9 }

func (f *flow) drawCaption(c captioned, x, y float64) {
	l := f.sans(11.5, ink3Colour)
	f.as(c.of, func() { f.say(x, baseline(l, y, 17), l, c.number) })
	f.paint(x, y+17, c.says)
	f.paint(x, y+17+c.says.high()+3, c.sure)
}

// figure sets pictures in a grid under their caption, whole on one page.
func (f *flow) figure(v Figure, measure float64) {
	c := f.caption(v.Number, v.Says, v.Sure, measure)
	columns := map[int]int{2: 2, 4: 2, 3: 3, 5: 3, 6: 3}[len(v.Panels)]
	columns = max(columns, 1)
	each := (measure - 20*float64(columns-1)) / float64(columns)
	type cell struct {
		panel      Panel
		title, end paragraph
		of         *element // of the picture
		k, high    float64
	}
	cells := make([]cell, len(v.Panels))
	rows := make([]float64, (len(v.Panels)+columns-1)/columns)
	for i, p := range v.Panels {
		z := cell{panel: p, k: 1}
		if p.Scene != nil && p.Scene.Width > each {
			z.k = each / p.Scene.Width
		}
		if p.Title != "" {
			z.title = f.tagged(asParagraph, f.para(f.bold(13), 1.35, p.Title, each))
		}
		z.of = f.pictured(p.Scene)
		if p.Says != "" {
			z.end = f.tagged(asParagraph, f.para(f.sans(11.5, ink2Colour), 1.45, p.Says, each))
		}
		z.high = z.title.high()
		if p.Scene != nil {
			z.high += p.Scene.Height * z.k
		}
		if p.Says != "" {
			z.high += 2 + z.end.high()
		}
		cells[i] = z
		rows[i/columns] = max(rows[i/columns], z.high)
	}
	high := c.high()
	for i, h := range rows {
		high += h
		if i > 0 {
			high += 14
		}
	}
	f.add(item{high: high, draw: func(x, y float64) {
		f.drawCaption(c, x, y)
		y += c.high()
		for i, z := range cells {
			cx, cy := x+float64(i%columns)*(each+20), y
			for r := range i / columns {
				cy += rows[r] + 14
			}
			if z.panel.Title != "" {
				f.paint(cx, cy, z.title)
				at := cx + z.title.lines[len(z.title.lines)-1].wide + 5
				f.as(z.title.of, func() {
					f.say(at, baseline(z.title.letters, cy+z.title.high()-z.title.lead, z.title.lead), f.sans(11.5, ink3Colour), z.panel.Unit)
				})
				cy += z.title.high()
			}
			f.sceneOf(z.of, z.panel.Scene, cx, cy, z.k)
			if z.panel.Scene != nil {
				cy += z.panel.Scene.Height * z.k
			}
			f.paint(cx, cy+2, z.end)
		}
	}})
}

// strata sets each layer beside its piece of the core; the rows join to one core.
func (f *flow) strata(v Strata) {
	c := f.caption(v.Number, v.Says, v.Sure, wide)
	const level, trend, verdict = 136.0, 254.0, 530.0
	const turf = 8.0 // room for what grows above the core
	f.add(item{high: c.high() + turf, keep: true, draw: func(x, y float64) {
		f.drawCaption(c, x, y)
		f.area(x+level, y+c.high()+turf-8, wide-level, 1, inkColour)
	}})
	for i, r := range v.Rows {
		row := f.tag(asGroup)
		core, layer, now, span, trended := f.under(row, r.Core), row.add(asSubheading), row.add(asParagraph), row.add(asParagraph), f.under(row, r.Trend)
		says := f.para(f.bold(13), 1.35, r.Says, wide-verdict)
		says.of = row.add(asParagraph)
		figures := f.fineIn(r.Figures, wide-verdict)
		figures.of = row.add(asParagraph)
		chance := row.add(asParagraph)
		note := f.fineIn(r.Note, wide-verdict)
		note.of = row.add(asParagraph)
		high := 8 + says.high() + figures.high() + note.high() + 6
		if r.Chance != nil {
			high += 38
		}
		for _, s := range []*figure.Scene{r.Core, r.Trend} {
			if s != nil {
				high = max(high, s.Height)
			}
		}
		last := i == len(v.Rows)-1
		f.add(item{high: high, keep: !last, draw: func(x, y float64) {
			if i > 0 {
				f.area(x+level, y, wide-level, 1, hairColour)
			}
			f.sceneOf(core, r.Core, x, y, 1)
			f.sceneOf(trended, r.Trend, x+trend, y, 1)
			f.as(layer, func() { f.say(x+level, baseline(f.bold(13), y+8, 17.6), f.bold(13), r.Layer) })
			f.as(now, func() { f.say(x+level, baseline(f.bold(22), y+25.6, 28.6), f.bold(22), r.Level) })
			f.as(span, func() {
				f.say(x+level, baseline(f.sans(11.5, ink2Colour), y+54.2, 16.7), f.sans(11.5, ink2Colour), r.Range)
			})
			at := y + 8
			f.paint(x+verdict, at, says)
			at += says.high()
			f.paint(x+verdict, at, figures)
			at += figures.high()
			if r.Chance != nil {
				f.scene(figure.Odds(r.Chance.HalfDots), x+verdict, at+6, 1)
				l := f.sans(12, inkColour)
				f.as(chance, func() { f.say(x+verdict, baseline(l, at+18, 17.4), l, r.Chance.Words) })
				at += 38
			}
			f.paint(x+verdict, at+3, note)
			if last {
				f.area(x, y+high, wide, 1, inkColour)
			}
		}})
	}
}

// fineIn breaks small words; none give no lines.
func (f *flow) fineIn(words string, measure float64) paragraph {
	if words == "" {
		return paragraph{}
	}
	return f.para(f.sans(11.5, ink2Colour), 1.45, words, measure)
}

// pair sets two columns of blocks side by side, whole on one page.
func (f *flow) pair(v Pair) {
	const gap = 28.0
	each := (wide - gap) / 2
	var columns [2][]placed
	high := 0.0
	for i, blocks := range [2][]Block{v.Left, v.Right} {
		inner := flow{press: f.press, model: f.model, at: f.tag(asGroup), heading: f.heading}
		for k, b := range blocks {
			inner.block(b, each, k == 0)
		}
		y := 0.0
		for k, x := range inner.items {
			if k > 0 {
				y += x.before
			}
			columns[i] = append(columns[i], placed{x, y})
			y += x.high
		}
		high = max(high, y)
	}
	f.add(item{high: high, draw: func(x, y float64) {
		for i, column := range columns {
			for _, z := range column {
				if z.draw != nil {
					z.draw(x+float64(i)*(each+gap), y+z.y)
				}
			}
		}
	}})
}
