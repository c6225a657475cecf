package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"charm.land/lipgloss/v2"
	"charm.land/lipgloss/v2/table"
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
	rows  [][]string
}

func newGrid(heads ...string) *grid { return &grid{heads: heads} }

func (g *grid) row(cells ...string) { g.rows = append(g.rows, cells) }

func (g *grid) print(w io.Writer) {
	heads := make([]string, len(g.heads))
	for i, h := range g.heads {
		heads[i] = strings.TrimPrefix(h, ">")
	}
	rule := lipgloss.Border{Top: "─", Bottom: "─", MiddleTop: "─", Middle: "─"}
	t := table.New().Border(rule).BorderLeft(false).BorderRight(false).BorderColumn(false).Wrap(false).Headers(heads...).Rows(g.rows...).
		StyleFunc(func(_, col int) lipgloss.Style {
			s := lipgloss.NewStyle()
			if col+1 < len(g.heads) {
				s = s.PaddingRight(2)
			}
			if strings.HasPrefix(g.heads[col], ">") {
				s = s.Align(lipgloss.Right)
			}
			return s
		})
	fmt.Fprintln(w, t)
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
