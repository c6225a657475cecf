package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/report"
	"underfoot/internal/web/page"
)

// showReport shows a report, laid out for paper.
func (s *server) showReport(w http.ResponseWriter, r *http.Request) error {
	m, paper, err := s.report(r)
	if err != nil {
		return err
	}
	style := page.CoursePath(r.PathValue("course"), "report.css") + "?paper=" + string(paper)
	var b bytes.Buffer
	if err := m.HTML(&b, paper, report.Linked(style).With(reportLinks(r, m.Kind, paper)...)); err != nil {
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

// showReportPDF sends a report as PDF. It is set here, and the same records make the same bytes on the same day.
func (s *server) showReportPDF(w http.ResponseWriter, r *http.Request) error {
	m, paper, err := s.report(r)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := m.PDF(&b, paper); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", fmt.Sprintf("inline; filename=%q", r.PathValue("course")+"-"+string(m.Kind)+".pdf"))
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Set("Content-Length", strconv.Itoa(b.Len()))
	_, err = w.Write(b.Bytes())
	return err
}

// reportLinks lead from a report back to the course, to the other kinds of document and to the PDF on either paper.
func reportLinks(r *http.Request, kind report.Kind, paper report.Paper) []report.Link {
	course := r.PathValue("course")
	to := func(end string, k report.Kind, p report.Paper) string {
		q := url.Values{"kind": {string(k)}}
		if p != report.Auto {
			q.Set("paper", strings.ToLower(string(p)))
		}
		return page.CoursePath(course, end) + "?" + q.Encode()
	}
	links := []report.Link{{Text: "Back to the course", Href: page.CoursePath(course)}}
	for _, k := range report.Kinds() {
		links = append(links, report.Link{Text: strings.ToUpper(k.Title()[:1]) + k.Title()[1:], Href: to("report", k, paper), Here: k == kind})
	}
	return append(links,
		report.Link{Text: "PDF, A4", Href: to("report.pdf", kind, report.A4), Press: true},
		report.Link{Text: "PDF, Letter", Href: to("report.pdf", kind, report.Letter), Press: true})
}

// report builds the report of a course for the kind and the paper that are asked for.
func (s *server) report(r *http.Request) (report.Model, report.Paper, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return report.Model{}, "", err
	}
	kind := report.Client
	if asked := r.URL.Query().Get("kind"); asked != "" {
		if kind = report.Kind(asked); !kind.Known() {
			return report.Model{}, "", underfoot.Errorf(underfoot.Invalid, "kind %q: client, full, committee, crew or bench are allowed", asked)
		}
	}
	paper := report.Auto
	switch strings.ToLower(r.URL.Query().Get("paper")) {
	case "a4":
		paper = report.A4
	case "letter":
		paper = report.Letter
	}
	o := report.Options{PreparedBy: orWho("", r), When: s.app.Now().In(st.Records.Course.Zone()), Version: s.o.Version, Kind: kind, Paper: paper}
	return report.Build(st, o), paper, nil
}
