package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"iter"
	"strconv"
	"strings"
	"time"
)

// file is one finished file of a package.
type file struct {
	name string
	data []byte
}

// table is one CSV file while it is being filled.
type table struct {
	name   string
	header []string
	rows   [][]string
}

// newTable starts a table; columns is the header row as it is printed.
func newTable(name, columns string) *table {
	return &table{name: name, header: strings.Split(columns, ",")}
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// file gives the table as RFC 4180 text with plain line ends.
func (t *table) file() (file, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	for i, row := range append([][]string{t.header}, t.rows...) {
		if len(row) != len(t.header) {
			return file{}, fmt.Errorf("%s:%d: %d cells under %d headings: %q", t.name, i+1, len(row), len(t.header), row)
		}
		if err := w.Write(row); err != nil {
			return file{}, fmt.Errorf("%s:%d: writing the row: %w", t.name, i+1, err)
		}
	}
	w.Flush()
	return file{t.name, b.Bytes()}, w.Error()
}

// filesOf gives the finished files of several tables.
func filesOf(tables ...*table) ([]file, error) {
	var files []file
	for _, t := range tables {
		f, err := t.file()
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	return files, nil
}

// fixed prints x with the decimals an instrument shows.
func fixed(x float64, decimals int) string { return strconv.FormatFloat(x, 'f', decimals, 64) }

// known is fixed, with zero printed as an empty cell: not known or not used.
func known(x float64, decimals int) string {
	if x == 0 {
		return ""
	}
	return fixed(x, decimals)
}

// plain prints x with as many decimals as it needs; zero as an empty cell.
func plain(x float64) string {
	if x == 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func date(t time.Time) string { return t.Format(time.DateOnly) }

func on(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// dayNumber counts days from the first day of the records.
func dayNumber(t time.Time) int { return int(t.Sub(firstDay).Hours() / 24) }

func mapKeys(m map[string][]byte) iter.Seq[string] {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}
