package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// judgeForm is the form as it stands.
func judgeForm(st *standing, r *http.Request) page.JudgeForm {
	f := page.JudgeForm{Course: st.Records.Course.ID, By: orWho("", r)}
	if j := st.Judgement; j != nil {
		f.Direction = j.Direction
		f.Standing = fmt.Sprintf("%s, by %s on %s: %s", strings.ToUpper(j.Direction[:1])+j.Direction[1:], j.By, page.Day(j.Date.Time()), page.Sentence(j.Reason))
	}
	return f
}

// createJudgement stores the manager's own word on the direction, or withdraws it.
func (s *server) createJudgement(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostFormValue(name)) }
	j := underfoot.Judgement{Course: st.Records.Course.ID, Direction: field("direction"), Reason: field("reason"), By: field("by")}
	if field("withdraw") != "" {
		j.Direction, j.Reason, j.By = "withdrawn", "withdrawn on the findings page", s.who(w, r, "")
	}
	form := judgeForm(st, r)
	form.Direction, form.Reason, form.By = j.Direction, j.Reason, j.By
	if j.Direction == "" {
		form.Errors = append(form.Errors, page.FieldError{Field: "direction", Text: "Choose what the surfaces ask for: raise, hold or lower"})
	}
	if j.Reason == "" {
		form.Errors = append(form.Errors, page.FieldError{Field: "reason", Text: "A reason is needed: what was seen or played, in your own words"})
	}
	if j.By == "" {
		form.Errors = append(form.Errors, page.FieldError{Field: "by", Text: "A name is needed: a judgement stands under the name of who gave it"})
	}
	if len(form.Errors) > 0 {
		return s.findingsPage(w, r, http.StatusUnprocessableEntity, st, findingsView{judge: form})
	}
	if field("withdraw") == "" {
		s.who(w, r, j.By)
	}
	change, err := s.app.SetJudgement(r.Context(), j)
	var bad *app.FieldError
	if errors.As(err, &bad) {
		form.Errors = append(form.Errors, page.FieldError{Field: bad.Column, Text: page.Sentence(bad.Text)})
		return s.findingsPage(w, r, http.StatusUnprocessableEntity, st, findingsView{judge: form})
	}
	if err != nil {
		return err
	}
	to := page.CoursePath(j.Course, "findings")
	if change.ID != 0 {
		to += "?done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// parseForm reads a form; one that cannot be read is the sender's mistake.
func parseForm(r *http.Request) error {
	err := r.ParseForm()
	var tooLarge *http.MaxBytesError
	if err != nil && !errors.As(err, &tooLarge) {
		return underfoot.Errorf(underfoot.Invalid, "the form could not be read: %w: go back, load the page again and send it once more", err)
	}
	return err
}
