package web

import (
	"errors"
	"net/http"
	"strconv"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// createWork adds an entry to the log, or shows the form again with what is wrong.
func (s *server) createWork(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	d := newDraft(st, st.Today, "topdress")
	if err := parseForm(r); err != nil {
		return err
	}
	d.read(r)
	entry := d.record(nil)
	if done, err := s.again(w, r, st, d); done || err != nil {
		return err
	}
	return s.saveWork(w, r, st, d, entry)
}

// again shows the form once more when something is wrong, or when the amount was to be worked out first.
func (s *server) again(w http.ResponseWriter, r *http.Request, st *standing, d *workDraft) (bool, error) {
	status := http.StatusOK
	switch {
	case r.PostFormValue("do") == "work-out":
		d.worked = d.workOut()
		if d.errors["amount"] == "" {
			clear(d.errors)
		}
	case len(d.errors) > 0:
		status = http.StatusUnprocessableEntity
	default:
		return false, nil
	}
	if d.entry == "" {
		return true, s.logPage(w, r, status, st, d)
	}
	return true, s.workPage(w, r, status, st, d)
}

// saveWork stores an entry as one change and goes to the log, which says so and offers to undo it.
func (s *server) saveWork(w http.ResponseWriter, r *http.Request, st *standing, d *workDraft, entry *underfoot.Work) error {
	change, _, err := s.app.SaveWork(r.Context(), s.who(w, r, d.who), *entry)
	var bad *app.FieldError
	if errors.As(err, &bad) {
		column := bad.Column
		if column == "sand_mm" || column == "sand_kg_m2" {
			column = "amount"
		}
		d.errors[column] = bad.Text
		_, err = s.again(w, r, st, d)
		return err
	}
	if err != nil {
		return err
	}
	s.toLog(w, r, entry, change)
	return nil
}

// toLog goes to the season of an entry in the log, with the line about what was changed.
func (s *server) toLog(w http.ResponseWriter, r *http.Request, entry *underfoot.Work, change underfoot.Change) {
	to := page.CoursePath(entry.Course, "log") + "?season=" + strconv.Itoa(entry.Date.Year())
	if change.ID != 0 {
		to += "&done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}
