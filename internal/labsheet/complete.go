package labsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Complete fills in what a rule leaves open of the columns it names – units, decimal signs, the order of dates, what
// the amounts on sieves are – as far as the sheet leaves no doubt.
func Complete(b *Book, r Rule) Rule {
	g, _, err := locate(b, r)
	if err != nil {
		return r
	}
	return r.complete(g, func(string, ...any) {})
}

// layoutOf is the grid with the heading rows the rule names.
func (r Rule) layoutOf(g *Grid) *layout {
	top := max(r.HeadAt, 1) - 1
	h := head{top, top + r.Head - 1}
	return g.layout(h)
}

func (r Rule) complete(g *Grid, because func(string, ...any)) Rule {
	r.Columns = slices.Clone(r.Columns)
	l := r.layoutOf(g)
	r.marksOf(l, because)
	for i := range r.Columns {
		x := &r.Columns[i]
		if x.Unit == "" {
			x.Unit = r.unitOf(l, x, because)
		}
		if r.Kind == Sieve && x.Field == FieldAmount && x.Opening == nil && !r.Has(FieldOpening) {
			unit := openingUnit(x.Heading)
			if unit == "" {
				unit = r.Openings
			}
			if mm, ok := l.sizeOf(x.At-1, unit); ok {
				x.Opening = &mm
			}
		}
	}
	r.layersOf()
	if r.Dates == "" {
		r.Dates = r.dateOrder(l, because)
	}
	if r.Kind == Sieve && r.Measure == "" {
		r.Measure = r.measureOf(l, because)
	}
	return r
}

// marksOf settles the decimal sign of each column: by its own cells, else by the other columns.
func (r *Rule) marksOf(l *layout, because func(string, ...any)) {
	sheetPoints, sheetCommas := 0, 0
	type doubt struct{ column, open int }
	var doubts []doubt
	for i := range r.Columns {
		x := &r.Columns[i]
		a, ok := aboutOf(x.Field)
		if !ok || a.Text() || x.Field == FieldLayer || x.Field == FieldOpening {
			continue
		}
		points, commas, open := marks(l.cells(x.At - 1))
		sheetPoints += points
		sheetCommas += commas
		switch {
		case x.Mark != "":
		case points > 0 && commas > 0: // both: every cell is asked about
		case points > 0:
			x.Mark = Point
		case commas > 0:
			x.Mark = Comma
			because("Column %s has decimal commas.", ColumnName(x.At-1))
		case open > 0 && r.tooHeavy(l, x):
			x.Mark = signIn(l.cells(x.At - 1))
			because("Column %s is read with a decimal %s: without, its masses would be above %d kg.", ColumnName(x.At-1), x.Mark.word(), heaviest/1000)
		case open > 0:
			doubts = append(doubts, doubt{i, open})
		default:
			x.Mark = Point
		}
	}
	for _, d := range doubts {
		x := &r.Columns[d.column]
		switch {
		case sheetCommas > 0 && sheetPoints == 0:
			x.Mark = Comma
			because("Column %s is read with decimal commas, as the other columns of the sheet have.", ColumnName(x.At-1))
		case sheetPoints > 0 && sheetCommas == 0:
			x.Mark = Point
			because("Column %s is read with decimal points, as the other columns of the sheet have.", ColumnName(x.At-1))
		}
	}
}

// heaviest is more than a balance that weighs crucibles carries, in g (common practice, no source).
const heaviest = 5000

// bareLayers are the columns of values that are headed by a layer without a unit, which nothing else gives.
func (r *Rule) bareLayers() []int {
	if r.Kind == Sieve || r.Has(FieldLayer) || r.Has(FieldPlace) || r.Has(FieldTop) {
		return nil
	}
	var out []int
	for i, x := range r.Columns {
		a, _ := aboutOf(x.Field)
		if x.Layer == nil && a.Only != nil && !a.Text() && bareDepth(Cell{Text: x.Heading}) {
			out = append(out, i)
		}
	}
	return out
}

// layersOf gives such columns their layers, once the unit is said: each layer is a sample of its own in the row.
func (r *Rule) layersOf() {
	if r.Depths == "" {
		return
	}
	groups := map[Depth]int{}
	for _, i := range r.bareLayers() {
		x := &r.Columns[i]
		d, _, ok := FindDepth(x.Heading, r.Depths)
		if !ok {
			continue
		}
		if groups[d] == 0 {
			groups[d] = len(groups) + 1
		}
		x.Layer, x.Group = &d, groups[d]
	}
}

// tooHeavy says whether the masses of a column in grams are beyond any bench if its signs set off thousands.
func (r *Rule) tooHeavy(l *layout, x *Column) bool {
	if !slices.Contains([]Field{FieldTare, FieldMoist, FieldDry, FieldAsh}, x.Field) || !slices.Contains([]string{"", "g"}, unitIn(x.Heading, x.Field)) {
		return false
	}
	other := Comma
	if signIn(l.cells(x.At-1)) == Comma {
		other = Point
	}
	for _, c := range l.cells(x.At - 1) {
		if n, err := ReadNumber(c.Text, other); err == nil && n.Value <= heaviest {
			return false
		}
	}
	return true
}

// signIn is the sign that the cells have, a point or a comma.
func signIn(cells []Cell) Mark {
	for _, c := range cells {
		if strings.Contains(c.Text, ",") {
			return Comma
		}
	}
	return Point
}

// values reads the numbers of a column, as far as they can be read, in the order of the rows.
func (l *layout) values(x *Column) []float64 {
	var out []float64
	for _, c := range l.cells(x.At - 1) {
		if c.Numeric {
			out = append(out, c.Value)
		} else if n, err := ReadNumber(c.Text, x.Mark); err == nil {
			out = append(out, n.Value)
		}
	}
	return out
}

// unitOf settles a column's unit: by its headings, its cells, or what its values can be; empty where two are possible.
func (r *Rule) unitOf(l *layout, x *Column, because func(string, ...any)) string {
	a, ok := aboutOf(x.Field)
	if !ok || a.Text() || x.Field == FieldAmount {
		return ""
	}
	if u := unitIn(x.Heading, x.Field); u != "" {
		return u
	}
	cells := l.cells(x.At - 1)
	if u := unitOfCells(cells, x.Field, a); u != "" {
		return u
	}
	list := l.values(x)
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range list {
		low, high = min(low, v), max(high, v)
	}
	name := ColumnName(x.At - 1)
	switch x.Field {
	case FieldOM, FieldOMSD:
		if x.Field == FieldOM && len(list) > 0 && high >= 1 && high <= 15 {
			because("Column %s has no unit; its values up to %g are taken for percent.", name, high)
			return Percent
		}
		if x.Field == FieldOMSD {
			for _, o := range r.Columns {
				if o.Field == FieldOM && o.Unit != AshPercent {
					return o.Unit
				}
			}
		}
		return ""
	case FieldLayer, FieldTop, FieldBottom:
		if x.Field == FieldLayer && !slices.ContainsFunc(cells, bareDepth) {
			return "mm" // every cell has its own
		}
		for _, o := range r.Columns {
			if (o.Field == FieldTop || o.Field == FieldBottom) && o.At != x.At {
				if u := unitIn(o.Heading, o.Field); u != "" {
					return u
				}
			}
		}
		return ""
	case FieldOpening:
		return sizeUnitOf(cells, list, low, high)
	case FieldCorer:
		if low >= 8 {
			return "mm"
		}
		return ""
	case FieldDryMass, FieldTare, FieldMoist, FieldDry, FieldAsh, FieldTotal, FieldWashed:
		for r := l.h.top - 1; r >= 0; r-- {
			for _, c := range l.g.Rows[r] {
				if says(normal(c.Text), "all masses", "masses", "weights", "alle massen", "alle vekter", "in g", "i gram") && unitIn(c.Text, x.Field) != "" {
					return unitIn(c.Text, x.Field)
				}
			}
		}
		if high > 5000 {
			return ""
		}
		because("Column %s has no unit; taken for grams.", name)
		return "g"
	}
	return a.Units[0]
}

// bareDepth says whether a cell holds a layer without a unit.
func bareDepth(c Cell) bool {
	_, _, own := FindDepth(c.Text, "")
	_, _, any := FindDepth(c.Text, "mm")
	return any && !own
}

// unitOfCells is the unit that stands behind the numbers in the cells.
func unitOfCells(cells []Cell, f Field, a About) string {
	if f == FieldOpening {
		units := map[string]bool{}
		for _, c := range cells {
			if mm, err := ReadOpening(c.Text, InMM); err != nil || mm > 0 {
				units[openingUnit(c.Text)] = true
			}
		}
		switch {
		case len(units) == 1:
			for u := range units {
				return u
			}
		case len(units) > 1 && !units[""]:
			return InMM // every cell has its own
		}
		return ""
	}
	if (f == FieldOM || f == FieldOMSD) && share(cells, func(c Cell) bool { return c.Percent }) > 0.5 {
		return Percent
	}
	seen := map[string]int{}
	for _, c := range cells {
		if c.Numeric {
			continue
		}
		for _, m := range []Mark{Point, Comma} {
			if n, err := ReadNumber(c.Text, m); err == nil {
				seen[n.Unit]++
				break
			}
		}
	}
	if len(seen) == 1 {
		for u := range seen {
			if slices.Contains(a.Units, u) {
				return u
			}
		}
	}
	return ""
}

// sizeUnitOf settles the unit of sieve sizes by the sizes; empty where two are possible.
func sizeUnitOf(cells []Cell, _ []float64, _, _ float64) string {
	var list []float64
	for _, c := range cells {
		if v, ok := loose(c); ok {
			list = append(list, v)
		} else if mm, err := ReadOpening(c.Text, InMM); err == nil && mm > 0 {
			list = append(list, mm)
		}
	}
	if len(list) == 0 {
		return ""
	}
	low, high, fine := math.Inf(1), math.Inf(-1), math.Inf(1)
	for _, v := range list {
		low, high = min(low, v), max(high, v)
		if v > 0 {
			fine = min(fine, v)
		}
	}
	switch {
	case low < 0:
		return InPhi
	case fine < 0.3 && high <= 20:
		return InMM // phi comes in halves and quarters
	case high > 400 && fine >= 20:
		return InMicro // no sieve has such a number
	}
	return ""
}

// dateOrder settles the order of dates by those that can be read in one way only.
func (r *Rule) dateOrder(l *layout, because func(string, ...any)) Order {
	var cells []Cell
	for _, x := range r.Columns {
		if x.Field == FieldDate {
			cells = append(cells, l.cells(x.At-1)...)
		}
	}
	for _, a := range l.found(*r) {
		if a.Field == FieldDate {
			cells = append(cells, Cell{Text: a.Found})
		}
	}
	orders, differ := ordersOf(cells)
	if len(orders) == 1 {
		because("Dates are in the order %s: no other fits all of them.", orders[0].Word())
		return orders[0]
	}
	if len(orders) > 0 && !differ {
		return orders[0]
	}
	if slices.Contains(orders, DayFirst) && !slices.Contains(orders, YearFirst) && slices.ContainsFunc(r.Columns, func(x Column) bool { return x.Mark == Comma }) {
		because("Dates are in the order %s: where the decimal sign is a comma, the month does not come first.", DayFirst.Word())
		return DayFirst
	}
	return ""
}

// measureOf settles what amounts on sieves are: by headings, titles, or how they run from coarse to fine.
func (r *Rule) measureOf(l *layout, because func(string, ...any)) Measure {
	var texts []string
	for _, x := range r.Columns {
		if x.Field == FieldAmount {
			texts = append(texts, x.Heading)
		}
	}
	for i := max(0, l.h.top-6); i < l.h.top && i < len(l.g.Rows); i++ {
		for _, c := range l.g.Rows[i] {
			texts = append(texts, c.Text)
		}
	}
	for _, t := range texts {
		if m := measureIn(t); m != "" && (m.percent() || says(normal(t), wordsOn...) || len(t) < 20) {
			fit := r.runs(l)
			if m == RetainedPercent && (fit == PassingPercent || fit == CumulativePercent) {
				return "" // the words do not say which, and the numbers say otherwise
			}
			if m == RetainedPercent && !says(normal(t), wordsOn...) && fit == "" {
				return ""
			}
			because("The amounts are %s: %q says so.", m.Word(), t)
			return m
		}
	}
	return ""
}

// runs says what the amounts of the first analysis can be by how they run from the coarsest sieve to the finest: sums
// rise to 100, passing falls from 100, single shares add up to 100. Empty where nothing of this fits.
func (r *Rule) runs(l *layout) Measure {
	for _, s := range r.series(l, &collector{quiet: true}) {
		if len(s.points) < 3 {
			continue
		}
		list := s.sorted()
		sum, rises, falls := 0.0, true, true
		for i, p := range list {
			sum += p.amount
			if i > 0 && p.mm > 0 {
				rises = rises && p.amount >= list[i-1].amount
				falls = falls && p.amount <= list[i-1].amount
			}
		}
		first, last := list[0].amount, list[len(list)-1].amount
		for i := len(list) - 1; i > 0 && list[len(list)-1].mm == 0; i-- {
			last = list[i].amount
			if list[i].mm > 0 {
				break
			}
		}
		switch {
		case math.Abs(sum-100) <= 2:
			return RetainedPercent
		case falls && first > 90 && first <= 100.5 && sum > 110:
			return PassingPercent
		case rises && last > 90 && last <= 100.5 && sum > 110:
			return CumulativePercent
		}
		return ""
	}
	return ""
}

// Question is something that can be read in two ways and that a person must say.
type Question struct {
	ID      string   `json:"id"`               // "date_order", "measure", "openings", "decimal 3", "unit 3"
	Column  int      `json:"column,omitempty"` // counted from 1; 0 for none
	Text    string   `json:"text"`
	Choices []Choice `json:"choices"`
}

// Choice is one answer to a question.
type Choice struct {
	Value string `json:"value"`
	Text  string `json:"text"`
}

// Questions lists what the rule leaves open although the sheet has cells that depend on it.
func Questions(b *Book, r Rule) []Question {
	g, r, err := locate(b, r)
	if err != nil {
		return nil
	}
	l := r.layoutOf(g)
	var out []Question
	for i := range r.Columns {
		x := &r.Columns[i]
		a, ok := aboutOf(x.Field)
		if !ok || a.Text() {
			continue
		}
		if x.Mark == "" && x.Field != FieldLayer && x.Field != FieldOpening {
			if points, commas, open := marks(l.cells(x.At - 1)); open > 0 && (points == 0 || commas == 0) {
				out = append(out, decimalQuestion(l, x))
			}
		}
		if x.Unit == "" && x.Field != FieldAmount && len(l.cells(x.At-1)) > 0 {
			q := Question{ID: fmt.Sprintf("unit %d", x.At), Column: x.At, Text: fmt.Sprintf("In which unit is column %s (%s)? %s", ColumnName(x.At-1), x.Heading, example(l.cells(x.At-1)))}
			for _, u := range a.Units {
				q.Choices = append(q.Choices, Choice{u, u})
			}
			out = append(out, q)
		}
	}
	if bare := r.bareLayers(); len(bare) > 0 && r.Depths == "" {
		q := Question{ID: "depths", Text: fmt.Sprintf("In which unit are the layers in the headings, such as %s?", r.Columns[bare[0]].Heading)}
		for _, u := range []string{"mm", "cm", "in"} {
			q.Choices = append(q.Choices, Choice{u, u})
		}
		out = append(out, q)
	}
	if r.Dates == "" {
		out = append(out, r.dateQuestion(l)...)
	}
	if r.Kind != Sieve || !r.Has(FieldAmount) {
		return out
	}
	if r.Measure == "" {
		q := Question{ID: "measure", Text: "What do the amounts on the sieves say?"}
		if m := r.runs(l); m != "" {
			q.Text += " They run like: " + m.Word() + "."
		}
		for _, m := range Measures() {
			q.Choices = append(q.Choices, Choice{string(m), m.Word()})
		}
		out = append(out, q)
	}
	if !r.Has(FieldOpening) && r.Openings == "" && slices.ContainsFunc(r.Columns, func(x Column) bool { return x.Field == FieldAmount && x.Opening == nil }) {
		q := Question{ID: "openings", Text: "In which unit are the sieves in the headings?"}
		for _, u := range []string{InMM, InMicro, InPhi, InMesh} {
			q.Choices = append(q.Choices, Choice{u, u})
		}
		out = append(out, q)
	}
	return out
}

func example(cells []Cell) string {
	var out []string
	for _, c := range cells {
		if len(out) < 3 {
			out = append(out, c.Text)
		}
	}
	return "Its cells are such as " + strings.Join(out, "; ") + "."
}

func decimalQuestion(l *layout, x *Column) Question {
	q := Question{ID: fmt.Sprintf("decimal %d", x.At), Column: x.At}
	for _, c := range l.cells(x.At - 1) {
		a, errA := ReadNumber(c.Text, Point)
		b, errB := ReadNumber(c.Text, Comma)
		if errA == nil && errB == nil && a.Value != b.Value {
			q.Text = fmt.Sprintf("Is %s in column %s (%s) %g or %g?", c.Text, ColumnName(x.At-1), x.Heading, a.Value, b.Value)
			q.Choices = []Choice{{".", fmt.Sprintf("%g: the point is the decimal sign", a.Value)}, {",", fmt.Sprintf("%g: the comma is the decimal sign", b.Value)}}
			break
		}
	}
	return q
}

func (r Rule) dateQuestion(l *layout) []Question {
	var cells []Cell
	for _, x := range r.Columns {
		if x.Field == FieldDate {
			cells = append(cells, l.cells(x.At-1)...)
		}
	}
	for _, a := range l.found(r) {
		if a.Field == FieldDate {
			cells = append(cells, Cell{Text: a.Found})
		}
	}
	orders, differ := ordersOf(cells)
	if len(orders) < 2 || !differ {
		return nil
	}
	for _, c := range cells {
		list, err := readings(c.Text)
		if err != nil || len(list) < 2 {
			continue
		}
		q := Question{ID: "date_order", Text: fmt.Sprintf("Which day is %s?", c.Text)}
		seen := map[string]bool{}
		for _, o := range orders {
			if day := list[o]; day != "" && !seen[day] {
				seen[day] = true
				q.Choices = append(q.Choices, Choice{string(o), day + " (" + o.Word() + ")"})
			}
		}
		if len(q.Choices) > 1 {
			return []Question{q}
		}
	}
	return nil
}

// Answer puts an answer to a question into the rule.
func (r *Rule) Answer(id, value string) error {
	kind, at, _ := strings.Cut(id, " ")
	r.Columns = slices.Clone(r.Columns)
	switch kind {
	case "date_order":
		r.Dates = Order(value)
	case "measure":
		r.Measure = Measure(value)
	case "openings":
		r.Openings = value
	case "depths":
		r.Depths = value
	case "decimal", "unit":
		for i := range r.Columns {
			if fmt.Sprint(r.Columns[i].At) != at {
				continue
			}
			if kind == "unit" {
				r.Columns[i].Unit = value
			} else {
				r.Columns[i].Mark = Mark(value)
			}
		}
	default:
		return fmt.Errorf("%q is no question: date_order, measure, openings, depths, decimal N and unit N are", id)
	}
	return r.Check()
}
