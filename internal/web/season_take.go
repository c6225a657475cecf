package web

import (
	"bytes"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// taken reads a posted season plan: the question, and the work as typed. A nil view means that the page was sent again,
// with what is wrong.
func (s *server) taken(w http.ResponseWriter, r *http.Request) (*seasonView, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return nil, err
	}
	if err := parseForm(r); err != nil {
		return nil, err
	}
	_, v := s.seasonAsked(r, st)
	if v == nil || v.plan == nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "the form holds no question for a plan that can be answered: open the plan page and ask again")
	}
	if len(v.rows.errors) > 0 {
		return nil, s.planPage(w, r, http.StatusUnprocessableEntity, st, r.Form, nil)
	}
	return v, nil
}

// keepPlan keeps the work as typed under a name.
func (s *server) keepPlan(w http.ResponseWriter, r *http.Request) error {
	v, err := s.taken(w, r)
	if v == nil {
		return err
	}
	change, err := s.app.KeepPlan(r.Context(), s.who(w, r, ""), r.PostFormValue("scenario"), v.plan, v.rows.plan)
	return s.afterTaking(w, r, v, change, err, "kept")
}

// dropPlan takes a kept plan away.
func (s *server) dropPlan(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	change, err := s.app.DropPlan(r.Context(), s.who(w, r, ""), st, r.PostFormValue("drop"))
	if err != nil {
		return err
	}
	to := localPath(r.PostFormValue("back"))
	if to == "/" {
		to = page.CoursePath(r.PathValue("course"), "plan")
	}
	sep := "?"
	if strings.Contains(to, "?") {
		sep = "&"
	}
	http.Redirect(w, r, to+sep+"done="+strconv.FormatInt(change.ID, 10)+"#kept", http.StatusSeeOther)
	return nil
}

// acceptPlan takes the work as typed into the log as planned entries; what is planned there already is replaced only
// after asking.
func (s *server) acceptPlan(w http.ResponseWriter, r *http.Request) error {
	v, err := s.taken(w, r)
	if v == nil {
		return err
	}
	replace := r.PostFormValue("replace")
	if way := v.plan.InTheWay(v.rows.plan); len(way) > 0 && replace == "" {
		return s.askReplace(w, r, v, way)
	}
	change, err := s.app.Accept(r.Context(), s.who(w, r, ""), v.plan, v.rows.plan, replace == "yes")
	return s.afterTaking(w, r, v, change, err, "planned")
}

// askReplace asks whether planned work of that time is to go.
func (s *server) askReplace(w http.ResponseWriter, r *http.Request, v *seasonView, way []underfoot.Work) error {
	f := s.courseFrame(r, v.st, "Accept a plan", "plan")
	p := page.Replace{Course: v.st.Records.Course.ID, Statement: "Work is planned in that time already: " + page.CountWords(len(way), "entry", "entries") + "."}
	here := map[string]bool{}
	for _, x := range way {
		here[x.ID] = true
	}
	for i := range v.st.Planned {
		if d := &v.st.Planned[i]; here[d.Work.ID] {
			p.Entries = append(p.Entries, entryOf(v.st, d, 0))
		}
	}
	for name, list := range r.PostForm {
		for _, value := range list {
			if name != "replace" {
				p.Hidden = append(p.Hidden, page.Hidden{Name: name, Value: value})
			}
		}
	}
	q := v.ask.query()
	v.terms.query(q)
	v.rows.query(q)
	p.Back = page.CoursePath(p.Course, "plan") + "?" + q.Encode() + "#work"
	return s.send.page(w, r, http.StatusOK, page.ReplacePage(f, p))
}

// afterTaking goes back to the plan, which says what was done and offers to undo it.
func (s *server) afterTaking(w http.ResponseWriter, r *http.Request, v *seasonView, change underfoot.Change, err error, anchor string) error {
	var bad *app.FieldError
	if errors.As(err, &bad) {
		return s.planPage(w, r, http.StatusUnprocessableEntity, v.st, r.Form, bad)
	}
	if err != nil {
		return err
	}
	q := v.ask.query()
	v.terms.query(q)
	v.rows.query(q)
	if change.ID != 0 {
		q.Set("done", strconv.FormatInt(change.ID, 10))
	}
	http.Redirect(w, r, page.CoursePath(v.st.Records.Course.ID, "plan")+"?"+q.Encode()+"#"+anchor, http.StatusSeeOther)
	return nil
}

// sendSeason sends a part of the plan as a file: the calendar, the rows of work.csv or the sand order.
func (s *server) sendSeason(w http.ResponseWriter, r *http.Request) error {
	v, err := s.wholeSeason(r)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	kind, name := "text/csv; charset=utf-8", r.PathValue("file")
	plan := v.rows.plan
	switch name {
	case "calendar.ics":
		kind = "text/calendar; charset=utf-8"
		err = v.plan.WriteCalendar(&b, plan, s.app.Now())
	case "work.csv":
		err = v.plan.WriteWork(&b, plan)
	case "order.csv":
		for _, text := range v.terms.errors {
			if text != "" {
				return underfoot.Errorf(underfoot.Invalid, "something in the terms of the sand order needs another look: open the plan page and mend it first")
			}
		}
		order, bad := v.plan.OrderOn(plan, v.terms.storageT, v.terms.lead, v.terms.on)
		if bad != nil {
			return bad
		}
		err = v.plan.WriteOrder(&b, order)
	default:
		return underfoot.Errorf(underfoot.NotFound, "there is no file %q of a plan: calendar.ics, work.csv and order.csv are", name)
	}
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", `attachment; filename="`+plainName(v.st.Records.Course.ID)+"-"+name+`"`)
	h.Set("Cache-Control", "private, no-store")
	h.Set("Content-Length", strconv.Itoa(b.Len()))
	_, err = w.Write(b.Bytes())
	return err
}

// wholeSeason is the plan of the address, which has to be one without faults.
func (s *server) wholeSeason(r *http.Request) (*seasonView, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return nil, err
	}
	_, v := s.seasonAsked(r, st)
	switch {
	case v == nil || v.plan == nil:
		return nil, underfoot.Errorf(underfoot.Invalid, "the address holds no question for a plan that can be answered: open the plan page and ask again")
	case len(v.rows.errors) > 0:
		return nil, underfoot.Errorf(underfoot.Invalid, "something in the work of the plan needs another look: open the plan page and mend it first")
	case len(v.rows.plan.Entries) == 0:
		return nil, underfoot.Errorf(underfoot.Invalid, "there is no work in the plan")
	}
	return v, nil
}
