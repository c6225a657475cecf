package web

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// statusOf is the one place where kinds of error become HTTP statuses.
func statusOf(err error) int {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return http.StatusRequestEntityTooLarge
	}
	switch underfoot.KindOf(err) {
	case underfoot.Invalid, underfoot.Negative:
		return http.StatusUnprocessableEntity
	case underfoot.NotFound:
		return http.StatusNotFound
	case underfoot.Conflict:
		return http.StatusConflict
	case underfoot.Forbidden:
		return http.StatusForbidden
	}
	return http.StatusInternalServerError
}

// problem sends an error as a page: what happened, what is safe, what to do.
func (s *server) problem(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, context.Canceled) && r.Context().Err() != nil {
		return // the reader went away
	}
	status := statusOf(err)
	p := page.Problem{Status: status, Detail: page.Sentence(err.Error()), Next: []page.Link{{Href: "/", Text: "All courses"}}}
	if id := r.PathValue("course"); id != "" && status != http.StatusNotFound {
		p.Next = append([]page.Link{{Href: page.CoursePath(id), Text: "Back to the course"}}, p.Next...)
	}
	p.Safe = "Nothing was changed; everything stored is as it was."
	switch status {
	case http.StatusNotFound:
		p.Happened, p.Safe = "There is nothing at this address.", "Nothing was changed. The address may be old, or what it names may have been deleted; a deleted record can be brought back from the course’s history."
	case http.StatusConflict:
		p.Happened = "This clashes with what is stored."
	case http.StatusForbidden:
		p.Happened = "This is not allowed."
	case http.StatusUnprocessableEntity, http.StatusBadRequest:
		p.Happened = "This could not be used as it is."
	case http.StatusRequestEntityTooLarge:
		p.Happened = "This is more than can be taken in at once."
		p.Detail = "The most a browser may send here is " + megabytes(s.limit) + ". A larger package can be imported on the command line: underfoot import PATH --store FILE."
	case http.StatusInternalServerError:
		s.log.Error("page", "path", r.URL.Path, "error", err)
		p.Happened = "The program could not do this."
		p.Safe = "What was stored before is safe: a change is stored whole or not at all. Try once more; if it stays, the message above says where to look."
	}
	s.problemPage(w, r, p)
}

func (s *server) problemPage(w http.ResponseWriter, r *http.Request, p page.Problem) {
	f := s.frame(r, strings.TrimSuffix(p.Happened, "."), "")
	if err := s.send.page(w, r, p.Status, page.ProblemPage(f, p)); err != nil {
		http.Error(w, p.Happened, p.Status)
	}
}

// refuse answers a request that came from another site.
func (s *server) refuse(w http.ResponseWriter, r *http.Request) {
	s.problemPage(w, r, page.Problem{
		Status: http.StatusForbidden, Happened: "This came from another site and was not done.",
		Detail: "A form is taken only from the pages of this program itself.",
		Safe:   "Nothing was changed.",
		Next:   []page.Link{{Href: "/", Text: "All courses"}},
	})
}

// notFound answers an address no page has.
func (s *server) notFound(_ http.ResponseWriter, r *http.Request) error {
	return underfoot.Errorf(underfoot.NotFound, "there is no page at %s", r.URL.Path)
}
