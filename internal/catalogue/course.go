package catalogue

import (
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/season"
)

// Entry is one operation of a course's catalogue.
type Entry struct {
	Operation season.Operation
	Used      bool
	BuiltIn   bool     // the program has one of this name and kind
	Own       []string // keys whose value is the course's own, in the order of the file
	Faults    []Fault  // what is wrong with it; it cannot be planned with until that is mended
}

// Field is one value of an operation as it is shown and typed.
type Field struct {
	Key, About, Unit, Allowed string
	Value                     string
	Usual                     string   // the built-in value; empty without one
	Own                       bool     // the value is the course's own
	Words                     []string // the only values, nil for any
	Number, Need              bool
}

// usual finds a built-in operation by its name and kind; nil for none.
func usual(id string, kind season.Kind) *season.Operation {
	list := season.Usual()
	i := slices.IndexFunc(list, func(o season.Operation) bool { return o.ID == id && o.Kind == kind })
	if i < 0 {
		return nil
	}
	return &list[i]
}

// Course gives a course's catalogue: the built-in operations with what the course changes of them, then its own.
func Course(rows []underfoot.Operation) []Entry {
	var list []Entry
	taken := map[string]bool{}
	byID := map[string]*underfoot.Operation{}
	for i := range rows {
		byID[rows[i].ID] = &rows[i]
	}
	for _, o := range season.Usual() {
		if row := byID[o.ID]; row != nil {
			list = append(list, EntryOf(row))
			taken[o.ID] = true
			continue
		}
		list = append(list, Entry{Operation: o, Used: true, BuiltIn: true})
	}
	for i := range rows {
		if !taken[rows[i].ID] {
			list = append(list, EntryOf(&rows[i]))
		}
	}
	return list
}

// Used gives the operations a plan of the course may use. The error names what is wrong with them.
func Used(rows []underfoot.Operation) ([]season.Operation, error) {
	var list []season.Operation
	var faults []string
	for _, e := range Course(rows) {
		if !e.Used {
			continue
		}
		for _, f := range e.Faults {
			faults = append(faults, fmt.Sprintf("operation %q: %s", e.Operation.ID, f.inFile()))
		}
		list = append(list, e.Operation)
	}
	switch {
	case len(faults) > 0:
		return nil, underfoot.Errorf(underfoot.Invalid, "the course's own catalogue: %s", strings.Join(faults, "; "))
	case len(list) == 0:
		return nil, underfoot.Errorf(underfoot.Invalid, "the course's own catalogue: every operation is switched off: switch on what the plan may use")
	}
	return list, nil
}

// EntryOf puts an operation together from its row: what is empty is taken from the built-in one of its name and kind.
func EntryOf(row *underfoot.Operation) Entry {
	texts := map[string]string{}
	for _, k := range keys() {
		texts[k.name] = cell(row, k.name)
	}
	e := Typed(row.ID, season.Kind(row.Kind), texts)
	e.Used = row.Used != "no"
	return e
}

// column finds the column of a key.
func column(name string) int {
	if name == "id" {
		name = "operation"
	}
	i, ok := underfoot.Operations.Column(name)
	if !ok {
		panic("catalogue: key " + name + " is not a column of operations") // a test holds keys and columns together
	}
	return i
}

func cell(row *underfoot.Operation, name string) string {
	return underfoot.Operations.Cell(row, column(name))
}

// Typed puts an operation together from texts by key; what is empty is taken from the built-in one of its name and kind.
func Typed(id string, kind season.Kind, texts map[string]string) Entry {
	e := Entry{Used: true}
	e.Operation.ID, e.Operation.Kind = id, kind
	was := usual(id, kind)
	e.BuiltIn = was != nil
	if was != nil {
		e.Operation = *was
	}
	o := &e.Operation
	say := func(key, text string) {
		e.Faults = append(e.Faults, Fault{Key: key, Text: strings.Replace(text, "a text in quotes of", "a text of", 1)})
	}
	for _, k := range keys() {
		text := strings.TrimSpace(texts[k.name])
		switch {
		case k.name == "id", k.name == "kind":
			var x season.Operation
			if wrong := k.read(&x, map[string]string{"id": id, "kind": string(kind)}[k.name]); wrong != "" {
				say(k.name, wrong)
			}
		case text == "" && k.need && was == nil && k.has(kind):
			say(k.name, "empty: give "+k.allowed())
		case text == "":
		case !k.has(kind):
			say(k.name, fmt.Sprintf("%s: an operation of kind %s has no such value: leave it empty", shown(text), kind))
		default:
			if wrong := k.read(o, text); wrong != "" {
				say(k.name, wrong)
			} else if was == nil || k.write(o) != k.write(was) {
				e.Own = append(e.Own, k.name)
			}
		}
	}
	if len(e.Faults) == 0 {
		fill(o)
		e.Faults = contradictions(o)
	}
	return e
}

// Row gives the row that keeps an entry: of a built-in operation only what the course changes. ok is false when there is nothing
// to keep.
func (e *Entry) Row(course string) (row underfoot.Operation, ok bool) {
	row = underfoot.Operation{Course: course, ID: e.Operation.ID, Kind: string(e.Operation.Kind)}
	if !e.Used {
		row.Used = "no"
	}
	for _, k := range keys() {
		if !slices.Contains(e.Own, k.name) {
			continue
		}
		if err := underfoot.Operations.SetCell(&row, column(k.name), k.write(&e.Operation)); err != nil {
			panic("catalogue: " + k.name + ": " + err.Error()) // a test holds the limits of keys and columns together
		}
	}
	return row, !e.BuiltIn || !e.Used || len(e.Own) > 0
}

// Fields lists the values of an entry in the order of the file, but for its name and kind.
func (e *Entry) Fields() []Field {
	var list []Field
	was := usual(e.Operation.ID, e.Operation.Kind)
	for _, k := range keys() {
		if k.name == "id" || k.name == "kind" || !k.has(e.Operation.Kind) {
			continue
		}
		f := Field{
			Key: k.name, About: k.about, Unit: k.unit, Allowed: strings.Replace(k.allowed(), "a text in quotes of", "a text of", 1), Words: k.words, Number: k.number != nil, Need: k.need && was == nil,
			Value: k.write(&e.Operation), Own: slices.Contains(e.Own, k.name),
		}
		if was != nil {
			f.Usual = k.write(was)
		}
		list = append(list, f)
	}
	return list
}

// Rows gives the rows that keep a whole catalogue: built-in operations that are not in it are switched off.
func Rows(course string, list []season.Operation) []underfoot.Operation {
	var rows []underfoot.Operation
	have := map[string]bool{}
	for i := range list {
		o := &list[i]
		have[o.ID] = true
		texts := map[string]string{}
		for _, k := range keys() {
			if k.has(o.Kind) {
				texts[k.name] = k.write(o)
			}
		}
		e := Typed(o.ID, o.Kind, texts)
		if row, ok := e.Row(course); ok {
			rows = append(rows, row)
		}
	}
	for _, o := range season.Usual() {
		if !have[o.ID] {
			rows = append(rows, underfoot.Operation{Course: course, ID: o.ID, Kind: string(o.Kind), Used: "no"})
		}
	}
	return rows
}
