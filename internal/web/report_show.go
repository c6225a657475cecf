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
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// showReport shows a report, laid out for paper.
func (s *server) showReport(w http.ResponseWriter, r *http.Request) error {
	m, paper, err := s.report(r)
	if err != nil {
		return err
	}
	look := r.URL.Query()
	look.Del("note") // pages of it make no difference to the look
	look.Del("section")
	style := strings.TrimSuffix(page.CoursePath(r.PathValue("course"), "report.css")+"?"+look.Encode(), "?")
	styling := report.Linked(style).LogoAt(page.CoursePath(r.PathValue("course"), "report", "logo"))
	if r.URL.Query().Get("frame") == "1" {
		framed(w)
	} else {
		styling = styling.With(reportLinks(r, m.Kind, paper, m.kept)...)
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

// reportLinks lead from a report back to the course, to the one that was put together, to the other kinds of document and to the
// PDF on either paper.
func reportLinks(r *http.Request, kind report.Kind, paper report.Paper, kept bool) []report.Link {
	course := r.PathValue("course")
	to := func(end string, k report.Kind, p report.Paper) string {
		q := url.Values{}
		if k != "" {
			q.Set("kind", string(k))
		}
		if p != report.Auto {
			q.Set("paper", strings.ToLower(string(p)))
		}
		return strings.TrimSuffix(page.CoursePath(course, end)+"?"+q.Encode(), "?")
	}
	links := []report.Link{{Text: "Back to the course", Href: page.CoursePath(course)}}
	if r.URL.Query().Has("built") { // as it was put together, not another
		q := r.URL.Query()
		q.Del("frame")
		return append(links, report.Link{Text: "Put it together otherwise", Href: page.CoursePath(course, "report", "build")}, report.Link{Text: "PDF", Href: page.CoursePath(course, "report.pdf") + "?" + q.Encode(), Press: true})
	}
	shown := kind
	if kept = kept && r.URL.Query().Get("kind") == ""; kept {
		shown = ""
		links = append(links, report.Link{Text: "As put together", Href: to("report", "", report.Auto), Here: true})
	}
	for _, k := range report.Kinds() {
		links = append(links, report.Link{Text: strings.ToUpper(k.Title()[:1]) + k.Title()[1:], Href: to("report", k, paper), Here: k == shown})
	}
	return append(links,
		report.Link{Text: "Build your own", Href: page.CoursePath(course, "report", "build") + "?kind=" + string(kind)},
		report.Link{Text: "Every table (.xlsx)", Href: page.CoursePath(course, "workbook.xlsx")},
		report.Link{Text: "PDF, A4", Href: to("report.pdf", shown, report.A4), Press: true},
		report.Link{Text: "PDF, Letter", Href: to("report.pdf", shown, report.Letter), Press: true})
}

// laid is a report, and whether how it is put together is kept.
type laid struct {
	report.Model
	kept bool
}

// report builds the report of a course: that which the address puts together, that of a kind, or the one that was put together
// last, as [report.Kept] says.
func (s *server) report(r *http.Request) (laid, report.Paper, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return laid{}, "", err
	}
	o, err := reportOptions(r.URL.Query(), st)
	if err != nil {
		return laid{}, "", err
	}
	if o.PreparedBy == "" {
		o.PreparedBy = orWho("", r)
	}
	o.Style = say.From(r.Context())
	o.When, o.Version = s.app.Now().In(st.Records.Course.Zone()), s.o.Version
	return laid{report.Build(st, o), len(st.Records.Documents) > 0}, o.Paper, nil
}

// reportOptions reads what an address asks of a report.
func reportOptions(q url.Values, st *standing) (report.Options, error) {
	kind := report.Kind(q.Get("kind"))
	if kind != "" && !kind.Known() {
		return report.Options{}, underfoot.Errorf(underfoot.Invalid, "kind %q: client, full, committee, crew or bench are allowed", kind)
	}
	o, _ := report.Kept(st.Document(), kind) // a logo that cannot be read was kept by a package that nobody looked at
	if q.Has("built") {
		b := builtOf(st)
		if err := b.take(q); err != nil {
			return o, err
		}
		o = b.options()
		o.Paper = report.Auto
	}
	switch strings.ToLower(q.Get("paper")) {
	case "a4":
		o.Paper = report.A4
	case "letter":
		o.Paper = report.Letter
	}
	return o, nil
}
