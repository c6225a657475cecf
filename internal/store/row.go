package store

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"

	"underfoot"
)

// row is a record as it lies in the database.
type row struct {
	layout  *layout
	values  []any // of the columns
	extra   any   // JSON text or nil
	created any   // change that brought it
	deleted any   // change that hid it, nil while live
}

// newRow returns an empty row of the table and where to scan one into.
func (l *layout) newRow() (*row, []any) {
	w := &row{layout: l, values: make([]any, len(l.columns))}
	into := make([]any, 0, len(l.columns)+3)
	for i := range w.values {
		into = append(into, &w.values[i])
	}
	return w, append(into, &w.extra, &w.created, &w.deleted)
}

// rowOf returns the record as a row, or what is wrong with it.
func (l *layout) rowOf(r underfoot.Record) (*row, error) {
	t := l.table
	w := &row{layout: l, values: make([]any, 0, len(l.columns)+2)}
	var faults []string
	if l.course == 1 {
		course := t.Course(r)
		if course == "" {
			faults = append(faults, "course: empty: a value is needed")
		}
		w.values = append(w.values, course)
	}
	for i := range t.Columns {
		v := t.Value(r, i)
		if err := t.Columns[i].Fits(v); err != nil {
			faults = append(faults, t.Columns[i].Name+": "+err.Error())
		}
		w.values = append(w.values, v)
	}
	if len(faults) == 0 {
		for _, f := range r.Check() {
			faults = append(faults, f.Column+": "+f.Text)
		}
	}
	extra, err := extraText(t, r)
	if err != nil {
		faults = append(faults, err.Error())
	}
	w.extra = extra
	if len(faults) > 0 {
		return nil, underfoot.Errorf(underfoot.Invalid, "%s %s: %s", t.Name, t.Key(r), strings.Join(faults, "; "))
	}
	return w, nil
}

// same says whether two rows hold the same cells.
func (w *row) same(other *row) bool {
	for i, v := range w.values {
		if v != other.values[i] {
			return false
		}
	}
	return w.extra == other.extra
}

// record returns the row as a record.
func (w *row) record() (underfoot.Record, error) {
	t := w.layout.table
	r := t.New()
	if w.layout.course == 1 {
		course, _ := w.values[0].(string)
		t.SetCourse(r, course)
	}
	for i := range t.Columns {
		if v := w.values[i+w.layout.course]; v != nil {
			if err := t.SetValue(r, i, v); err != nil {
				return nil, fmt.Errorf("reading %s: %w", t.Name, err)
			}
		}
	}
	if text, ok := w.extra.(string); ok {
		var extra underfoot.Extra
		if err := json.Unmarshal([]byte(text), &extra); err != nil {
			return nil, fmt.Errorf("reading the extra cells of %s: %w", t.Name, err)
		}
		t.SetExtra(r, extra)
	}
	return r, nil
}

// cells returns the row as the text kept in the history: a JSON object of its known cells.
func (w *row) cells() (string, error) {
	r, err := w.record()
	if err != nil {
		return "", err
	}
	return encode(w.layout.table.Cells(r))
}

// extraText returns what a record keeps beyond its columns as JSON, nil when nothing: cells of unknown columns, and
// numbers as they were written as long as they are still the same number.
func extraText(t *underfoot.Table, r underfoot.Record) (any, error) {
	extra := t.Extra(r)
	if len(extra) == 0 {
		return nil, nil
	}
	kept := map[string]string{}
	for name, text := range extra {
		i, known := t.Column(name)
		switch {
		case text == "":
			continue
		case !known:
			kept[name] = text
		case isNumber(t.Columns[i].Kind) && t.Cell(r, i) == text && cellText(t.Value(r, i)) != text:
			kept[name] = text
		}
		if !utf8.ValidString(name) || !utf8.ValidString(text) {
			return nil, fmt.Errorf("extra column %q: %q is not UTF-8 text", name, text)
		}
	}
	if len(kept) == 0 {
		return nil, nil
	}
	return encode(kept)
}

func isNumber(k underfoot.ColumnKind) bool { return k == underfoot.Number || k == underfoot.Whole }

// encode returns JSON with names in order, so that the same content is the same text.
func encode(v any) (string, error) {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return "", fmt.Errorf("writing cells as JSON: %w", err)
	}
	return strings.TrimSuffix(b.String(), "\n"), nil
}

// rows reads all rows and closes them.
func (l *layout) rows(rows *sql.Rows) ([]*row, error) {
	defer rows.Close()
	var out []*row
	for rows.Next() {
		w, into := l.newRow()
		if err := rows.Scan(into...); err != nil {
			return nil, fmt.Errorf("reading %s: %w", l.table.Name, err)
		}
		out = append(out, w)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("reading %s: %w", l.table.Name, err)
	}
	return out, nil
}
