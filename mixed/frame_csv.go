package mixed

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// CSVOptions says what to read of a file.
type CSVOptions struct {
	Name    string      // of the file, for messages
	Columns []Column    // what is needed; nil for every column
	Where   []Condition // rows to read; all of them must hold
}

// Condition keeps the rows whose column is one of the values, as a word or as a number.
type Condition struct {
	Column string
	Values []string
}

// ReadCSV reads a table of commas (or tabs, or semicolons, whichever the heading uses) with a heading. A column whose cells
// are all numbers or missing is a column of numbers, one of which only levels are needed is kept as levels; empty cells, NA
// and NaN are missing. open is called again from the start when a column turns out to hold words after numbers.
//
// A row takes 8 bytes for a number and 4 for a level; nothing is kept of columns that are not needed.
func ReadCSV(open func() (io.ReadCloser, error), o CSVOptions) (*Frame, error) {
	words := map[string]bool{} // columns that were found to hold words
	for {
		r := &csvReader{options: o, words: words}
		switch again, err := r.pass(open); {
		case err != nil:
			return nil, err
		case !again:
			return r.frame()
		}
	}
}

// csvReader is one pass over a file.
type csvReader struct {
	options    CSVOptions
	words      map[string]bool
	line       int // of the file, from 1
	comma      byte
	head       []string
	columns    []*csvColumn
	conditions []*csvCondition
	cells      [][]byte
	rows       int
	scratch    []byte
}

// pass reads the file once; again says that it has to be read once more.
func (r *csvReader) pass(open func() (io.ReadCloser, error)) (again bool, err error) {
	file, err := open()
	if err != nil {
		return false, err
	}
	defer file.Close()
	err = r.read(file)
	if errors.Is(err, errWords) {
		return true, nil
	}
	return false, err
}

// errWords says that a column of numbers holds a word.
var errWords = errors.New("a column of numbers holds a word")

func (r *csvReader) fault(format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s", r.options.Name, r.line, fmt.Sprintf(format, args...))
}

// longestLine bounds one row [bytes].
const longestLine = 16 << 20

// read splits the file into lines.
func (r *csvReader) read(file io.Reader) error {
	buffer := make([]byte, 256<<10)
	from, to := 0, 0 // what is in the buffer and not yet read
	first, end := true, false
	for !end {
		if to == len(buffer) {
			if from == 0 {
				if len(buffer) >= longestLine {
					r.line++
					return r.fault("a line of more than %d bytes", longestLine)
				}
				buffer = append(buffer, make([]byte, len(buffer))...)
			}
			copy(buffer, buffer[from:to])
			from, to = 0, to-from
		}
		n, err := file.Read(buffer[to:])
		to += n
		switch {
		case err == io.EOF:
			end = true
		case err != nil:
			return fmt.Errorf("reading %s: %w", r.options.Name, err)
		}
		for from < to {
			size := bytes.IndexByte(buffer[from:to], '\n')
			next := from + size + 1
			if size < 0 {
				if !end {
					break
				}
				size, next = to-from, to
			}
			line := buffer[from : from+size]
			if first {
				line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
			}
			whole, err := r.plain(bytes.TrimSuffix(line, []byte("\r")))
			if err != nil {
				return err
			}
			if !whole { // quotes that need the full rules: the rest goes there
				return r.quoted(io.MultiReader(bytes.NewReader(buffer[from+size-len(line):to]), file))
			}
			first, from = false, next
		}
	}
	if r.head == nil {
		return fmt.Errorf("%s is empty: the first line must name the columns", r.options.Name)
	}
	return nil
}

// plain takes one line; false when it holds quotes that it cannot take apart.
func (r *csvReader) plain(line []byte) (bool, error) {
	r.line++
	if len(line) == 0 {
		return true, nil
	}
	if r.head == nil {
		r.comma = separator(line)
	}
	if bytes.IndexByte(line, '"') >= 0 {
		if !r.unquote(line) {
			r.line--
			return false, nil
		}
	} else {
		r.cells = r.cells[:0]
		start := 0
		for i, c := range line {
			if c == r.comma {
				r.cells = append(r.cells, line[start:i])
				start = i + 1
			}
		}
		r.cells = append(r.cells, line[start:])
	}
	return true, r.row(r.cells)
}

// separator is the sign that parts the cells of a heading.
func separator(head []byte) byte {
	for _, c := range []byte{',', '\t', ';'} {
		if bytes.IndexByte(head, c) >= 0 {
			return c
		}
	}
	return ','
}

// unquote splits a line with quoted cells; false when a quote stands within a cell or is not closed on the line.
func (r *csvReader) unquote(line []byte) bool {
	r.cells = r.cells[:0]
	for {
		cell, rest := line, []byte(nil)
		if len(line) > 0 && line[0] == '"' {
			n := bytes.IndexByte(line[1:], '"')
			if n < 0 {
				return false
			}
			cell, rest = line[1:1+n], line[n+2:]
			if len(rest) > 0 && rest[0] != r.comma {
				return false
			}
		} else if n := bytes.IndexByte(line, r.comma); n >= 0 {
			cell, rest = line[:n], line[n:]
		} else {
			rest = nil
		}
		if bytes.IndexByte(cell, '"') >= 0 {
			return false
		}
		r.cells = append(r.cells, cell)
		if len(rest) == 0 {
			return true
		}
		line = rest[1:]
	}
}

// quoted reads the rest of the file by the full rules of RFC 4180.
func (r *csvReader) quoted(rest io.Reader) error {
	c := csv.NewReader(rest)
	c.Comma, c.FieldsPerRecord, c.ReuseRecord = rune(r.comma), -1, true
	before := r.line
	for {
		record, err := c.Read()
		var parse *csv.ParseError
		switch {
		case err == io.EOF:
			return nil
		case errors.As(err, &parse):
			r.line = before + parse.Line
			return r.fault("%v", parse.Err)
		case err != nil:
			return fmt.Errorf("reading %s: %w", r.options.Name, err)
		}
		line, _ := c.FieldPos(0)
		r.line = before + line
		r.cells, r.scratch = r.cells[:0], r.scratch[:0]
		for _, cell := range record {
			r.scratch = append(r.scratch, cell...)
		}
		at := 0
		for _, cell := range record {
			r.cells = append(r.cells, r.scratch[at:at+len(cell)])
			at += len(cell)
		}
		if err := r.row(r.cells); err != nil {
			return err
		}
	}
}

// row takes one row apart into its columns.
func (r *csvReader) row(cells [][]byte) error {
	if r.head == nil {
		return r.heading(cells)
	}
	if len(cells) != len(r.head) {
		return r.fault("%s where the heading has %d", counted(len(cells), "cell"), len(r.head))
	}
	chosen := true
	for _, c := range r.conditions {
		chosen = c.holds(trimmed(cells[c.at])) && chosen
	}
	if !chosen {
		return nil
	}
	for _, c := range r.columns {
		if !c.take(trimmed(cells[c.at])) {
			r.words[c.name] = true
			return errWords
		}
	}
	r.rows++
	return nil
}

// trimmed cuts blanks off both ends of a cell.
func trimmed(cell []byte) []byte {
	for len(cell) > 0 && (cell[0] == ' ' || cell[0] == '\t') {
		cell = cell[1:]
	}
	for len(cell) > 0 && (cell[len(cell)-1] == ' ' || cell[len(cell)-1] == '\t' || cell[len(cell)-1] == '\r') {
		cell = cell[:len(cell)-1]
	}
	return cell
}

// heading reads the names of the columns and finds those needed.
func (r *csvReader) heading(cells [][]byte) error {
	for _, c := range cells {
		r.head = append(r.head, strings.ToValidUTF8(string(trimmed(c)), "�"))
	}
	needed := r.options.Columns
	if needed == nil {
		for _, name := range r.head {
			if name != "" {
				needed = append(needed, Column{Name: name})
			}
		}
	}
	for _, c := range needed {
		at, err := r.find(c.Name)
		if err != nil {
			return err
		}
		if at >= 0 { // one that is missing is told of by who needs it, with its place there
			r.columns = append(r.columns, newCSVColumn(c.Name, at, c.Factor || r.words[c.Name]))
		}
	}
	for _, w := range r.options.Where {
		at, err := r.find(w.Column)
		if err != nil {
			return err
		}
		if at < 0 {
			return fmt.Errorf("where %s=%s: %s has no column %s: there are %s", w.Column, strings.Join(w.Values, " or "), r.options.Name, w.Column, listed(r.head))
		}
		r.conditions = append(r.conditions, newCSVCondition(w, at))
	}
	return nil
}

// find gives the place of a column; −1 when it is not there.
func (r *csvReader) find(name string) (int, error) {
	at := slices.Index(r.head, name)
	if at >= 0 && slices.Contains(r.head[at+1:], name) {
		return 0, r.fault("two columns are named %s", name)
	}
	return at, nil
}

// frame gives what was read.
func (r *csvReader) frame() (*Frame, error) {
	if r.rows == 0 {
		for _, c := range r.conditions {
			if !c.held {
				return nil, fmt.Errorf("where %s=%s: no row of %s has that: there are %s", c.Column, strings.Join(c.Values, " or "), r.options.Name, listed(c.seen))
			}
		}
		if len(r.conditions) > 0 {
			return nil, fmt.Errorf("no row of %s fulfils every condition", r.options.Name)
		}
	}
	f := NewFrame()
	for i, c := range r.columns {
		made := c.column()
		r.columns[i] = nil // its pieces can go
		f.add(made, r.rows)
	}
	f.rows = r.rows
	for _, name := range r.head {
		if name != "" && f.byName[name] == nil {
			f.unread = append(f.unread, name)
		}
	}
	return f, nil
}

// csvCondition is a condition as it is checked.
type csvCondition struct {
	Condition
	at      int
	numbers []float64 // of the values that are numbers
	last    []byte
	verdict bool
	some    bool
	held    bool
	seen    []string // the first values there are, for messages
}

func newCSVCondition(w Condition, at int) *csvCondition {
	c := &csvCondition{Condition: w, at: at}
	for _, v := range w.Values {
		if x, ok := parseNumber([]byte(v)); ok {
			c.numbers = append(c.numbers, x)
		}
	}
	return c
}

func (c *csvCondition) holds(cell []byte) bool {
	if c.some && bytes.Equal(cell, c.last) {
		return c.verdict
	}
	c.some, c.last = true, append(c.last[:0], cell...)
	c.verdict = slices.Contains(c.Values, string(cell))
	if !c.verdict && len(c.numbers) > 0 {
		if x, ok := parseNumber(cell); ok {
			c.verdict = slices.Contains(c.numbers, x)
		}
	}
	c.held = c.held || c.verdict
	const enough = 50
	if word := string(cell); len(c.seen) < enough && word != "" && !slices.Contains(c.seen, word) {
		c.seen = append(c.seen, word)
	}
	return c.verdict
}

// csvColumn is a column being read: numbers, or codes of labels.
type csvColumn struct {
	name    string
	at      int
	labels  bool
	some    bool // a number was read
	numbers pieces[float64]
	codes   pieces[int32]
	known   map[string]int32
	words   []string
	last    []byte
	code    int32
}

func newCSVColumn(name string, at int, labels bool) *csvColumn {
	return &csvColumn{name: name, at: at, labels: labels, known: map[string]int32{}, code: -1}
}

// take adds a cell; false when it is no number and the column is of numbers.
func (c *csvColumn) take(cell []byte) bool {
	if !c.labels {
		v, ok := parseNumber(cell)
		switch {
		case ok:
			c.some = true
			c.numbers.add(v)
			return true
		case missing(cell):
			c.numbers.add(math.NaN())
			return true
		case c.some:
			return false
		}
		c.labels = true // the first value there is is a word
		for range c.numbers.n {
			c.codes.add(-1)
		}
		c.numbers = pieces[float64]{}
	}
	if !bytes.Equal(cell, c.last) || len(cell) == 0 {
		c.last = append(c.last[:0], cell...)
		c.code = c.label(cell)
	}
	c.codes.add(c.code)
	return true
}

func (c *csvColumn) label(cell []byte) int32 {
	if missing(cell) {
		return -1
	}
	if code, ok := c.known[string(cell)]; ok {
		return code
	}
	code := int32(len(c.words))
	word := string(cell)
	c.known[word] = code
	c.words = append(c.words, strings.ToValidUTF8(word, "�"))
	return code
}

// missing tells whether a cell says that nothing is known.
func missing(cell []byte) bool {
	switch string(cell) {
	case "", "NA", "NaN", "nan":
		return true
	}
	return false
}

// column gives what was read. Labels that are all numbers are named as the numbers are, so that 1, 01 and 1.0 are one.
func (c *csvColumn) column() *column {
	if !c.labels {
		return &column{name: c.name, numbers: c.numbers.join()}
	}
	codes, words := c.codes.join(), c.words
	to, merged := make([]int32, len(words)), []string(nil)
	known := map[string]int32{}
	for i, w := range words {
		v, ok := parseNumber([]byte(w))
		if !ok {
			return &column{name: c.name, codes: codes, labels: words}
		}
		name := levelName(v)
		code, seen := known[name]
		if !seen {
			code = int32(len(merged))
			known[name] = code
			merged = append(merged, name)
		}
		to[i] = code
	}
	if len(merged) < len(words) {
		for i, code := range codes {
			if code >= 0 {
				codes[i] = to[code]
			}
		}
	}
	return &column{name: c.name, codes: codes, labels: merged}
}

// pieces is a long list that grows without being copied.
type pieces[T any] struct {
	full [][]T
	last []T
	n    int
}

const piece = 1 << 16

func (p *pieces[T]) add(v T) {
	if len(p.last) == piece {
		p.full = append(p.full, p.last)
		p.last = make([]T, 0, piece)
	}
	p.last = append(p.last, v)
	p.n++
}

// join gives one list and lets the pieces go.
func (p *pieces[T]) join() []T {
	if len(p.full) == 0 {
		return p.last
	}
	out := make([]T, 0, p.n)
	for i, f := range p.full {
		out = append(out, f...)
		p.full[i] = nil
	}
	out = append(out, p.last...)
	p.full, p.last = nil, nil
	return out
}
