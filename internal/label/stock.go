package label

import (
	"fmt"

	"underfoot/internal/numeral"
)

// Paper is a size of paper.
type Paper string

// The papers.
const (
	A4     Paper = "A4"     // 210 × 297 mm, ISO 216
	Letter Paper = "letter" // 8½ × 11 in, 215.9 × 279.4 mm
)

// size gives width and height in mm.
func (p Paper) size() (w, h float64) {
	if p == Letter {
		return 215.9, 279.4
	}
	return 210, 297
}

// title names the paper for people.
func (p Paper) title() string {
	if p == Letter {
		return "US Letter"
	}
	return "A4"
}

// Stock is a sheet of labels. Lengths in mm.
type Stock struct {
	Paper         Paper
	Columns, Rows int
	Width, Height float64 // of one label
	Left, Top     float64 // from the edge of the paper to the first label
	GapX, GapY    float64 // between labels
}

// Preset is a stock with a name by its dimensions.
type Preset struct {
	Key   string
	Title string
	Stock Stock
}

// Presets are common sheets by their dimensions only; measure your own sheet and put its sizes in.
func Presets() []Preset {
	list := []Preset{
		{Key: "a4-3x7", Stock: Stock{A4, 3, 7, 63.5, 38.1, 7.2, 15.1, 2.5, 0}},
		{Key: "a4-3x8", Stock: Stock{A4, 3, 8, 70, 37, 0, 0.5, 0, 0}},
		{Key: "a4-2x4", Stock: Stock{A4, 2, 4, 99, 67.7, 4.8, 13.1, 2.4, 0}},
		{Key: "a4-2x5", Stock: Stock{A4, 2, 5, 90, 54, 15, 13.5, 0, 0}},
		{Key: "letter-3x10", Stock: Stock{Letter, 3, 10, 66.7, 25.4, 4.7, 12.7, 3.2, 0}},
		{Key: "letter-2x5", Stock: Stock{Letter, 2, 5, 101.6, 50.8, 4, 12.7, 4.7, 0}},
	}
	for i, p := range list {
		s := p.Stock
		list[i].Title = fmt.Sprintf("%s, %d × %d of %s × %s mm", s.Paper.title(), s.Columns, s.Rows, short(s.Width), short(s.Height))
	}
	return list
}

// Fault is something wrong with a size that was asked for.
type Fault struct {
	Field string // "columns", "rows", "width", "height", "left", "top", "gap_x", "gap_y", "first"
	Text  string
}

// PerSheet is the number of labels on a sheet.
func (s Stock) PerSheet() int { return s.Columns * s.Rows }

// Faults says what cannot be printed about the stock, with the first free label on the first sheet counted from 1.
func (s Stock) Faults(first int) []Fault {
	var out []Fault
	limit := func(field, what string, v, low, high float64, unit string) bool {
		if v >= low && v <= high { // false for NaN
			return true
		}
		out = append(out, Fault{field, fmt.Sprintf("%s %s%s: %s to %s%s are allowed", what, short(v), unit, short(low), short(high), unit)})
		return false
	}
	if s.Paper != A4 && s.Paper != Letter {
		out = append(out, Fault{"paper", fmt.Sprintf("paper %q: %q or %q are allowed", s.Paper, A4, Letter)})
	}
	fine := limit("columns", "labels across", float64(s.Columns), 1, 10, "")
	fine = limit("rows", "labels down", float64(s.Rows), 1, 30, "") && fine
	fine = limit("width", "label width", s.Width, 25, 216, " mm") && fine
	fine = limit("height", "label height", s.Height, 18, 297, " mm") && fine
	fine = limit("left", "left margin", s.Left, 0, 100, " mm") && fine
	fine = limit("top", "top margin", s.Top, 0, 100, " mm") && fine
	fine = limit("gap_x", "gap across", s.GapX, 0, 50, " mm") && fine
	fine = limit("gap_y", "gap down", s.GapY, 0, 50, " mm") && fine
	if !fine || len(out) > 0 {
		return out
	}
	pw, ph := s.Paper.size()
	if w := s.Left + float64(s.Columns)*s.Width + float64(s.Columns-1)*s.GapX; w > pw+slack {
		out = append(out, Fault{"width", fmt.Sprintf("%d labels of %s mm with margin and gaps need %s mm across, %s is %s mm wide: fewer or narrower labels", s.Columns, short(s.Width), short(w), s.Paper.title(), short(pw))})
	}
	if h := s.Top + float64(s.Rows)*s.Height + float64(s.Rows-1)*s.GapY; h > ph+slack {
		out = append(out, Fault{"height", fmt.Sprintf("%d labels of %s mm with margin and gaps need %s mm down, %s is %s mm high: fewer or lower labels", s.Rows, short(s.Height), short(h), s.Paper.title(), short(ph))})
	}
	limit("first", "first free label", float64(first), 1, float64(s.PerSheet()), "")
	return out
}

// slack is how far labels may stand beyond the paper in mm: sizes are written down to the tenth.
const slack = 0.25

// place gives the upper left corner in mm of the n-th label of a sheet, from 0, row by row.
func (s Stock) place(n int) (x, y float64) {
	return s.Left + float64(n%s.Columns)*(s.Width+s.GapX), s.Top + float64(n/s.Columns)*(s.Height+s.GapY)
}

// short writes a length to the tenth, without a trailing nought.
func short(v float64) string {
	if v == float64(int(v)) {
		return numeral.Num(v, 0)
	}
	return numeral.Num(v, 1)
}
