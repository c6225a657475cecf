package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// undoChange puts a change back and goes where it was asked from, which says so.
func (s *server) undoChange(w http.ResponseWriter, r *http.Request) error {
	id, err := strconv.ParseInt(r.PostFormValue("change"), 10, 64)
	if err != nil || id < 1 {
		return underfoot.Errorf(underfoot.Invalid, "%q is not the number of a change: undo is offered in the course’s history", r.PostFormValue("change"))
	}
	course := r.PathValue("course")
	if _, err := s.change(r, course, id); err != nil {
		return err
	}
	change, err := s.app.Store.Undo(r.Context(), s.who(w, r, ""), id)
	if err != nil {
		return err
	}
	back := r.PostFormValue("back")
	if back == "" {
		back = page.CoursePath(course, "history")
	}
	if _, err := s.app.Store.Get(r.Context(), underfoot.Courses, underfoot.Key{course}); underfoot.KindOf(err) == underfoot.NotFound && err != nil {
		back = "/" // the change that was put back had brought the course in
	}
	to, err := url.Parse(localPath(back))
	if err != nil {
		return err
	}
	q := to.Query()
	q.Set("done", strconv.FormatInt(change.ID, 10))
	to.RawQuery = q.Encode()
	http.Redirect(w, r, to.String(), http.StatusSeeOther)
	return nil
}

// besides is the page beside one that an undo took away together with what it shows – of a round, a run, an entry just made –
// to say there what was put back; empty where nothing is missing, or for another reason.
func besides(r *http.Request, err error) string {
	course, q := r.PathValue("course"), r.URL.Query()
	if err == nil || r.Method != http.MethodGet || underfoot.KindOf(err) != underfoot.NotFound || course == "" || !q.Has("done") {
		return ""
	}
	done := "?done=" + url.QueryEscape(q.Get("done"))
	if len(q) > 1 { // the address names what is gone in its query
		return r.URL.EscapedPath() + done
	}
	to := page.CoursePath(course)
	switch station, _, _ := strings.Cut(strings.TrimPrefix(r.URL.EscapedPath(), to+"/"), "/"); station {
	case "round", "log":
		to = page.CoursePath(course, station)
	case "operation":
		to = page.CoursePath(course, "operations")
	}
	if to == r.URL.EscapedPath() {
		return ""
	}
	return to + done
}

// changesLooked is how far back the pages look for a change.
const changesLooked = 1000

// change returns a recent change of a course.
func (s *server) change(r *http.Request, course string, id int64) (underfoot.Change, error) {
	list, err := s.app.Store.Changes(r.Context(), course, changesLooked)
	if err != nil {
		return underfoot.Change{}, err
	}
	for _, c := range list {
		if c.ID == id {
			return c, nil
		}
	}
	return underfoot.Change{}, underfoot.Errorf(underfoot.NotFound, "change %d is not among the last %d changes of course %q", id, changesLooked, course)
}

// done is the line about the change that the address names, if it does.
func (s *server) done(r *http.Request, course string) *page.Done {
	id, err := strconv.ParseInt(r.URL.Query().Get("done"), 10, 64)
	if err != nil {
		return nil
	}
	c, err := s.change(r, course, id)
	if err != nil {
		return nil
	}
	if course == "" && len(c.Courses) > 0 {
		course = c.Courses[0]
	}
	d := page.Done{Course: course, Change: id, Text: changeSaysWhat(c), Undo: c.Undone == 0, Button: "Undo", Back: withoutDone(r.URL)}
	if c.Undone != 0 {
		d.Text += " This has been put back since."
	}
	if c.Undoes != 0 {
		d.Button = "Do it again"
	}
	return &d
}

// withoutDone is the address without the change it speaks of.
func withoutDone(u *url.URL) string {
	q := u.Query()
	q.Del("done")
	v := url.URL{Path: u.Path, RawPath: u.RawPath, RawQuery: q.Encode()}
	return v.RequestURI()
}
