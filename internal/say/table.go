package say

import "strings"

// Table says a table whose caption or heads may name the unit of bare numbers beneath them, as [Style.Page] does for one on a
// page. It returns new slices; metric tables come back as they were.
func (s Style) Table(caption string, heads []string, rows [][]string) (string, []string, [][]string) {
	if s.Plain() {
		return caption, heads, rows
	}
	shares := strings.Contains(caption, "%")
	caption, all := s.Head(caption)
	units, said := make([]string, len(heads)), make([]string, len(heads))
	for i, h := range heads {
		said[i], units[i] = s.Head(h)
		ofShares := strings.Contains(h, "%") || strings.Contains(h, "points") || shares && amount.MatchString(h)
		if units[i] == "" && i > 0 && !ofShares {
			units[i] = all
		}
	}
	var out [][]string
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			if i < len(units) && units[i] != "" && bareNumber.MatchString(cell) {
				cells[i] = s.Bare(cell, units[i])
			} else {
				cells[i] = s.Text(cell)
			}
		}
		out = append(out, cells)
	}
	return caption, said, out
}
