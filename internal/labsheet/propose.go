package labsheet

import (
	"fmt"
	"slices"
	"strings"
)

// Proposal is a guessed rule with the reasons for it. What is left open in it is asked by [Questions].
type Proposal struct {
	Rule    Rule
	Reasons []string
}

// Wish narrows what is proposed to what a person has already said.
type Wish struct {
	Sheet  string // worksheet
	HeadAt int    // first row of the headings, counted from 1; 0 to look for it
	Head   int    // rows of headings
	Kind   Kind
}

// Propose guesses how a sheet is to be read. A sheet in which nothing is recognised comes back without columns, for a
// person to point at them.
func Propose(b *Book, w Wish) Proposal {
	best := Proposal{Rule: Rule{Kind: w.Kind, Sheet: w.Sheet}}
	if best.Rule.Kind == "" {
		best.Rule.Kind = Results
	}
	most := -1
	for i := range b.Sheets {
		g := &b.Sheets[i]
		if w.Sheet != "" && g.Sheet != w.Sheet || w.Sheet == "" && g.Hidden && len(b.Sheets) > 1 || len(g.Rows) == 0 {
			continue
		}
		p, worth := proposeGrid(g, w)
		if worth > most {
			best, most = p, worth
		}
	}
	if len(b.Sheets) > 1 && most > 0 {
		best.Reasons = append([]string{fmt.Sprintf("Worksheet %q holds the table, of %d.", best.Rule.Sheet, len(b.Sheets))}, best.Reasons...)
	} else if len(b.Sheets) == 1 {
		best.Rule.Sheet = ""
	}
	return best
}

// guess is a proposal in the making.
type guess struct {
	*layout
	rule    Rule
	reasons []string
	fields  []Field // by column
}

func (p *guess) because(format string, args ...any) {
	p.reasons = append(p.reasons, fmt.Sprintf(format, args...))
}

func proposeGrid(g *Grid, w Wish) (Proposal, int) {
	h, ok := g.findHead()
	if w.HeadAt > 0 {
		h = head{min(w.HeadAt-1, len(g.Rows)-1), 0}
		h.bottom = min(h.top+max(w.Head, 1)-1, len(g.Rows)-1)
		ok = true
	}
	if !ok {
		r := Rule{Kind: w.Kind, Sheet: g.Sheet}
		if r.Kind == "" {
			r.Kind = Results
		}
		return Proposal{Rule: r, Reasons: []string{"No row of headings was recognised: say in which row they are, and point at the columns."}}, 0
	}
	p := &guess{layout: g.layout(h)}
	p.rule = Rule{Sheet: g.Sheet, HeadAt: h.top + 1, Head: h.bottom - h.top + 1}
	p.fields = make([]Field, len(p.heads))
	known := 0
	for c := range p.heads {
		if p.fields[c] = p.fieldAt(c); p.fields[c] != "" {
			known++
		}
	}
	rows := fmt.Sprintf("row %d", h.top+1)
	if h.bottom > h.top {
		rows = fmt.Sprintf("rows %d to %d", h.top+1, h.bottom+1)
	}
	p.because("The headings are in %s: known words stand there, and values below.", rows)
	sieves := p.sieveColumns()
	p.rule.Kind = w.Kind
	if p.rule.Kind == "" {
		p.rule.Kind = p.guessKind(sieves)
	}
	switch p.rule.Kind {
	case Sieve:
		p.proposeSieve(sieves)
	case Weighings:
		p.proposeWeighings()
	default:
		p.proposeResults()
	}
	p.labels()
	p.downAndSections()
	p.rule = p.rule.complete(g, p.because)
	return Proposal{p.rule, p.reasons}, 10*len(p.rule.Columns) + known
}

// fieldAt guesses what a column holds from its headings, the lower before the upper, and from its cells.
func (p *guess) fieldAt(c int) Field {
	for r := p.h.bottom; r >= p.h.top; r-- {
		t := p.g.At(r, c).Text
		if t == "" || isUnit(t) || strings.HasPrefix(t, "%") {
			continue
		}
		f := fieldOf(t)
		if f == FieldDate && says(normal(p.heads[c]), wordsNotCut...) {
			return ""
		}
		if f != "" && !(f == FieldOpening && fieldOf(p.heads[c]) == FieldAmount) {
			return f
		}
	}
	if f := fieldOf(p.heads[c]); f != "" {
		return f
	}
	cells := p.cells(c)
	withDepth := share(cells, func(x Cell) bool { _, _, ok := FindDepth(x.Text, ""); return ok })
	if withDepth < 0.6 || p.heads[c] != "" && says(normal(p.heads[c]), wordsOther...) {
		return ""
	}
	return FieldLayer
}

func (p *guess) count(f Field) int {
	n := 0
	for _, x := range p.fields {
		if x == f {
			n++
		}
	}
	return n
}

// guessKind tells the three kinds apart.
func (p *guess) guessKind(sieves map[int]bool) Kind {
	switch {
	case len(sieves) >= 3:
		p.because("Headings are sizes of sieves: a sheet of sieve analyses.")
		return Sieve
	case p.count(FieldOpening) > 0 && p.count(FieldOM) == 0 && p.count(FieldTare) == 0:
		p.because("A column holds sizes of sieves: a sheet of sieve analyses.")
		return Sieve
	case p.massColumn(FieldAsh) && (p.massColumn(FieldDry) || p.count(FieldTare) > 0):
		p.because("Columns hold masses before and after the furnace: a sheet of weighings.")
		if p.count(FieldOM) > 0 {
			p.because("Its own column of organic matter is left out: it is worked out from the masses.")
		}
		return Weighings
	case p.count(FieldOM) > 0 || p.count(FieldAsh) > 0:
		p.because("A column holds organic matter: a sheet of results.")
	}
	return Results
}

// massColumn says whether a column of the field holds masses, not shares.
func (p *guess) massColumn(f Field) bool {
	for c, x := range p.fields {
		if x == f && unitIn(p.heads[c], FieldOM) == "" {
			return true
		}
	}
	return false
}

func (p *guess) add(c int, f Field) *Column {
	p.rule.Columns = append(p.rule.Columns, Column{At: c + 1, Heading: p.heads[c], Field: f})
	return &p.rule.Columns[len(p.rule.Columns)-1]
}

var keyFields = []Field{FieldSample, FieldGreen, FieldPlace, FieldLayer, FieldTop, FieldBottom, FieldDate, FieldRound, FieldCores, FieldCorer, FieldPosition}

// keys adds the columns that say what a row is about. Columns of a field that comes as often as there are samples side by side
// belong to one each.
func (p *guess) keys(groups int, more ...Field) {
	for c, f := range p.fields {
		cells := p.cells(c)
		if f == FieldSample || f == FieldGreen || f == FieldLayer {
			f = p.byCells(f, cells)
			p.fields[c] = f
		}
	}
	used := map[Field]int{}
	for c, f := range p.fields {
		if !slices.Contains(keyFields, f) && !slices.Contains(more, f) {
			continue
		}
		used[f]++
		n := p.count(f)
		switch {
		case groups > 1 && n == groups:
			p.add(c, f).Group = used[f]
		case n == 1:
			p.add(c, f)
		case f == FieldSample && p.bestSample() == c, f != FieldSample && used[f] == 1:
			p.add(c, f)
		default:
			p.because("Column %s (%s) is left out: another column holds the %s.", ColumnName(c), p.heads[c], strings.ReplaceAll(string(f), "_", " "))
		}
	}
}

// byCells corrects a guess by what the cells hold: a layer beside other words is green and layer in one.
func (p *guess) byCells(f Field, cells []Cell) Field {
	depths := share(cells, func(x Cell) bool { _, _, ok := FindDepth(x.Text, ""); return ok })
	if depths < 0.6 {
		return f
	}
	more := share(cells, func(x Cell) bool {
		if _, err := ReadDepth(x.Text, ""); err == nil {
			return false
		}
		_, rest, ok := FindDepth(x.Text, "")
		return ok && strings.Trim(rest, " ,;/-()") != ""
	})
	switch {
	case more >= 0.6 && p.count(FieldGreen) == 0 || more >= 0.6 && f == FieldGreen:
		return FieldPlace
	case more < 0.6:
		return FieldLayer
	}
	return f
}

// bestSample is the column of sample names where several look like one: not the laboratory's own number.
func (p *guess) bestSample() int {
	best := -1
	for c, f := range p.fields {
		if f != FieldSample {
			continue
		}
		own := says(normal(p.heads[c]), "lab", "labnr", "labor*", "ref")
		if best < 0 || !own && says(normal(p.heads[best]), "lab", "labnr", "labor*", "ref") {
			best = c
		}
	}
	return best
}

// proposeResults takes the columns of organic matter and what goes with them.
func (p *guess) proposeResults() {
	for c, f := range p.fields {
		switch {
		case f == FieldWashed:
			p.fields[c] = ""
		case f == FieldDry || f == FieldTotal:
			p.fields[c] = FieldDryMass
			if u := unitIn(p.heads[c], FieldOM); u != "" {
				p.fields[c] = ""
			}
		case f == FieldAsh && p.count(FieldOM) == 0 && unitIn(p.heads[c], FieldOM) == Percent:
			p.fields[c] = FieldOM
			p.because("Column %s gives ash in percent: organic matter is 100 less it.", ColumnName(c))
		case f == "" && p.layerOf(c) != nil && share(p.cells(c), isNumber) > 0.6:
			p.fields[c] = FieldOM
			p.because("Column %s is headed by a layer and holds numbers: taken for organic matter of that layer.", ColumnName(c))
		}
	}
	if bare := p.bareLayers(); len(bare) > 1 {
		p.because("%s are headed by layers without a unit and hold numbers: taken for organic matter of those layers.", capital(counted(len(bare), "column", "columns")))
		p.keys(0, FieldLab, FieldMethod)
		for i, c := range bare {
			p.add(c, FieldOM).Group = i + 1
		}
		return
	}
	if across := p.greensAcross(); len(across) > 1 {
		p.because("Each of %s is a green, named by its heading.", counted(len(across), "column", "columns"))
		for _, c := range across {
			p.fields[c] = ""
		}
		p.keys(0, FieldLab, FieldMethod)
		for i, c := range across {
			x := p.add(c, FieldOM)
			x.Group, x.Name = i+1, p.lower(c)
		}
		return
	}
	groups := p.groups(FieldOM, FieldOMSD, FieldDryMass)
	p.keys(len(groups), FieldLab, FieldMethod)
	p.values(groups, FieldOM, FieldOMSD, FieldDryMass)
}

// bareLayers finds the columns of numbers that are headed by nothing but two depths without a unit.
func (p *guess) bareLayers() []int {
	if p.count(FieldOM)+p.count(FieldLayer)+p.count(FieldTop)+p.count(FieldPlace) > 0 {
		return nil
	}
	var out []int
	for c, f := range p.fields {
		if f == "" && p.layerOf(c) == nil && bareDepth(Cell{Text: p.heads[c]}) && share(p.cells(c), isNumber) > 0.6 {
			out = append(out, c)
		}
	}
	return out
}

// greensAcross finds the columns that are headed by a green each and hold numbers, where the layers go down the sheet.
func (p *guess) greensAcross() []int {
	if p.count(FieldOM) > 0 || p.count(FieldLayer)+p.count(FieldTop) == 0 {
		return nil
	}
	var out []int
	for c, f := range p.fields {
		if f == FieldGreen && strings.ContainsAny(p.lower(c), "0123456789") && share(p.cells(c), isNumber) > 0.6 {
			out = append(out, c)
		}
	}
	return out
}

// proposeWeighings takes the columns of masses.
func (p *guess) proposeWeighings() {
	for c, f := range p.fields {
		switch f {
		case FieldTotal:
			p.fields[c] = FieldMoist
		case FieldWashed:
			p.fields[c] = ""
		}
		if (f == FieldDry || f == FieldAsh || f == FieldMoist) && unitIn(p.heads[c], FieldOM) != "" {
			p.fields[c] = ""
		}
	}
	groups := p.groups(FieldAsh, FieldDry, FieldMoist, FieldTare)
	p.keys(len(groups), FieldRun, FieldInside, FieldDryC, FieldAshC, FieldAshHours)
	p.values(groups, FieldCrucible, FieldTare, FieldMoist, FieldDry, FieldAsh)
}

// layerOf is the layer that a column's heading names, nil for none.
func (p *guess) layerOf(c int) *Depth {
	f := p.fields[c]
	if slices.Contains(keyFields, f) {
		return nil
	}
	d, _, ok := FindDepth(p.heads[c], "")
	if !ok {
		unit := unitIn(p.heads[c], FieldLayer)
		if unit == "" {
			unit = p.unitAbove()
		}
		if unit == "" {
			return nil
		}
		if d, _, ok = FindDepth(p.heads[c], unit); !ok {
			return nil
		}
	}
	return &d
}

// unitAbove is the unit of depth that a title over the table names.
func (p *guess) unitAbove() string {
	for r := range p.h.top {
		for _, x := range p.g.Rows[r] {
			if u := unitIn(x.Text, FieldLayer); u != "" && says(normal(x.Text), wordsLayer...) {
				return u
			}
		}
	}
	return ""
}

// groups finds the samples that share a row: value columns of different layers, or of a field that comes several times.
// It returns the group of each column, or no groups when a row is one sample.
func (p *guess) groups(fields ...Field) map[int]map[int]bool {
	layers := map[Depth]int{}
	at := map[int]map[int]bool{}
	put := func(group, c int) {
		if at[group] == nil {
			at[group] = map[int]bool{}
		}
		at[group][c] = true
	}
	main := fields[0]
	for c, f := range p.fields {
		if d := p.layerOf(c); d != nil && slices.Contains(fields, f) {
			if layers[*d] == 0 {
				layers[*d] = len(layers) + 1
			}
			put(layers[*d], c)
		}
	}
	if len(layers) > 0 {
		p.because("Headings name %s: each is a sample of its own in the row.", counted(len(layers), "layer", "layers"))
		return at
	}
	n := p.count(main)
	if n < 2 {
		return nil
	}
	again := false
	for _, f := range keyFields {
		again = again || p.count(f) == n
	}
	again = again || p.count(FieldCrucible) == n
	if !again {
		return nil
	}
	p.because("The columns come %d times side by side: each row holds %d samples.", n, n)
	count := map[Field]int{}
	for c, f := range p.fields {
		if slices.Contains(fields, f) || f == FieldCrucible {
			count[f]++
			put(count[f], c)
		}
	}
	return at
}

// values adds the value columns.
func (p *guess) values(groups map[int]map[int]bool, fields ...Field) {
	used := map[Field]bool{}
	for c, f := range p.fields {
		if !slices.Contains(fields, f) {
			continue
		}
		group := 0
		for g, in := range groups {
			if in[c] {
				group = g
			}
		}
		if group == 0 && used[f] {
			p.because("Column %s (%s) is left out: another column holds the same, and nothing tells them apart.", ColumnName(c), p.heads[c])
			continue
		}
		used[f] = true
		x := p.add(c, f)
		x.Group, x.Layer = group, p.layerOf(c)
		if f == FieldOM && fieldOf(p.lower(c)) == FieldAsh {
			x.Unit = AshPercent
		}
		if (f == FieldDry || f == FieldAsh || f == FieldMoist) && says(normal(p.heads[c]), wordsNet...) {
			x.Unit = "g" + net
			if unitIn(p.heads[c], f) == "mg" {
				x.Unit = "mg" + net
			}
			p.because("Column %s gives masses without the crucible: the empty crucible is added.", ColumnName(c))
		}
	}
}

// labels finds cells over the table that hold for every row.
func (p *guess) labels() {
	for _, l := range p.g.labels(p.h.top) {
		a, ok := aboutOf(l.Field)
		if !ok || !a.in(p.rule.Kind) || p.rule.Has(l.Field) || l.Field == FieldOM || l.Field == FieldOpening || l.Field == FieldAmount || l.Field == FieldTare {
			continue
		}
		if l.Field == FieldGreen && p.rule.Has(FieldPlace) || l.Field == FieldSand && p.rule.Has(FieldSample) || l.Field == FieldSample && len(p.rule.Columns) > 0 && p.rule.NamesAbove {
			continue
		}
		l.Unit = unitIn(l.Words, l.Field)
		p.rule.Above = append(p.rule.Above, l)
		p.because("Cell %s gives the %s for every row: %s.", l.At, strings.ToLower(a.Name), l.Found)
	}
}

// labels reads "words: value" and words with a value beside them in the rows over the table.
func (g *Grid) labels(before int) []Label {
	var out []Label
	for r := 0; r < before && r < len(g.Rows); r++ {
		for c, x := range g.Rows[r] {
			if x.Empty() {
				continue
			}
			word, value, ok := strings.Cut(x.Text, ":")
			at := c
			if strings.TrimSpace(value) == "" {
				next := c + 1
				for next < len(g.Rows[r]) && g.Rows[r][next].Empty() {
					next++
				}
				if next >= len(g.Rows[r]) || next > c+3 || !ok && next != c+1 {
					continue
				}
				value, at, ok = g.Rows[r][next].Text, next, true
			}
			if !ok || len(word) > 60 || word == "" {
				continue
			}
			f := fieldOf(word)
			if f == "" || strings.Contains(value, ":") && at != c {
				continue
			}
			out = append(out, Label{Words: normal(word), Field: f, At: g.Place(r, at), Found: strings.TrimSpace(value)})
		}
	}
	return out
}

// downAndSections sees whether empty cells mean the same as above, and whether rows of one cell speak for those below.
func (p *guess) downAndSections() {
	for i := range p.rule.Columns {
		x := &p.rule.Columns[i]
		f := x.Field
		fits := f == FieldGreen || f == FieldDate || f == FieldRound || f == FieldRun || f == FieldPlace || f == FieldSample && p.rule.Kind != Results || f == FieldSand
		if !fits || slices.Contains(p.rule.Down, f) {
			continue
		}
		filled, gaps := 0, 0
		for r := p.first; r < len(p.g.Rows); r++ {
			if p.kindOf(r) != dataRow {
				continue
			}
			if !p.g.At(r, x.At-1).Empty() {
				filled++
			} else if filled > 0 {
				gaps++
			}
		}
		if filled > 0 && gaps >= filled {
			p.rule.Down = append(p.rule.Down, f)
			p.because("Column %s is written once for several rows: an empty cell there means the same as above.", ColumnName(x.At-1))
		}
	}
	sections := 0
	for r := p.first; r < len(p.g.Rows); r++ {
		if p.kindOf(r) == sectionRow {
			sections++
		}
	}
	if sections == 0 {
		return
	}
	switch {
	case !p.rule.Has(FieldGreen) && !p.rule.Has(FieldPlace) && p.rule.Kind != Sieve:
		p.rule.Sections = FieldGreen
	case p.rule.Kind == Sieve && !p.rule.Has(FieldSample) && !p.rule.Has(FieldSand):
		p.rule.Sections = FieldSample
	default:
		return
	}
	p.because("%s of one cell name the %s of the rows below.", capital(counted(sections, "row", "rows")), p.rule.Sections)
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
