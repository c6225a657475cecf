package web

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"underfoot/internal/numeral"
	"underfoot/internal/web/page"
)

// quantity is a marked element of a page and what it says.
var quantity = regexp.MustCompile(`(?s)<(\w+)[^>]* data-quantity="([^"]+)"[^>]*>(.*?)</(?:b|p|td|span|li|small|dd|strong)>`)

// quantities reads what the marked elements of a page say, the unit of a number left out.
func quantities(html string) map[string][]string {
	out := map[string][]string{}
	for _, m := range quantity.FindAllStringSubmatch(html, -1) {
		says := strings.TrimSuffix(plain(regexp.MustCompile(`(?s)<svg.*?</svg>`).ReplaceAllString(m[3], "")), " %")
		out[m[2]] = append(out[m[2]], says)
	}
	return out
}

// everyQuantityReadsTheSame walks the pages that show a quantity and the standing, which the command line prints as JSON
// (TestCommandsAgreeWithStanding): each says the same of organic matter by layer with its interval, of the direction, of the last
// round, of the greens and of the sand that holds.
func everyQuantityReadsTheSame(t *testing.T, s *site) {
	const course = "/course/varrowmere"
	const onPaper = course + "/report?kind=client" // whatever was put together before
	st, err := s.app.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	html := map[string]string{}
	for _, path := range []string{"/", course, course + "/findings", course + "/plan", course + "/profile", course + "/bench", course + "/log", course + "/round", onPaper} {
		html[path] = s.page(path)
	}
	list := html["/"]
	at := strings.Index(list, `aria-label="`+st.Records.Course.Name+`"`)
	if at < 0 {
		t.Fatal("the list does not hold the course")
	}
	row, _, _ := strings.Cut(list[at:], "</article>")
	html["/"] = row
	same := func(mark, want string, pages ...string) {
		t.Helper()
		for _, path := range pages {
			got := quantities(html[path])[mark]
			if len(got) == 0 {
				t.Errorf("%s shows no %s", path, mark)
			}
			for _, x := range got {
				if x != want {
					t.Errorf("%s says %s is %q, want %q as everywhere", path, mark, x, want)
				}
			}
		}
	}
	if len(st.Layers) != 3 {
		t.Fatalf("%d layers: the example has three", len(st.Layers))
	}
	for i := range st.Layers {
		m := st.Layers[i].Last()
		mark := numeral.MarkOM(st.Layers[i].Name())
		if want := fmt.Sprintf("om-%.0f-%.0f", st.Layers[i].TopMM, st.Layers[i].BottomMM); mark != want {
			t.Fatalf("the mark is %q, want %q", mark, want)
		}
		same(mark, page.Num(float64(m.Mean), 1), "/", course, course+"/findings", onPaper)
		same(mark+"-interval", page.Span(float64(m.Low90), float64(m.High90), 1), "/", course, course+"/findings", onPaper)
	}
	inPDF := pdfWords(t, s.get(strings.Replace(onPaper, "/report?", "/report.pdf?", 1)).Body.Bytes())
	for i := range st.Layers {
		m := st.Layers[i].Last()
		says := fmt.Sprintf("%s %s %% %s", st.Layers[i].Name(), page.Num(float64(m.Mean), 1), page.Span(float64(m.Low90), float64(m.High90), 1))
		if !strings.Contains(inPDF, strings.ReplaceAll(says, "\u00a0", " ")) {
			t.Errorf("the PDF does not say %q", says)
		}
	}
	same("direction", string(st.Direction.Verdict), "/", course)

	greens := 0
	for i := range st.Records.Greens {
		if st.Records.Greens[i].Kind == "green" {
			greens++
		}
	}
	about := quantities(html[course])["about"]
	if len(about) != 1 || !strings.HasPrefix(about[0], fmt.Sprintf("%d greens", greens)) {
		t.Fatalf("the course page says of the course %q, want %d greens first", about, greens)
	}
	same("about", about[0], "/", course, course+"/findings", course+"/plan", course+"/profile", course+"/bench", course+"/log", course+"/round")

	last := st.Layers[0].Last().Date
	for path, want := range map[string]string{course + "/round": page.Day(last), course + "/findings": last.Format("January 2006"), onPaper: last.Format("January 2006")} {
		if !strings.Contains(plain(html[path]), want) {
			t.Errorf("%s does not name the last round that counts, %s", path, want)
		}
	}
	hold := needMM(st)
	if hold == nil {
		t.Fatal("the example has no account")
	}
	html["the PDF"] = inPDF
	for _, path := range []string{"/", course, course + "/log", course + "/plan", onPaper, "the PDF"} {
		if !strings.Contains(plain(html[path]), page.Num(hold.Mid, 1)) {
			t.Errorf("%s does not say that holding takes %s mm a year", path, page.Num(hold.Mid, 1))
		}
	}
}
