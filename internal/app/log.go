package app

import (
	"context"
	"fmt"
	"strings"

	"github.com/google/uuid"

	"underfoot"
)

// SaveWork adds an entry to the log, or replaces the one with its key, in one named change. The first error names the
// column at fault where there is one; see [FieldError].
func (a *App) SaveWork(ctx context.Context, who string, w underfoot.Work) (underfoot.Change, string, error) {
	what := "changed " + KindName(w.Kind) + " of " + w.Date.String()
	if w.ID == "" {
		id, err := uuid.NewV7()
		if err != nil {
			return underfoot.Change{}, "", fmt.Errorf("making a name for the entry: %w", err)
		}
		w.ID = id.String()
		what = "logged " + KindName(w.Kind) + " of " + w.Date.String()
	}
	if w.Status == "" {
		w.Status = "done"
	}
	change, err := a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		if err := a.checkWork(tx, &w); err != nil {
			return err
		}
		_, err := tx.Put(&w)
		return err
	})
	return change, w.ID, err
}

// FieldError is a refusal that is about one column of a record.
type FieldError struct {
	Column string
	Text   string
}

// Error returns the column and what is wrong with it.
func (e *FieldError) Error() string { return e.Column + ": " + e.Text }

func fieldError(column, format string, args ...any) error {
	return underfoot.Errorf(underfoot.Invalid, "%w", &FieldError{column, fmt.Sprintf(format, args...)})
}

// checkWork refuses what an entry cannot be by itself or beside what the store holds.
func (a *App) checkWork(tx underfoot.Tx, w *underfoot.Work) error {
	for _, f := range w.Check() {
		return fieldError(f.Column, "%s", f.Text)
	}
	course, err := tx.Find(underfoot.Courses, underfoot.Key{w.Course})
	if err != nil {
		return err
	}
	if course == nil {
		return underfoot.Errorf(underfoot.NotFound, "course %q is not there", w.Course)
	}
	today := course.(*underfoot.Course).Today(a.Now())
	if !w.Planned() && w.Date > today {
		return fieldError("date", "%s is in the future: today is %s; enter it as planned", w.Date, today)
	}
	if w.Date < underfoot.MakeDate(1900, 1, 1) {
		return fieldError("date", "%s is before 1900", w.Date)
	}
	if w.Green != "" {
		if ok, err := tx.Has(underfoot.Greens, underfoot.Key{w.Course, w.Green}); err != nil || !ok {
			return orField(err, "green", "green %q is not on this course", w.Green)
		}
	}
	return a.checkSand(tx, w)
}

func (a *App) checkSand(tx underfoot.Tx, w *underfoot.Work) error {
	if w.Sand == "" {
		return nil
	}
	r, err := tx.Find(underfoot.Sands, underfoot.Key{w.Course, w.Sand})
	if err != nil || r == nil {
		return orField(err, "sand", "sand %q is not among the course's sands", w.Sand)
	}
	if f := w.SandsAgree(r.(*underfoot.Sand).BulkDensity); f != nil {
		return fieldError(f.Column, "%s", f.Text)
	}
	return nil
}

func orField(err error, column, format string, args ...any) error {
	if err != nil {
		return err
	}
	return fieldError(column, format, args...)
}

// DeleteWork takes an entry out of the log; it can be brought back by undoing the change.
func (a *App) DeleteWork(ctx context.Context, who, course, entry string) (underfoot.Change, error) {
	r, err := a.Store.Get(ctx, underfoot.WorkLog, underfoot.Key{course, entry})
	if err != nil {
		return underfoot.Change{}, err
	}
	w := r.(*underfoot.Work)
	return a.Store.Change(ctx, who, "took out "+KindName(w.Kind)+" of "+w.Date.String(), func(tx underfoot.Tx) error {
		return tx.Delete(underfoot.WorkLog, underfoot.Key{course, entry})
	})
}

// SetJudgement records the manager's own word on the direction, which stands over the readings; direction "withdrawn"
// gives the word back to them.
func (a *App) SetJudgement(ctx context.Context, j underfoot.Judgement) (underfoot.Change, error) {
	if strings.TrimSpace(j.By) == "" {
		return underfoot.Change{}, fieldError("by", "empty: say who judges")
	}
	if strings.TrimSpace(j.Reason) == "" {
		return underfoot.Change{}, fieldError("reason", "empty: say why, in your own words")
	}
	i, _ := underfoot.Judgements.Column("direction")
	if err := underfoot.Judgements.SetCell(&j, i, j.Direction); err != nil {
		return underfoot.Change{}, fieldError("direction", "%v", err)
	}
	what := "judged the direction: " + j.Direction
	if j.Direction == "withdrawn" {
		what = "gave the direction back to the readings"
	}
	return a.Store.Change(ctx, j.By, what, func(tx underfoot.Tx) error {
		r, err := tx.Find(underfoot.Courses, underfoot.Key{j.Course})
		if err != nil {
			return err
		}
		if r == nil {
			return underfoot.Errorf(underfoot.NotFound, "course %q is not there", j.Course)
		}
		if j.Date == 0 {
			j.Date = r.(*underfoot.Course).Today(a.Now())
		}
		_, err = tx.Put(&j)
		return err
	})
}

// KindName says a kind of work in words.
func KindName(kind string) string {
	switch kind {
	case "topdress":
		return "topdressing"
	case "hollow_core":
		return "hollow-tine coring"
	case "solid_tine":
		return "solid tining"
	case "scarify":
		return "scarifying"
	case "inject_sand":
		return "sand injection"
	case "nitrogen":
		return "nitrogen"
	case "clippings":
		return "clippings"
	}
	return "other work"
}
