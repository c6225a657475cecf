package labsheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// notText names files that people take for tables by their first bytes.
var notText = []struct {
	begins string
	what   string
}{
	{"\xD0\xCF\x11\xE0", "an old workbook (.xls) or one locked with a password: save it as .xlsx without a password, or as CSV"},
	{"%PDF", "a PDF document: ask the laboratory for the table as CSV or XLSX"},
	{"\x1F\x8B", "a gzip archive: unpack it first"},
	{"\x89PNG", "a picture: a table of cells is needed"},
	{"\xFF\xD8\xFF", "a picture: a table of cells is needed"},
	{"SQLite format 3\x00", "a database: a table of cells is needed"},
}

// decode turns bytes into text: by the byte order mark where there is one, else UTF-8, else Windows-1252.
func decode(name string, data []byte) (text, how string, err error) {
	for _, n := range notText {
		if bytes.HasPrefix(data, []byte(n.begins)) {
			return "", "", fmt.Errorf("%s is %s", name, n.what)
		}
	}
	switch {
	case bytes.HasPrefix(data, []byte("\xEF\xBB\xBF")):
		data = data[3:]
	case bytes.HasPrefix(data, []byte("\xFF\xFE")), bytes.HasPrefix(data, []byte("\xFE\xFF")):
		out, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(data)
		if err != nil {
			return "", "", fmt.Errorf("%s begins like UTF-16 text but is not: %w: save it as UTF-8", name, err)
		}
		return string(out), "UTF-16", nil
	}
	if i := bytes.IndexByte(data, 0); i >= 0 {
		return "", "", fmt.Errorf("%s is not a text file (byte %d is zero): save the table as CSV or XLSX", name, i+1)
	}
	if utf8.Valid(data) {
		return string(data), "UTF-8", nil
	}
	out, err := charmap.Windows1252.NewDecoder().Bytes(data)
	if err != nil {
		return "", "", fmt.Errorf("%s is neither UTF-8 nor Windows-1252 text: save it as UTF-8", name)
	}
	return string(out), "Windows-1252", nil
}

// separators are what may stand between cells.
var separators = []struct {
	comma rune
	name  string
}{{',', "commas"}, {';', "semicolons"}, {'\t', "tabs"}, {'|', "upright bars"}}

// readText reads a file of text with something between its cells.
func readText(name string, data []byte) (*Book, error) {
	text, how, err := decode(name, data)
	if err != nil {
		return nil, err
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	if first, rest, ok := strings.Cut(text, "\n"); ok && strings.HasPrefix(strings.ToLower(first), "sep=") && len(first) <= 5 {
		text = rest // a mark that some spreadsheets put first
	}
	best, most := 0, -1.0
	for i, s := range separators {
		if n := steadiness(text, s.comma); n > most {
			best, most = i, n
		}
	}
	g, err := readRows(name, text, separators[best].comma)
	if err != nil {
		return nil, err
	}
	return &Book{File: name, Sheets: []Grid{*g}, How: []string{"read as " + how + " text", "cells parted by " + separators[best].name}}, nil
}

// steadiness says how well a separator explains the text: rows that have the most frequent number of cells (more than
// one), each counting with that number up to a point.
func steadiness(text string, comma rune) float64 {
	counts, rows := map[int]int{}, 0
	r := reader(text, comma)
	for rows < 200 {
		cells, err := r.Read()
		if err != nil {
			break
		}
		rows++
		if len(cells) > 1 {
			counts[len(cells)]++
		}
	}
	best := 0.0
	for n, c := range counts {
		best = max(best, float64(c)*float64(min(n, 12)))
	}
	if rows == 0 {
		return 0
	}
	return best / float64(rows)
}

func reader(text string, comma rune) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = comma, -1, true
	return r
}

// readRows reads the cells. A row keeps its line, so that places are right although blank lines hold no cells.
func readRows(name, text string, comma rune) (*Grid, error) {
	g := &Grid{Sheet: name}
	r := reader(text, comma)
	cells := 0
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return g, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w: a quotation mark may be missing; save the table again as CSV", name, err)
		}
		line, _ := r.FieldPos(0)
		for len(g.Rows) < line-1 {
			g.Rows = append(g.Rows, nil)
		}
		row := make([]Cell, len(record))
		for i, s := range record {
			row[i].Text = tidy(s)
		}
		g.Rows = append(g.Rows, row)
		if cells += len(record); cells > mostCells || len(g.Rows) > mostCells {
			return nil, fmt.Errorf("%s holds more than %d cells: send the part with the results", name, mostCells)
		}
	}
}

// tidy takes blanks off the ends and makes line breaks and odd blanks within plain ones.
func tidy(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool {
		switch r {
		case ' ', '\t', '\n', '\r', '\u00a0', '\u202f', '\u2009', '\u200b', '\ufeff', '\v', '\f', 0:
			return true
		}
		return false
	}), " ")
}
