package labsheet

import "slices"

// Headings returns the joined headings of every column under the rule's heading rows, on the rule's worksheet.
func Headings(b *Book, r Rule) []string {
	g := b.grid(r)
	if g == nil {
		return nil
	}
	if r.Head == 0 {
		return make([]string, g.Width())
	}
	return r.layoutOf(g).heads
}

// grid is the worksheet of a rule, or the first.
func (b *Book) grid(r Rule) *Grid {
	if g := b.Sheet(r.Sheet); g != nil {
		return g
	}
	for i := range b.Sheets {
		if len(b.Sheets[i].Rows) > 0 {
			return &b.Sheets[i]
		}
	}
	return nil
}

// PointAt says what a column holds; an empty field lets go of it. Column counts from 1. What its heading tells besides – a
// layer, a sieve's opening, a unit – is taken from there.
func (r Rule) PointAt(b *Book, column int, f Field, group int) Rule {
	r.Columns = slices.DeleteFunc(slices.Clone(r.Columns), func(c Column) bool { return c.At == column })
	heads := Headings(b, r)
	if f == "" || column < 1 || column > len(heads) {
		return r
	}
	x := Column{At: column, Heading: heads[column-1], Field: f, Group: group}
	a, _ := aboutOf(f)
	if !a.Text() && f != FieldLayer && f != FieldTop && f != FieldBottom && f != FieldOpening && f != FieldAmount {
		if d, _, ok := FindDepth(x.Heading, ""); ok {
			x.Layer = &d
		}
	}
	if f == FieldAmount && !r.Has(FieldOpening) {
		if mm, err := ReadOpening(x.Heading, r.Openings); err == nil {
			x.Opening = &mm
		}
	}
	if f == FieldAmount && r.Has(FieldOpening) && measureIn(x.Heading) == "" {
		x.Name = x.Heading
	}
	at, _ := slices.BinarySearchFunc(r.Columns, column, func(c Column, n int) int { return c.At - n })
	r.Columns = slices.Insert(r.Columns, at, x)
	return r
}

// IsData says whether a row of the grid, counted from 0, is read as data by the rule, and whether it is one of its headings.
func (r Rule) IsData(g *Grid, row int) (data, heading bool) {
	if row < 0 || row >= len(g.Rows) {
		return false, false
	}
	top := max(r.HeadAt, 1) - 1
	if r.Head > 0 && row >= top && row < top+r.Head {
		return false, true
	}
	l := r.layoutOf(g)
	return row >= l.first && l.kindOf(row) == dataRow, false
}
