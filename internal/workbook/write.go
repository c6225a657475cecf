package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"underfoot"
)

// longest is how much text a cell takes, in UTF-16 units; a limit of the file format.
const longest = 32767

// Write writes the workbook as XLSX: the same bytes for the same book. Text stays text whatever it begins with; there is no formula
// in it.
func (b *Book) Write(w io.Writer) error {
	f := excelize.NewFile()
	defer f.Close()
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &fixedZip{to: w} })
	looks, err := newLooks(f)
	if err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	for i := range b.Sheets {
		s := &b.Sheets[i]
		if i == 0 {
			err = f.SetSheetName(f.GetSheetName(0), s.Name)
		} else {
			_, err = f.NewSheet(s.Name)
		}
		if err == nil {
			err = s.write(f, looks)
		}
		if err != nil {
			return fmt.Errorf("workbook: sheet %q: %w", s.Name, err)
		}
	}
	stamp := ""
	if !b.Made.IsZero() {
		stamp = b.Made.UTC().Format(time.RFC3339)
	}
	if err := f.SetDocProps(&excelize.DocProperties{Title: b.Title, Creator: b.Author, LastModifiedBy: b.Author, Subject: b.Subject, Created: stamp, Modified: stamp, Language: "en"}); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	if err := f.SetAppProps(&excelize.AppProperties{Application: "Underfoot"}); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	if err := f.Write(w); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	return nil
}

// looks are the styles of the cells.
type looks struct {
	head, words int
	text, day   int
	chance      int
	whole       int
	exact       int
	decimals    [7]int
}

func newLooks(f *excelize.File) (*looks, error) {
	l := &looks{}
	var err error
	style := func(into *int, s excelize.Style) {
		if err == nil {
			*into, err = f.NewStyle(&s)
		}
	}
	format := func(into *int, code string) {
		style(into, excelize.Style{CustomNumFmt: &code, Alignment: &excelize.Alignment{Vertical: "top"}})
	}
	style(&l.head, excelize.Style{
		Font: &excelize.Font{Bold: true}, Alignment: &excelize.Alignment{WrapText: true, Vertical: "bottom"},
		Fill:   excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"EFEAE0"}},
		Border: []excelize.Border{{Type: "bottom", Style: 2, Color: "2B2620"}},
	})
	style(&l.words, excelize.Style{NumFmt: 49, Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"}})
	style(&l.text, excelize.Style{NumFmt: 49, Alignment: &excelize.Alignment{Vertical: "top"}}) // "@": typed over, it stays text
	format(&l.day, "yyyy-mm-dd")
	format(&l.chance, "0.00")
	format(&l.whole, "0")
	format(&l.exact, "General")
	for d := range l.decimals {
		code := "0"
		if d > 0 {
			code += "." + strings.Repeat("0", d)
		}
		format(&l.decimals[d], code)
	}
	return l, err
}

// of gives the style of a cell.
func (l *looks) of(c *Column, v any, plain bool) int {
	switch v.(type) {
	case string:
		if plain {
			return l.words
		}
		return l.text
	case underfoot.Date:
		return l.day
	}
	switch c.Kind {
	case Chance:
		return l.chance
	case Whole:
		return l.whole
	case Number:
		return l.decimals[min(c.Decimals, len(l.decimals)-1)]
	}
	return l.exact
}

func (s *Sheet) write(f *excelize.File, l *looks) error {
	last, err := excelize.CoordinatesToCellName(max(1, len(s.Columns)), len(s.Rows)+1)
	if err != nil {
		return err
	}
	if !s.Plain {
		if err := f.AutoFilter(s.Name, "A1:"+last, nil); err != nil {
			return err
		}
	}
	tab := "2F5D7C" // results
	switch {
	case s.Plain:
		tab = "2B2620"
	case s.Records:
		tab = "B89B6A"
	}
	if err := f.SetSheetProps(s.Name, &excelize.SheetPropsOptions{TabColorRGB: &tab}); err != nil {
		return err
	}
	w, err := f.NewStreamWriter(s.Name)
	if err != nil {
		return err
	}
	for i := range s.Columns {
		if err := w.SetColWidth(i+1, i+1, s.width(i)); err != nil {
			return err
		}
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	cells := make([]any, len(s.Columns))
	for i, c := range s.Columns {
		cells[i] = excelize.Cell{StyleID: l.head, Value: c.Head}
	}
	if err := w.SetRow("A1", cells); err != nil {
		return err
	}
	if s.Empty != "" {
		if err := w.SetRow("A2", []any{excelize.Cell{StyleID: l.text, Value: s.emptySays()}}); err != nil {
			return err
		}
	}
	for r, row := range s.Rows {
		for i, v := range row {
			cells[i] = nil
			if v == nil {
				continue
			}
			value := v
			switch x := v.(type) {
			case underfoot.Date:
				value = x.Time()
			case string:
				value = fitting(x)
			}
			cells[i] = excelize.Cell{StyleID: l.of(&s.Columns[i], v, s.Plain), Value: value}
		}
		if err := w.SetRow(fmt.Sprintf("A%d", r+2), cells); err != nil {
			return err
		}
	}
	return w.Flush()
}

// emptySays says in a sentence why a sheet has no rows.
func (s *Sheet) emptySays() string {
	why := strings.TrimRight(s.Empty, ".")
	if first, size := utf8.DecodeRuneInString(why); size > 0 {
		why = string(unicode.ToLower(first)) + why[size:]
	}
	return "Empty: " + why + "."
}

// width is the width of a column in letters: that of its longest cell among the first rows, within reason; a head may wrap.
func (s *Sheet) width(i int) float64 {
	c := &s.Columns[i]
	const narrow, wide, looked = 9, 48, 200
	n := 0
	for word := range strings.FieldsSeq(c.Head) {
		n = max(n, utf8.RuneCountInString(word))
	}
	n = max(n+4, utf8.RuneCountInString(c.Head)/2+3) // beside the arrow of the filter
	for _, row := range s.Rows[:min(looked, len(s.Rows))] {
		switch x := row[i].(type) {
		case string:
			n = max(n, utf8.RuneCountInString(x)+1)
		case underfoot.Date:
			n = max(n, 12)
		}
	}
	most := wide
	if s.Plain {
		most = 90
	}
	return float64(min(max(n, narrow), most))
}

// fitting cuts a text that is longer than a cell takes, and says so at its end.
func fitting(s string) string {
	units := 0
	for _, r := range s {
		units++
		if r > 0xFFFF {
			units++
		}
	}
	if units <= longest {
		return s
	}
	const end = " … (cut here: a cell takes no more; the package has all of it)"
	room, at := longest-len(end), 0
	for i, r := range s {
		room--
		if r > 0xFFFF {
			room--
		}
		if room < 0 {
			break
		}
		at = i + utf8.RuneLen(r)
	}
	return s[:at] + end
}

// fixedZip writes the parts of a workbook in the order of their names and without times, so that the same book is the same bytes.
type fixedZip struct {
	to    io.Writer
	parts []*part
}

type part struct {
	name string
	bytes.Buffer
}

// Create begins a part.
func (z *fixedZip) Create(name string) (io.Writer, error) {
	p := &part{name: name}
	z.parts = append(z.parts, p)
	return p, nil
}

// AddFS is asked for by excelize and never used: a workbook of ours is made from nothing.
func (z *fixedZip) AddFS(fs.FS) error { return errors.New("not used") }

// Close writes all parts. The list of what is in the file comes first, as programs that look at the start expect.
func (z *fixedZip) Close() error {
	const first = "[Content_Types].xml"
	slices.SortFunc(z.parts, func(a, b *part) int {
		if (a.name == first) != (b.name == first) {
			if a.name == first {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.name, b.name)
	})
	w := zip.NewWriter(z.to)
	for _, p := range z.parts {
		h := &zip.FileHeader{Name: p.name, Method: zip.Deflate}
		to, err := w.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := to.Write(p.Bytes()); err != nil {
			return err
		}
	}
	return w.Close()
}
