package app

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"github.com/google/uuid"
	"golang.org/x/text/unicode/norm"

	"underfoot"
)

// TypedTables are the tables whose rows are typed in as they are, in the order in which a new course needs them. Other
// tables have pages of their own.
func TypedTables() []*underfoot.Table {
	return []*underfoot.Table{
		underfoot.Greens, underfoot.Targets, underfoot.Readings, underfoot.Sands, underfoot.Samples, underfoot.Results,
		underfoot.Controls, underfoot.Tares, underfoot.SieveMasses, underfoot.Sievings, underfoot.WeatherDays,
	}
}

// HiddenColumn says whether a column is filled in by the program: the course, and names that nobody reads.
func HiddenColumn(t *underfoot.Table, column string) bool {
	return column == "course" || t == underfoot.Readings && column == "reading"
}

// TypedRow is one row as it was typed.
type TypedRow struct {
	Was    underfoot.Key     // of the record it changes; nil for a new one
	Cells  map[string]string // by column, trimmed; columns that are not there stay as they were
	Remove bool
}

// blank says whether nothing was typed into a new row.
func (r *TypedRow) blank() bool {
	if r.Was != nil {
		return false
	}
	for _, text := range r.Cells {
		if text != "" {
			return false
		}
	}
	return true
}

// RowFault is one thing wrong with a typed row.
type RowFault struct {
	Row    int    // from 0
	Column string // "" for the row as a whole
	Text   string
}

// SaveRows stores typed rows of a table of a course as one named change: new ones are added, changed ones replaced, those to
// be removed hidden. With any fault nothing is stored. Ditto marks and decimal commas are read as people mean them.
func (a *App) SaveRows(ctx context.Context, who, course string, t *underfoot.Table, rows []TypedRow) (underfoot.Change, []RowFault, error) {
	if !slices.Contains(TypedTables(), t) {
		return underfoot.Change{}, nil, underfoot.Errorf(underfoot.Invalid, "%s are not typed in row by row", t.Name)
	}
	var faults []RowFault
	change, err := a.Store.Change(ctx, who, rowsSaid(t, rows), func(tx underfoot.Tx) error {
		s := rowSaver{tx: tx, t: t, course: course, keys: map[string]int{}}
		found, err := tx.Find(underfoot.Courses, underfoot.Key{course})
		if err != nil {
			return err
		}
		if found == nil {
			return underfoot.Errorf(underfoot.NotFound, "course %q is not there", course)
		}
		s.today = found.(*underfoot.Course).Today(a.Now())
		if err := s.save(rows); err != nil {
			return err
		}
		if faults = s.faults; len(faults) > 0 {
			return underfoot.Errorf(underfoot.Invalid, "%s", faults[0].Text)
		}
		return nil
	})
	if len(faults) > 0 {
		return underfoot.Change{}, faults, nil
	}
	return change, nil, err
}

// rowsSaid names the change.
func rowsSaid(t *underfoot.Table, rows []TypedRow) string {
	var added, changed, removed int
	for i := range rows {
		switch {
		case rows[i].Remove && rows[i].Was != nil:
			removed++
		case rows[i].Was != nil:
			changed++
		case !rows[i].blank():
			added++
		}
	}
	title := strings.ToLower(t.Title)
	switch {
	case removed > 0 && added == 0:
		return fmt.Sprintf("took %d out of the %s", removed, title)
	case added > 0:
		return fmt.Sprintf("typed %d into the %s", added, title)
	}
	return "changed the " + title
}

type rowSaver struct {
	tx     underfoot.Tx
	t      *underfoot.Table
	course string
	today  underfoot.Date
	keys   map[string]int // of the rows typed, by key
	faults []RowFault
}

func (s *rowSaver) fault(row int, column, format string, args ...any) {
	s.faults = append(s.faults, RowFault{row, column, fmt.Sprintf(format, args...)})
}

// save takes removals first, so that their names are free.
func (s *rowSaver) save(rows []TypedRow) error {
	for i := range rows {
		if rows[i].Remove && rows[i].Was != nil {
			if err := s.tx.Delete(s.t, rows[i].Was); err != nil {
				if underfoot.KindOf(err) != underfoot.Conflict {
					return err
				}
				s.fault(i, "", "%s", err)
			}
		}
	}
	var above map[string]string
	for i := range rows {
		row := &rows[i]
		if row.Remove || row.blank() {
			continue
		}
		for column, text := range row.Cells {
			if (text == `"` || text == "″" || text == "〃") && above != nil {
				row.Cells[column] = above[column]
			}
		}
		above = row.Cells
		if err := s.put(i, row); err != nil {
			return err
		}
	}
	return nil
}

// decimalComma is a number with a comma for the point and nothing else that could be one.
var decimalComma = regexp.MustCompile(`^[-+]?\d*,\d+$`)

// put stores one row, or says what is wrong with it.
func (s *rowSaver) put(i int, row *TypedRow) error {
	before := len(s.faults)
	record := s.t.New()
	if row.Was != nil {
		old, err := s.tx.Find(s.t, row.Was)
		if err != nil {
			return err
		}
		if old == nil {
			s.fault(i, "", "it is not there any more: somebody has taken it out since the page was opened")
			return nil
		}
		record = s.t.Clone(old)
	}
	s.t.SetCourse(record, s.course)
	for c := range s.t.Columns {
		s.cell(i, record, c, row)
	}
	if len(s.faults) > before {
		return nil
	}
	for _, f := range record.Check() {
		s.fault(i, f.Column, "%s", f.Text)
	}
	if err := s.refers(i, record); err != nil || len(s.faults) > before {
		return err
	}
	return s.store(i, row, record)
}

// cell reads one cell into the record.
func (s *rowSaver) cell(i int, record underfoot.Record, c int, row *TypedRow) {
	column := &s.t.Columns[c]
	text, typed := row.Cells[column.Name]
	switch {
	case column.Name == "course":
		text = s.course
	case HiddenColumn(s.t, column.Name):
		if row.Was != nil {
			return
		}
		id, err := uuid.NewV7()
		if err != nil {
			s.fault(i, column.Name, "a name for it could not be made: %v", err)
			return
		}
		text = id.String()
	case !typed && row.Was != nil:
		return
	case !typed && column.Name == "sample" && s.t == underfoot.Samples, s.t == underfoot.Samples && column.Name == "sample" && text == "":
		text = nameOfSample(row.Cells)
	}
	if column.Kind == underfoot.Number && decimalComma.MatchString(text) {
		text = strings.Replace(text, ",", ".", 1)
	}
	if err := s.t.SetCell(record, c, text); err != nil {
		s.fault(i, column.Name, "%s", err)
		return
	}
	if column.Kind != underfoot.Day || text == "" {
		return
	}
	switch d, err := underfoot.ParseDate(text); {
	case err != nil: // SetCell has said so
	case d > s.today:
		s.fault(i, column.Name, "%s is still to come: a day up to today, %s, is allowed", d, s.today)
	case d.Year() < 1900:
		s.fault(i, column.Name, "%s is before 1900: days from then on are allowed", d)
	}
}

// nameOfSample names a composite by round or day, green and layer, as bags of a planned round are.
func nameOfSample(cells map[string]string) string {
	round := cells["round"]
	if round == "" {
		round = cells["date"]
	}
	if round == "" || cells["green"] == "" {
		return ""
	}
	return fmt.Sprintf("%s-%s-%s-%s", round, cells["green"], cells["top_mm"], cells["bottom_mm"])
}

// refers holds the record to the rows it names.
func (s *rowSaver) refers(i int, record underfoot.Record) error {
	need := func(column, table, name string) error {
		j := slices.IndexFunc(underfoot.Tables(), func(t *underfoot.Table) bool { return t.Name == table })
		if name == "" || j < 0 {
			return nil
		}
		ok, err := s.tx.Has(underfoot.Tables()[j], underfoot.Key{s.course, name})
		if err == nil && !ok {
			s.fault(i, column, "%q is not among the %s of this course: add it there first", name, strings.ToLower(underfoot.Tables()[j].Title))
		}
		return err
	}
	for c := range s.t.Columns {
		if column := &s.t.Columns[c]; column.Refers != "" && column.Name != "course" {
			if err := need(column.Name, column.Refers, s.t.Cell(record, c)); err != nil {
				return err
			}
		}
	}
	if x, ok := record.(interface {
		Of() (*underfoot.Table, string)
	}); ok {
		if of, name := x.Of(); of != nil {
			return need("source", of.Name, name)
		}
	}
	return nil
}

// store puts the record, unless its name is taken.
func (s *rowSaver) store(i int, row *TypedRow, record underfoot.Record) error {
	key := s.t.Key(record)
	last := s.t.KeyColumns()[len(s.t.KeyColumns())-1].Name
	if other, twice := s.keys[key.String()]; twice {
		s.fault(i, last, "%s is in row %d already: each may come once", strings.Join(key[1:], ", "), other+1)
		return nil
	}
	s.keys[key.String()] = i
	if row.Was == nil || !slices.Equal(row.Was, key) {
		there, err := s.tx.Has(s.t, key)
		if err != nil {
			return err
		}
		if there {
			s.fault(i, last, "%s is there already: change that row, or give this one another name", strings.Join(key[1:], ", "))
			return nil
		}
		if row.Was != nil {
			if err := s.tx.Delete(s.t, row.Was); err != nil {
				if underfoot.KindOf(err) != underfoot.Conflict {
					return err
				}
				s.fault(i, last, "it cannot be renamed: %s", err)
				return nil
			}
		}
	}
	_, err := s.tx.Put(record)
	if k := underfoot.KindOf(err); err != nil && (k == underfoot.Invalid || k == underfoot.Conflict) {
		s.fault(i, "", "%s", err)
		return nil
	}
	return err
}

// SaveCourse adds a course, or changes what is said of it. An empty name of a new course is made from what people call it.
func (a *App) SaveCourse(ctx context.Context, who string, fresh bool, cells map[string]string) (underfoot.Change, string, []RowFault, error) {
	t := underfoot.Courses
	var faults []RowFault
	fault := func(column, text string) { faults = append(faults, RowFault{0, column, text}) }
	id := cells["course"]
	if fresh {
		if cells["name"] == "" {
			fault("name", "empty: say what people call the course")
		}
		if id == "" {
			id = keyOf(cells["name"])
		}
		if !courseKey.MatchString(id) {
			fault("course", fmt.Sprintf("%q is not allowed: up to 40 small letters, digits and hyphens, a letter first", id))
		}
	}
	record := t.New()
	what := "added course " + id
	if !fresh {
		old, err := a.Store.Get(ctx, t, underfoot.Key{id})
		if err != nil {
			return underfoot.Change{}, "", nil, err
		}
		record, what = t.Clone(old), "changed what is said of the course"
	}
	for c := range t.Columns {
		column := &t.Columns[c]
		text := cells[column.Name]
		if column.Name == "course" {
			text = id
		}
		if column.Kind == underfoot.Number && decimalComma.MatchString(text) {
			text = strings.Replace(text, ",", ".", 1)
		}
		if column.Name == "course" && len(faults) > 0 {
			continue
		}
		if err := t.SetCell(record, c, text); err != nil {
			fault(column.Name, err.Error())
		}
	}
	for _, f := range record.Check() {
		fault(f.Column, f.Text)
	}
	if len(faults) > 0 {
		return underfoot.Change{}, id, faults, nil
	}
	change, err := a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		there, err := tx.Has(t, underfoot.Key{id})
		if err != nil {
			return err
		}
		if there && fresh {
			fault("course", fmt.Sprintf("%q is there already: choose another short name", id))
			return underfoot.Errorf(underfoot.Conflict, "course %s is there already", id)
		}
		_, err = tx.Put(record)
		return err
	})
	if len(faults) > 0 {
		return underfoot.Change{}, id, faults, nil
	}
	return change, id, nil, err
}

var (
	courseKey = regexp.MustCompile(`^[a-z][a-z0-9-]{0,39}$`)
	notInKey  = regexp.MustCompile(`[^a-z0-9]+`)
)

// keyOf makes a short name of what people call something.
func keyOf(name string) string {
	key := strings.Trim(notInKey.ReplaceAllString(strings.ToLower(unaccented(name)), "-"), "-")
	if len(key) > 40 {
		key = strings.Trim(key[:40], "-")
	}
	return key
}

// unaccented leaves the marks over and under letters out.
func unaccented(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
}
