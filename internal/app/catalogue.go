package app

import (
	"context"
	"fmt"
	"slices"

	"underfoot"
	"underfoot/internal/catalogue"
	"underfoot/season"
)

// Catalogue gives the operations of the course, those switched off and those that cannot be planned with among them.
func (s *Standing) Catalogue() []catalogue.Entry { return catalogue.Course(s.Records.Operations) }

// OperationsUsed gives the operations a plan of the course may use: the built-in ones as the course changes them, and its own.
func (s *Standing) OperationsUsed() ([]season.Operation, error) {
	return catalogue.Used(s.Records.Operations)
}

// CatalogueEntry finds an operation of the course; nil for none.
func (s *Standing) CatalogueEntry(id string) *catalogue.Entry {
	list := s.Catalogue()
	i := slices.IndexFunc(list, func(e catalogue.Entry) bool { return e.Operation.ID == id })
	if i < 0 {
		return nil
	}
	return &list[i]
}

// SaveOperation keeps an operation of a course in one change; fresh refuses one that is there already.
func (a *App) SaveOperation(ctx context.Context, who string, s *Standing, e catalogue.Entry, fresh bool) (underfoot.Change, error) {
	for _, f := range e.Faults {
		return underfoot.Change{}, fieldError(f.Key, "%s", f.Text)
	}
	o := &e.Operation
	was := s.CatalogueEntry(o.ID)
	what := "changed"
	switch {
	case was != nil && fresh:
		return underfoot.Change{}, fieldError("id", "%q is there already: give another name", o.ID)
	case was == nil && len(s.Records.Operations) >= mostOperations:
		return underfoot.Change{}, fieldError("id", "the course has %d operations of its own already: remove one first", len(s.Records.Operations))
	case was == nil:
		what = "added"
	}
	return a.Store.Change(ctx, who, what+" the operation “"+o.Name+"”", func(tx underfoot.Tx) error {
		return keepOperation(tx, s.Records.Course.ID, &e)
	})
}

// mostOperations is how many rows of operations a course may have.
const mostOperations = 100

// keepOperation puts the row of an entry, or takes it away when everything in it is as built in.
func keepOperation(tx underfoot.Tx, course string, e *catalogue.Entry) error {
	row, ok := e.Row(course)
	key := underfoot.Operations.Key(&row)
	was, err := tx.Find(underfoot.Operations, key)
	switch {
	case err != nil:
		return err
	case ok:
		if was != nil {
			row.Extra = unknownCells(was)
		}
		_, err = tx.Put(&row)
		return err
	case was != nil:
		return tx.Delete(underfoot.Operations, key)
	}
	return nil
}

// unknownCells gives what a record keeps beyond the columns of its table.
func unknownCells(r underfoot.Record) underfoot.Extra {
	var out underfoot.Extra
	for name, text := range r.Table().Extra(r) {
		if _, known := r.Table().Column(name); known {
			continue
		}
		if out == nil {
			out = underfoot.Extra{}
		}
		out[name] = text
	}
	return out
}

// SwitchOperation lets plans of the course use an operation, or not.
func (a *App) SwitchOperation(ctx context.Context, who string, s *Standing, id string, used bool) (underfoot.Change, error) {
	e := s.CatalogueEntry(id)
	if e == nil {
		return underfoot.Change{}, noOperation(s, id)
	}
	e.Used = used
	what := "switched off"
	if used {
		what = "switched on"
	}
	return a.Store.Change(ctx, who, what+" the operation “"+e.Operation.Name+"”", func(tx underfoot.Tx) error {
		i := slices.IndexFunc(s.Records.Operations, func(o underfoot.Operation) bool { return o.ID == id })
		if i < 0 || e.BuiltIn && len(e.Own) == 0 {
			return keepOperation(tx, s.Records.Course.ID, e)
		}
		row := s.Records.Operations[i] // as it is, whatever is wrong with it
		row.Used = ""
		if !used {
			row.Used = "no"
		}
		_, err := tx.Put(&row)
		return err
	})
}

func noOperation(s *Standing, id string) error {
	return underfoot.Errorf(underfoot.NotFound, "course %q has no operation %q", s.Records.Course.ID, id)
}

// ForgetOperation makes an operation what is built in again, and takes away one that is the course's own.
func (a *App) ForgetOperation(ctx context.Context, who string, s *Standing, id string) (underfoot.Change, error) {
	e := s.CatalogueEntry(id)
	if e == nil {
		return underfoot.Change{}, noOperation(s, id)
	}
	what := "removed the operation “" + e.Operation.Name + "”"
	if slices.ContainsFunc(season.Usual(), func(o season.Operation) bool { return o.ID == id }) {
		what = "put the operation “" + e.Operation.Name + "” back as built in"
	}
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		key := underfoot.Key{s.Records.Course.ID, id}
		if has, err := tx.Has(underfoot.Operations, key); err != nil || !has {
			return err
		}
		return tx.Delete(underfoot.Operations, key)
	})
}

// TakeCatalogue makes a catalogue from a file that of the course, in one change: what is not in it is removed, or switched off
// where it is built in.
func (a *App) TakeCatalogue(ctx context.Context, who string, s *Standing, list []season.Operation) (underfoot.Change, error) {
	course := s.Records.Course.ID
	return a.Store.Change(ctx, who, fmt.Sprintf("took a catalogue of %s", counted(len(list), "operation", "operations")), func(tx underfoot.Tx) error {
		kept := map[string]bool{}
		for _, row := range catalogue.Rows(course, list) {
			kept[row.ID] = true
			if was, err := tx.Find(underfoot.Operations, underfoot.Operations.Key(&row)); err != nil {
				return err
			} else if was != nil {
				row.Extra = unknownCells(was)
			}
			if _, err := tx.Put(&row); err != nil {
				return err
			}
		}
		for _, o := range s.Records.Operations {
			key := underfoot.Operations.Key(&o)
			if has, err := tx.Has(underfoot.Operations, key); err != nil || !has || kept[o.ID] {
				if err != nil {
					return err
				}
				continue
			}
			if err := tx.Delete(underfoot.Operations, key); err != nil {
				return err
			}
		}
		return nil
	})
}
