package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"underfoot"
	"underfoot/internal/exchange"
)

// Reading says how a package is to be read, and who is told.
type Reading struct {
	Partial    bool // take the good rows although there are bad ones
	BadRows    func(file string) (io.WriteCloser, error)
	OnProblem  func(exchange.Problem)
	OnNotice   func(exchange.Notice)
	OnProgress func(done, total int64)
}

// Taken says what a package came to.
type Taken struct {
	Summary exchange.Summary
	Change  underfoot.Change // zero for a preview, and when nothing was new
	Tables  []TableTaken     // in the order of the exchange format, those with rows only
}

// TableTaken counts what became of the rows of a table.
type TableTaken struct {
	Table                          string
	Title                          string
	Added, Changed, Same, Restored int
}

// Rows is the number of rows of the table.
func (t TableTaken) Rows() int { return t.Added + t.Changed + t.Same + t.Restored }

// New says whether anything at all was new.
func (t *Taken) New() bool {
	return slices.ContainsFunc(t.Tables, func(t TableTaken) bool { return t.Added+t.Changed+t.Restored > 0 })
}

var errPreview = errors.New("preview")

// Import brings the package in a folder into the store, whole or not at all.
func (a *App) Import(ctx context.Context, folder, who string, how Reading) (*Taken, error) {
	return a.take(ctx, folder, who, how, nil)
}

// Preview says what [App.Import] would do and writes nothing.
func (a *App) Preview(ctx context.Context, folder string, how Reading) (*Taken, error) {
	t, err := a.take(ctx, folder, a.Who, how, errPreview)
	if errors.Is(err, errPreview) {
		err = nil
	}
	return t, err
}

func (a *App) take(ctx context.Context, folder, who string, how Reading, instead error) (*Taken, error) {
	t := &Taken{}
	counts := map[*underfoot.Table]*TableTaken{}
	name := filepath.Base(filepath.Clean(folder))
	change, err := a.Store.Change(ctx, who, "imported the package "+name, func(tx underfoot.Tx) error {
		clear(counts)
		busy := &oneAtATime{tx: tx}
		sum, err := ahead(func(sink func(underfoot.Record) error) (exchange.Summary, error) {
			return exchange.Read(ctx, folder, exchange.Options{
				Today: underfoot.DateOf(a.Now().UTC()), Lookup: busy, Partial: how.Partial, BadRows: how.BadRows,
				OnProblem: how.OnProblem, OnNotice: how.OnNotice, Progress: how.OnProgress, Sink: sink,
			})
		}, func(r underfoot.Record) error {
			outcome, err := busy.Put(r)
			if err != nil {
				return fmt.Errorf("storing a row of %s: %w", r.Table().Name, err)
			}
			count(counts, r.Table(), outcome)
			return nil
		})
		t.Summary = sum
		if err != nil {
			return err
		}
		return instead
	})
	t.Change = change
	for _, table := range underfoot.Tables() {
		if c := counts[table]; c != nil {
			t.Tables = append(t.Tables, *c)
		}
	}
	return t, err
}

func count(counts map[*underfoot.Table]*TableTaken, t *underfoot.Table, outcome underfoot.Outcome) {
	c := counts[t]
	if c == nil {
		c = &TableTaken{Table: t.Name, Title: t.Title}
		counts[t] = c
	}
	switch outcome {
	case underfoot.Added:
		c.Added++
	case underfoot.Changed:
		c.Changed++
	case underfoot.Restored:
		c.Restored++
	default:
		c.Same++
	}
}

// Export writes courses of the store as one package into a folder; all courses when none is named.
func (a *App) Export(ctx context.Context, courses []string, folder string) error {
	if len(courses) == 0 {
		all, err := a.Store.Courses(ctx)
		if err != nil {
			return err
		}
		for _, c := range all {
			courses = append(courses, c.ID)
		}
	}
	if len(courses) == 0 {
		return underfoot.Errorf(underfoot.NotFound, "the store has no course to export")
	}
	var list []*underfoot.Records
	for _, c := range courses {
		rs, err := a.Store.Records(ctx, c)
		if err != nil {
			return err
		}
		list = append(list, rs)
	}
	return exchange.Write(ctx, folder, list)
}
