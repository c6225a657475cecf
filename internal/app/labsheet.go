package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/labsheet"
)

// LabOrder says how a laboratory's sheet is to be brought in.
type LabOrder struct {
	Course  string            // may be empty where the store holds one
	Greens  map[string]string // what the sheet calls a green → the course's green; "-" leaves its rows out
	Partial bool              // take the good rows although there are bad ones
	SaveAs  string            // name to keep the mapping under; empty for none
}

// LabRow is what a row of the sheet comes to.
type LabRow struct {
	Place   string             `json:"place"`
	Sample  string             `json:"sample"` // or the sand
	New     bool               `json:"new"`    // the sample (or the sand) would be made
	Green   string             `json:"green,omitempty"`
	Layer   string             `json:"layer,omitempty"`
	Date    string             `json:"date,omitempty"`
	Says    string             `json:"says"` // values in words
	Apart   string             `json:"apart,omitempty"`
	Bad     bool               `json:"bad,omitempty"`
	Out     bool               `json:"left_out,omitempty"`
	records []underfoot.Record // in the order in which they can be written
	stale   []underfoot.Key    // sieves of an earlier analysis that this one has not
}

// LabGreen is a green as the sheet calls it.
type LabGreen struct {
	Words string `json:"words"`
	Green string `json:"green"` // the course's green; empty when it is not known, "-" when it is left out
	Rows  int    `json:"rows"`
	Guess bool   `json:"guess"` // matched by its words, not by the person
}

// LabPreview is what bringing a sheet in would do.
type LabPreview struct {
	Course    string              `json:"course"`
	File      string              `json:"file"`
	Kind      labsheet.Kind       `json:"kind"`
	Measure   string              `json:"measure,omitempty"`
	Rule      labsheet.Rule       `json:"rule"`
	Questions []labsheet.Question `json:"questions"`
	Rows      []LabRow            `json:"rows"`
	Greens    []LabGreen          `json:"greens"`
	Problems  []labsheet.Problem  `json:"problems"`
	Notes     []labsheet.Note     `json:"notes"`
	Table     *labsheet.Table     `json:"-"`
	All       []underfoot.Green   `json:"-"` // of the course
	mapping   *underfoot.Mapping  // to be saved along
	sands     []underfoot.Sand    // to be made
	order     LabOrder
}

// Ready says whether it can be brought in: something is there, and nothing is wrong or left open.
func (p *LabPreview) Ready() bool {
	return p.Good() > 0 && (len(p.Problems) == 0 || p.order.Partial)
}

// Good counts the rows that can be written.
func (p *LabPreview) Good() int {
	n := 0
	for i := range p.Rows {
		if !p.Rows[i].Bad && !p.Rows[i].Out {
			n++
		}
	}
	return n
}

// NewSamples counts the samples that would be made.
func (p *LabPreview) NewSamples() int {
	seen := map[string]bool{}
	for i := range p.Rows {
		if r := &p.Rows[i]; r.New && !r.Bad && !r.Out {
			seen[r.Sample] = true
		}
	}
	return len(seen)
}

// Apart counts the rows whose results are another quantity, kept out of trends.
func (p *LabPreview) Apart() int {
	n := 0
	for i := range p.Rows {
		if r := &p.Rows[i]; r.Apart != "" && !r.Out && !r.Bad {
			n++
		}
	}
	return n
}

// PreviewSheet says what a sheet read by a rule would bring to a course, and writes nothing. What is wrong is in the
// preview; the error is for a course that is not there and the like.
func (a *App) PreviewSheet(ctx context.Context, b *labsheet.Book, rule labsheet.Rule, order LabOrder) (*LabPreview, error) {
	course, err := a.sheetCourse(ctx, order.Course)
	if err != nil {
		return nil, err
	}
	rs, err := a.Store.Records(ctx, course)
	if err != nil {
		return nil, err
	}
	p := &LabPreview{
		Course: course, File: b.File, Kind: rule.Kind, Rule: rule, All: rs.Greens, order: order, Questions: []labsheet.Question{}, Rows: []LabRow{},
		Greens: []LabGreen{}, Problems: []labsheet.Problem{}, Notes: []labsheet.Note{},
	}
	rule = labsheet.Complete(b, rule)
	table, err := labsheet.Apply(b, rule)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	p.Rule, p.Table, p.Measure = table.Rule, table, string(table.Rule.Measure)
	p.Problems = append(p.Problems, table.Problems...)
	p.Notes = append(p.Notes, table.Notes...)
	if q := labsheet.Questions(b, table.Rule); q != nil {
		p.Questions = q
	}
	m := newSheetMatcher(rs, p, a.Now())
	for i := range table.Rows {
		m.row(&table.Rows[i])
	}
	m.elsewhere(ctx, a.Store)
	if order.SaveAs != "" {
		if err := p.keepAs(order.SaveAs); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// sheetCourse gives the course named, or the only one of the store.
func (a *App) sheetCourse(ctx context.Context, course string) (string, error) {
	all, err := a.Store.Courses(ctx)
	if err != nil {
		return "", err
	}
	var names []string
	for _, c := range all {
		if c.ID == course || course == "" && len(all) == 1 {
			return c.ID, nil
		}
		names = append(names, c.ID)
	}
	switch {
	case len(all) == 0:
		return "", underfoot.Errorf(underfoot.NotFound, "laboratory sheet: the store has no course yet: bring in its package first")
	case course == "":
		return "", underfoot.Errorf(underfoot.Invalid, "laboratory sheet: the store has several courses, %s: say which one with --course", strings.Join(names, ", "))
	}
	return "", underfoot.Errorf(underfoot.NotFound, "laboratory sheet: course %q is not in the store: there are %s", course, strings.Join(names, ", "))
}

// longestMapping is the most characters in the name of a mapping.
const longestMapping = 60

func (p *LabPreview) keepAs(name string) error {
	name = strings.Join(strings.Fields(name), " ")
	if n := len([]rune(name)); n > longestMapping {
		return fieldError("mapping", "a name of %d characters: give up to %d", n, longestMapping)
	}
	if name == "" {
		return fieldError("mapping", "empty: give the mapping a name")
	}
	kept := p.Rule
	kept.Fixed = map[labsheet.Field]string{}
	for f, text := range p.Rule.Fixed { // what was typed for this sheet alone is asked for again
		if f == labsheet.FieldMethod || f == labsheet.FieldLab || f == labsheet.FieldLayer {
			kept.Fixed[f] = text
		}
	}
	p.mapping = &underfoot.Mapping{Course: p.Course, ID: name, Kind: string(p.Rule.Kind), Headings: p.Rule.Fingerprint(), Rule: string(kept.Bytes())}
	return nil
}

// LabTaken says what a sheet came to.
type LabTaken struct {
	Preview *LabPreview
	Change  underfoot.Change // zero when nothing was new
	Tables  []TableTaken
}

// ImportSheet brings a sheet into a course by a rule, whole or not at all, in one named change. With a problem nothing is
// taken unless the order says so.
func (a *App) ImportSheet(ctx context.Context, who string, b *labsheet.Book, rule labsheet.Rule, order LabOrder) (*LabTaken, error) {
	p, err := a.PreviewSheet(ctx, b, rule, order)
	if err != nil {
		return nil, err
	}
	t := &LabTaken{Preview: p}
	switch {
	case len(p.Problems) > 0 && !order.Partial:
		return t, underfoot.Errorf(underfoot.Invalid, "%s has %s: nothing was taken from it; the first is at %s", b.File, counted(len(p.Problems), "problem", "problems"), p.Problems[0])
	case p.Good() == 0:
		return t, underfoot.Errorf(underfoot.Invalid, "%s has no row that can be taken", b.File)
	}
	counts := map[*underfoot.Table]*TableTaken{}
	t.Change, err = a.Store.Change(ctx, who, "brought in "+p.Kind.Word()+" from "+b.File, func(tx underfoot.Tx) error {
		clear(counts)
		put := func(r underfoot.Record) error {
			outcome, err := tx.Put(r)
			if err != nil {
				return fmt.Errorf("storing a row of %s: %w", r.Table().Name, err)
			}
			count(counts, r.Table(), outcome)
			return nil
		}
		return p.write(tx, put)
	})
	if err != nil {
		return t, err
	}
	for _, table := range underfoot.Tables() {
		if c := counts[table]; c != nil {
			t.Tables = append(t.Tables, *c)
		}
	}
	return t, nil
}

// write puts what the good rows come to.
func (p *LabPreview) write(tx underfoot.Tx, put func(underfoot.Record) error) error {
	for i := range p.sands {
		if err := put(&p.sands[i]); err != nil {
			return err
		}
	}
	for i := range p.Rows {
		r := &p.Rows[i]
		if r.Bad || r.Out {
			continue
		}
		for _, key := range r.stale {
			if err := tx.Delete(underfoot.SieveMasses, key); err != nil && underfoot.KindOf(err) != underfoot.NotFound {
				return err
			}
		}
		for _, record := range r.records {
			if err := put(record); err != nil {
				return fmt.Errorf("%s: %w", r.Place, err)
			}
		}
	}
	if p.mapping != nil {
		return put(p.mapping)
	}
	return nil
}

// SaveMapping keeps a rule under a name, without bringing anything in.
func (a *App) SaveMapping(ctx context.Context, who, course, name string, rule labsheet.Rule) (underfoot.Change, error) {
	if err := rule.Check(); err != nil {
		return underfoot.Change{}, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	p := &LabPreview{Course: course, Rule: rule}
	if err := p.keepAs(name); err != nil {
		return underfoot.Change{}, err
	}
	return a.Store.Change(ctx, who, "kept the mapping "+p.mapping.ID, func(tx underfoot.Tx) error {
		_, err := tx.Put(p.mapping)
		return err
	})
}

// SavedMapping is a mapping with the course it is kept with.
type SavedMapping struct {
	labsheet.Saved
	Course string
}

// lookedMappings is how many other courses are looked through for a mapping.
const lookedMappings = 40

// Mappings returns the saved rules, those of the course first, then those of other courses whose name is not among them.
func (a *App) Mappings(ctx context.Context, course string) ([]SavedMapping, error) {
	all, err := a.Store.Courses(ctx)
	if err != nil {
		return nil, err
	}
	names := []string{course}
	for _, c := range all {
		if c.ID != course && len(names) <= lookedMappings {
			names = append(names, c.ID)
		}
	}
	var out []SavedMapping
	for _, c := range names {
		rs, err := a.Store.Records(ctx, c)
		if underfoot.KindOf(err) == underfoot.NotFound && err != nil {
			continue
		}
		if err != nil {
			return nil, err
		}
		for _, m := range rs.Mappings {
			if slices.ContainsFunc(out, func(o SavedMapping) bool { return o.Name == m.ID }) {
				continue
			}
			rule, err := labsheet.ParseRule([]byte(m.Rule))
			if err != nil {
				continue // made by another program: it cannot be used here, and stays where it is
			}
			out = append(out, SavedMapping{labsheet.Saved{Name: m.ID, Rule: rule}, c})
		}
	}
	return out, nil
}

// MappingNamed returns a saved rule by its name.
func (a *App) MappingNamed(ctx context.Context, course, name string) (labsheet.Rule, error) {
	list, err := a.Mappings(ctx, course)
	if err != nil {
		return labsheet.Rule{}, err
	}
	var names []string
	for _, m := range list {
		if m.Name == name {
			return m.Rule, nil
		}
		names = append(names, m.Name)
	}
	if len(names) == 0 {
		return labsheet.Rule{}, underfoot.Errorf(underfoot.NotFound, "mapping %q is not there: none is saved yet; make one on the page Bring in, or give a rule with --rule FILE", name)
	}
	return labsheet.Rule{}, underfoot.Errorf(underfoot.NotFound, "mapping %q is not there: there are %s", name, strings.Join(names, ", "))
}

// RecogniseSheet returns the saved rule that fits the sheet's headings, if one does.
func (a *App) RecogniseSheet(ctx context.Context, b *labsheet.Book, course string) (labsheet.Saved, bool, error) {
	list, err := a.Mappings(ctx, course)
	if err != nil {
		return labsheet.Saved{}, false, err
	}
	var saved []labsheet.Saved
	for _, m := range list {
		saved = append(saved, m.Saved)
	}
	s, ok := labsheet.Recognise(b, saved)
	return s, ok, nil
}

// ReadSheet reads a file as a laboratory's sheet.
func ReadSheet(name string, data []byte) (*labsheet.Book, error) {
	b, err := labsheet.Read(name, data)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return b, nil
}
