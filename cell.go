package underfoot

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// FormatNumber writes a number in the shortest decimal form that reads back as the same number, never with an exponent.
func FormatNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// ParseNumber reads a plain decimal number with a point: no exponent-only oddities such as Inf, NaN, hexadecimal or
// digit separators, no thousands mark and no decimal comma.
func ParseNumber(s string) (float64, error) {
	for i := range len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9', c == '.', c == '-', c == '+', c == 'e', c == 'E':
		case c == ',':
			return 0, fmt.Errorf("%q has a comma: a decimal point is expected and no thousands mark", s)
		default:
			return 0, fmt.Errorf("%q is not a number", s)
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return v, nil
}

// SetCell reads text into the named column of the record and checks it against the column's limits. Empty text makes
// the cell not known. A number written otherwise than [FormatNumber] would is also kept as written in the Extra.
func (t *Table) SetCell(r Record, column int, text string) error {
	c := &t.Columns[column]
	f := t.value(r).FieldByIndex(c.index)
	if text == "" {
		if c.Need {
			return fmt.Errorf("empty: a value is needed%s", c.allowed())
		}
		f.SetZero()
		return nil
	}
	switch c.Kind {
	case Text:
		if c.OneOf != nil && !oneOf(c.OneOf, text) {
			return fmt.Errorf("%q is not allowed%s", text, c.allowed())
		}
		f.SetString(text)
	case Day:
		d, err := ParseDate(text)
		if err != nil {
			return err
		}
		if c.opt {
			f.Set(reflect.ValueOf(Some(d)))
		} else {
			f.SetInt(int64(d))
		}
	default:
		return t.setNumber(r, c, f, text)
	}
	return nil
}

func (t *Table) setNumber(r Record, c *Column, f reflect.Value, text string) error {
	v, err := ParseNumber(text)
	if err != nil {
		return fmt.Errorf("%w%s", err, c.allowed())
	}
	if (c.Min != nil && v < *c.Min) || (c.Max != nil && v > *c.Max) || (c.Above != nil && v <= *c.Above) {
		return fmt.Errorf("%s is out of range%s", withUnit(text, c.Unit), c.allowed())
	}
	if v == 0 {
		v = 0 // no minus zero: a store need not keep its sign
	}
	if c.Kind == Whole {
		if v != math.Trunc(v) || math.Abs(v) > 1<<53 {
			return fmt.Errorf("%s is not a whole number%s", text, c.allowed())
		}
		if c.opt {
			f.Set(reflect.ValueOf(Some(int(v))))
		} else {
			f.SetInt(int64(v))
		}
	} else if c.opt {
		f.Set(reflect.ValueOf(Some(v)))
	} else {
		f.SetFloat(v)
	}
	if text != FormatNumber(v) {
		e := t.Extra(r)
		if e == nil {
			e = Extra{}
			t.SetExtra(r, e)
		}
		e[c.Name] = text
	}
	return nil
}

// Cell returns the text of a column of the record: empty when not known, a number as it was written if that is kept
// and still the same number.
func (t *Table) Cell(r Record, column int) string {
	v := t.value(r)
	c := &t.Columns[column]
	text := t.cell(v, c)
	if c.Kind == Number || c.Kind == Whole {
		if e, _ := v.FieldByIndex(t.extra).Interface().(Extra); e != nil {
			if written, ok := e[c.Name]; ok && sameNumber(written, text) {
				return written
			}
		}
	}
	return text
}

func (t *Table) cell(v reflect.Value, c *Column) string {
	f := v.FieldByIndex(c.index)
	switch x := f.Interface().(type) {
	case string:
		return x
	case float64:
		return FormatNumber(x)
	case Opt[float64]:
		if x.Known {
			return FormatNumber(x.Value)
		}
	case int:
		return strconv.Itoa(x)
	case Opt[int]:
		if x.Known {
			return strconv.Itoa(x.Value)
		}
	case Date:
		return x.String()
	case Opt[Date]:
		if x.Known {
			return x.Value.String()
		}
	}
	return ""
}

// Cells returns the record's known cells by column name, with the unknown columns it came with: the form kept in the
// history. Records with the same cells are the same.
func (t *Table) Cells(r Record) map[string]string {
	out := map[string]string{}
	for i := range t.Columns {
		if s := t.Cell(r, i); s != "" {
			out[t.Columns[i].Name] = s
		}
	}
	for name, s := range t.Extra(r) {
		if _, known := t.names[name]; !known && s != "" {
			out[name] = s
		}
	}
	return out
}

// FromCells builds the record of a course that [Table.Cells] described.
func (t *Table) FromCells(course string, cells map[string]string) (Record, error) {
	r := t.New()
	t.SetCourse(r, course)
	extra := Extra{}
	for name, text := range cells {
		i, known := t.names[name]
		if !known {
			extra[name] = text
			continue
		}
		if err := t.SetCell(r, i, text); err != nil {
			return nil, fmt.Errorf("column %s of %s: %w", name, t.Name, err)
		}
	}
	for name, text := range t.Extra(r) {
		extra[name] = text
	}
	if len(extra) > 0 {
		t.SetExtra(r, extra)
	}
	return r, nil
}

// allowed says in words what the column takes, for the end of an error message.
func (c *Column) allowed() string {
	unit := ""
	if c.Unit != "" {
		unit = " " + c.Unit
	}
	switch {
	case c.OneOf != nil:
		return ": allowed are " + strings.Join(c.OneOf, ", ")
	case c.Min != nil && c.Max != nil:
		return fmt.Sprintf(": %s to %s%s is allowed", FormatNumber(*c.Min), FormatNumber(*c.Max), unit)
	case c.Above != nil && c.Max != nil:
		return fmt.Sprintf(": above %s and up to %s%s is allowed", FormatNumber(*c.Above), FormatNumber(*c.Max), unit)
	case c.Min != nil:
		return fmt.Sprintf(": %s%s or more is allowed", FormatNumber(*c.Min), unit)
	case c.Above != nil:
		return fmt.Sprintf(": more than %s%s is allowed", FormatNumber(*c.Above), unit)
	case c.Kind == Day:
		return " (form 2026-10-08, year-month-day)"
	}
	return ""
}

func withUnit(text, unit string) string {
	if unit == "" {
		return text
	}
	return text + " " + unit
}

func oneOf(list []string, s string) bool {
	for _, v := range list {
		if v == s {
			return true
		}
	}
	return false
}

func sameNumber(a, b string) bool {
	if b == "" {
		return false
	}
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	return err1 == nil && err2 == nil && x == y
}
