package report

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"underfoot/internal/app"
)

// poppler runs one of the programs that read PDF. The gate requires them; elsewhere their tests are skipped.
func poppler(t *testing.T, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("UNDERFOOT_POPPLER") == "require" {
			t.Fatalf("%s is not there: install poppler-utils", name)
		}
		t.Skipf("%s is not there: install poppler-utils to read the PDF back", name)
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	out, err := exec.CommandContext(ctx, path, args...).Output()
	if err != nil {
		t.Fatalf("%s %v: %v", name, args, err)
	}
	return string(out)
}

func pdfOf(t testing.TB, m Model, paper Paper) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := m.PDF(&b, paper); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func savedPDF(t *testing.T, m Model, paper Paper) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, pdfOf(t, m, paper), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func pagesOf(t *testing.T, path string) int {
	t.Helper()
	m := regexp.MustCompile(`Pages:\s+(\d+)`).FindStringSubmatch(poppler(t, "pdfinfo", path))
	if m == nil {
		t.Fatal("no page count")
	}
	n, _ := strconv.Atoi(m[1])
	return n
}

// spoken are all words of a model outside its pictures.
func spoken(m Model) []string {
	out := append([]string{m.Course, m.Subject, m.Statement}, m.Because...)
	for _, a := range m.Strip {
		out = append(out, a.Name, a.Value, a.Note)
	}
	for _, s := range m.Sections {
		out = append(append(out, s.Title), spokenIn(s.Blocks)...)
	}
	return out
}

func spokenIn(blocks []Block) []string {
	var out []string
	for _, b := range blocks {
		switch v := b.(type) {
		case Text:
			out = append(out, v.Words)
		case List:
			out = append(append(out, v.Title), v.Items...)
		case Notice:
			out = append(append(out, v.Title), v.Words...)
		case Figure:
			out = append(out, v.Says, v.Sure)
			for _, p := range v.Panels {
				out = append(out, p.Title, p.Unit, p.Says)
			}
		case Strata:
			out = append(out, v.Says, v.Sure)
			for _, r := range v.Rows {
				out = append(out, r.Layer, r.Level, r.Range, r.Says, r.Figures, r.Note)
			}
		case Table:
			out = append(out, v.Caption, v.Says, v.Note)
			for _, c := range v.Columns {
				out = append(out, c.Head)
			}
			for _, row := range append(slices.Clone(v.Rows), v.Total) {
				out = append(out, row...)
			}
		case Pair:
			out = append(append(out, spokenIn(v.Left)...), spokenIn(v.Right)...)
		}
	}
	return out
}

// counted counts the words of a text, numbers too.
func counted(text string) map[string]int {
	out := map[string]int{}
	for _, w := range strings.Fields(printable(text)) {
		out[w]++
	}
	return out
}

// Every word and number of the model, which the HTML is made of too, can be read off the PDF, as often as it is said.
func TestPDFSaysTheModel(t *testing.T) {
	for _, folder := range []string{"varrowmere", "second"} {
		s := standing(t, folder)
		for _, kind := range Kinds() {
			for _, paper := range []Paper{A4, Letter} {
				o := options()
				o.Kind, o.Paper, o.Note = kind, paper, "Łódź greets the committee.\nWith a second line."
				m := Build(s, o)
				path := savedPDF(t, m, paper)
				have := counted(poppler(t, "pdftotext", "-raw", path, "-"))
				missing := 0
				for w, n := range counted(strings.Join(spoken(m), " ")) {
					if have[w] < n && missing < 5 {
						missing++
						t.Errorf("%s, %s on %s: %q is there %d times, the model has it %d times", folder, kind, paper, w, have[w], n)
					}
				}
				pages := pagesOf(t, path)
				if last := strconv.Itoa(pages); !strings.Contains(poppler(t, "pdftotext", "-layout", path, "-"), last+" of "+last) {
					t.Errorf("%s, %s: the last page does not say %s of %s", folder, kind, last, last)
				}
				if fonts := strings.Split(strings.TrimSpace(poppler(t, "pdffonts", path)), "\n"); len(fonts) < 3 {
					t.Errorf("%s, %s: no fonts: %v", folder, kind, fonts)
				} else {
					for _, line := range fonts[2:] {
						if !regexp.MustCompile(`yes \S+\s+yes`).MatchString(line) { // embedded, with its characters
							t.Errorf("%s, %s: not embedded, or without its characters: %s", folder, kind, line)
						}
					}
				}
			}
		}
	}
}

// A client report takes two to four pages, the summary for the committee one.
func TestPDFPages(t *testing.T) {
	for _, folder := range []string{"varrowmere", "second"} {
		s := standing(t, folder)
		for _, paper := range []Paper{A4, Letter} {
			for kind, allowed := range map[Kind][2]int{Client: {2, 4}, Committee: {1, 1}, Full: {5, 30}, Crew: {1, 5}, Bench: {1, 5}} {
				o := options()
				o.Kind, o.Paper = kind, paper
				m := Build(s, o)
				n := pagesOf(t, savedPDF(t, m, paper))
				if n < allowed[0] || n > allowed[1] {
					t.Errorf("%s, %s on %s: %d pages, want %d to %d", folder, kind, paper, n, allowed[0], allowed[1])
				}
				if said, err := m.Pages(paper); err != nil || said != n {
					t.Errorf("%s, %s on %s: it says %d pages, %v, and has %d", folder, kind, paper, said, err, n)
				}
				if least, most := kind.Allowed(); most > 0 && allowed != [2]int{least, most} {
					t.Errorf("%s is meant to have %d to %d pages, want %v", kind, least, most, allowed)
				}
			}
		}
	}
}

// Title, author, subject, language and outline are there, and the same model makes the same bytes.
func TestPDFDescribesItself(t *testing.T) {
	o := options()
	o.Kind = Client
	m := Build(standing(t, "varrowmere"), o)
	a, b := pdfOf(t, m, A4), pdfOf(t, m, A4)
	if !bytes.Equal(a, b) {
		t.Error("the same model made two different files")
	}
	info := poppler(t, "pdfinfo", savedPDF(t, m, A4))
	for _, want := range []string{"Varrowmere Links, client report", "the course manager", "Greens, as recorded up to 13 October 2026", "A4"} {
		if !strings.Contains(info, want) {
			t.Errorf("pdfinfo does not say %q:\n%s", want, info)
		}
	}
	for _, want := range []string{"/Lang (en-GB)", "/Outlines", "/FontFile2"} {
		if !bytes.Contains(a, []byte(want)) {
			t.Errorf("the file lacks %s", want)
		}
	}
	titled := 0
	for _, s := range m.Sections {
		if s.Title != "" {
			titled++
		}
	}
	if n := bytes.Count(a, []byte("/Dest [")); n < titled+1 {
		t.Errorf("%d entries in the outline, want one for each of %d sections and the opening", n, titled)
	}
}

// A long table goes on under its head on the next page.
func TestPDFRepeatsTheHead(t *testing.T) {
	table := Table{Caption: "Long table", Columns: []Column{{"Rowname", false}, {"Amounthead", true}}}
	for i := range 90 {
		table.Rows = append(table.Rows, []string{"row " + strconv.Itoa(i), strconv.Itoa(i * 7)})
	}
	m := Model{Course: "Test", Statement: "A table.", Sections: []Section{{Key: "x", Title: "Here", Blocks: []Block{table}}}}
	path := savedPDF(t, m, A4)
	pages := pagesOf(t, path)
	if pages < 3 {
		t.Fatalf("%d pages, want 3 or more", pages)
	}
	for n := 1; n <= pages; n++ {
		page := strconv.Itoa(n)
		text := poppler(t, "pdftotext", "-f", page, "-l", page, "-layout", path, "-")
		if !strings.Contains(text, "Amounthead") {
			t.Errorf("page %d lacks the head of the table", n)
		}
		if n > 1 && !strings.Contains(text, "Long table, continued") {
			t.Errorf("page %d does not say that the table goes on", n)
		}
	}
}

var wordBox = regexp.MustCompile(`<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">([^<]*)`)

// No word lies outside the margins, also of a course with long names and one with nothing on record.
func TestPDFStaysOnThePage(t *testing.T) {
	empty := Build(emptyStanding(t), options())
	long := Build(standing(t, "second"), options())
	long.Course = strings.Repeat("Verylongname", 20)
	long.Sections = append(long.Sections, Section{Title: "Wide", Blocks: []Block{Table{
		Columns: []Column{{strings.Repeat("Head", 30), false}, {"b", true}, {"c", true}}, Rows: [][]string{{strings.Repeat("cell", 80), "1", strings.Repeat("9", 60)}},
	}}})
	full := Build(standing(t, "varrowmere"), options())
	for name, m := range map[string]Model{"empty": empty, "long": long, "full": full} {
		for _, paper := range []Paper{A4, Letter} {
			size := paper.size()
			edge := (size.w-wide)/2*ptPerPx - 3
			boxes := wordBox.FindAllStringSubmatch(poppler(t, "pdftotext", "-bbox", savedPDF(t, m, paper), "-"), -1)
			if len(boxes) < 20 {
				t.Fatalf("%s: %d words", name, len(boxes))
			}
			for _, w := range boxes {
				var at [4]float64
				for i := range at {
					at[i], _ = strconv.ParseFloat(w[i+1], 64)
				}
				if at[0] < edge || at[2] > size.w*ptPerPx-edge || at[1] < 15 || at[3] > size.h*ptPerPx-15 {
					t.Errorf("%s on %s: %q lies at %v", name, paper, w[5], at)
				}
			}
		}
	}
}

func emptyStanding(t *testing.T) *app.Standing {
	t.Helper()
	s := standing(t, "second")
	rs := *s.Records
	rs.Samples, rs.Weighings, rs.Results, rs.Readings, rs.Work, rs.Judgements = nil, nil, nil, nil, nil, nil
	out, err := app.Stand(&rs, s.Today, app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Chosen sections come in their order, the note first, and the logo lies in the file.
func TestChosenSections(t *testing.T) {
	var logo bytes.Buffer
	if err := png.Encode(&logo, image.NewRGBA(image.Rect(0, 0, 40, 20))); err != nil {
		t.Fatal(err)
	}
	o := options()
	o.Kind, o.Sections, o.Note, o.Logo = Client, []string{"evenness", "layers"}, "Read this.", logo.Bytes()
	m := Build(standing(t, "second"), o)
	var keys []string
	for _, s := range m.Sections {
		keys = append(keys, s.Key)
	}
	if !slices.Equal(keys, []string{"note", "evenness", "layers"}) {
		t.Errorf("sections %v", keys)
	}
	if !bytes.Contains(pdfOf(t, m, A4), []byte("/Subtype /Image")) {
		t.Error("the PDF has no picture")
	}
	if page := html(t, m, A4, Embedded()); !bytes.Contains(page, []byte(`<img class="logo" src="data:image/png;base64,`)) {
		t.Error("the page has no picture")
	}
	if page := html(t, m, A4, Linked("a.css").LogoAt("/logo.png")); !bytes.Contains(page, []byte(`src="/logo.png"`)) {
		t.Error("the linked page has no picture")
	}
	if err := (Options{Logo: []byte("GIF89a")}).CheckLogo(); err == nil {
		t.Error("a logo that is no picture is taken")
	}
	if err := (Options{Sections: []string{"roses"}}).CheckSections(); err == nil {
		t.Error("a section that is not there is taken")
	}
}

// The keys of sections are unique, and every kind's own are among them.
func TestParts(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range parts() {
		if seen[p.Key] || p.Title == "" {
			t.Errorf("section %q comes twice or has no title", p.Key)
		}
		seen[p.Key] = true
	}
	for _, k := range Kinds() {
		own, others := Parts(k)
		if len(own) != len(k.defaults()) || len(own)+len(others) != len(seen) {
			t.Errorf("%s: %d own and %d other sections of %d", k, len(own), len(others), len(seen))
		}
	}
}

// A PDF of a standing that is known already.
func BenchmarkPDF(b *testing.B) {
	s := standing(b, "varrowmere")
	o := options()
	o.Kind = Client
	pdfOf(b, Build(s, o), A4)
	for b.Loop() {
		pdfOf(b, Build(s, o), A4)
	}
}

// What a builder page counts before anybody asks for the PDF.
func BenchmarkPages(b *testing.B) {
	s := standing(b, "varrowmere")
	o := options()
	o.Kind = Client
	m := Build(s, o)
	for b.Loop() {
		if _, err := m.Pages(A4); err != nil {
			b.Fatal(err)
		}
	}
}

// The words and pictures of a report, of a standing that is known already.
func BenchmarkBuild(b *testing.B) {
	s := standing(b, "varrowmere")
	o := options()
	o.Kind = Client
	Build(s, o)
	for b.Loop() {
		Build(s, o)
	}
}

// A page is not begun for a few lines where a little of the room between the sections spares it.
func TestPDFSparesAPage(t *testing.T) {
	about := func(n int) Model {
		m := Model{Course: "Test", Statement: "It fits."}
		for i := range n {
			m.Sections = append(m.Sections, Section{Title: "Part " + strconv.Itoa(i), Blocks: []Block{Text{Words: "A line."}}})
		}
		return m
	}
	for n := 5; n < 40; n++ {
		f, err := about(n).flow(A4)
		if err != nil {
			t.Fatal(err)
		}
		loose, set := f.paged(1), f.pages()
		last := loose[len(loose)-1]
		few := last[len(last)-1].y < f.top()+100
		switch {
		case len(loose) == 1 && len(set) != 1, len(set) > len(loose):
			t.Errorf("%d sections: %d pages of %d", n, len(set), len(loose))
		case len(loose) == 2 && few && len(set) != 1:
			t.Errorf("%d sections: the second page holds %d items alone", n, len(last))
		case len(loose) == 2 && !few && last[len(last)-1].y > f.top()+300 && len(set) != 2:
			t.Errorf("%d sections: squeezed on one page", n)
		}
		for _, page := range set {
			if end := page[len(page)-1]; end.y+end.high > f.bottom()+0.1 {
				t.Errorf("%d sections: a page ends at %v, below %v", n, end.y+end.high, f.bottom())
			}
		}
	}
}

// A long name of a course stands whole in the running head as long as it can.
func TestPDFNamesTheCourse(t *testing.T) {
	m := Model{Course: "Étang-aux-Chênes, Golfplatz Oberviechtacher Donaudampfschifffahrtsgesellschaft am Ødegårdsvågen", Subject: "Greens", Statement: "It stands."}
	if text := poppler(t, "pdftotext", "-layout", savedPDF(t, m, Letter), "-"); !strings.Contains(text, m.Course) {
		t.Errorf("the name is cut:\n%.300s", text)
	}
}
