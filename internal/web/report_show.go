package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underfoot/internal/report"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// showReport shows a report, laid out for paper.
func (s *server) showReport(w http.ResponseWriter, r *http.Request) error {
	m, paper, err := s.report(r)
	if err != nil {
		return err
	}
	style := page.CoursePath(r.PathValue("course"), "report.css") + "?paper=" + string(paper)
	styling := report.Linked(style).LogoAt(page.CoursePath(r.PathValue("course"), "report", "logo"))
	if r.URL.Query().Get("frame") == "1" {
		framed(w)
	} else {
		styling = styling.With(reportLinks(r, m.Kind, paper)...)
	}
	var b bytes.Buffer
	if err := m.HTML(&b, paper, styling); err != nil {
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
	w.Write([]byte(m.Stylesheet(paper, fonts+report.SerifFont, fonts+report.SansFont))) // one who has left needs no answer
	return nil
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
	w.Write(b.Bytes()) // one who has left needs no answer
	return nil
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
	if r.URL.Query().Has("built") { // as it was put together, not another
		q := r.URL.Query()
		q.Del("frame")
		return append(links[:1], report.Link{Text: "Put it together otherwise", Href: page.CoursePath(course, "report", "build")}, report.Link{Text: "PDF", Href: page.CoursePath(course, "report.pdf") + "?" + q.Encode(), Press: true})
	}
	return append(links,
		report.Link{Text: "Build your own", Href: page.CoursePath(course, "report", "build") + "?kind=" + string(kind)},
		report.Link{Text: "Every table (.xlsx)", Href: page.CoursePath(course, "workbook.xlsx")},
		report.Link{Text: "PDF, A4", Href: to("report.pdf", kind, report.A4), Press: true},
		report.Link{Text: "PDF, Letter", Href: to("report.pdf", kind, report.Letter), Press: true})
}

// report builds the report of a course: that which the address puts together, or that of a kind. What is said of whom it is for
// and by, and the logo, are those that are kept where the address does not say.
func (s *server) report(r *http.Request) (report.Model, report.Paper, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return report.Model{}, "", err
	}
	q := r.URL.Query()
	b := builtOf(st)
	if q.Has("built") {
		err = b.take(q)
	} else {
		plain := url.Values{"kind": {string(report.Client)}, "for": {b.doc.Recipient}, "by": {b.doc.PreparedBy}}
		if asked := q.Get("kind"); asked != "" {
			plain.Set("kind", asked)
		}
		if b.doc.Kind != "" && plain.Get("kind") != b.doc.Kind {
			plain.Set("for", "") // whom one document is for, another is not
		}
		err = b.take(plain)
	}
	if err != nil {
		return report.Model{}, "", err
	}
	paper := report.Auto
	switch strings.ToLower(q.Get("paper")) {
	case "a4":
		paper = report.A4
	case "letter":
		paper = report.Letter
	}
	o := b.options(orWho("", r))
	o.Style = say.From(r.Context())
	o.When, o.Version, o.Paper = s.app.Now().In(st.Records.Course.Zone()), s.o.Version, paper
	return report.Build(st, o), paper, nil
}
