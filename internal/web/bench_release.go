package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// releaseRun lets the results of a failed run be used under a person's name and reason, or holds them again.
func (s *server) releaseRun(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostFormValue(name)) }
	run := r.PostFormValue("run")
	judged := st.Quality.Run(run)
	if judged == nil || !judged.Own {
		return underfoot.Errorf(underfoot.NotFound, "course %q has no furnace run %q", st.Records.Course.ID, run)
	}
	var change underfoot.Change
	if field("do") == "withdraw" {
		change, err = s.app.HoldRun(r.Context(), s.who(w, r, ""), st, run)
	} else {
		form := page.ReleaseForm{Run: run, By: field("by"), Reason: field("reason")}
		if form.By == "" {
			form.Errors = append(form.Errors, page.FieldError{Field: "by", Text: "A name is needed: held results are released by a person"})
		}
		if len([]rune(form.By)) > 100 {
			form.Errors = append(form.Errors, page.FieldError{Field: "by", Text: "A name of up to 100 characters"})
		}
		if form.Reason == "" {
			form.Errors = append(form.Errors, page.FieldError{Field: "reason", Text: "A reason is needed: why can these be used although the checks failed?"})
		}
		if len(form.Errors) > 0 {
			return s.benchPage(w, r, http.StatusUnprocessableEntity, st, &form)
		}
		change, err = s.app.ReleaseRun(r.Context(), s.who(w, r, form.By), st, run, form.By, form.Reason)
	}
	if err != nil {
		return err
	}
	to := page.CoursePath(st.Records.Course.ID, "bench") + "?run=" + url.QueryEscape(run)
	if change.ID != 0 {
		to += "&done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}
