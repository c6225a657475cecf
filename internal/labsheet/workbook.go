package labsheet

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// readWorkbook reads the worksheets of an XLSX file with the values it was saved with; nothing is calculated.
func readWorkbook(name string, data []byte) (b *Book, err error) {
	defer func() { // a damaged workbook must not take the program down
		if p := recover(); p != nil {
			b, err = nil, fmt.Errorf("%s is damaged and cannot be read as a workbook: save it again, or as CSV", name)
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: 512 << 20, UnzipXMLSizeLimit: 256 << 20})
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read as a workbook: %w: save it again as .xlsx, or as CSV", name, err)
	}
	defer f.Close()
	w := workbook{f: f, styles: map[int]look{}}
	if props, err := f.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		w.from1904 = *props.Date1904
	}
	b = &Book{File: name, How: []string{"read as a workbook"}}
	for _, sheet := range f.GetSheetList() {
		g, err := w.grid(name, sheet)
		if err != nil {
			return nil, err
		}
		b.Sheets = append(b.Sheets, *g)
	}
	return b, nil
}

type workbook struct {
	f        *excelize.File
	styles   map[int]look
	from1904 bool
	cells    int
}

// look is what a number format makes of a number.
type look int

const (
	plain look = iota
	asDay
	asPercent
)

func (w *workbook) grid(name, sheet string) (*Grid, error) {
	g := &Grid{Sheet: sheet}
	if visible, err := w.f.GetSheetVisible(sheet); err == nil {
		g.Hidden = !visible
	}
	raw, err := w.f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		return nil, fmt.Errorf("%s, worksheet %s: %w: save the workbook again", name, sheet, err)
	}
	shown, err := w.f.GetRows(sheet)
	if err != nil {
		return nil, fmt.Errorf("%s, worksheet %s: %w: save the workbook again", name, sheet, err)
	}
	for r, row := range raw {
		cells := make([]Cell, len(row))
		for c, text := range row {
			if w.cells++; w.cells > mostCells {
				return nil, fmt.Errorf("%s holds more than %d cells: send the part with the results", name, mostCells)
			}
			if text == "" {
				continue
			}
			as := text
			if r < len(shown) && c < len(shown[r]) && shown[r][c] != "" {
				as = shown[r][c]
			}
			cells[c] = w.cell(sheet, r, c, text, as)
		}
		g.Rows = append(g.Rows, cells)
	}
	merges, err := w.f.GetMergeCells(sheet, true)
	if err != nil {
		return g, nil // a table without its merges is still a table
	}
	for _, m := range merges {
		left, top, err1 := excelize.CellNameToCoordinates(m.GetStartAxis())
		right, bottom, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err1 == nil && err2 == nil {
			g.Merges = append(g.Merges, Merge{top - 1, left - 1, bottom - 1, right - 1})
		}
	}
	return g, nil
}

// cell tells text, numbers, percentages and dates apart.
func (w *workbook) cell(sheet string, r, c int, raw, shown string) Cell {
	cell := Cell{Text: tidy(shown)}
	axis, err := excelize.CoordinatesToCellName(c+1, r+1)
	if err != nil {
		return cell
	}
	kind, err := w.f.GetCellType(sheet, axis)
	if err != nil || (kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber && kind != excelize.CellTypeDate) {
		return cell
	}
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return cell
	}
	switch w.look(sheet, axis) {
	case asDay:
		if t, err := excelize.ExcelDateToTime(v, w.from1904); err == nil && v >= 1 && t.Year() <= lastYear {
			cell.Day = t.Format("2006-01-02")
			cell.Text = cell.Day
			return cell
		}
	case asPercent:
		v, cell.Percent = figures(v*100), true
	}
	cell.Value, cell.Numeric = v, true
	return cell
}

var quoted = regexp.MustCompile(`"[^"]*"|\\.|\[[^\]]*\]`)

func (w *workbook) look(sheet, axis string) look {
	id, err := w.f.GetCellStyle(sheet, axis)
	if err != nil {
		return plain
	}
	if l, ok := w.styles[id]; ok {
		return l
	}
	l := plain
	if style, err := w.f.GetStyle(id); err == nil && style != nil {
		l = lookOf(style)
	}
	w.styles[id] = l
	return l
}

func lookOf(s *excelize.Style) look {
	if s.CustomNumFmt != nil {
		format := strings.ToLower(quoted.ReplaceAllString(*s.CustomNumFmt, ""))
		switch {
		case strings.Contains(format, "%"):
			return asPercent
		case strings.Contains(format, "y"), strings.Contains(format, "d") && strings.Contains(format, "m"):
			return asDay
		}
		return plain
	}
	switch n := s.NumFmt; { // ECMA-376 part 1, 18.8.30: numbers of the formats every workbook has
	case n == 9 || n == 10:
		return asPercent
	case n >= 14 && n <= 17, n == 22, n >= 27 && n <= 31, n == 36, n >= 50 && n <= 54, n == 57, n == 58:
		return asDay
	}
	return plain
}

// figures rounds to twelve significant figures: what a change of unit adds behind them is no news.
func figures(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return r
}
