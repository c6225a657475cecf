package labsheet

import (
	"strings"
)

// head is the block of heading rows of a grid; rows count from 0, both included.
type head struct{ top, bottom int }

const lookForHead = 80 // rows at the beginning of a sheet in which headings may be

// headings joins the heading rows of each column, from the upper to the lower. A merged cell speaks for all its
// columns; so does a cell over a group of columns whose lower headings come again.
func (g *Grid) headings(h head) []string {
	width := g.Width()
	out := make([]string, width)
	for r := h.top; r <= h.bottom && r < len(g.Rows); r++ {
		texts := make([]string, width)
		for c := range texts {
			texts[c] = g.At(r, c).Text
		}
		g.spreadMerges(r, texts)
		if r < h.bottom && len(g.Merges) == 0 && g.groups(r, h.bottom) {
			for c := 1; c < width; c++ {
				if texts[c] == "" && (g.At(h.bottom, c).Text != "" || r+1 < h.bottom && g.At(r+1, c).Text != "") {
					texts[c] = texts[c-1]
				}
			}
		}
		for c, t := range texts {
			if t != "" && !strings.HasSuffix(out[c], t) {
				out[c] = strings.TrimSpace(out[c] + " " + t)
			}
		}
	}
	return out
}

func (g *Grid) spreadMerges(row int, texts []string) {
	for _, m := range g.Merges {
		if m.Top > row || m.Bottom < row || m.Top != row {
			continue
		}
		for c := m.Left; c <= m.Right && c < len(texts); c++ {
			texts[c] = g.At(m.Top, m.Left).Text
		}
	}
}

// groups says whether the cells of a row stand over groups of columns: lower headings come again, and the row has
// gaps that they fill.
func (g *Grid) groups(row, bottom int) bool {
	seen, again, gaps := map[string]bool{}, false, false
	for c := range g.Width() {
		low := normal(g.At(bottom, c).Text)
		if low != "" && seen[low] {
			again = true
		}
		seen[low] = true
		gaps = gaps || low != "" && g.At(row, c).Empty() && c > 0
	}
	return again && gaps && g.filled(row) >= 1
}

// findHead looks for the heading rows: the row with most known words and fewest numbers, with the rows over and under
// it that belong to it. It is not ok when no row looks like headings.
func (g *Grid) findHead() (h head, ok bool) {
	best, at := 0.0, -1
	for r := 0; r < len(g.Rows) && r < lookForHead; r++ {
		if s := g.headScore(r); s > best && g.numbersBelow(r) {
			best, at = s, r
		}
	}
	if at < 0 {
		return head{}, false
	}
	h = head{at, at}
	for h.bottom+1 < len(g.Rows) && h.bottom-at < 2 && (g.isUnderHead(h.bottom+1) || g.merged(at, h.bottom+1)) {
		h.bottom++
	}
	for h.top > 0 && at-h.top < 2 && g.isOverHead(h.top-1, h.bottom) {
		h.top--
	}
	return h, true
}

// merged says whether a cell of the heading row reaches down to a row.
func (g *Grid) merged(at, row int) bool {
	for _, m := range g.Merges {
		if m.Top <= at && m.Bottom >= row && m.Bottom-m.Top <= 3 {
			return true
		}
	}
	return false
}

// headScore is high for a row of headings.
func (g *Grid) headScore(r int) float64 {
	n := g.filled(r)
	if n < 2 {
		return 0
	}
	score, known, numbers, sizes := 0.0, 0, 0, 0
	first := Field("")
	seen := map[Field]bool{}
	for _, c := range g.Rows[r] {
		if c.Empty() {
			continue
		}
		f := fieldOf(c.Text)
		if _, err := ReadOpening(c.Text, ""); err == nil && strings.ContainsAny(c.Text, "0123456789") {
			sizes++
			continue
		}
		_, _, depth := FindDepth(c.Text, "")
		switch {
		case looksLikeValue(c):
			numbers++
		case f != "" && !strings.Contains(c.Text, ":") && len(c.Text) < 80:
			if !seen[f] {
				known++
			}
			seen[f] = true
			score += 0.3
		case depth:
			score += 0.5
		}
		if first == "" {
			first = f
		}
	}
	if known == 0 {
		return 0
	}
	if numbers > 0 && first == FieldOpening && g.fallingSizes(r) {
		sizes, numbers = sizes+numbers, 0
	}
	return score + 2*float64(known) + float64(min(sizes, 6)) - 1.5*float64(numbers)
}

// looksLikeValue says whether a cell holds a number or a date, not a heading.
func looksLikeValue(c Cell) bool {
	if c.Numeric || c.Day != "" {
		return true
	}
	if _, err := ReadNumber(c.Text, Point); err == nil {
		return true
	}
	if _, err := ReadNumber(c.Text, Comma); err == nil {
		return true
	}
	_, err := readings(c.Text)
	return err == nil
}

// fallingSizes says whether the numbers of a row only fall or only rise, as sieves do.
func (g *Grid) fallingSizes(r int) bool {
	var list []float64
	for _, c := range g.Rows[r] {
		if v, ok := loose(c); ok {
			list = append(list, v)
		}
	}
	if len(list) < 3 {
		return false
	}
	falls, rises := true, true
	for i := 1; i < len(list); i++ {
		falls = falls && list[i] < list[i-1]
		rises = rises && list[i] > list[i-1]
	}
	return falls || rises
}

// loose reads a number in whichever way it can be read, for a look at the size of things only.
func loose(c Cell) (float64, bool) {
	if c.Numeric {
		return c.Value, true
	}
	for _, m := range []Mark{"", Point, Comma} {
		if n, err := ReadNumber(c.Text, m); err == nil {
			return n.Value, true
		}
	}
	return 0, false
}

// numbersBelow says whether one of the next rows holds a number.
func (g *Grid) numbersBelow(r int) bool {
	for k := r + 1; k < len(g.Rows) && k < r+8; k++ {
		for _, c := range g.Rows[k] {
			if !c.Empty() && looksLikeValue(c) {
				return true
			}
		}
	}
	return false
}

// isUnderHead says whether a row belongs under the headings: units or further words, no values.
func (g *Grid) isUnderHead(r int) bool {
	n, units := 0, 0
	for _, c := range g.Rows[r] {
		if c.Empty() {
			continue
		}
		n++
		if looksLikeValue(c) {
			return false
		}
		s := strings.ToLower(strings.Trim(signs(c.Text), "()[] "))
		for _, u := range []string{"%", "g", "mg", "kg", "mm", "cm", "in", "inch", "µm", "um", "g/kg", "mg/g", "phi", "°c", "h", "-", "(g)", "dd.mm.yyyy", "yyyy-mm-dd", "mm/dd/yyyy", "dd/mm/yyyy", "tt.mm.jjjj", "% om", "% ts", "m-%", "fraction", "g/g", "vekt-%", "%, dry basis"} {
			if s == u {
				units++
				break
			}
		}
		if measureIn(c.Text) != "" && !isUnit(c.Text) || strings.Contains(s, "%") && len(s) <= 14 && !isUnit(s) && s != "% om" && s != "% ts" {
			units++
		}
	}
	return n > 0 && (units*2 >= n || n >= 3 && g.headScore(r) >= 4 || g.spreadsDepths(r) && g.filled(r) <= g.filled(r+1)-1)
}

// isOverHead says whether a row belongs over the headings: words over groups of columns, no values.
func (g *Grid) isOverHead(r, bottom int) bool {
	n := 0
	for c, x := range g.Rows[r] {
		if x.Empty() {
			continue
		}
		n++
		_, _, depth := FindDepth(x.Text, "")
		if looksLikeValue(x) && !depth || strings.HasSuffix(x.Text, ":") || strings.Contains(x.Text, ": ") || len(x.Text) > 60 {
			return false
		}
		if c == 0 && g.filled(r) <= 2 && !g.At(r, 1).Empty() {
			return false // a label and its value
		}
	}
	if n == 0 {
		return false
	}
	for _, m := range g.Merges {
		if m.Top == r && m.Right > m.Left && m.Right-m.Left+1 < g.Width() {
			return true
		}
	}
	if g.Rows[r][0].Text != "" && n == 1 {
		return false // a title
	}
	return g.groups(r, bottom) || n >= 2 && g.headScore(r) > 0 || n >= 2 && g.spreadsDepths(r)
}

func (g *Grid) spreadsDepths(r int) bool {
	for _, c := range g.Rows[r] {
		if _, _, ok := FindDepth(c.Text, ""); ok {
			return true
		}
	}
	return false
}
