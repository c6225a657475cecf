package exchange

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"unicode/utf8"
)

// Limits that keep a hostile or broken file from filling memory. Common practice, no source.
const (
	maxCell = 1 << 20 // bytes of one cell
	maxRow  = 4 << 20 // bytes of one row
)

// row is one row of a CSV file after RFC 4180.
type row struct {
	line  int      // physical line on which it starts
	cells []string // valid until the next row is read; the texts stay
	fault string   // what is wrong with its form; then there are no cells
	raw   string   // the first line as written, when there is a fault
	clean bool     // all its bytes are UTF-8 and none is NUL
}

// rowReader reads rows and, unlike encoding/csv, goes on after a row that is wrong: a quote that is never closed
// costs the line it is on, not the rest of the file, and no cell or line grows beyond its limit.
type rowReader struct {
	src   io.ReadSeeker
	in    *bufio.Reader
	comma byte
	lines int   // physical lines read so far
	at    int64 // offset of the next byte
	long  []byte
	text  []byte // the cells of the row, one after another
	ends  []int
	cells []string
}

func newRowReader(src io.ReadSeeker, start int64, comma byte) (*rowReader, error) {
	r := &rowReader{src: src, in: bufio.NewReaderSize(src, 256<<10), comma: comma}
	return r, r.seek(start, 0)
}

func (r *rowReader) seek(offset int64, lines int) error {
	if _, err := r.src.Seek(offset, io.SeekStart); err != nil {
		return err
	}
	r.in.Reset(r.src)
	r.at, r.lines = offset, lines
	return nil
}

// readLine returns the next physical line with its ending; a line beyond maxRow comes back cut, longer than maxRow.
func (r *rowReader) readLine() ([]byte, error) {
	line, err := r.in.ReadSlice('\n')
	r.at += int64(len(line))
	if err == bufio.ErrBufferFull {
		r.long = append(r.long[:0], line...)
		for err == bufio.ErrBufferFull {
			line, err = r.in.ReadSlice('\n')
			r.at += int64(len(line))
			if len(r.long) <= maxRow {
				r.long = append(r.long, line...)
			}
		}
		line = r.long
	}
	if err == io.EOF && len(line) > 0 {
		err = nil
	}
	if err == nil {
		r.lines++
	}
	return line, err
}

// next returns the next row that is not an empty line; io.EOF after the last.
func (r *rowReader) next() (row, error) {
	for {
		at, lines := r.at, r.lines
		line, err := r.readLine()
		if err != nil {
			return row{}, err
		}
		if body, _ := cutEnd(line); len(body) == 0 {
			continue
		}
		fault, err := r.split(line)
		if err != nil {
			return row{}, err
		}
		if fault != "" {
			return r.again(at, lines, fault)
		}
		return r.done(lines + 1), nil
	}
}

// done cuts the collected text into cells.
func (r *rowReader) done(line int) row {
	text := string(r.text)
	r.cells = r.cells[:0]
	from := 0
	for _, end := range r.ends {
		r.cells = append(r.cells, text[from:end])
		from = end
	}
	return row{line: line, cells: r.cells, clean: utf8.ValidString(text) && bytes.IndexByte(r.text, 0) < 0}
}

// again goes back to the first line of a faulty row, so that reading continues on the line after it.
func (r *rowReader) again(at int64, lines int, fault string) (row, error) {
	if err := r.seek(at, lines); err != nil {
		return row{}, err
	}
	line, err := r.readLine()
	if err != nil {
		return row{}, err
	}
	body, _ := cutEnd(line)
	if len(body) > maxRow {
		body = nil
	}
	return row{line: lines + 1, fault: fault, raw: string(body)}, nil
}

func (r *rowReader) endCell() { r.ends = append(r.ends, len(r.text)) }

// split cuts a row into cells, reading on where a quoted cell goes over the end of the line.
func (r *rowReader) split(line []byte) (fault string, err error) {
	r.text, r.ends = r.text[:0], r.ends[:0]
	if len(line) > maxRow {
		return fmt.Sprintf("the line is longer than %d MB: no row is", maxRow>>20), nil
	}
	body, end := cutEnd(line)
	for {
		if len(body) > 0 && body[0] == '"' {
			if body, end, fault, err = r.quoted(body[1:], end); fault != "" || err != nil {
				return fault, err
			}
			r.endCell()
			if len(body) == 0 {
				return "", nil
			}
			if body[0] != r.comma {
				return "text follows a closing quote: put the whole cell in quotes and double the quotes inside it", nil
			}
			body = body[1:]
			continue
		}
		cell, rest, more := cut(body, r.comma)
		if fault := plainFault(cell); fault != "" {
			return fault, nil
		}
		r.text = append(r.text, cell...)
		r.endCell()
		if !more {
			return "", nil
		}
		body = rest
	}
}

// quoted reads a quoted cell after its opening quote and returns what follows the closing one.
func (r *rowReader) quoted(body, end []byte) (rest, restEnd []byte, fault string, err error) {
	opened, start := r.lines, len(r.text)
	for {
		i := bytes.IndexByte(body, '"')
		switch {
		case i < 0:
			r.text = append(append(r.text, body...), end...)
			if len(r.text) > maxRow {
				return nil, nil, fmt.Sprintf("the row is longer than %d MB: no row is; is the quote opened on line %d never closed?", maxRow>>20, opened), nil
			}
			var line []byte
			if line, err = r.readLine(); err == io.EOF {
				return nil, nil, fmt.Sprintf("a quote opened on line %d is never closed: close it, or take it out", opened), nil
			} else if err != nil {
				return nil, nil, "", err
			}
			body, end = cutEnd(line)
		case i+1 < len(body) && body[i+1] == '"':
			r.text = append(r.text, body[:i+1]...)
			body = body[i+2:]
		default:
			r.text = append(r.text, body[:i]...)
			body = body[i+1:]
			if len(r.text)-start > maxCell {
				return nil, nil, tooLong, nil
			}
			return body, end, "", nil
		}
		if len(r.text)-start > maxCell {
			return nil, nil, fmt.Sprintf("%s; is the quote opened on line %d never closed?", tooLong, opened), nil
		}
	}
}

const tooLong = "a cell is longer than 1 MB: no cell is"

func plainFault(cell []byte) string {
	switch {
	case len(cell) > maxCell:
		return tooLong
	case bytes.IndexByte(cell, '"') >= 0:
		return `a quote stands inside a cell that does not begin with one: put the cell in quotes and double the quotes inside it`
	case bytes.IndexByte(cell, '\r') >= 0:
		return "a carriage return stands alone inside the line: end lines with LF or CRLF"
	}
	return ""
}

func cut(body []byte, comma byte) (cell, rest []byte, more bool) {
	if i := bytes.IndexByte(body, comma); i >= 0 {
		return body[:i], body[i+1:], true
	}
	return body, nil, false
}

// cutEnd separates a line from its ending: LF, CRLF or none.
func cutEnd(line []byte) (body, end []byte) {
	n := len(line)
	if n > 0 && line[n-1] == '\n' {
		n--
		if n > 0 && line[n-1] == '\r' {
			n--
		}
	}
	return line[:n], line[n:]
}
