package underfoot

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// Value returns a column of the record as a store keeps it: string, float64, int64, or nil when not known; a day is
// its text.
func (t *Table) Value(r Record, column int) any {
	c := &t.Columns[column]
	f := t.value(r).FieldByIndex(c.index)
	if c.opt {
		if !f.Field(1).Bool() {
			return nil
		}
		f = f.Field(0)
	}
	switch c.Kind {
	case Number:
		if v := f.Float(); v != 0 {
			return v
		}
		return 0.0 // and no minus zero
	case Whole:
		return f.Int()
	case Day:
		return Date(f.Int()).String()
	default:
		if s := f.String(); s != "" || c.Need {
			return s
		}
		return nil
	}
}

// SetValue puts a value as a store keeps it back into the record; see [Table.Value].
func (t *Table) SetValue(r Record, column int, value any) error {
	c := &t.Columns[column]
	f := t.value(r).FieldByIndex(c.index)
	if value == nil {
		f.SetZero()
		return nil
	}
	if c.opt {
		f.Field(1).SetBool(true)
		f = f.Field(0)
	}
	switch x := value.(type) {
	case string:
		switch c.Kind {
		case Day:
			d, err := ParseDate(x)
			if err != nil {
				return fmt.Errorf("column %s: %w", c.Name, err)
			}
			f.SetInt(int64(d))
			return nil
		case Text:
			f.SetString(x)
			return nil
		}
	case float64:
		if c.Kind == Number {
			f.SetFloat(x)
			return nil
		}
	case int64:
		switch c.Kind {
		case Number:
			f.SetFloat(float64(x))
			return nil
		case Whole:
			f.SetInt(x)
			return nil
		}
	}
	return fmt.Errorf("column %s of %s: a stored %T does not fit", c.Name, t.Name, value)
}

// Fits says what is wrong with a value as a store keeps it, by the limits of the column; see [Table.Value].
func (c *Column) Fits(value any) error {
	switch x := value.(type) {
	case nil:
		if c.Need {
			return fmt.Errorf("empty: a value is needed%s", c.allowed())
		}
	case string:
		return c.fitsText(x)
	case float64:
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("%v is not a number%s", x, c.allowed())
		}
		if (c.Min != nil && x < *c.Min) || (c.Max != nil && x > *c.Max) || (c.Above != nil && x <= *c.Above) {
			return fmt.Errorf("%s is out of range%s", withUnit(FormatNumber(x), c.Unit), c.allowed())
		}
	case int64:
		if x > 1<<53 || x < -1<<53 {
			return fmt.Errorf("%d is too large to be kept exactly%s", x, c.allowed())
		}
		return c.Fits(float64(x))
	default:
		return fmt.Errorf("a %T does not fit", value)
	}
	return nil
}

func (c *Column) fitsText(s string) error {
	switch {
	case s == "" && c.Need:
		return fmt.Errorf("empty: a value is needed%s", c.allowed())
	case c.Kind == Day:
		if _, err := ParseDate(s); err != nil {
			return err
		}
	case c.OneOf != nil && !oneOf(c.OneOf, s):
		return fmt.Errorf("%q is not allowed%s", s, c.allowed())
	case !utf8.ValidString(s):
		return fmt.Errorf("%q is not UTF-8 text", s)
	case strings.IndexByte(s, 0) >= 0:
		return fmt.Errorf("%q holds a zero byte", s)
	}
	return nil
}
