package app

import (
	"fmt"
	"slices"
	"strings"

	"underfoot/bench"
)

// BlockColumns are the columns of the sheet of a furnace run that a pasted block can fill, in the order in which a block
// without headings is taken.
func BlockColumns() []string {
	return []string{"crucible", "kind", "sample", "tare_g", "moist_g", "dry_g", "ash_g"}
}

// blockHeadings are words that head a column of a block, in small letters; the first is ours.
func blockHeadings() map[string][]string {
	return map[string][]string{
		"place":    {"place", "position", "tray"},
		"crucible": {"crucible", "crucible no", "cruc", "dish", "tin"},
		"kind":     {"kind", "type"},
		"sample":   {"sample", "composite", "bag", "id", "sample id"},
		"tare_g":   {"tare_g", "tare", "empty", "crucible empty", "crucible mass", "tare g"},
		"moist_g":  {"moist_g", "moist", "wet", "fresh", "field-moist", "moist g"},
		"dry_g":    {"dry_g", "dry", "oven-dry", "oven dry", "with dry sample", "dry g", "105"},
		"ash_g":    {"ash_g", "ash", "with ash", "ashed", "ash g", "440", "burnt"},
	}
}

// BlockHeadings are words that head a column of the sheet in a block, in small letters.
func BlockHeadings(column string) []string { return blockHeadings()[column] }

// Most a pasted block may hold: far more than a furnace; common practice, no source.
const (
	blockLines = 500
	blockBytes = 200_000
)

// ReadBlock reads a block of rows copied from a spreadsheet into the columns of the sheet: a line a crucible, its cells
// apart by tabs, semicolons, or else by two or more blanks. A first line of headings says which column is which; without it
// the cells stand in the order of [BlockColumns] from the column from on, leaving out kind and moist mass where the block has no
// room for them. Cells keep their text: masses are read when the sheet is saved. Blank lines are passed over.
func ReadBlock(text, from string) ([]map[string]string, error) {
	if len(text) > blockBytes {
		return nil, fmt.Errorf("the block has %d characters: paste at most %d, one furnace run at a time", len(text), blockBytes)
	}
	var lines [][]string
	var at []int
	for i, line := range strings.Split(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		lines, at = append(lines, blockCells(line)), append(at, i+1)
	}
	if len(lines) == 0 {
		return nil, fmt.Errorf("the block is empty: copy the rows from the spreadsheet and paste them, a line a crucible")
	}
	if len(lines) > blockLines {
		return nil, fmt.Errorf("the block has %d lines: paste at most %d, one furnace run at a time", len(lines), blockLines)
	}
	columns, headed, err := blockHead(lines[0])
	if err != nil {
		return nil, fmt.Errorf("line %d of the block: %w", at[0], err)
	}
	if headed {
		lines, at = lines[1:], at[1:]
	} else if columns, err = blockOrder(lines, at, from); err != nil {
		return nil, err
	}
	rows := make([]map[string]string, 0, len(lines))
	for i, cells := range lines {
		row := map[string]string{}
		for k, cell := range cells {
			if cell == "" {
				continue
			}
			if k >= len(columns) {
				return nil, fmt.Errorf("line %d of the block: %d cells, %d columns are known: take out what is beyond %s, or head the columns", at[i], len(cells), len(columns), columns[len(columns)-1])
			}
			if columns[k] != "" {
				row[columns[k]] = cell
			}
		}
		if len(row) > 0 {
			rows = append(rows, row)
		}
	}
	return rows, nil
}

// blockCells splits a line.
func blockCells(line string) []string {
	var cells []string
	switch {
	case strings.Contains(line, "\t"):
		cells = strings.Split(line, "\t")
	case strings.Contains(line, ";"):
		cells = strings.Split(line, ";")
	default:
		for _, c := range strings.Split(strings.TrimSpace(line), "  ") {
			if c = strings.TrimSpace(c); c != "" {
				cells = append(cells, c)
			}
		}
	}
	for i := range cells {
		cells[i] = strings.Trim(strings.TrimSpace(cells[i]), `"`)
	}
	return cells
}

// blockHead reads headings; headed is false when the line is not one of headings. A column that is not of the sheet is
// passed over.
func blockHead(cells []string) (columns []string, headed bool, err error) {
	known := 0
	seen := map[string]bool{}
	for _, c := range cells {
		name := headingOf(c)
		if name != "" {
			known++
			if seen[name] {
				return nil, false, fmt.Errorf("two columns are headed as %s: name each once", name)
			}
			seen[name] = true
		}
		columns = append(columns, name)
	}
	return columns, known >= 2, nil
}

func headingOf(text string) string {
	text = strings.ToLower(strings.TrimSpace(text))
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(text, "(g)"), "[g]"), ", g"))
	for name, words := range blockHeadings() {
		if slices.Contains(words, text) {
			return name
		}
	}
	return ""
}

// blockOrder gives the columns of a block without headings.
func blockOrder(lines [][]string, at []int, from string) ([]string, error) {
	wide := 0
	for _, cells := range lines {
		wide = max(wide, len(cells))
	}
	all := BlockColumns()
	i := slices.Index(all, from)
	if i < 0 {
		return nil, fmt.Errorf("the block cannot start at column %q: start at %s", from, strings.Join(all, ", "))
	}
	kinds := false // whether any cell names a kind
	for _, cells := range lines {
		for _, c := range cells {
			kinds = kinds || isKind(c)
		}
	}
	columns := slices.Clone(all[i:])
	if !kinds && from != "kind" {
		columns = slices.DeleteFunc(columns, func(c string) bool { return c == "kind" })
	}
	if wide < len(columns) && from != "moist_g" {
		columns = slices.DeleteFunc(columns, func(c string) bool { return c == "moist_g" })
	}
	if wide > len(columns) {
		return nil, fmt.Errorf("line %d of the block: %d cells, but from %s on there are %d columns (%s): head the columns, or take out the rest",
			at[0], wide, from, len(columns), strings.Join(columns, ", "))
	}
	return columns, nil
}

func isKind(text string) bool {
	switch text {
	case "sample", "blank", "control", "duplicate":
		return true
	}
	return false
}

// massText reads a mass as it was typed or sent by a balance into the text of a cell of the records.
func massText(text string) (string, error) {
	if strings.TrimSpace(text) == "" {
		return "", nil
	}
	m, err := bench.ReadMass(text)
	if err != nil {
		return "", err
	}
	return m.Written, nil
}
