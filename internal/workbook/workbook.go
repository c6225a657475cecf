// Package workbook lays a course out as a spreadsheet: a sheet for every table of results that pages, report and commands show,
// and one for every table of records. Values are those of package app, not rounded; units stand in the headers.
package workbook

import (
	"math"
	"time"

	"underfoot"
)

// Book is a workbook before it is written.
type Book struct {
	Title   string // "Varrowmere Links, workbook"
	Author  string // may be empty
	Subject string
	Made    time.Time // written into the properties; zero leaves it out
	Sheets  []Sheet   // the first says what the others hold
}

// Sheet is one table.
type Sheet struct {
	Name    string // at most 31 letters, none of : \ / ? * [ ]
	About   string // what a row is, in a sentence
	Records bool   // a table of records, not of results
	Plain   bool   // words for people, not a table: no filter
	Empty   string // why it has no rows, in a clause; it stands where the first would
	Columns []Column
	Rows    [][]any // nil, string, float64, int, bool or [underfoot.Date], a cell for each column
}

// Column is the head of a column, and how its cells are written.
type Column struct {
	Head     string // with the unit: "mean, %"
	Kind     Kind
	Decimals int // shown of a [Number]; the cell keeps 15 digits
}

// Kind is what the cells of a column hold.
type Kind int

// The kinds of column.
const (
	Text   Kind = iota
	Number      // shown with the decimals of its column
	Exact       // a number as it is, with as many decimals as it has
	Whole       // a whole number
	Day         // a calendar day
	Chance      // a share of one, 0 to 1
	YesNo
)

// table builds the sheet of a list of rows, column by column.
type table[T any] struct {
	rows    []T
	columns []Column
	values  []func(*T) any
}

func rowsOf[T any](rows []T) *table[T] { return &table[T]{rows: rows} }

func (t *table[T]) add(c Column, of func(*T) any) *table[T] {
	t.columns, t.values = append(t.columns, c), append(t.values, of)
	return t
}

func (t *table[T]) text(head string, of func(*T) string) *table[T] {
	return t.add(Column{Head: head}, func(r *T) any { return of(r) })
}

// number adds a column of float64, *float64 or underfoot.Opt[float64].
func (t *table[T]) number(head string, decimals int, of func(*T) any) *table[T] {
	return t.add(Column{Head: head, Kind: Number, Decimals: decimals}, of)
}

func (t *table[T]) exact(head string, of func(*T) float64) *table[T] {
	return t.add(Column{Head: head, Kind: Exact}, func(r *T) any { return of(r) })
}

func (t *table[T]) whole(head string, of func(*T) int) *table[T] {
	return t.add(Column{Head: head, Kind: Whole}, func(r *T) any { return of(r) })
}

func (t *table[T]) chance(head string, of func(*T) any) *table[T] {
	return t.add(Column{Head: head, Kind: Chance}, of)
}

func (t *table[T]) yesNo(head string, of func(*T) bool) *table[T] {
	return t.add(Column{Head: head, Kind: YesNo}, func(r *T) any { return of(r) })
}

// day adds a column of days, as [underfoot.Date] or as text of the form 2026-10-08.
func (t *table[T]) day(head string, of func(*T) any) *table[T] {
	return t.add(Column{Head: head, Kind: Day}, of)
}

// layer adds the two depths of a layer.
func (t *table[T]) layer(of func(*T) (top, bottom float64)) *table[T] {
	t.exact("top, mm", func(r *T) float64 { top, _ := of(r); return top })
	return t.exact("bottom, mm", func(r *T) float64 { _, bottom := of(r); return bottom })
}

func (t *table[T]) sheet(name, about string) Sheet {
	s := Sheet{Name: name, About: about, Columns: t.columns}
	for i := range t.rows {
		row := make([]any, len(t.columns))
		for k, of := range t.values {
			row[k] = cell(t.columns[k].Kind, of(&t.rows[i]))
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// cell makes a value what a cell of a kind takes; nil for what is not known.
func cell(kind Kind, v any) any {
	switch x := v.(type) {
	case *float64:
		if x == nil {
			return nil
		}
		return cell(kind, *x)
	case underfoot.Opt[float64]:
		if !x.Known {
			return nil
		}
		return cell(kind, x.Value)
	case float64:
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return nil
		}
		return x
	case underfoot.Date:
		if x == 0 {
			return nil
		}
		return x
	case string:
		if x == "" {
			return nil
		}
		if kind == Day {
			if d, err := underfoot.ParseDate(x); err == nil {
				return d
			}
		}
		return x
	}
	return v
}
