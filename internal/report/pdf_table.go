package report

import (
	"slices"
	"strings"
)

// Room in a table, as report.css has it.
const (
	cellRight = 10.0 // after a cell
	cellApart = 18.0 // before words that follow numbers
	tickWide  = 24.0 // of the column of boxes to tick
	tickSide  = 11.0
	shortCell = 13 // letters of a cell that is not parted
)

// grid is a table with its columns measured.
type grid struct {
	Table
	size    float64 // of lettering
	pad     float64 // above and below a row
	tick    float64 // width of the column of boxes, 0 for none
	lefts   []float64
	widths  []float64 // of the words in a column
	measure float64
	of      *element // where its rows are added; nil for none
}

// table sets a ruled table. A short one stays whole; a long one goes on under its head again.
func (f *flow) table(t Table, measure float64) {
	g := f.measured(t, measure)
	if t.Says != "" {
		says := f.tagged(asParagraph, f.para(f.sans(12.5, inkColour), 1.45, t.Says, min(measure, 12.5*50)))
		f.add(item{high: says.high() + 8, keep: true, draw: func(x, y float64) { f.paint(x, y, says) }})
	}
	g.of = f.tag(asTable)
	head := f.tableHead(g, t.Caption)
	of := g.of
	g.of = nil // the head comes once for those who listen
	again := f.tableHead(g, t.Caption)
	if t.Caption != "" {
		again = f.tableHead(g, t.Caption+f.model.word(", continued"))
	}
	g.of = of.add(asRows)
	head.keep = true
	f.add(head)
	rows := t.Rows
	total := len(t.Total) > 0
	if total {
		rows = append(slices.Clone(rows), t.Total)
	}
	whole := short(t)
	for i, row := range rows {
		last := i == len(rows)-1
		x := f.tableRow(g, row, last && total, last || (total && i == len(rows)-2))
		x.keep = !last && (whole || i < 2 || i >= len(rows)-3)
		if last && t.Note != "" {
			x.keep = true
		}
		if i > 0 {
			x.again = &again
		}
		f.add(x)
	}
	if t.Note != "" {
		note := f.tagged(asParagraph, f.para(f.sans(11.5, ink2Colour), 1.45, t.Note, min(measure, 11.5*60)))
		f.next = 5
		f.add(item{high: note.high(), draw: func(x, y float64) { f.paint(x, y, note) }})
	}
}

// headLetters and cellLetters are how the head and the cells are set.
func (f *flow) headLetters(g *grid) lettering { return f.sans(min(11.5, g.size), ink2Colour) }

func (f *flow) cellLetters(g *grid, bold bool) lettering {
	if bold {
		return f.bold(g.size)
	}
	return f.sans(g.size, inkColour)
}

// measured shares the measure out among the columns as a browser does: what all need without breaking, else by what they
// would take beyond their longest word. Where even the longest words do not fit, the lettering gets smaller.
func (f *flow) measured(t Table, measure float64) *grid {
	g := &grid{Table: t, size: 12.5, pad: 3.5, measure: measure}
	if t.Fine {
		g.size, g.pad = 11.5, 3
	}
	if len(t.Write) > 0 {
		g.pad = 7
	}
	if t.Tick {
		g.tick = tickWide
	}
	for ; ; g.size -= 0.5 {
		if f.share(g) || g.size <= 8 {
			return g
		}
	}
}

// share gives every column its width and says whether all longest words fit.
func (f *flow) share(g *grid) bool {
	n := len(g.Columns)
	least, most, before := make([]float64, n), make([]float64, n), make([]float64, n)
	free := g.measure - g.tick
	for i, c := range g.Columns {
		if i > 0 {
			before[i] = cellRight
			if g.Columns[i-1].Number && !c.Number {
				before[i] = cellApart
			}
			free -= before[i]
		}
		least[i], most[i] = f.asked(g, i)
	}
	sumLeast, sumMost := sum(least), sum(most)
	g.widths, g.lefts = make([]float64, n), make([]float64, n)
	for i := range g.Columns {
		switch {
		case sumMost <= free && sumMost > 0:
			g.widths[i] = most[i] + (free-sumMost)*most[i]/sumMost
		case sumLeast <= free && sumMost > sumLeast:
			g.widths[i] = least[i] + (free-sumLeast)*(most[i]-least[i])/(sumMost-sumLeast)
		case sumLeast > 0:
			g.widths[i] = free * least[i] / sumLeast
		}
	}
	if first := map[int]float64{2: 0.36, 3: 0.37}[n]; first > 0 && sumMost > free { // as report.css has it
		f.widenFirst(g, least, free, first)
	}
	x := g.tick
	for i := range g.Columns {
		x += before[i]
		g.lefts[i] = x
		x += g.widths[i]
	}
	return sumLeast <= free
}

// widenFirst gives the first column its share of the table where the others keep their longest words.
func (f *flow) widenFirst(g *grid, least []float64, free, share float64) {
	want := max(least[0], share*g.measure-cellRight)
	rest := free - want
	if sum(least[1:]) > rest {
		return
	}
	others := sum(g.widths[1:])
	if others <= 0 {
		return
	}
	for i := 1; i < len(g.widths); i++ {
		if g.widths[i]*rest/others < least[i] {
			return
		}
	}
	for i := 1; i < len(g.widths); i++ {
		g.widths[i] *= rest / others
	}
	g.widths[0] = want
}

func sum(list []float64) float64 {
	s := 0.0
	for _, v := range list {
		s += v
	}
	return s
}

// asked gives the width of a column's longest word and of its longest line.
func (f *flow) asked(g *grid, i int) (least, most float64) {
	take := func(l lettering, words string, whole bool) {
		words = heldTogether(words)
		w := f.width(l, words)
		most = max(most, w)
		if whole || len([]rune(words)) <= shortCell {
			least = max(least, w)
			return
		}
		for _, x := range wordsOf(words) {
			least = max(least, min(f.width(l, x), 220))
		}
	}
	head := f.headLetters(g)
	for _, x := range wordsOf(g.Columns[i].Head) {
		least = max(least, f.width(head, x))
	}
	most = max(least, min(f.width(head, g.Columns[i].Head), 96)) // a head may break
	for _, row := range g.Rows {
		if i < len(row) {
			take(f.cellLetters(g, false), row[i], g.Columns[i].Number && i > 0)
		}
	}
	if i < len(g.Total) {
		take(f.cellLetters(g, true), g.Total[i], g.Columns[i].Number && i > 0)
	}
	if slices.Contains(g.Write, i) {
		least, most = max(least, 46), max(most, 70)
	}
	return least, most
}

// tableHead is the caption and the heads of the columns between two rules.
func (f *flow) tableHead(g *grid, caption string) item {
	var title paragraph
	high := 0.0
	if caption != "" {
		title = f.para(f.bold(13), 1.35, caption, g.measure)
		if g.of != nil {
			title.of = g.of.add(asCaption)
		}
		high = title.high() + 5
	}
	heads := make([]paragraph, len(g.Columns))
	tall := 0.0
	for i, c := range g.Columns {
		if c.Head != "" {
			heads[i] = f.para(f.headLetters(g), 1.3, c.Head, g.widths[i]+0.5)
		}
		tall = max(tall, heads[i].high())
	}
	if tall > 0 && g.of != nil {
		row := g.of.add(asHead).add(asRow)
		if g.tick > 0 {
			row.add(asCell)
		}
		for i := range heads {
			heads[i].of = headed(row, ofColumn, len(heads[i].lines) > 0)
		}
	}
	if tall == 0 {
		return item{high: high + 1, draw: func(x, y float64) {
			f.paint(x, y, title)
			f.area(x, y+high, g.measure, 1, inkColour)
		}}
	}
	return item{high: high + 2 + 5 + tall + 5 + 1, draw: func(x, y float64) {
		f.paint(x, y, title)
		y += high
		f.area(x, y, g.measure, 2, inkColour)
		for i, h := range heads {
			top := y + 7 + tall - h.high()
			if g.Columns[i].Number {
				f.paintEnding(x+g.lefts[i]+g.widths[i], top, h)
			} else {
				f.paint(x+g.lefts[i], top, h)
			}
		}
		f.area(x, y+12+tall, g.measure, 1, inkColour)
	}}
}

// headed adds a cell that says what its row or column is about; one without words is a cell like any other.
func headed(row *element, scope string, words bool) *element {
	if !words {
		return row.add(asCell)
	}
	cell := row.add(asHeader)
	cell.attr = scope
	return cell
}

// tableRow is one row with the rule below it.
func (f *flow) tableRow(g *grid, row []string, bold, ended bool) item {
	cells := make([]paragraph, min(len(row), len(g.Columns)))
	tall := 0.0
	of := g.of.add(asRow)
	if g.tick > 0 {
		of.add(asCell)
	}
	for i := range cells {
		if strings.TrimSpace(row[i]) != "" {
			cells[i] = f.para(f.cellLetters(g, bold), 1.35, row[i], g.widths[i]+0.5)
		}
		if i == 0 {
			cells[i].of = headed(of, ofRow, len(cells[i].lines) > 0)
		} else {
			cells[i].of = of.add(asCell)
		}
		tall = max(tall, cells[i].high())
	}
	tall = max(tall, g.size*1.35)
	colour := hairColour
	if ended {
		colour = inkColour
	}
	return item{high: tall + 2*g.pad + 1, draw: func(x, y float64) {
		if g.tick > 0 && !bold {
			f.frame(x+1, y+g.pad+(g.size*1.35-tickSide)/2, tickSide, tickSide, 1, 1.2, inkColour)
		}
		for i, c := range cells {
			if slices.Contains(g.Write, i) && len(c.lines) == 0 && !bold {
				f.frame(x+g.lefts[i], y+3, g.widths[i], tall+2*g.pad-5, 1.5, 0.9, ink3Colour)
				continue
			}
			if g.Columns[i].Number && i > 0 {
				f.paintEnding(x+g.lefts[i]+g.widths[i], y+g.pad, c)
			} else {
				f.paint(x+g.lefts[i], y+g.pad, c)
			}
		}
		f.area(x, y+tall+2*g.pad, g.measure, 1, colour)
	}}
}
