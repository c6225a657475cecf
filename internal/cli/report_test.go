package cli_test

import (
	"bytes"
	"image"
	"image/png"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/store"
	"underfoot/internal/web"
)

// written is the file that a report command writes.
func written(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	must(t, append([]string{"report", "-o", path}, args...)...)
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// What is put together on the page is what the command writes, to the byte, from the store and from the package it travels
// in; --plain is what the command wrote before anything was kept, and every flag has its say over what is kept.
func TestReportAsPutTogether(t *testing.T) {
	dir, db := example(t, "second"), filepath.Join(t.TempDir(), "s.db")
	must(t, "import", dir, "--store", db)
	from := []string{"--store", db, "--course", "ostrelby"}
	plain := written(t, "before.pdf", from...)

	st, err := store.Open(t.Context(), db, store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	var logo bytes.Buffer
	if err := png.Encode(&logo, image.NewGray(image.Rect(0, 0, 90, 30))); err != nil {
		t.Fatal(err)
	}
	d := underfoot.Document{
		Course: "ostrelby", ID: underfoot.TheReport, Kind: "committee", Sections: "plain evenness sureness", Recipient: "the board", Note: "A word of ours, on 5 mm.\nAnd another.", Paper: "letter",
	}
	d.SetPicture(logo.Bytes())
	a := app.New(st, clock, "tester")
	if _, err := a.SaveDocument(t.Context(), "tester", "put the report together", d); err != nil {
		t.Fatal(err)
	}

	version, err := os.ReadFile("VERSION")
	if err != nil {
		t.Fatal(err)
	}
	site := web.New(a, web.Options{Local: true, Version: strings.TrimSpace(string(version))})
	get := func(path string) []byte {
		t.Helper()
		w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, path, nil)
		r.Host = "127.0.0.1"
		r.AddCookie(&http.Cookie{Name: "underfoot_who", Value: url.QueryEscape("tester")})
		site.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			t.Fatalf("%s: status %d: %.300s", path, w.Code, w.Body)
		}
		return w.Body.Bytes()
	}
	link := regexp.MustCompile(`href="(/course/ostrelby/report\.pdf\?[^"]*)"`).FindSubmatch(get("/course/ostrelby/report/build"))
	if link == nil {
		t.Fatal("the builder has no link to the PDF")
	}
	onPage := get(strings.ReplaceAll(string(link[1]), "&amp;", "&"))

	same := func(what string, a, b []byte, want bool) {
		t.Helper()
		if bytes.Equal(a, b) != want {
			t.Errorf("%s: the bytes are the same: %v, want %v", what, !want, want)
		}
	}
	kept := written(t, "kept.pdf", from...)
	same("builder and command", onPage, kept, true)
	same("page of the report and command", get("/course/ostrelby/report.pdf"), kept, true)
	same("kept and plain", kept, plain, false)
	same("--plain and before", written(t, "plain.pdf", append(from, "--plain")...), plain, true)

	out := filepath.Join(t.TempDir(), "package")
	must(t, append([]string{"export", "-o", out}, from...)...)
	same("package and store", written(t, "package.pdf", out), kept, true)

	kindOnly := written(t, "crew.pdf", append(from, "--kind", "crew")...)
	same("a kind of its own on page and command", get("/course/ostrelby/report.pdf?kind=crew"), kindOnly, true)

	html := func(args ...string) string { return string(written(t, "r.html", append(from, args...)...)) }
	for _, tt := range []struct {
		name      string
		args      []string
		has, not_ []string
	}{
		{"kept", nil, []string{"For the board", "And another.", "How even the greens are", `class="logo"`}, []string{"What we propose"}},
		{"another note", []string{"--note", "Now this."}, []string{"Now this.", "How even the greens are"}, []string{"And another."}},
		{"no note, no logo", []string{"--note", "", "--no-logo"}, []string{"For the board"}, []string{"And another.", `class="logo"`, "A word before"}},
		{"other sections", []string{"--sections", "cautions"}, []string{"Cautions", "And another."}, []string{"How even the greens are"}},
		{"other people", []string{"--for", "the owners", "--prepared-by", "R. Moss"}, []string{"For the owners", "Prepared by R. Moss"}, []string{"the board"}},
		{"its kind by itself", []string{"--kind", "committee"}, []string{"For the board", `class="logo"`, "What we propose"}, []string{"And another.", "How even the greens are"}},
		{"another kind", []string{"--kind", "crew"}, []string{"For the crew", `class="logo"`}, []string{"the board", "And another."}},
		{"plain", []string{"--plain", "--kind", "committee"}, []string{"For the greens committee", "What we propose"}, []string{"the board", `class="logo"`, "And another."}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			page := html(tt.args...)
			_, page, _ = strings.Cut(page, "</style>")
			for _, want := range tt.has {
				if !strings.Contains(page, want) {
					t.Errorf("it lacks %q", want)
				}
			}
			for _, no := range tt.not_ {
				if strings.Contains(page, no) {
					t.Errorf("it holds %q", no)
				}
			}
		})
	}
	long := run(t, append([]string{"report", "-o", filepath.Join(t.TempDir(), "x.pdf"), "--note", strings.Repeat("Word after word. ", 150)}, from...)...)
	if want := "note: The PDF has 2 pages on Letter. A summary for the committee is meant to have 1 page: a shorter note or fewer sections bring it back.\n"; long.status != 0 || long.stderr != want {
		t.Errorf("status %d, %q, want %q", long.status, long.stderr, want)
	}
	if s := run(t, append([]string{"report", "-o", filepath.Join(t.TempDir(), "x.pdf"), "--logo", dir, "--no-logo"}, from...)...); s.status != 2 {
		t.Errorf("--logo with --no-logo: status %d", s.status)
	}
}

// A kept logo that cannot be read is left out, and that is said.
func TestReportWithoutABrokenLogo(t *testing.T) {
	dir := example(t, "second")
	table := "course,document,kind,sections,recipient,prepared_by,note,paper,logo\nostrelby,report,crew,,,,,a4,R0lGODlh\n"
	if err := os.WriteFile(filepath.Join(dir, "documents.csv"), []byte(table), 0o600); err != nil {
		t.Fatal(err)
	}
	s := run(t, "report", dir, "-o", filepath.Join(t.TempDir(), "r.pdf"))
	if want := "note: the logo kept with the course is left out: the logo is no picture that can be read: PNG and JPEG are allowed\n"; s.status != 0 || !strings.HasSuffix(s.stderr, want) {
		t.Errorf("status %d, %q, want %q", s.status, s.stderr, want)
	}
}
