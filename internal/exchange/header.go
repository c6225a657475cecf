package exchange

import (
	"fmt"
	"strings"
	"unicode"

	"underfoot"
)

// Positions in header.columns that are not columns of the table.
const (
	unknownColumn = -1
	unnamedColumn = -2
	doubledColumn = -3
)

// header says what each cell of a row is.
type header struct {
	names   []string
	columns []int // position in the table, or one of the constants above
	cell    []int // by position in the table, the cell that holds it, −1 for none
	lacks   bool  // a needed column is missing
}

// readHeader matches the header row against the table. A name that differs from ours only in case, spaces or
// punctuation is refused, and read as ours so that the rest of the file is still checked.
func readHeader(t *underfoot.Table, cells []string, problem func(column, found, text string)) header {
	h := header{cell: make([]int, len(t.Columns))}
	for i := range h.cell {
		h.cell[i] = -1
	}
	seen := map[string]bool{}
	for i, raw := range cells {
		name := strings.TrimSpace(raw)
		h.names = append(h.names, name)
		h.columns = append(h.columns, unknownColumn)
		if name == "" {
			h.columns[i] = unnamedColumn
			continue
		}
		if seen[name] {
			problem(name, raw, "this column is there twice: rename or remove one")
			h.columns[i] = doubledColumn
			continue
		}
		seen[name] = true
		at, known := t.Column(name)
		if !known {
			if at = nearest(t, name); at < 0 {
				continue
			}
			if h.cell[at] < 0 && !exactly(cells, t.Columns[at].Name) {
				problem(name, raw, "this column is written "+t.Columns[at].Name+": rename it")
			} else {
				continue
			}
		}
		h.columns[i], h.cell[at] = at, i
	}
	h.missing(t, problem)
	return h
}

func (h *header) missing(t *underfoot.Table, problem func(column, found, text string)) {
	for i := range t.Columns {
		c := &t.Columns[i]
		if !c.Need || h.cell[i] >= 0 {
			continue
		}
		h.lacks = true
		text := "this column is missing and every row needs it"
		if near := h.similar(c.Name); near != "" {
			text += fmt.Sprintf(": is it the one called %q?", near)
		}
		problem(c.Name, "", text)
	}
}

// similar returns the unknown column whose name is closest to the wanted one, with or without its unit, within two
// letters.
func (h *header) similar(want string) string {
	best, at := 3, ""
	for i, name := range h.names {
		if h.columns[i] != unknownColumn {
			continue
		}
		for _, w := range []string{want, want[:strings.LastIndexByte("_"+want, '_')]} {
			if d := distance(plain(name), plain(w)); d < best && d < len(w)/2 {
				best, at = d, name
			}
		}
	}
	return at
}

// unknown returns the names of the columns that are kept aside.
func (h *header) unknown() []string {
	var out []string
	for i, name := range h.names {
		if h.columns[i] == unknownColumn {
			out = append(out, name)
		}
	}
	return out
}

func exactly(cells []string, name string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) == name {
			return true
		}
	}
	return false
}

// nearest returns the position of the column whose name is the same but for case, spaces and punctuation, or −1.
func nearest(t *underfoot.Table, name string) int {
	p := plain(name)
	for i := range t.Columns {
		if plain(t.Columns[i].Name) == p {
			return i
		}
	}
	return -1
}

// plain keeps the letters and digits of a name, in lower case.
func plain(name string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return unicode.ToLower(c)
		}
		return -1
	}, name)
}

// distance is the number of letters to change, add or leave out to make a of b (Levenshtein), for short names.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 100 {
		return len(x)
	}
	last := make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i, c := range x {
		diagonal := last[0]
		last[0] = i + 1
		for j, d := range y {
			change := diagonal
			if c != d {
				change++
			}
			diagonal = last[j+1]
			last[j+1] = min(change, last[j]+1, last[j+1]+1)
		}
	}
	return last[len(y)]
}
