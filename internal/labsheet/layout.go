package labsheet

import (
	"slices"
	"strings"
)

// layout is a grid seen with its heading rows: which rows are data.
type layout struct {
	g     *Grid
	h     head
	heads []string // joined headings
	first int      // first row under the headings

	kinds []rowKind // by row from first on, for those looked at
	seen  []bool
}

func (g *Grid) layout(h head) *layout {
	return &layout{g: g, h: h, heads: g.headings(h), first: h.bottom + 1}
}

// lower is the lowest text of a column's headings that is not a unit alone.
func (l *layout) lower(c int) string {
	for r := l.h.bottom; r >= l.h.top; r-- {
		t := l.g.At(r, c).Text
		if t != "" && !isUnit(t) {
			return t
		}
	}
	return ""
}

// upper is what the headings of a column say without their lowest text.
func (l *layout) upper(c int) string {
	low := l.lower(c)
	h := l.heads[c]
	if i := strings.LastIndex(h, low); i > 0 && low != "" {
		h = h[:i]
	}
	return strings.TrimSpace(h)
}

// sizeOf is the size of a sieve that one of the headings of a column names.
func (l *layout) sizeOf(c int, unit string) (mm float64, ok bool) {
	for r := l.h.bottom; r >= l.h.top; r-- {
		t := l.g.At(r, c).Text
		if t == "" || isUnit(t) {
			continue
		}
		if mm, err := ReadOpening(t, unit); err == nil {
			return mm, true
		}
	}
	return 0, false
}

func isUnit(t string) bool {
	return slices.Contains([]string{"%", "g", "mg", "kg", "mm", "cm", "in", "inch", "µm", "um", "g/kg", "phi", "°c", "h", "m-%"}, strings.ToLower(strings.Trim(signs(t), "()[] ")))
}

// rowKind says what a row under the headings is.
type rowKind int

const (
	blankRow rowKind = iota
	dataRow
	totalRow   // a total, a mean or the like
	headAgain  // the headings come again
	sectionRow // one cell that speaks for the rows below
	noteRow    // words beside the table
)

// kindOf says what a row under the headings is; it is asked for often, and looked at once.
func (l *layout) kindOf(r int) rowKind {
	if l.kinds == nil {
		n := max(len(l.g.Rows), 1)
		l.kinds, l.seen = make([]rowKind, n), make([]bool, n)
	}
	if !l.seen[r] {
		l.kinds[r], l.seen[r] = l.looked(r), true
	}
	return l.kinds[r]
}

// looked looks at a row under the headings.
func (l *layout) looked(r int) rowKind {
	g := l.g
	n := g.filled(r)
	if n == 0 {
		return blankRow
	}
	if l.isTotal(r) {
		return totalRow
	}
	same := 0
	values := 0
	for c, x := range g.Rows[r] {
		if x.Empty() {
			continue
		}
		if c < len(l.heads) && x.Text == g.At(l.h.bottom, c).Text || x.Text == g.At(l.h.top, c).Text {
			same++
		}
		if looksLikeValue(x) {
			values++
		}
	}
	switch {
	case same == n && n >= 2:
		return headAgain
	case n == 1 && values == 0:
		for _, x := range g.Rows[r] {
			if !x.Empty() && (len(x.Text) > 40 || strings.Contains(x.Text, ":") || strings.HasSuffix(x.Text, ".") || strings.HasPrefix(x.Text, "*")) {
				return noteRow
			}
		}
		for k := r + 1; k < len(g.Rows); k++ {
			if m := g.filled(k); m >= 2 && !l.isTotal(k) {
				return sectionRow
			} else if m == 1 {
				break
			}
		}
		return noteRow
	case values == 0 && n <= 2 && len(l.heads) > 3 && r > l.first:
		return noteRow
	}
	return dataRow
}

// isTotal says whether a row sums up others.
func (l *layout) isTotal(r int) bool {
	seen := 0
	for _, x := range l.g.Rows[r] {
		if x.Empty() {
			continue
		}
		if seen++; seen > 2 || x.Numeric || x.Day != "" {
			return false
		}
		h := normal(x.Text)
		if first, _, _ := strings.Cut(h, " "); first != "" && (slices.ContainsFunc(wordsTotals, func(w string) bool { return says(first, w) }) || slices.Contains(totalsAlone, h)) {
			return true
		}
	}
	return false
}

// cells are those of a column in the data rows.
func (l *layout) cells(c int) []Cell {
	var out []Cell
	for r := l.first; r < len(l.g.Rows); r++ {
		if x := l.g.At(r, c); !x.Empty() && l.kindOf(r) == dataRow {
			out = append(out, x)
		}
	}
	return out
}

// share is the part of the cells for which f holds; 0 for no cells.
func share(cells []Cell, f func(Cell) bool) float64 {
	if len(cells) == 0 {
		return 0
	}
	n := 0
	for _, c := range cells {
		if f(c) {
			n++
		}
	}
	return float64(n) / float64(len(cells))
}

func isNumber(c Cell) bool {
	_, ok := loose(c)
	return ok
}
