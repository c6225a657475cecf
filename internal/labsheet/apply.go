package labsheet

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Row is one sample of a sheet of results, one crucible of a sheet of weighings, or one analysis of a sheet of sieves.
// Numbers are in the first unit of their field.
type Row struct {
	Place  string             `json:"place"` // its first cell
	Text   map[Field]string   `json:"text,omitempty"`
	Number map[Field]float64  `json:"number,omitempty"`
	Sieve  []Mass             `json:"sieve,omitempty"` // coarsest first, the pan last
	At     map[Field]string   `json:"-"`               // cells by field
	Bad    bool               `json:"bad,omitempty"`   // one of the problems is about it
	Given  map[string]float64 `json:"-"`               // amounts as the sheet gives them, by opening as text
}

// Mass is what one sieve kept back.
type Mass struct {
	OpeningMM float64 `json:"opening_mm"`
	RetainedG float64 `json:"retained_g"`
}

// Problem is a cell that cannot be used, and why.
type Problem struct {
	Place string `json:"place"`
	Found string `json:"found,omitempty"`
	Text  string `json:"text"` // what is wrong and what is allowed
}

// String is the problem as a line.
func (p Problem) String() string { return p.Place + ": " + p.Text }

// Note is something left out or taken for granted.
type Note struct {
	Place string `json:"place"`
	Text  string `json:"text"`
}

// Table is a sheet read by a rule.
type Table struct {
	Kind     Kind      `json:"kind"`
	Rule     Rule      `json:"-"` // as it fits the sheet
	Sheet    string    `json:"-"`
	Rows     []Row     `json:"rows"`
	Problems []Problem `json:"problems"`
	Notes    []Note    `json:"notes"`
}

// collector gathers problems and notes on the way.
type collector struct {
	problems []Problem
	notes    []Note
	quiet    bool
	bad      bool // a problem came since it was last put back
}

func (c *collector) problem(place, found, format string, args ...any) {
	c.bad = true
	if !c.quiet {
		c.problems = append(c.problems, Problem{place, found, fmt.Sprintf(format, args...)})
	}
}

func (c *collector) note(place, format string, args ...any) {
	if !c.quiet {
		c.notes = append(c.notes, Note{place, fmt.Sprintf(format, args...)})
	}
}

// Apply reads the sheet by the rule. Every cell that cannot be used is a problem; nothing is guessed.
func Apply(b *Book, r Rule) (*Table, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	g, r, err := locate(b, r)
	if err != nil {
		return nil, err
	}
	t := &Table{Kind: r.Kind, Rule: r, Sheet: g.Sheet}
	l, c := r.layoutOf(g), &collector{}
	switch r.Kind {
	case Sieve:
		t.Rows = r.sieveRows(l, c)
	default:
		t.Rows = r.plainRows(l, c)
	}
	r.method(l, t.Rows, c)
	twice(t, c)
	t.Problems, t.Notes = once(c.problems), once(c.notes)
	if len(t.Rows) == 0 && len(t.Problems) == 0 {
		what := "a column of organic matter"
		switch r.Kind {
		case Weighings:
			what = "columns of masses"
		case Sieve:
			what = "sieves and what is on them"
		}
		t.Problems = append(t.Problems, Problem{g.Place(max(min(r.HeadAt, len(g.Rows))-1, 0), 0), "", "no row with values was found: point at " + what})
	}
	return t, nil
}

// once takes out what came before: samples that share a row share its cells.
func once[T comparable](list []T) []T {
	seen := map[T]bool{}
	return slices.DeleteFunc(list, func(x T) bool {
		was := seen[x]
		seen[x] = true
		return was
	})
}

// found looks the labels of the rule up in the rows over the table.
func (l *layout) found(r Rule) []Label {
	here := l.g.labels(l.h.top)
	var out []Label
	for _, want := range r.Above {
		for _, x := range here {
			if x.Words == want.Words {
				want.At, want.Found = x.At, x.Found
				out = append(out, want)
				break
			}
		}
	}
	return out
}

// reading is the state of a walk down the rows.
type reading struct {
	r      Rule
	l      *layout
	c      *collector
	groups []int
	above  map[int]Cell // last cell of each column that is filled down
	whole  map[Field]Cell
	at     map[Field]string
	units  map[Field]string
	title  Cell // of the section
	where  string
}

func (r Rule) reading(l *layout, c *collector) *reading {
	w := &reading{r: r, l: l, c: c, above: map[int]Cell{}, whole: map[Field]Cell{}, at: map[Field]string{}, units: map[Field]string{}}
	for _, x := range r.Columns {
		if !slices.Contains(w.groups, x.Group) && x.Group > 0 {
			w.groups = append(w.groups, x.Group)
		}
	}
	slices.Sort(w.groups)
	if len(w.groups) == 0 {
		w.groups = []int{0}
	}
	for f, text := range r.Fixed {
		w.whole[f], w.at[f] = Cell{Text: text}, "rule"
	}
	for _, a := range l.found(r) {
		w.whole[a.Field], w.at[a.Field], w.units[a.Field] = Cell{Text: a.Found}, a.At, a.Unit
	}
	return w
}

// each calls f for every row of data, and takes note of the others.
func (w *reading) each(f func(row int)) {
	g := w.l.g
	for row := w.l.first; row < len(g.Rows); row++ {
		kind := w.l.kindOf(row)
		switch kind {
		case sectionRow:
			for c, x := range g.Rows[row] {
				if !x.Empty() {
					w.title, w.where = x, g.Place(row, c)
				}
			}
			if w.r.Sections == "" {
				w.c.note(w.where, "left out: %q stands alone in its row", w.title.Text)
			}
		case totalRow:
			w.c.note(g.Place(row, 0), "left out: the row sums up others")
		case headAgain:
			w.c.note(g.Place(row, 0), "left out: the headings come again")
		case noteRow:
			for c, x := range g.Rows[row] {
				if !x.Empty() {
					w.c.note(g.Place(row, c), "left out: %q is a note", x.Text)
					break
				}
			}
		case dataRow:
			f(row)
		}
	}
}

// cell is what a column says in a row; of a column filled down, what it said last.
func (w *reading) cell(row int, x Column) (Cell, string) {
	c, place := w.l.g.At(row, x.At-1), w.l.g.Place(row, x.At-1)
	if slices.Contains(w.r.Down, x.Field) {
		if c.Empty() {
			return w.above[x.At], place
		}
		w.above[x.At] = c
	}
	return c, place
}

// row reads the cells of one sample of a row: those of its group and those of all groups.
func (w *reading) row(row, group int, skip ...Field) Row {
	out := Row{Place: w.l.g.Place(row, 0), Text: map[Field]string{}, Number: map[Field]float64{}, At: map[Field]string{}}
	w.c.bad = false
	for f, c := range w.whole {
		w.put(&out, f, w.units[f], "", c, w.at[f])
	}
	if w.r.Sections != "" && !w.title.Empty() {
		w.put(&out, w.r.Sections, "", "", w.title, w.where)
	}
	first := true
	for _, x := range w.r.Columns {
		if x.Group != 0 && x.Group != group || slices.Contains(skip, x.Field) {
			continue
		}
		c, place := w.cell(row, x)
		if first && !w.l.g.At(row, x.At-1).Empty() {
			out.Place, first = place, false
		}
		w.put(&out, x.Field, x.Unit, x.Mark, c, place)
		if x.Layer != nil && !c.Empty() {
			w.layer(&out, *x.Layer, place)
		}
		if x.Name != "" && !c.Empty() {
			f := FieldGreen
			if w.r.Kind == Sieve {
				f = FieldSample
			}
			out.Text[f], out.At[f] = x.Name, w.l.g.Place(w.l.h.bottom, x.At-1)
		}
	}
	if _, ok := out.Number[FieldBottom]; !ok && w.r.Has(FieldSample) && !w.r.Has(FieldLayer) && !w.r.Has(FieldPlace) {
		if d, _, ok := FindDepth(out.Text[FieldSample], ""); ok {
			w.layer(&out, d, out.At[FieldSample])
		}
	}
	top, okTop := out.Number[FieldTop]
	if bottom, ok := out.Number[FieldBottom]; ok && (!okTop || bottom <= top) {
		if !okTop {
			w.c.problem(out.At[FieldBottom], "", "the layer has no upper depth: give both, such as 0 and 20 mm")
		} else {
			w.c.problem(out.At[FieldBottom], "", "%g mm is not below %g mm: the lower end of a layer must be deeper than its upper end", bottom, top)
		}
	}
	out.Bad = w.c.bad
	return out
}

func (w *reading) layer(out *Row, d Depth, place string) {
	out.Number[FieldTop], out.Number[FieldBottom] = d.TopMM, d.BottomMM
	out.At[FieldTop], out.At[FieldBottom] = place, place
}

// put reads a cell into a field of the row.
func (w *reading) put(out *Row, f Field, unit string, mark Mark, c Cell, place string) {
	if Absent(c.Text) && !c.Numeric {
		return
	}
	out.At[f] = place
	switch f {
	case FieldLayer:
		if d, err := ReadDepth(c.Text, unit); err != nil {
			w.c.problem(place, c.Text, "%s", err)
		} else {
			w.layer(out, d, place)
		}
	case FieldPlace:
		d, rest, problem, ok := findDepth(c.Text, unit)
		if !ok {
			w.c.problem(place, c.Text, "%s", problem)
			return
		}
		w.layer(out, d, place)
		out.Text[FieldGreen], out.At[FieldGreen] = restored(c.Text, rest), place
	case FieldDate:
		w.date(out, c, place)
	case FieldMethod:
		m := MethodOf(c.Text)
		if m == "" {
			w.c.note(place, "%q does not say whether samples were burnt whole, screened or scooped", c.Text)
			return
		}
		out.Text[f] = m
	case FieldInside:
		k, ok := insideOf(c.Text)
		if !ok {
			w.c.problem(place, c.Text, "%q is nothing that is in a crucible: sample, blank, control or duplicate is allowed", c.Text)
			return
		}
		out.Text[f] = k
	default:
		if a, _ := aboutOf(f); a.Text() {
			out.Text[f] = plainText(c)
		} else if v, ok := w.number(f, unit, mark, c, place); ok {
			out.Number[f] = v
		}
	}
}

// plainText is the text of a cell that names something: a whole number of a workbook without the decimals it is shown with.
func plainText(c Cell) string {
	if c.Numeric && !c.Percent && c.Value == float64(int64(c.Value)) {
		return strconv.FormatInt(int64(c.Value), 10)
	}
	return c.Text
}

// restored finds the words left of a cell, in the capitals they were written in.
func restored(text, rest string) string {
	rest = strings.Trim(rest, " ,;:/-–()|_")
	for _, w := range []string{"depth", "layer", "tiefe", "dybde", "schicht"} {
		rest = strings.Trim(strings.TrimSuffix(rest, w), " ,;:/-–()|_")
	}
	if i := strings.Index(strings.ToLower(text), rest); i >= 0 && i+len(rest) <= len(text) {
		return text[i : i+len(rest)]
	}
	return rest
}

func (w *reading) date(out *Row, c Cell, place string) {
	if c.Day != "" {
		out.Text[FieldDate] = c.Day
		return
	}
	if v, ok := loose(c); ok && (c.Numeric || len(c.Text) == 5) {
		if day, ok := serialDay(v); ok {
			out.Text[FieldDate] = day
			return
		}
	}
	day, err := ReadDay(c.Text, w.r.Dates)
	if err != nil {
		w.c.problem(place, c.Text, "%s", err)
		return
	}
	out.Text[FieldDate] = day
}

// number reads a number and turns it into the first unit of its field.
func (w *reading) number(f Field, unit string, mark Mark, c Cell, place string) (float64, bool) {
	a, _ := aboutOf(f)
	v := c.Value
	if !c.Numeric {
		n, err := ReadNumber(c.Text, mark)
		if err != nil {
			w.c.problem(place, c.Text, "%s", allowed(err, a))
			return 0, false
		}
		v = n.Value
		switch {
		case n.Unit == "":
		case slices.Contains(a.Units, n.Unit):
			if unit == n.Unit+net || n.Unit == Percent && unit == AshPercent {
				break
			}
			unit = n.Unit
		case len(a.Units) > 0 && f != FieldAmount:
			w.c.problem(place, c.Text, "%q is in %s: %s is allowed here", c.Text, n.Unit, strings.Join(a.Units, ", "))
			return 0, false
		}
	}
	if c.Percent && unit == Fraction {
		unit = Percent
	}
	if unit == "" && f != FieldAmount {
		w.c.problem(place, c.Text, "%s has no unit: say whether %s", a.Name, strings.Join(a.Units, ", "))
		return 0, false
	}
	if k, ok := factors[unit]; ok {
		v = figures(v * k)
	}
	if unit == AshPercent {
		v = figures(100 - v)
	}
	if v < a.Low || v > a.High {
		w.c.problem(place, c.Text, "%s %s is out of range: %g to %g %s is allowed", c.Text, unit, a.Low, a.High, strings.TrimSuffix(a.Units[0], "as said below"))
		return 0, false
	}
	return v, true
}

// allowed adds to a refusal what the field takes.
func allowed(err error, a About) string {
	if two := (*TwoReadings)(nil); errors.As(err, &two) || a.Field == FieldAmount {
		return err.Error()
	}
	return fmt.Sprintf("%s: %s is a number, %g to %g %s", err, a.Name, a.Low, a.High, a.Units[0])
}

// plainRows reads the rows of a sheet of results or of weighings.
func (r Rule) plainRows(l *layout, c *collector) []Row {
	w := r.reading(l, c)
	var out []Row
	main := []Field{FieldOM}
	if r.Kind == Weighings {
		main = []Field{FieldTare, FieldMoist, FieldDry, FieldAsh}
	}
	w.each(func(row int) {
		empty := true
		for _, group := range w.groups {
			has := false
			for _, x := range r.Columns {
				if slices.Contains(main, x.Field) && (x.Group == 0 || x.Group == group) {
					has = has || !Absent(l.g.At(row, x.At-1).Text)
				}
			}
			if !has {
				for _, x := range r.Columns { // what is filled down is still remembered
					w.cell(row, x)
				}
				continue
			}
			empty = false
			one := w.row(row, group)
			w.finish(&one)
			out = append(out, one)
		}
		if empty {
			w.c.note(l.g.Place(row, 0), "left out: no value in the row")
		}
	})
	return out
}

// finish says what a row lacks.
func (w *reading) finish(one *Row) {
	if w.r.Kind == Weighings {
		bare := false
		for _, x := range w.r.Columns {
			if v, ok := one.Number[x.Field]; ok && strings.HasSuffix(x.Unit, net) {
				one.Number[x.Field] = figures(v + one.Number[FieldTare])
				bare = true
			}
		}
		if _, ok := one.Number[FieldTare]; bare && !ok {
			one.Number[FieldTare] = 0
		}
	}
	if one.Text[FieldSample] == "" && one.Text[FieldGreen] == "" && one.Text[FieldSand] == "" {
		if one.Text[FieldInside] == "blank" && one.Text[FieldCrucible] != "" {
			one.Text[FieldSample] = "blank"
			return
		}
		w.c.problem(one.Place, "", "nothing says which sample this is: a column with the sample, or with green and layer, is needed")
		one.Bad = true
	}
}

// method puts in how samples were prepared, where the sheet says so outside the rows.
func (r Rule) method(l *layout, rows []Row, c *collector) {
	if r.Kind != Results {
		return
	}
	said, place := "", ""
	look := func(text, at string) {
		if m := MethodOf(text); m != "" && (said == "" || said == "whole") {
			said, place = m, at
		}
	}
	for _, x := range r.Columns {
		if x.Field == FieldOM {
			look(x.Heading, l.g.Place(l.h.bottom, x.At-1))
		}
	}
	for row := range l.g.Rows {
		if row >= l.first && l.kindOf(row) != noteRow || row >= l.h.top && row <= l.h.bottom {
			continue
		}
		for col, x := range l.g.Rows[row] {
			h := normal(x.Text)
			if says(h, wordsSample...) || says(h, wordsOM...) || says(h, wordsMethod...) || says(h, "samples", "material", "cores", "proben", "prøver", "prover", "prepar*") || len(x.Text) < 50 && MethodOf(x.Text) != "" {
				look(x.Text, l.g.Place(row, col))
			}
		}
	}
	for i := range rows {
		if said != "" && rows[i].Text[FieldMethod] == "" {
			rows[i].Text[FieldMethod] = said
		}
	}
	if said != "" {
		what := "taken as said for the rows that say nothing else"
		if said != "whole" {
			what += "; such results are another quantity and stay out of every trend"
		}
		c.note(place, "samples were %s: %s", map[string]string{"whole": "burnt whole", "screened": "screened", "scooped": "scooped"}[said], what)
	}
}

// twice refuses rows that say the same thing twice.
func twice(t *Table, c *collector) {
	seen := map[string]string{}
	for i := range t.Rows {
		row := &t.Rows[i]
		key := strings.Join([]string{row.Text[FieldSample], row.Text[FieldSand], row.Text[FieldInside]}, "\x00")
		if row.Text[FieldSample] == "" && row.Text[FieldSand] == "" {
			if row.Text[FieldGreen] == "" {
				continue
			}
			key = fmt.Sprint(row.Text[FieldGreen], "\x00", row.Text[FieldDate], row.Text[FieldRound], row.Number[FieldTop], row.Number[FieldBottom], row.Text[FieldPosition])
		} else if row.Number[FieldBottom] > 0 {
			key += fmt.Sprint(row.Number[FieldTop], row.Number[FieldBottom], row.Text[FieldDate])
		}
		if t.Kind == Weighings {
			if row.Text[FieldCrucible] == "" {
				continue // numbered in their order
			}
			key += "\x00" + row.Text[FieldCrucible] + "\x00" + row.Text[FieldRun]
		}
		if before, ok := seen[key]; ok {
			c.problem(row.Place, "", "the same sample comes twice, first at %s: each may come once; take one out, or point at what tells them apart", before)
			row.Bad = true
			continue
		}
		seen[key] = row.Place
	}
}
