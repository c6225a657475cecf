package web

import (
	"bytes"
	"net/http"
	"strings"

	"underfoot/internal/report"
	"underfoot/internal/web/page"
)

// showReport shows the client report, laid out for paper.
func (s *server) showReport(w http.ResponseWriter, r *http.Request) error {
	m, paper, err := s.report(r)
	if err != nil {
		return err
	}
	style := page.CoursePath(r.PathValue("course"), "report.css") + "?paper=" + string(paper)
	var b bytes.Buffer
	if err := m.HTML(&b, paper, report.Linked(style)); err != nil {
		return err
	}
	s.send.html(w, r, http.StatusOK, b.Bytes())
	return nil
}

// showReportStyle is the style sheet of the report: its running heads name the course.
func (s *server) showReportStyle(w http.ResponseWriter, r *http.Request) error {
	m, paper, err := s.report(r)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/css; charset=utf-8")
	w.Header().Set("Cache-Control", "private, no-cache")
	fonts := s.assets.base + "fonts/"
	_, err = w.Write([]byte(m.Stylesheet(paper, fonts+report.SerifFont, fonts+report.SansFont)))
	return err
}

// report builds the report of a course for the paper that is asked for.
func (s *server) report(r *http.Request) (report.Model, report.Paper, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return report.Model{}, "", err
	}
	paper := report.Auto
	switch strings.ToLower(r.URL.Query().Get("paper")) {
	case "a4":
		paper = report.A4
	case "letter":
		paper = report.Letter
	}
	o := report.Options{PreparedBy: orWho("", r), When: s.app.Now().In(st.Records.Course.Zone()), Version: s.o.Version}
	return report.Build(st, o), paper, nil
}
