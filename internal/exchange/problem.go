package exchange

import (
	"fmt"
	"strings"
)

// Problem is one reason why a package cannot be taken as it is.
type Problem struct {
	File   string // name inside the folder
	Line   int    // physical line on which the row starts, from 1; 0 when it is about the whole file
	Column string // header of the column, or of several joined by ", "; empty when it is about the whole row
	Found  string // the cell as found; empty when there is none to show
	Text   string // what was found, what is allowed and what to do, in lower case without a full stop
}

// String returns the problem as one line, such as "weighings.csv:14: ash_g: dry mass 29.10 g is below …".
func (p Problem) String() string { return place(p.File, p.Line, p.Column) + p.Text }

// Notice is something about a package that its owner should know and that does not stop it.
type Notice struct {
	File   string
	Line   int // 0 when it is about the whole file
	Column string
	Text   string
}

// String returns the notice as one line.
func (n Notice) String() string { return place(n.File, n.Line, n.Column) + n.Text }

func place(file string, line int, column string) string {
	var b strings.Builder
	b.WriteString(file)
	if line > 0 {
		fmt.Fprintf(&b, ":%d", line)
	}
	b.WriteString(": ")
	if column != "" {
		b.WriteString(column + ": ")
	}
	return b.String()
}

// tally counts the rows of a file that one remark is about, so that a million rows with the same remark make one line.
type tally struct {
	line         int // of the first row
	column, text string
	rows         int
}

// tallies are the remarks of one file in the order in which they were first met.
type tallies struct {
	list []*tally
	byID map[string]*tally
}

// add counts a row for the remark id; text is asked only the first time.
func (ts *tallies) add(id string, line int, column string, text func() string) {
	if t := ts.byID[id]; t != nil {
		t.rows++
		return
	}
	if ts.byID == nil {
		ts.byID = map[string]*tally{}
	}
	t := &tally{line: line, column: column, text: text(), rows: 1}
	ts.byID[id] = t
	ts.list = append(ts.list, t)
}

// words returns the remark with the number of further rows.
func (t *tally) words() string {
	switch t.rows {
	case 1:
		return t.text
	case 2:
		return t.text + " (and 1 more row)"
	}
	return fmt.Sprintf("%s (and %d more rows)", t.text, t.rows-1)
}

// shorten makes a cell fit for a message.
func shorten(s string) string {
	const most = 60
	if len(s) <= most {
		return s
	}
	cut := most
	for cut > 0 && s[cut]&0xC0 == 0x80 {
		cut--
	}
	return s[:cut] + "…"
}
