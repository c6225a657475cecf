package web

import (
	"net/http"
	"sort"

	"underfoot"
	"underfoot/internal/web/page"
)

// editWork shows one entry with its history, ready to be changed.
func (s *server) editWork(w http.ResponseWriter, r *http.Request) error {
	st, entry, err := s.entry(r)
	if err != nil {
		return err
	}
	d := draftOf(entry, st, st.Today)
	if k := r.URL.Query().Get("kind"); k != "" && workName(k) != k {
		d.kind = k
	}
	if r.URL.Query().Get("tick") != "" { // done as planned, on the day it was planned for or today, unless changed before it is saved
		d.texts["status"] = "done"
		d.texts["date"] = min(entry.Date, st.Today).String()
	}
	return s.workPage(w, r, http.StatusOK, st, d)
}

// updateWork stores what was changed in an entry.
func (s *server) updateWork(w http.ResponseWriter, r *http.Request) error {
	st, entry, err := s.entry(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	d := draftOf(entry, st, st.Today)
	d.read(r)
	changed := d.record(entry)
	if done, err := s.again(w, r, st, d); done || err != nil {
		return err
	}
	return s.saveWork(w, r, st, d, changed)
}

// deleteWork hides an entry; it can be undone.
func (s *server) deleteWork(w http.ResponseWriter, r *http.Request) error {
	_, entry, err := s.entry(r)
	if err != nil {
		return err
	}
	change, err := s.app.DeleteWork(r.Context(), s.who(w, r, ""), entry.Course, entry.ID)
	if err != nil {
		return err
	}
	s.toLog(w, r, entry, change)
	return nil
}

// entry returns the entry that the address names, with where its course stands.
func (s *server) entry(r *http.Request) (*standing, *underfoot.Work, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return nil, nil, err
	}
	rec, err := s.app.Store.Get(r.Context(), underfoot.WorkLog, underfoot.Key{r.PathValue("course"), r.PathValue("entry")})
	if err != nil {
		return nil, nil, err
	}
	return st, rec.(*underfoot.Work), nil
}

func (s *server) workPage(w http.ResponseWriter, r *http.Request, status int, st *standing, d *workDraft) error {
	d.who = orWho(d.who, r)
	form := d.form()
	key := underfoot.Key{d.course, d.entry}
	if rec, err := s.app.Store.Get(r.Context(), underfoot.WorkLog, key); err == nil {
		form.Summary = page.Sentence(d.describe(rec.(*underfoot.Work)))
	}
	history, err := s.app.Store.History(r.Context(), underfoot.WorkLog, key)
	if err != nil {
		return err
	}
	form.Revised = revisionsOf(history, st)
	f := s.courseFrame(r, st, "Change an entry", "log")
	f.Scripts = append(f.Scripts, "log")
	return s.send.page(w, r, status, page.WorkPage(f, form))
}

// revisionsOf words the history of a record, newest first.
func revisionsOf(history []underfoot.Revision, st *standing) []page.Revision {
	var out []page.Revision
	for i := len(history) - 1; i >= 0; i-- {
		h := history[i]
		v := page.Revision{
			When: page.Moment(h.Change.At.In(st.Records.Course.Zone())), Who: h.Change.By, What: page.Sentence(h.Change.What),
		}
		names := map[string]bool{}
		for n := range h.Before {
			names[n] = true
		}
		for n := range h.After {
			names[n] = true
		}
		for n := range names {
			if n == "entry" || n == "course" || h.Before[n] == h.After[n] {
				continue
			}
			c := page.CellChange{Name: n, Before: historyValue(n, h.Before[n], st), After: historyValue(n, h.After[n], st)}
			c.Name = historyLabel(n)
			if c.After == "" {
				c.After = "empty"
			}
			v.Cells = append(v.Cells, c)
		}
		if h.After == nil {
			v.Cells = []page.CellChange{{Name: "Entry", After: "deleted"}}
		}
		sort.Slice(v.Cells, func(a, b int) bool { return v.Cells[a].Name < v.Cells[b].Name })
		out = append(out, v)
	}
	return out
}

// historyLabel names a column of the log in its history.
func historyLabel(column string) string {
	label := workLabels[column]
	switch column {
	case "kind":
		label = "Work"
	case "sand_mm", "sand_kg_m2":
		label = "Sand"
	}
	if label == "" {
		return column
	}
	if i, known := underfoot.WorkLog.Column(column); known && underfoot.WorkLog.Columns[i].Unit != "" {
		label += ", " + underfoot.WorkLog.Columns[i].Unit
	}
	return label
}

// historyValue is what stood in a cell, in words where the cell holds a short name.
func historyValue(column, value string, st *standing) string {
	switch column {
	case "kind":
		return workName(value)
	case "date":
		if d, err := underfoot.ParseDate(value); err == nil {
			return page.PlainDay(d.Time())
		}
	case "green":
		return greenTitle(st.Records, value)
	case "sand":
		for i := range st.Records.Sands {
			if s := &st.Records.Sands[i]; s.ID == value {
				return s.Title()
			}
		}
	}
	return value
}
