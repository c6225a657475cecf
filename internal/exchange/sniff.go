package exchange

import (
	"bytes"
	"fmt"
	"strings"

	"underfoot"
)

// sniffed is what the first bytes of a file say about how to read it.
type sniffed struct {
	start int64 // offset of the first byte of text
	comma byte  // what stands between cells
}

var (
	utf8Mark    = []byte("\xEF\xBB\xBF")
	utf16Little = []byte("\xFF\xFE")
	utf16Big    = []byte("\xFE\xFF")
)

// notText names files that people take for tables by their first bytes.
var notText = []struct {
	begins []byte
	what   string
}{
	{[]byte("PK\x03\x04"), "a ZIP archive or an XLSX workbook"},
	{[]byte("\xD0\xCF\x11\xE0"), "an old Excel workbook"},
	{[]byte("%PDF"), "a PDF document"},
	{[]byte("\x1F\x8B"), "a gzip archive"},
	{[]byte("SQLite format 3\x00"), "an SQLite file"},
	{[]byte("\x89PNG"), "a picture"},
	{[]byte("\xFF\xD8\xFF"), "a picture"},
}

// sniffText finds the start of the text, or says why the file is not UTF-8 text.
func sniffText(head []byte) (start int64, problem string) {
	for _, n := range notText {
		if bytes.HasPrefix(head, n.begins) {
			return 0, "is " + n.what + ", not a text file: save the table as CSV in UTF-8"
		}
	}
	if bytes.HasPrefix(head, utf16Little) || bytes.HasPrefix(head, utf16Big) {
		return 0, "is in UTF-16: save the file as UTF-8"
	}
	if i := bytes.IndexByte(head, 0); i >= 0 {
		return 0, fmt.Sprintf("is not a text file (byte %d is zero): save the table as CSV in UTF-8", i+1)
	}
	if bytes.HasPrefix(head, utf8Mark) {
		return int64(len(utf8Mark)), ""
	}
	return 0, ""
}

// sniffTable finds out how a table is written from its first bytes. A semicolon or a tab is taken for the separator
// only when the header says more to us that way than with the standard's comma.
func sniffTable(t *underfoot.Table, head []byte) (s sniffed, problem string) {
	s.comma = ','
	if s.start, problem = sniffText(head); problem != "" {
		return s, problem
	}
	text := head[s.start:]
	first, _, _ := bytes.Cut(bytes.TrimLeft(text, "\r\n"), []byte("\n"))
	if len(bytes.TrimSpace(text)) == 0 {
		return s, "is empty: a header row is needed, " + headerOf(t)
	}
	if i := bytes.IndexByte(bytes.TrimSuffix(first, []byte("\r")), '\r'); i >= 0 && bytes.IndexByte(first[:i], '"') < 0 {
		return s, "ends its lines with a carriage return alone: save it with line ends LF or CRLF"
	}
	best := -1
	for _, comma := range []byte{',', ';', '\t'} {
		if n := knownNames(t, text, comma); n > best {
			best, s.comma = n, comma
		}
	}
	return s, ""
}

func knownNames(t *underfoot.Table, text []byte, comma byte) int {
	r, err := newRowReader(bytes.NewReader(text), 0, comma)
	if err != nil {
		return 0
	}
	head, err := r.next()
	if err != nil {
		return 0
	}
	n := 0
	for _, name := range head.cells {
		if nearest(t, name) >= 0 {
			n++
		}
	}
	return n
}

func headerOf(t *underfoot.Table) string {
	names := make([]string, len(t.Columns))
	for i := range t.Columns {
		names[i] = t.Columns[i].Name
	}
	return strings.Join(names, ",")
}

// separatorName is the word for what stands between cells.
func separatorName(comma byte) string {
	switch comma {
	case ';':
		return "semicolons"
	case '\t':
		return "tabs"
	}
	return "commas"
}
