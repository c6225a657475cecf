package web

import (
	"bytes"
	"image"
	"image/png"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"underfoot/internal/report"
)

// sendPicture sends the builder’s form of a course with a picture.
func (s *site) sendPicture(course string, form url.Values, file []byte) *httptest.ResponseRecorder {
	s.t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for name, list := range form {
		for _, v := range list {
			if err := m.WriteField(name, v); err != nil {
				s.t.Fatal(err)
			}
		}
	}
	part, err := m.CreateFormFile("logo", "mark.png")
	if err != nil {
		s.t.Fatal(err)
	}
	part.Write(file)
	m.Close()
	r := httptest.NewRequest(http.MethodPost, "/course/"+course+"/report/build", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func picture(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewRGBA(image.Rect(0, 0, 40, 20))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

const builder = "/course/ostrelby/report/build"

func builderForm() url.Values {
	return url.Values{
		"kind": {"committee"}, "section": {"plain", "sureness"}, "for": {"the board"}, "by": {"R. Moss"}, "note": {"First line.\r\nSecond <line>."}, "paper": {"letter"}, "keep": {"yes"},
	}
}

// What is chosen is kept with the course, offered again, shown in the preview and the PDF, and can be undone.
func TestBuilderKeepsWhatIsChosen(t *testing.T) {
	s := newSite(t, Options{})
	if text := s.page(builder); !strings.Contains(text, `value="client"`) || !strings.Contains(text, "<iframe") {
		t.Error("nothing is kept yet: the page offers a client report with its preview")
	}
	w := s.sendPicture("ostrelby", builderForm(), picture(t))
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, plain(w.Body.String()))
	}
	after := w.Header().Get("Location")
	text := s.page(after)
	for _, want := range []string{
		`name="kind" value="committee"`, `value="plain" checked`, `value="sureness" checked`, `value="the board"`, `value="R. Moss"`, "First line.\nSecond &lt;line&gt;.", `<option value="letter" selected`,
		`src="/course/ostrelby/report/logo"`, "Undo",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not hold %q", want)
		}
	}
	if strings.Contains(text, `value="shown" checked`) {
		t.Error("a section that was left out is picked")
	}
	rs, err := s.app.Store.Records(t.Context(), "ostrelby")
	if err != nil {
		t.Fatal(err)
	}
	if len(rs.Documents) != 1 || rs.Documents[0].Sections != "plain sureness" || !bytes.Equal(rs.Documents[0].Picture(), picture(t)) {
		t.Errorf("kept %+v", rs.Documents)
	}
	logo := s.get("/course/ostrelby/report/logo")
	if logo.Code != http.StatusOK || logo.Header().Get("Content-Type") != "image/png" || !bytes.Equal(logo.Body.Bytes(), picture(t)) {
		t.Errorf("logo: status %d, %v", logo.Code, logo.Header())
	}
	b := built{doc: rs.Documents[0], sections: rs.Documents[0].SectionKeys()}
	q := "?" + b.query().Encode()
	if !strings.Contains(text, strings.ReplaceAll(q, "&", "&amp;")) {
		t.Errorf("the page does not lead to %s", q)
	}
	report := s.page("/course/ostrelby/report" + q)
	for _, want := range []string{"For the board", "R. Moss", "Second &lt;line&gt;.", `src="/course/ostrelby/report/logo"`} {
		if !strings.Contains(report, want) {
			t.Errorf("the report does not hold %q", want)
		}
	}
	asKept := s.page("/course/ostrelby/report")
	for _, want := range []string{"For the board", "Second &lt;line&gt;.", `aria-current="page">As put together`, `href="/course/ostrelby/report.pdf?paper=a4"`} {
		if !strings.Contains(asKept, want) {
			t.Errorf("the report by itself does not hold %q", want)
		}
	}
	if standard := s.page("/course/ostrelby/report?kind=committee"); strings.Contains(standard, "Second &lt;line&gt;.") || !strings.Contains(standard, "For the board") {
		t.Error("a kind that is asked for holds the note, or not whom it is for")
	}
	pdf := s.get("/course/ostrelby/report.pdf" + q)
	if pdf.Code != http.StatusOK || !bytes.HasPrefix(pdf.Body.Bytes(), []byte("%PDF-")) || !bytes.Contains(pdf.Body.Bytes(), []byte("/MediaBox [0 0 612.00 792.00]")) {
		t.Errorf("PDF: status %d, %.60q", pdf.Code, pdf.Body.String())
	}

	again := builderForm()
	again.Set("no_logo", "yes")
	s.follow(builder, again)
	if w := s.get("/course/ostrelby/report/logo"); w.Code != http.StatusNotFound {
		t.Errorf("the logo was taken away, status %d", w.Code)
	}
	id, found := strings.CutPrefix(after, builder+"?done=")
	if !found {
		t.Fatalf("it leads to %s, which does not offer to undo it", after)
	}
	undone := newSite(t, Options{})
	change := undone.post(builder, builderForm()).Header().Get("Location")
	undone.follow("/course/ostrelby/undo", url.Values{"change": {strings.TrimPrefix(change, builder+"?done=")}})
	if rs, err := undone.app.Store.Records(t.Context(), "ostrelby"); err != nil || len(rs.Documents) != 0 || id == "" {
		t.Errorf("undone, but kept %+v, %v", rs.Documents, err)
	}
}

// Only the preview may stand in a frame, and only in one of this site; only the builder may hold a frame.
func TestFrameOfThePreview(t *testing.T) {
	s := newSite(t, Options{})
	for path, want := range map[string][3]string{
		builder:                            {"DENY", "frame-ancestors 'none'", "frame-src 'self'"},
		"/course/ostrelby/report?frame=1":  {"SAMEORIGIN", "frame-ancestors 'self'", ""},
		"/course/ostrelby/report":          {"DENY", "frame-ancestors 'none'", ""},
		"/course/ostrelby":                 {"DENY", "frame-ancestors 'none'", ""},
		"/course/ostrelby/report?frame=no": {"DENY", "frame-ancestors 'none'", ""},
	} {
		h := s.get(path).Header()
		csp := h.Get("Content-Security-Policy")
		if h.Get("X-Frame-Options") != want[0] || !strings.Contains(csp, want[1]) || strings.Contains(csp, "frame-src") != (want[2] != "") {
			t.Errorf("%s: %s, %s", path, h.Get("X-Frame-Options"), csp)
		}
	}
	if strings.Contains(s.page("/course/ostrelby/report?frame=1"), "Back to the course") {
		t.Error("the preview carries the links of a page")
	}
}

// Another kind shows its own sections, keeps what was typed and keeps nothing in the store.
func TestBuilderShowsAnotherKind(t *testing.T) {
	s := newSite(t, Options{})
	form := builderForm()
	form.Del("keep")
	form.Set("pick", "crew")
	w := s.post(builder, form)
	text := w.Body.String()
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	for _, want := range []string{`name="kind" value="crew"`, `value="crew_days" checked`, `value="the board"`, "Second &lt;line&gt;."} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not hold %q", want)
		}
	}
	rs, err := s.app.Store.Records(t.Context(), "ostrelby")
	if err != nil || len(rs.Documents) != 0 {
		t.Errorf("kept %+v, %v", rs.Documents, err)
	}
}

// What is wrong is said at its field, what was typed stays, and nothing is kept.
func TestBuilderSaysWhatIsWrong(t *testing.T) {
	change := func(f func(url.Values)) url.Values {
		form := builderForm()
		f(form)
		return form
	}
	tests := []struct {
		name string
		form url.Values
		logo []byte
		want string
	}{
		{"no section", change(func(f url.Values) { f.Del("section") }), nil, "Pick one section at least."},
		{"text for a picture", builderForm(), []byte("<svg/>"), "The logo is no picture that can be read: PNG and JPEG are allowed."},
		{"cut short", builderForm(), picture(t)[:60], "PNG and JPEG are allowed|cut short or damaged"},
		{"too large", builderForm(), make([]byte, report.MostLogoBytes+1), "The logo has 8.1 MB: at most 8 MB are allowed."},
		{"a long note", change(func(f url.Values) { f.Set("note", strings.Repeat("x", 5001)) }), nil, "It has 5001 letters: 5000 at most are allowed."},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newSite(t, Options{})
			w := s.sendPicture("ostrelby", tt.form, tt.logo)
			text := w.Body.String()
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("status %d: %s", w.Code, plain(text))
			}
			said := false
			for want := range strings.SplitSeq(tt.want, "|") {
				said = said || strings.Contains(plain(text), want)
			}
			if !said || !strings.Contains(text, `value="the board"`) {
				t.Errorf("it is not said that %q, or what was typed is lost:\n%s", tt.want, plain(text))
			}
			rs, err := s.app.Store.Records(t.Context(), "ostrelby")
			if err != nil || len(rs.Documents) != 0 {
				t.Errorf("kept %+v, %v", rs.Documents, err)
			}
		})
	}
	s := newSite(t, Options{})
	for _, path := range []string{builder + "?kind=roses", "/course/ostrelby/report?kind=client&built=1"} {
		s.page(path) // an unknown kind of the page is the one that is kept
	}
	for path, form := range map[string]url.Values{builder: {"kind": {"roses"}}, builder + "?": {"kind": {"client"}, "section": {"roses"}}} {
		if w := s.post(path, form); w.Code != http.StatusBadRequest && w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%v: status %d", form, w.Code)
		}
	}
	if w := s.get("/course/none/report/build"); w.Code != http.StatusNotFound {
		t.Errorf("a course that is not there: status %d", w.Code)
	}
	if w := s.get("/course/ostrelby/report/logo"); w.Code != http.StatusNotFound {
		t.Errorf("a logo that is not there: status %d", w.Code)
	}
}

// How many pages the PDF will have is said before it is asked for, and that a note makes it longer than its kind is meant to be.
func TestBuilderCountsPages(t *testing.T) {
	s := newSite(t, Options{})
	form := builderForm()
	short := "The PDF has 1 page on Letter."
	s.follow(builder, form)
	if text := plain(s.page(builder)); !strings.Contains(text, short) || strings.Contains(text, "is meant to have") {
		t.Errorf("the page does not say %q alone", short)
	}
	form.Set("note", strings.Repeat("A long line of words about the drains. ", 120))
	s.follow(builder, form)
	long := "The PDF has 2 pages on Letter. A summary for the committee is meant to have 1 page: a shorter note or fewer sections bring it back."
	if text := plain(s.page(builder)); !strings.Contains(text, long) {
		t.Errorf("the page does not say %q", long)
	}
	if text := s.page("/course/ostrelby/report/pages"); strings.TrimSpace(text) != "<strong>"+long+"</strong>" {
		t.Errorf("what is kept: %s", text)
	}
	if text := strings.TrimSpace(s.page("/course/ostrelby/report/pages?kind=bench&built=1&paper=a4")); text != "The PDF has 1 page on A4." {
		t.Errorf("a bench sheet: %s", text)
	}
}

// A large picture is taken, and kept as large as paper shows it.
func TestBuilderKeepsALargeLogoSmaller(t *testing.T) {
	s := newSite(t, Options{})
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewRGBA(image.Rect(0, 0, 3000, 1000))); err != nil {
		t.Fatal(err)
	}
	if w := s.sendPicture("ostrelby", builderForm(), b.Bytes()); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, plain(w.Body.String()))
	}
	about, kind, err := image.DecodeConfig(s.get("/course/ostrelby/report/logo").Body)
	if err != nil || kind != "png" || about.Width != 528 || about.Height != 176 {
		t.Errorf("kept as %s of %d × %d pixels, %v; want a PNG of 528 × 176", kind, about.Width, about.Height, err)
	}
}
