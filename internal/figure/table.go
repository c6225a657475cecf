package figure

import (
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"time"
)

// Table holds the values of a picture. Every picture makes its own from what its scene is drawn from, so that the two
// cannot disagree; each row has as many cells as there are columns.
type Table struct {
	Title   string
	Columns []Column
	Rows    [][]Cell
}

// Column is the head of a column.
type Column struct {
	Name, Unit string // "organic matter", "%"; the unit is empty where the values have none
	Number     bool   // the column holds numbers
}

// Head is the name with the unit: "organic matter, %".
func (c Column) Head() string { return strings.TrimSuffix(c.Name+", "+c.Unit, ", ") }

// cellKind is what a cell holds.
type cellKind int

const (
	worded cellKind = iota
	numeric
	dated
)

// Cell is one value of a [Table]: words, a number or a day.
type Cell struct {
	kind     cellKind
	text     string
	number   float64
	decimals int
	day      time.Time
}

// cellOf is words in a cell.
func cellOf(text string) Cell { return Cell{text: text} }

// numberIn is a number with its decimals; what cannot be drawn is an empty cell.
func numberIn(v float64, decimals int) Cell {
	if !drawable(v) {
		return Cell{}
	}
	return Cell{kind: numeric, number: v, decimals: min(max(decimals, 0), 6)}
}

// dayIn is a day.
func dayIn(t time.Time) Cell {
	if !datable(t) {
		return Cell{}
	}
	return Cell{kind: dated, day: t}
}

// Words is the cell for a reader: "−0.32", "14 Oct 2025", "–" where there is nothing.
func (c Cell) Words() string {
	switch {
	case c.kind == numeric:
		return number(c.number, c.decimals)
	case c.kind == dated:
		return c.day.Format("2 Jan 2006")
	case c.text == "":
		return "–"
	}
	return c.text
}

// Plain is the cell for a machine: a number with a point and a hyphen as its minus, a day as 2025-10-14, nothing where
// there is nothing.
func (c Cell) Plain() string {
	switch c.kind {
	case numeric:
		s := strconv.FormatFloat(c.number, 'f', c.decimals, 64)
		if strings.Trim(s, "-0.") == "" {
			return strings.TrimPrefix(s, "-")
		}
		return s
	case dated:
		return c.day.Format(time.DateOnly)
	}
	return c.text
}

// CSV writes the table by RFC 4180: lines end in CR LF, the first names the columns with their units, and every line has
// as many fields. The same table gives the same bytes.
func (t Table) CSV() []byte {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	line := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		line[i] = c.Head()
	}
	w.Write(line) // a strings.Builder takes everything
	for _, row := range t.Rows {
		for i := range line {
			line[i] = ""
			if i < len(row) {
				line[i] = row[i].Plain()
			}
		}
		w.Write(line)
	}
	w.Flush()
	return []byte(b.String())
}

func wordColumn(name string) Column             { return Column{Name: name} }
func numberColumn(name, unit string) Column     { return Column{Name: name, Unit: unit, Number: true} }
func (t *Table) row(cells ...Cell)              { t.Rows = append(t.Rows, cells) }
func (t *Table) columns(more ...Column)         { t.Columns = append(t.Columns, more...) }
func joined[T any](first []T, more ...T) []T    { return append(first[:len(first):len(first)], more...) }
func newTable(title string, c ...Column) *Table { return &Table{Title: title, Columns: c} }

// estimated are the columns of an estimate and what holds the value so often ("9 in 10").
func estimated(name, unit, odds string) []Column {
	return []Column{numberColumn(name, unit), numberColumn(name+", "+odds+" from", unit), numberColumn(name+", "+odds+" to", unit)}
}

// nineInTen is how often the outer interval of the pictures holds.
const nineInTen = "9 in 10"

// cells are an estimate in the columns of [estimated].
func (e Estimate) cells(decimals int) []Cell {
	out := []Cell{numberIn(e.Mid, decimals), {}, {}}
	if e.Outer.known() {
		out[1], out[2] = numberIn(e.Outer.Low, decimals), numberIn(e.Outer.High, decimals)
	}
	return out
}

// cellsOf are those of an estimate that may be missing.
func cellsOf(e *Estimate, decimals int) []Cell {
	if e == nil {
		return []Cell{{}, {}, {}}
	}
	return e.cells(decimals)
}

// finer gives the decimals of a table beside those of the lettering: one more, for who reckons on.
func finer(decimals int) int { return min(max(decimals, 0)+1, 6) }

// shareIn is a share of 1 as a percentage.
func shareIn(v float64, decimals int) Cell {
	if math.IsNaN(v) {
		return Cell{}
	}
	return numberIn(100*v, decimals)
}
