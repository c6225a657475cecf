package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/report"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// kindSays says what each kind of document is for.
var kindSays = map[report.Kind]string{
	report.Client: "two to four pages for those who pay", report.Committee: "one page in plain words", report.Crew: "the dated work with amounts and boxes to tick",
	report.Bench: "a round to weigh, or its results with the checks", report.Full: "everything, for whoever wants to check it",
}

// built is a report as it is put together: what is kept, or what an address or a form says.
type built struct {
	doc      underfoot.Document
	sections []string // picked; nil for those of the kind
	none     bool     // the form picked none
}

// builtOf is what is kept of a course.
func builtOf(st *standing) built {
	d := st.Document()
	return built{doc: d, sections: report.KnownSections(d.SectionKeys())}
}

func (b *built) kind() report.Kind {
	if b.doc.Kind == "" {
		return report.Client
	}
	return report.Kind(b.doc.Kind)
}

// take reads what an address or a form says over what is kept.
func (b *built) take(q url.Values) error {
	if kind := q.Get("kind"); kind != "" {
		if !report.Kind(kind).Known() {
			return underfoot.Errorf(underfoot.Invalid, "kind %q: client, full, committee, crew or bench are allowed", kind)
		}
		b.doc.Kind = kind
	}
	b.sections = q["section"]
	if err := (report.Options{Sections: b.sections}).CheckSections(); err != nil {
		return underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	b.doc.Recipient, b.doc.PreparedBy = strings.TrimSpace(q.Get("for")), strings.TrimSpace(q.Get("by"))
	b.doc.Note = strings.TrimSpace(strings.ReplaceAll(q.Get("note"), "\r\n", "\n"))
	b.doc.Paper = "a4"
	if q.Get("paper") == "letter" {
		b.doc.Paper = "letter"
	}
	if q.Get("logo") == "no" {
		b.doc.Logo = ""
	}
	return nil
}

// query is the report as an address.
func (b *built) query() url.Values {
	q := url.Values{"kind": {string(b.kind())}, "built": {"1"}}
	for name, text := range map[string]string{"for": b.doc.Recipient, "by": b.doc.PreparedBy, "note": b.doc.Note, "paper": b.doc.Paper} {
		if text != "" {
			q.Set(name, text)
		}
	}
	if len(b.sections) > 0 {
		q["section"] = b.sections
	}
	return q
}

// options are those of the report.
func (b *built) options() report.Options {
	o, _ := report.Kept(b.doc, "") // a logo that cannot be read was kept by a package that nobody looked at
	o.Sections = b.sections
	return o
}

// showBuilder shows the page that puts reports together, with what is kept.
func (s *server) showBuilder(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	b := builtOf(st)
	if kind := report.Kind(r.URL.Query().Get("kind")); kind.Known() && kind != b.kind() {
		b.doc.Kind, b.sections = string(kind), nil
	}
	if b.doc.PreparedBy == "" {
		b.doc.PreparedBy = orWho("", r)
	}
	return s.builderPage(w, r, http.StatusOK, st, b, nil)
}

// saveBuilder keeps what was put together, or shows another kind of document with what was typed.
func (s *server) saveBuilder(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	logo, bad, err := readBuilder(r)
	if err != nil {
		return err
	}
	b, was := builtOf(st), builtOf(st)
	if err := b.take(r.PostForm); err != nil {
		return err
	}
	if pick := report.Kind(r.PostFormValue("pick")); pick.Known() && pick != b.kind() {
		b.doc.Kind, b.sections = string(pick), nil
		return s.builderPage(w, r, http.StatusOK, st, b, nil)
	}
	wrong := map[string]string{}
	if b.none = len(b.sections) == 0; b.none {
		wrong["section"] = "pick one section at least"
	}
	switch {
	case bad != "":
		wrong["logo"] = bad
	case logo != nil:
		b.doc.SetPicture(logo)
	case r.PostFormValue("no_logo") == "yes":
		b.doc.Logo = ""
	}
	own, _ := report.Parts(b.kind())
	b.doc.Sections = strings.Join(b.sections, " ")
	if slices.EqualFunc(own, b.sections, func(p report.Part, key string) bool { return p.Key == key }) {
		b.doc.Sections = ""
	}
	for _, f := range b.doc.Check() {
		wrong[f.Column] = f.Text
	}
	if len(wrong) > 0 {
		b.doc.Logo = was.doc.Logo // the one that is kept is shown
		return s.builderPage(w, r, http.StatusUnprocessableEntity, st, b, wrong)
	}
	to := page.CoursePath(st.Records.Course.ID, "report", "build")
	change, err := s.app.SaveDocument(r.Context(), s.who(w, r, ""), "put the "+b.kind().Title()+" together", b.doc)
	if err != nil {
		return err
	}
	if change.ID != 0 {
		to += "?done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// readBuilder reads the form and the picture in it; bad says in a sentence why the picture cannot be used.
func readBuilder(r *http.Request) (logo []byte, bad string, err error) {
	if !strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
		return nil, "", parseForm(r)
	}
	if err := r.ParseMultipartForm(report.MostLogoBytes + 1<<20); err != nil {
		return nil, "", uploadError(err)
	}
	defer r.MultipartForm.RemoveAll()
	f, about, err := r.FormFile("logo")
	if errors.Is(err, http.ErrMissingFile) || (err == nil && about.Size == 0) {
		return nil, "", nil
	}
	if err != nil {
		return nil, "", uploadError(err)
	}
	defer f.Close()
	if about.Size > report.MostLogoBytes {
		return nil, report.LogoTooLarge(about.Size).Error(), nil
	}
	file, err := io.ReadAll(f)
	if err != nil {
		return nil, "", err
	}
	if logo, err = report.FitLogo(file); err != nil {
		return nil, err.Error(), nil
	}
	return logo, "", nil
}

func (s *server) builderPage(w http.ResponseWriter, r *http.Request, status int, st *standing, b built, wrong map[string]string) error {
	course := st.Records.Course.ID
	p := page.Builder{Course: course, Kind: string(b.kind()), Frame: s.courseFrame(r, st, "Put a report together", "report")}
	p.Frame.Scripts = append(p.Frame.Scripts, "builder")
	for _, k := range report.Kinds() {
		p.Kinds = append(p.Kinds, page.BuilderKind{Value: string(k), Title: upperFirst(k.Title()), Says: kindSays[k], Here: k == b.kind()})
	}
	own, others := report.Parts(b.kind())
	usual := len(b.sections) == 0 && !b.none
	for _, x := range own {
		p.Own = append(p.Own, page.BuilderPart{Key: x.Key, Title: x.Title, On: usual || slices.Contains(b.sections, x.Key)})
	}
	for _, x := range others {
		on := slices.Contains(b.sections, x.Key)
		p.Others, p.MoreOpen = append(p.Others, page.BuilderPart{Key: x.Key, Title: x.Title, On: on}), p.MoreOpen || on
	}
	fault := func(name, label string) string {
		if wrong[name] == "" {
			return ""
		}
		text := page.Sentence(wrong[name])
		p.Errors = append(p.Errors, page.FieldError{Field: name, Text: label + ": " + text})
		return text
	}
	p.SectionError = fault("section", "Sections")
	p.Recipient = page.Field{Name: "for", Label: "For", Value: b.doc.Recipient, Wide: 12, Hint: "Such as the greens committee; empty takes what suits the document."}
	p.Prepared = page.Field{Name: "by", Label: "Prepared by", Value: b.doc.PreparedBy, Wide: 12, Hint: "Who answers for it."}
	p.Note = page.Field{Name: "note", Label: "A note of your own", Type: "area", Value: b.doc.Note, Wide: 12, Hint: "Plain text, set first; every line is a paragraph. 5,000 letters at most.", Error: fault("note", "Note")}
	p.Paper = page.Field{Name: "paper", Label: "Paper", Type: "select", Value: b.doc.Paper, Wide: 12, Options: []page.Choice{{Value: "a4", Text: "A4, 210 × 297 mm"}, {Value: "letter", Text: "Letter, 8.5 × 11 in"}}}
	p.LogoError = fault("logo", "Logo")
	p.LogoHint = fmt.Sprintf("PNG or JPEG, %d MB at most; a large one is kept smaller. It stands at the head of the first page.", report.MostLogoBytes>>20)
	if b.doc.Logo != "" {
		p.Logo = page.CoursePath(course, "report", "logo")
	}
	q := "?" + b.query().Encode()
	p.PDF, p.HTML = page.CoursePath(course, "report.pdf")+q, page.CoursePath(course, "report")+q
	p.Preview, p.Workbook = p.HTML+"&frame=1", page.CoursePath(course, "workbook.xlsx")
	o := b.options()
	o.Style = say.From(r.Context())
	m := report.Build(st, o)
	pages, err := m.Pages(o.Paper)
	if err != nil {
		return err
	}
	p.Pages, p.PagesWrong = m.Kind.PagesSay(o.Paper, pages)
	w.Header().Set("Content-Security-Policy", policy+"; frame-src 'self'")
	return s.send.page(w, r, status, page.BuilderPage(p))
}

// showPages answers how many pages the PDF at an address takes, as a part of the page that puts reports together.
func (s *server) showPages(w http.ResponseWriter, r *http.Request) error {
	m, paper, err := s.report(r)
	if err != nil {
		return err
	}
	pages, err := m.Pages(paper)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.BuilderPages(m.Kind.PagesSay(paper, pages)).Render(r.Context(), &b); err != nil {
		return err
	}
	s.send.html(w, r, http.StatusOK, b.Bytes())
	return nil
}

// showLogo sends the logo that is kept.
func (s *server) showLogo(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	d := st.Document()
	file := d.Picture()
	if len(file) == 0 || (report.Options{Logo: file}).CheckLogo() != nil {
		return underfoot.Errorf(underfoot.NotFound, "course %q has no logo", st.Records.Course.ID)
	}
	w.Header().Set("Content-Type", http.DetectContentType(file))
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Set("Content-Length", strconv.Itoa(len(file)))
	w.Write(file) // one who has left needs no answer
	return nil
}

// framed lets an answer stand in a frame of this site, and of no other.
func framed(w http.ResponseWriter) {
	h := w.Header()
	h.Set("Content-Security-Policy", strings.Replace(policy, "frame-ancestors 'none'", "frame-ancestors 'self'", 1))
	h.Set("X-Frame-Options", "SAMEORIGIN")
}
