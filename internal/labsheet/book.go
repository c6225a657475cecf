package labsheet

import (
	"fmt"
	"path"
	"strings"
)

// Cell is one cell of a grid.
type Cell struct {
	Text    string  // as a person sees it, without blanks around
	Value   float64 // of a cell that a workbook keeps as a number; percent formats are counted as percent
	Numeric bool    // Value holds
	Percent bool    // the workbook shows it as percent
	Day     string  // 2006-01-02, of a cell that a workbook keeps as a date
}

// Empty says whether nothing is in the cell.
func (c Cell) Empty() bool { return c.Text == "" }

// Merge is a block of cells that a workbook shows as one. Rows and columns count from 0, ends included.
type Merge struct{ Top, Left, Bottom, Right int }

// Grid is one worksheet, or the whole of a CSV file.
type Grid struct {
	Sheet  string // name of the worksheet, or of the file
	Rows   [][]Cell
	Merges []Merge
	Hidden bool
}

// Book is a file with its worksheets.
type Book struct {
	File   string
	Sheets []Grid
	How    []string // how it was read: encoding, separator
}

// Limits on what is read into memory.
const (
	mostBytes = 64 << 20
	mostCells = 2_000_000
)

// Width is the number of columns of the widest row.
func (g *Grid) Width() int {
	w := 0
	for _, r := range g.Rows {
		w = max(w, len(r))
	}
	return w
}

// At returns a cell, an empty one outside the grid. Rows and columns count from 0.
func (g *Grid) At(row, column int) Cell {
	if row < 0 || row >= len(g.Rows) || column < 0 || column >= len(g.Rows[row]) {
		return Cell{}
	}
	return g.Rows[row][column]
}

// Place names a cell, such as "Results!C7". Rows and columns count from 0.
func (g *Grid) Place(row, column int) string {
	return g.Sheet + "!" + ColumnName(column) + fmt.Sprint(row+1)
}

// ColumnName is the name of a column in letters, counted from 0: A, B … Z, AA.
func ColumnName(column int) string {
	name := ""
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}

// Sheet returns a worksheet by name, or nil.
func (b *Book) Sheet(name string) *Grid {
	for i := range b.Sheets {
		if b.Sheets[i].Sheet == name {
			return &b.Sheets[i]
		}
	}
	return nil
}

// filled counts the cells of a row that hold something.
func (g *Grid) filled(row int) int {
	n := 0
	for _, c := range g.Rows[row] {
		if !c.Empty() {
			n++
		}
	}
	return n
}

// Read reads a CSV file or a workbook. The name tells the two apart only where the bytes do not.
func Read(name string, data []byte) (*Book, error) {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	if len(data) > mostBytes {
		return nil, fmt.Errorf("%s holds %d MB: up to %d MB is read as a laboratory's sheet", name, len(data)>>20, mostBytes>>20)
	}
	var b *Book
	var err error
	switch {
	case strings.HasPrefix(string(data[:min(4, len(data))]), "PK\x03\x04"):
		b, err = readWorkbook(name, data)
	default:
		b, err = readText(name, data)
	}
	if err != nil {
		return nil, err
	}
	any := false
	for i := range b.Sheets {
		b.Sheets[i].trim()
		any = any || len(b.Sheets[i].Rows) > 0
	}
	if !any {
		return nil, fmt.Errorf("%s is empty: a table with headings and rows is needed", name)
	}
	return b, nil
}

// trim takes empty rows and cells off the end.
func (g *Grid) trim() {
	for i, r := range g.Rows {
		for len(r) > 0 && r[len(r)-1].Empty() {
			r = r[:len(r)-1]
		}
		g.Rows[i] = r
	}
	for len(g.Rows) > 0 && len(g.Rows[len(g.Rows)-1]) == 0 {
		g.Rows = g.Rows[:len(g.Rows)-1]
	}
}
