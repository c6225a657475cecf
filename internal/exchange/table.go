package exchange

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"underfoot"
)

// table reads the rows of one file and judges them.
type table struct {
	r        *reader
	t        *underfoot.Table
	file     string
	rows     *rowReader
	h        header
	tidy     []bool   // by column: spaces around the cell mean nothing
	refers   []int    // columns that name a row of another table
	decimals *commas  // nil in a file separated by commas
	absent   tallies  // problems that many rows share
	remarks  tallies  // notices that many rows share
	bad      *badRows // where refused rows go; may be nil

	keys   *index[where]
	layers *layers
	rounds rounds

	// of the row being read
	line    int
	refused bool
	texts   []string // by column, as read
	to      []string // the courses it goes to
	one     [1]string
}

// readTable reads one CSV file of the package.
func (r *reader) readTable(t *underfoot.Table) error {
	file, rows, s, problem, err := r.open(t)
	if err != nil {
		return err
	}
	if problem != "" {
		r.failed[t] = true
		r.problem(Problem{File: fileOf(t), Text: problem})
		return nil
	}
	defer file.Close()
	tb := newTable(r, t, rows, s)
	if err := tb.header(); err != nil {
		return err
	}
	if err := tb.all(); err != nil {
		return err
	}
	tb.end()
	return tb.bad.close()
}

func newTable(r *reader, t *underfoot.Table, rows *rowReader, s sniffed) *table {
	tb := &table{
		r: r, t: t, file: fileOf(t), rows: rows, keys: &index[where]{},
		tidy: make([]bool, len(t.Columns)), texts: make([]string, len(t.Columns)),
		layers: &layers{}, rounds: rounds{spans: map[hash]*span{}},
	}
	for i := range t.Columns {
		c := &t.Columns[i]
		tb.tidy[i] = c.Kind != underfoot.Text || c.OneOf != nil || c.Key || c.Refers != ""
		if c.Refers != "" {
			tb.refers = append(tb.refers, i)
		}
	}
	if s.start > 0 {
		r.notice(Notice{File: tb.file, Text: "begins with a byte order mark, which was left out"})
	}
	if s.comma != ',' {
		tb.decimals = newCommas(len(t.Columns))
		r.notice(Notice{File: tb.file, Text: "is separated by " + separatorName(s.comma) + ", not by commas, and was read so"})
	}
	switch t {
	case underfoot.Courses, underfoot.Greens, underfoot.Sands, underfoot.Controls:
		r.seen[t] = tb.keys
	}
	return tb
}

func (tb *table) header() error {
	head, err := tb.rows.next()
	if err != nil {
		return skipEnd(err)
	}
	tb.line = head.line
	if head.fault != "" {
		tb.r.failed[tb.t] = true
		tb.problem("", "", "the header row cannot be read: "+head.fault)
		return nil
	}
	if !head.clean {
		tb.problem("", "", "the header row is not UTF-8: save the file as UTF-8")
	}
	tb.h = readHeader(tb.t, head.cells, tb.problem)
	if tb.h.lacks {
		tb.r.failed[tb.t] = true
	}
	if unknown := tb.h.unknown(); len(unknown) > 0 {
		tb.r.sum.Unknown[tb.file] = unknown
		what := "column is not one of the format and is kept aside: "
		if len(unknown) > 1 {
			what = "columns are not of the format and are kept aside: "
		}
		tb.r.notice(Notice{File: tb.file, Line: head.line, Text: strconv.Itoa(len(unknown)) + " " + what + strings.Join(unknown, ", ")})
	}
	if tb.r.o.Partial {
		tb.bad = &badRows{open: tb.r.o.BadRows, file: tb.file, header: tb.h.names, comma: tb.rows.comma}
	}
	return nil
}

func (tb *table) all() error {
	if tb.h.names == nil {
		return nil
	}
	read := int64(0)
	for n := 1; ; n++ {
		row, err := tb.rows.next()
		if err == io.EOF {
			tb.r.progress(tb.rows.at - read)
			return nil
		}
		if err != nil {
			return err
		}
		if err := tb.row(&row); err != nil {
			return fmt.Errorf("line %d: %w", row.line, err)
		}
		if n%1024 != 0 {
			continue
		}
		tb.r.progress(tb.rows.at - read)
		read = tb.rows.at
		if err := tb.r.ctx.Err(); err != nil {
			return err
		}
		if tb.r.store.err != nil {
			return tb.r.store.err
		}
	}
}

func (tb *table) problem(column, found, text string) {
	tb.refused = true
	tb.r.problem(Problem{File: tb.file, Line: tb.line, Column: column, Found: found, Text: text})
}

// shared reports a problem that other rows have too, once with the number of rows.
func (tb *table) shared(id, column string, text func() string) {
	tb.refused, tb.r.spoiled = true, true
	tb.absent.add(id, tb.line, column, text)
}

// follows refuses a row only because another was refused; told about only when the good rows are taken.
func (tb *table) follows(column, text string) {
	if tb.r.o.Partial {
		tb.problem(column, "", text)
	}
	tb.refused = true
}

func (tb *table) row(rw *row) error {
	tb.line, tb.refused, tb.to = rw.line, tb.h.lacks, nil
	if rw.fault != "" {
		tb.problem("", "", rw.fault)
		return tb.finish(nil, rw)
	}
	if blank(rw.cells) {
		return nil
	}
	if !rw.clean {
		tb.unclean(rw.cells)
	}
	if len(rw.cells) != len(tb.h.names) {
		tb.ragged(len(rw.cells))
		return tb.finish(nil, rw)
	}
	rec := tb.t.New()
	tb.fill(rec, rw.cells)
	tb.judge(rec)
	return tb.finish(rec, rw)
}

func blank(cells []string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}

func (tb *table) ragged(n int) {
	text := fmt.Sprintf("the row has %s and the header %d", count(n, "cell"), len(tb.h.names))
	if n > len(tb.h.names) && tb.rows.comma == ',' {
		text += ": put cells that hold a comma in quotes, and write decimals with a point"
	}
	tb.problem("", "", text)
}

// unclean names the first cell that is not UTF-8 text.
func (tb *table) unclean(cells []string) {
	for i, cell := range cells {
		column := ""
		if i < len(tb.h.names) {
			column = tb.h.names[i]
		}
		switch {
		case strings.ContainsRune(cell, 0):
			tb.shared("zero", column, func() string {
				return "holds a zero byte, which no text does: this is not a text file, or it is damaged"
			})
			return
		case !utf8.ValidString(cell):
			tb.shared("utf8", column, func() string {
				return fmt.Sprintf("%q is not UTF-8: save the file as UTF-8", shorten(cell))
			})
			return
		}
	}
}

// fill reads the cells into the record.
func (tb *table) fill(rec underfoot.Record, cells []string) {
	clear(tb.texts)
	for i, cell := range cells {
		at := tb.h.columns[i]
		if at < 0 {
			tb.aside(rec, i, cell)
			continue
		}
		c := &tb.t.Columns[at]
		text := cell
		if tb.tidy[at] {
			text = strings.TrimSpace(cell)
		}
		if tb.decimals != nil && (c.Kind == underfoot.Number || c.Kind == underfoot.Whole) {
			var wrong string
			if text, wrong = tb.decimals.read(at, tb.line, text); wrong != "" {
				tb.problem(c.Name, cell, strconv.Quote(shorten(cell))+" "+wrong)
				continue
			}
		}
		tb.texts[at] = text
		if err := tb.t.SetCell(rec, at, text); err != nil {
			tb.problem(c.Name, cell, shortenError(err))
		}
	}
}

// aside keeps the cell of a column that is not of the format.
func (tb *table) aside(rec underfoot.Record, i int, cell string) {
	if cell == "" || tb.h.columns[i] == doubledColumn {
		return
	}
	if tb.h.columns[i] == unnamedColumn {
		if strings.TrimSpace(cell) != "" {
			tb.problem("", cell, fmt.Sprintf("cell %d has text, and the header has no name for its column", i+1))
		}
		return
	}
	e := tb.t.Extra(rec)
	if e == nil {
		e = underfoot.Extra{}
		tb.t.SetExtra(rec, e)
	}
	e[tb.h.names[i]] = cell
}

// shortenError keeps a message from carrying a whole megabyte of cell along.
func shortenError(err error) string {
	text := err.Error()
	if len(text) <= 400 {
		return text
	}
	return shorten(text) + text[len(text)-200:]
}

// finish hands a good record on and writes a refused one to the bad rows.
func (tb *table) finish(rec underfoot.Record, rw *row) error {
	if tb.refused || rec == nil {
		tb.r.sum.Refused[tb.file]++
		return tb.bad.add(rw)
	}
	tb.r.sum.Rows[tb.file]++
	for i, course := range tb.to {
		out := rec
		if i < len(tb.to)-1 {
			out = tb.t.Clone(rec)
		}
		tb.t.SetCourse(out, course)
		if err := tb.r.sink(out); err != nil {
			return err
		}
	}
	return nil
}

// end reports what many rows shared.
func (tb *table) end() {
	for _, a := range tb.absent.list {
		tb.r.problem(Problem{File: tb.file, Line: a.line, Column: a.column, Text: a.words()})
	}
	for _, n := range tb.remarks.list {
		tb.r.notice(Notice{File: tb.file, Line: n.line, Column: n.column, Text: n.words()})
	}
	for _, s := range tb.rounds.wide {
		tb.r.notice(Notice{File: tb.file, Line: s.line, Column: "round", Text: fmt.Sprintf(
			"round %s of course %s has dates from %s to %s, %d days apart: is the label right?",
			strconv.Quote(shorten(s.label)), s.course, s.first, s.last, s.last-s.first)})
	}
	if tb.decimals == nil {
		return
	}
	var names []string
	for i, line := range tb.decimals.comma {
		if line > 0 {
			names = append(names, tb.t.Columns[i].Name)
		}
	}
	if len(names) > 0 {
		tb.r.notice(Notice{File: tb.file, Text: "decimal commas were read as decimal points in " + strings.Join(names, ", ")})
	}
}
