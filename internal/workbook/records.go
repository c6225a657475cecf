package workbook

import (
	"encoding/base64"
	"fmt"
	"maps"
	"slices"

	"underfoot"
)

// records gives a sheet for every table of records that has rows, in the order of the exchange format, and the titles of those
// that have none.
func records(rs *underfoot.Records) (sheets []Sheet, none []string) {
	rows := map[*underfoot.Table][]underfoot.Record{}
	rs.Each(func(r underfoot.Record) { rows[r.Table()] = append(rows[r.Table()], r) })
	for _, t := range underfoot.Tables() {
		if len(rows[t]) == 0 {
			none = append(none, t.Title)
			continue
		}
		sheets = append(sheets, recordSheet(t, rows[t]))
	}
	return sheets, none
}

// picture says how large a picture is instead of the letters it is kept in, which fill no cell.
func picture(v any) any {
	text, _ := v.(string)
	file, err := base64.StdEncoding.DecodeString(text)
	if text == "" || err != nil {
		return v
	}
	return fmt.Sprintf("a picture of %d bytes, which the package has", len(file))
}

func recordSheet(t *underfoot.Table, rows []underfoot.Record) Sheet {
	s := Sheet{Name: "records " + t.Name, About: t.Title + ", as they are kept; a column is named as in the package, its unit after the comma.", Records: true}
	for _, c := range t.Columns {
		column := Column{Head: c.Name, Kind: map[underfoot.ColumnKind]Kind{underfoot.Text: Text, underfoot.Number: Exact, underfoot.Whole: Whole, underfoot.Day: Day}[c.Kind]}
		if c.Unit != "" {
			column.Head += ", " + c.Unit
		}
		s.Columns = append(s.Columns, column)
	}
	unknown := map[string]bool{}
	for _, r := range rows {
		for name, text := range t.Extra(r) {
			if _, ours := t.Column(name); !ours && text != "" {
				unknown[name] = true
			}
		}
	}
	others := slices.Sorted(maps.Keys(unknown))
	for _, name := range others {
		s.Columns = append(s.Columns, Column{Head: name})
	}
	for _, r := range rows {
		row := make([]any, 0, len(s.Columns))
		for i := range t.Columns {
			v := t.Value(r, i)
			if n, ok := v.(int64); ok {
				v = int(n)
			}
			if t == underfoot.Documents && t.Columns[i].Name == "logo" {
				v = picture(v)
			}
			row = append(row, cell(s.Columns[i].Kind, v))
		}
		for _, name := range others {
			row = append(row, cell(Text, t.Extra(r)[name]))
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}
