package underfoot

import (
	"fmt"
	"maps"
	"reflect"
	"strings"
)

// ColumnKind says what the cells of a column hold.
type ColumnKind int

// The kinds of column.
const (
	Text ColumnKind = iota
	Number
	Whole // a whole number
	Day   // a calendar day, 2006-01-02
)

// Column describes one column of a table of the exchange format.
type Column struct {
	Name    string     // as in the header row, with the unit where there is one
	Kind    ColumnKind // what the cells hold
	Unit    string     // as printed beside the value; empty for none
	Key     bool       // part of the key of the row
	Need    bool       // must not be empty
	OneOf   []string   // the only values allowed, when not nil
	Min     *float64   // smallest value allowed
	Above   *float64   // every value must exceed this
	Max     *float64   // largest value allowed
	Refers  string     // the table whose row this names
	About   string     // one sentence for forms, help and the package description
	Default string     // what an empty cell means; empty when it means "not known"

	index  []int // of the struct field
	opt    bool  // the field is an Opt
	number bool
}

// Table describes one table of the exchange format and the record type that carries its rows.
type Table struct {
	Name    string // file name without the ending, and name in the store
	Title   string // for people
	Columns []Column
	Scoped  bool // the file has a course column (or is courses itself); otherwise the course follows from the package

	typ   reflect.Type
	scope []int // index of the Course field
	extra []int // index of the Extra field
	keys  []int // columns of the key without the course
	names map[string]int
}

// Record is a row of one of the tables. Every pointer to a record struct of this package is one.
type Record interface {
	// Table returns the description of the record's table.
	Table() *Table
	// Check returns what is wrong with the record by itself, beyond the limits of single columns.
	Check() []Fault
}

// Fault is one thing wrong with a record.
type Fault struct {
	Column string // the column it is about
	Text   string // what was found and what is allowed, in lower case and without a full stop
}

// Extra keeps what a package said beyond the columns we know: the cells of unknown columns under their own names, and
// under the name of a known number column the number as it was written ("25.120"), where that differs from the
// shortest form. Nothing read is dropped.
type Extra map[string]string

// newTable reads the description of T's table from the struct tags of T.
func newTable[T any](name, title string) *Table {
	typ := reflect.TypeFor[T]()
	t := &Table{Name: name, Title: title, typ: typ, names: map[string]int{}}
	for i := range typ.NumField() {
		f := typ.Field(i)
		if f.Name == "Extra" {
			t.extra = f.Index
			continue
		}
		if f.Name == "Course" || (name == "courses" && f.Name == "ID") {
			t.scope = f.Index
			t.Scoped = f.Tag.Get("col") != ""
		}
		if f.Tag.Get("col") == "" {
			continue
		}
		c := readColumn(f)
		if c.Key && c.Name != "course" {
			t.keys = append(t.keys, len(t.Columns))
		}
		t.names[c.Name] = len(t.Columns)
		t.Columns = append(t.Columns, c)
	}
	if t.scope == nil || t.extra == nil {
		panic("table " + name + ": record needs fields Course and Extra")
	}
	return t
}

func readColumn(f reflect.StructField) Column {
	tag := f.Tag
	c := Column{
		Name: tag.Get("col"), Unit: tag.Get("unit"), Key: tag.Get("key") != "", Need: tag.Get("need") != "" || tag.Get("key") != "",
		Min: limit(tag.Get("min")), Above: limit(tag.Get("above")), Max: limit(tag.Get("max")),
		Refers: tag.Get("refers"), About: tag.Get("about"), Default: tag.Get("default"), index: f.Index,
	}
	if s := tag.Get("oneof"); s != "" {
		c.OneOf = strings.Split(s, ",")
	}
	switch f.Type {
	case reflect.TypeFor[string]():
		c.Kind = Text
	case reflect.TypeFor[float64]():
		c.Kind = Number
	case reflect.TypeFor[Opt[float64]]():
		c.Kind, c.opt = Number, true
	case reflect.TypeFor[int]():
		c.Kind = Whole
	case reflect.TypeFor[Opt[int]]():
		c.Kind, c.opt = Whole, true
	case reflect.TypeFor[Date]():
		c.Kind = Day
	case reflect.TypeFor[Opt[Date]]():
		c.Kind, c.opt = Day, true
	default:
		panic(fmt.Sprintf("column %s: no column kind for %s", c.Name, f.Type))
	}
	c.number = c.Kind == Number
	return c
}

func limit(s string) *float64 {
	if s == "" {
		return nil
	}
	var v float64
	if _, err := fmt.Sscan(s, &v); err != nil {
		panic("limit " + s + ": " + err.Error())
	}
	return &v
}

// New returns an empty record of the table.
func (t *Table) New() Record { return reflect.New(t.typ).Interface().(Record) }

// Clone returns a copy of a record that shares nothing with it that can be written to.
func (t *Table) Clone(r Record) Record {
	c := t.New()
	t.value(c).Set(t.value(r))
	t.SetExtra(c, maps.Clone(t.Extra(r)))
	return c
}

// Column returns the position of the named column, and whether there is one.
func (t *Table) Column(name string) (int, bool) {
	i, ok := t.names[name]
	return i, ok
}

// Course returns the course the record belongs to.
func (t *Table) Course(r Record) string { return t.value(r).FieldByIndex(t.scope).String() }

// SetCourse says which course the record belongs to.
func (t *Table) SetCourse(r Record, course string) {
	t.value(r).FieldByIndex(t.scope).SetString(course)
}

// Extra returns what the record keeps beyond its columns; nil when nothing.
func (t *Table) Extra(r Record) Extra {
	return t.value(r).FieldByIndex(t.extra).Interface().(Extra)
}

// SetExtra replaces what the record keeps beyond its columns.
func (t *Table) SetExtra(r Record, e Extra) {
	t.value(r).FieldByIndex(t.extra).Set(reflect.ValueOf(e))
}

// KeyColumns returns the columns that with the course identify a row.
func (t *Table) KeyColumns() []Column {
	out := make([]Column, len(t.keys))
	for i, k := range t.keys {
		out[i] = t.Columns[k]
	}
	return out
}

// Key returns what identifies the record in a store: its course, then the cells of [Table.KeyColumns].
func (t *Table) Key(r Record) Key {
	v := t.value(r)
	key := make(Key, 1, 1+len(t.keys))
	key[0] = v.FieldByIndex(t.scope).String()
	for _, k := range t.keys {
		key = append(key, t.cell(v, &t.Columns[k]))
	}
	return key
}

func (t *Table) value(r Record) reflect.Value { return reflect.ValueOf(r).Elem() }

// Key identifies a row of a table in a store: the course, then the key cells of the table.
type Key []string

// String joins the parts with a slash for messages.
func (k Key) String() string { return strings.Join(k, "/") }
