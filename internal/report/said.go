package report

import (
	"underfoot/internal/figure"
	"underfoot/internal/say"
)

// say puts the whole model into the reader's units and order of dates. A word of one's own stays as it was written; readings
// of the bench stay as they were taken.
func (m *Model) say(s say.Style) {
	if s.Plain() {
		return
	}
	if m.Kind == Bench {
		s.Units = say.Metric
	}
	m.Language = s.Lang()
	v := voice{s}
	m.Subject, m.Prepared, m.Statement, m.Because = s.Text(m.Subject), s.Text(m.Prepared), s.Text(m.Statement), v.list(m.Because)
	for i := range m.Strip {
		a := &m.Strip[i]
		a.Name, a.Value, a.Note = s.Text(a.Name), s.Text(a.Value), s.Text(a.Note)
	}
	for i := range m.Sections {
		if x := &m.Sections[i]; x.Key != "note" {
			x.Title = s.Text(x.Title)
			x.Blocks = v.blocks(x.Blocks)
		}
	}
}

// voice says the blocks of a report.
type voice struct{ say.Style }

func (v voice) list(words []string) []string {
	var out []string
	for _, w := range words {
		out = append(out, v.Text(w))
	}
	return out
}

func (v voice) blocks(list []Block) []Block {
	out := make([]Block, len(list))
	for i, b := range list {
		out[i] = v.block(b)
	}
	return out
}

func (v voice) block(b Block) Block {
	switch b := b.(type) {
	case Text:
		b.Words = v.Text(b.Words)
		return b
	case List:
		b.Title, b.Items = v.Text(b.Title), v.list(b.Items)
		return b
	case Notice:
		b.Title, b.Words = v.Text(b.Title), v.list(b.Words)
		return b
	case Pair:
		return Pair{v.blocks(b.Left), v.blocks(b.Right)}
	case Table:
		return v.table(b)
	case Figure:
		b.Says, b.Sure = v.Text(b.Says), v.lengths(b.Sure)
		for i := range b.Panels {
			p := &b.Panels[i]
			p.Title, p.Says = v.Text(p.Title), v.Text(p.Says)
			p.Unit, _ = v.Head(p.Unit)
			p.Scene.Reword(v.Text)
		}
		return b
	case Strata:
		b.Says, b.Sure = v.Text(b.Says), v.Text(b.Sure)
		for i := range b.Rows {
			v.stratum(&b.Rows[i])
		}
		return b
	}
	return b
}

// lengths says words that may name the unit of an axis or a column of lengths, as in "sand in mm".
func (v voice) lengths(words string) string {
	if said, metric := v.Head(words); metric == "mm" {
		return said
	}
	return v.Text(words)
}

func (v voice) stratum(r *Stratum) {
	for _, words := range []*string{&r.Layer, &r.Level, &r.Range, &r.Says, &r.Figures, &r.Note} {
		*words = v.Text(*words)
	}
	for _, scene := range []*figure.Scene{r.Core, r.Trend} {
		scene.Reword(v.Text)
	}
}

func (v voice) table(t Table) Table {
	var heads []string
	for _, c := range t.Columns {
		heads = append(heads, c.Head)
	}
	rows := t.Rows
	if t.Total != nil {
		rows = append(rows[:len(rows):len(rows)], t.Total)
	}
	caption, heads, rows := v.Style.Table(t.Caption, heads, rows)
	t.Caption, t.Says, t.Note = caption, v.Text(t.Says), v.lengths(t.Note)
	t.Columns = append([]Column(nil), t.Columns...)
	for i := range t.Columns {
		t.Columns[i].Head = heads[i]
	}
	if t.Total != nil {
		t.Total, rows = rows[len(rows)-1], rows[:len(rows)-1]
	}
	t.Rows = rows
	return t
}

// measure is the unit of the lengths in the pictures.
func (b *builder) measure() figure.Measure {
	if b.o.Style.Units != say.US {
		return figure.Measure{}
	}
	return figure.Measure{Unit: b.o.Style.Unit("mm"), Per: b.o.Style.Value(1, "mm"), Decimals: 1}
}
