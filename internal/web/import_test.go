package web

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underfoot"
	"underfoot/examples"
)

// sent is a file as a browser sends it.
type sent struct{ name, body string }

func (s *site) upload(files ...sent) *httptest.ResponseRecorder {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for _, f := range files {
		w, err := m.CreateFormFile("files", f.name)
		if err != nil {
			s.t.Fatal(err)
		}
		io.WriteString(w, f.body)
	}
	m.Close()
	r := httptest.NewRequest(http.MethodPost, "/import", &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	s.settle(w)
	return w
}

// settle waits until the work behind the page that an answer leads to has ended: on a busy machine it takes a while.
func (s *site) settle(w *httptest.ResponseRecorder) {
	s.t.Helper()
	path := w.Header().Get("Location")
	if path == "" {
		return
	}
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.Host = "localhost"
		answer := httptest.NewRecorder()
		s.ServeHTTP(answer, r)
		if !strings.Contains(answer.Body.String(), "This page comes again by itself") {
			return
		}
	}
	s.t.Fatalf("%s is still at work after a minute", path)
}

func zipOf(t testing.TB, files ...sent) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.Create(f.name)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, f.body)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// second is the smaller example as files.
func second(t testing.TB) []sent {
	t.Helper()
	entries, err := examples.Files.ReadDir("second")
	if err != nil {
		t.Fatal(err)
	}
	var out []sent
	for _, e := range entries {
		body, err := examples.Files.ReadFile("second/" + e.Name())
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, sent{e.Name(), string(body)})
	}
	return out
}

func TestImport(t *testing.T) {
	s := newEmptySite(t, Options{})
	w := s.upload(second(t)...)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, plain(w.Body.String()))
	}
	draft := w.Header().Get("Location")
	mustSay(t, s.page(draft), "Ready to store: ostrelby.", "No problem was found.", "Greens 9", "In all")
	if s.get("/course/ostrelby").Code != http.StatusNotFound {
		t.Error("it was stored before it was confirmed")
	}
	w = s.post(draft+"/confirm", nil)
	s.settle(w)
	w = s.get(w.Header().Get("Location"))
	mustSay(t, s.page(w.Header().Get("Location")), "Ostrelby Common", "Imported the package")

	w = s.upload(second(t)...)
	draft = w.Header().Get("Location")
	mustSay(t, s.page(draft), "All of it is here already: ostrelby.", "To the course")
	s.follow(draft+"/discard", nil)
	if s.get(draft).Code != http.StatusNotFound {
		t.Error("a discarded package is still waiting")
	}
}

func TestImportProblems(t *testing.T) {
	s := newEmptySite(t, Options{})
	files := second(t)
	for i := range files {
		if files[i].name == "greens.csv" {
			files[i].body = strings.Replace(files[i].body, "creeping bent,", "creeping bent,-", 3)
		}
	}
	draft := s.upload(files...).Header().Get("Location")
	html := s.page(draft)
	mustSay(t, html, "to set right before this can be stored.", "Nothing was stored.", "greens.csv", "area_m2", "All files")
	if strings.Contains(html, "Store it") {
		t.Error("a package with problems is offered for storing")
	}
	if w := s.post(draft+"/confirm", nil); w.Code != http.StatusConflict {
		t.Errorf("confirming it: status %d, want 409", w.Code)
	}
	mustSay(t, s.page(draft+"?file=greens.csv&page=9"), "area_m2")
	if s.get("/course/ostrelby").Code != http.StatusNotFound {
		t.Error("something was stored")
	}
}

// Problems are paged: all of them can be reached.
func TestImportManyProblems(t *testing.T) {
	s := newEmptySite(t, Options{})
	var b strings.Builder
	b.WriteString("course,date,tmin_c,tmax_c,rain_mm\n")
	for i := range 250 {
		fmt.Fprintf(&b, "ostrelby,%s,,,-1\n", underfoot.MakeDate(2026, 1, 1).Add(i))
	}
	files := second(t)
	for i := range files {
		if files[i].name == "weather.csv" {
			files[i].body = b.String()
		}
	}
	draft := s.upload(files...).Header().Get("Location")
	mustSay(t, s.page(draft), "250 problems to set right")
	if n := strings.Count(s.page(draft+"?page=3"), "<tr><td class=\"num\">weather.csv"); n != 50 {
		t.Errorf("%d problems on the third page, want 50", n)
	}
}

func TestImportZip(t *testing.T) {
	s := newEmptySite(t, Options{})
	var files []sent
	for _, f := range second(t) {
		files = append(files, sent{"ostrelby/" + f.name, f.body})
	}
	files = append(files, sent{"__MACOSX/ostrelby/._greens.csv", "x"}, sent{"ostrelby/.DS_Store", "x"})
	draft := s.upload(sent{"ostrelby.zip", zipOf(t, files...)}).Header().Get("Location")
	mustSay(t, s.page(draft), "Ready to store: ostrelby.")
}

// No name of a file, plain or in a .zip, lands outside the folder of its upload.
func TestUploadNames(t *testing.T) {
	tests := []struct{ full, name, folder, refused string }{
		{full: "samples.csv", name: "samples.csv"},
		{full: "package/samples.csv", name: "samples.csv", folder: "package"},
		{full: "../../samples.csv", name: "samples.csv"},
		{full: "/etc/passwd", name: "passwd", folder: "etc"},
		{full: `C:\data\samples.csv`, name: "samples.csv", folder: "data"},
		{full: `..\..\samples.csv`, name: "samples.csv"},
		{full: "..", refused: `".." is no name of a table: tables are called like samples.csv`},
		{full: "a/..", refused: `"a/.." is no name of a table: tables are called like samples.csv`},
		{full: "", refused: `"" is no name of a table: tables are called like samples.csv`},
		{full: "a/.hidden", refused: `"a/.hidden" is no name of a table: tables are called like samples.csv`},
		{full: "a\x00b", refused: `"a\x00b" is no name of a table: tables are called like samples.csv`},
	}
	for _, tt := range tests {
		name, folder, err := safeName(tt.full)
		if tt.refused != "" {
			if err == nil || err.Error() != tt.refused {
				t.Errorf("%q: got %v, want %s", tt.full, err, tt.refused)
			}
			continue
		}
		if err != nil || name != tt.name || folder != tt.folder {
			t.Errorf("%q: %q in %q, %v; want %q in %q", tt.full, name, folder, err, tt.name, tt.folder)
		}
	}
}

func TestUploadStaysInItsFolder(t *testing.T) {
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	s := newEmptySite(t, Options{})
	s.upload(sent{"../../../escaped.csv", "course\n"}, sent{`..\..\greens.csv`, "course,green\n"})
	s.upload(sent{"bad.zip", zipOf(t, sent{"../../../escaped.csv", "x"}, sent{"/abs.csv", "x"}, sent{`..\back.csv`, "x"})})
	filepath.WalkDir(filepath.Dir(tmp), func(path string, d os.DirEntry, err error) error {
		if err == nil && strings.Contains(d.Name(), "escaped") && !strings.HasPrefix(path, filepath.Join(tmp, "underfoot-import-")) {
			t.Errorf("%s lies outside the folder of the upload", path)
		}
		return nil
	})
}

func TestUploadRefusals(t *testing.T) {
	s := newEmptySite(t, Options{MaxBytes: 1 << 20})
	big := strings.Repeat("x", 2<<20)
	tests := []struct {
		name  string
		files []sent
		code  int
		says  string
	}{
		{"nothing", nil, 422, "No file was chosen"},
		{"twice", []sent{{"a/greens.csv", "course\n"}, {"b/greens.csv", "course\n"}}, 422, "The file greens.csv was sent twice"},
		{"no .zip", []sent{{"x.zip", "not a zip"}}, 422, "is not a .zip file"},
		{"too large", []sent{{"greens.csv", big}}, 413, "The most a browser may send here is 1 MB."},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := s.upload(tt.files...)
			if w.Code != tt.code {
				t.Fatalf("status %d, want %d: %s", w.Code, tt.code, plain(w.Body.String()))
			}
			mustSay(t, w.Body.String(), tt.says)
		})
	}
	for _, files := range [][]sent{{{"notes.txt", "hello"}}, {{"greens.csv", "\x00\x01\x02"}}} {
		draft := s.upload(files...).Header().Get("Location")
		html := s.page(draft)
		if strings.Contains(html, "Store it") {
			t.Errorf("%v is offered for storing: %s", files, plain(html))
		}
		mustSay(t, html, "Nothing was stored")
	}
	r := httptest.NewRequest(http.MethodPost, "/import", strings.NewReader("--x\r\nbroken"))
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a broken upload: status %d, want 422", w.Code)
	}
}

// A folder of the computer can be named only while nobody else can reach the program.
func TestImportPath(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "second")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, f := range second(t) {
		if err := os.WriteFile(filepath.Join(dir, f.name), []byte(f.body), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	open := newEmptySite(t, Options{})
	if w := open.post("/import", url.Values{"path": {dir}}); w.Code != http.StatusForbidden {
		t.Errorf("reachable by others: status %d, want 403", w.Code)
	}
	if strings.Contains(open.page("/import"), "Path of the folder") {
		t.Error("a path is offered although others can reach the program")
	}
	s := newEmptySite(t, Options{Local: true})
	send := func(path string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodPost, "/import", strings.NewReader(url.Values{"path": {path}}.Encode()))
		r.Host = "localhost"
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		s.settle(w)
		return w
	}
	mustSay(t, s.local(send(dir).Header().Get("Location")), "Ready to store: ostrelby.")
	if _, err := os.Stat(filepath.Join(dir, "greens.csv")); err != nil {
		t.Error("reading the folder took it away")
	}
	for path, says := range map[string]string{"": "No folder was named", dir + "/none": "cannot be read: no such file or directory", dir + "/greens.csv": "is a file"} {
		w := send(path)
		if w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%q: status %d, want 422", path, w.Code)
		}
		mustSay(t, w.Body.String(), says, "What is stored is as it was.")
	}
}

// What leaves as a .zip comes back as the same.
func TestExportComesBack(t *testing.T) {
	s := newSite(t, Options{})
	w := s.get("/course/varrowmere/export")
	if w.Code != http.StatusOK || w.Header().Get("Content-Disposition") != `attachment; filename="varrowmere.zip"` {
		t.Fatalf("status %d, %v", w.Code, w.Header())
	}
	body := w.Body.String()
	z, err := zip.NewReader(strings.NewReader(body), int64(len(body)))
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, f := range z.File {
		names[f.Name] = true
	}
	if !names["varrowmere/datapackage.json"] || !names["varrowmere/weighings.csv"] {
		t.Errorf("the package holds %v", names)
	}
	draft := s.upload(sent{"varrowmere.zip", body}).Header().Get("Location")
	mustSay(t, s.page(draft), "All of it is here already: varrowmere.")
}
