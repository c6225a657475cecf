package cli

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"charm.land/lipgloss/v2"
)

// printJSON writes v as indented JSON with a final newline.
func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	return nil
}

// grid is a ruled table on the terminal; a heading that starts with ">" is of a column set to the right.
type grid struct {
	heads []string
	right []bool
	rows  [][]string
}

func newGrid(heads ...string) *grid {
	g := &grid{}
	for _, h := range heads {
		h, right := strings.CutPrefix(h, ">")
		g.heads, g.right = append(g.heads, h), append(g.right, right)
	}
	return g
}

func (g *grid) row(cells ...string) { g.rows = append(g.rows, cells) }

// print writes the table; headings that are all empty are left out.
func (g *grid) print(w io.Writer) {
	const gap = 2
	widths := make([]int, len(g.heads))
	for _, row := range append([][]string{g.heads}, g.rows...) {
		for i, cell := range row {
			widths[i] = max(widths[i], width(cell))
		}
	}
	all := gap * (len(widths) - 1)
	for _, n := range widths {
		all += n
	}
	rule := strings.Repeat("─", all) + "\n"
	out := bufio.NewWriter(w)
	defer out.Flush() // what cannot be written to a terminal cannot be told there either
	out.WriteString(rule)
	if strings.Join(g.heads, "") != "" {
		g.line(out, g.heads, widths, gap)
		out.WriteString(rule)
	}
	for _, row := range g.rows {
		g.line(out, row, widths, gap)
	}
	out.WriteString(rule)
}

// line writes one row without spaces at its end.
func (g *grid) line(out *bufio.Writer, cells []string, widths []int, gap int) {
	owed := 0 // spaces to write before the next text
	for i, cell := range cells {
		spare := widths[i] - width(cell)
		if g.right[i] {
			owed, spare = owed+spare, 0
		}
		if cell != "" {
			for ; owed > 0; owed-- {
				out.WriteByte(' ')
			}
			out.WriteString(cell)
		}
		owed += spare + gap
	}
	out.WriteByte('\n')
}

// width is the number of columns a text takes on a terminal.
func width(s string) int {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return lipgloss.Width(s)
		}
	}
	return len(s)
}

// number prints v with the given decimals and a true minus sign; an en dash when it is not known.
func number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "−", 1)
}

// counted puts a number before a noun in the form that fits it.
func counted(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + more
}

// maybe is [number] for a value that may be not known.
func maybe(v *float64, decimals int) string {
	if v == nil {
		return "–"
	}
	return number(*v, decimals)
}
