package web

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"html"
	"image/png"
	"io"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// pagesWithPictures are the pages of the example course on which pictures stand, and what is there besides.
func pagesWithPictures() []string {
	var out []string
	for _, p := range []string{"", "/round", "/design", "/bench", "/findings", "/profile", "/plan", "/operations", "/log", "/sands"} {
		out = append(out, "/course/varrowmere"+p)
	}
	return out
}

var (
	svgElement = regexp.MustCompile(`(?s)<svg([^>]*)>`)
	asFile     = regexp.MustCompile(`href="([^"]*[?&](?:amp;)?figure=[^"]*)"`)
	roleOf     = regexp.MustCompile(`role="(img|group)"`)
	labelOf    = regexp.MustCompile(`aria-label="([^"]+)"`)
)

// Every picture of every page says what it shows, has its numbers under or beside it, and can be taken away as SVG, PNG and
// CSV, each of which can be read.
func TestPicturesOfEveryPage(t *testing.T) {
	s := newSite(t, Options{})
	kinds := map[string]int{}
	for _, path := range pagesWithPictures() {
		body := s.page(path)
		pictures := 0
		for _, m := range svgElement.FindAllStringSubmatch(body, -1) {
			attrs := m[1]
			role := roleOf.FindStringSubmatch(attrs)
			if role == nil {
				if !strings.Contains(attrs, `aria-hidden="true"`) && !strings.Contains(attrs, "preserveAspectRatio") {
					t.Errorf("%s: <svg%s> is neither a picture nor hidden", path, attrs)
				}
				continue
			}
			label := labelOf.FindStringSubmatch(attrs)
			if label == nil || len(label[1]) < 12 {
				t.Errorf("%s: <svg%.200s> does not say what it shows", path, attrs)
			}
			// the same for a phone, the core's pieces and strips in rows share the files of the whole
			if !strings.Contains(attrs, "at-phone") && !strings.Contains(attrs, "core-seg") && !strings.Contains(attrs, `class="strip"`) {
				pictures++
			}
		}
		files := map[string]bool{}
		for _, m := range asFile.FindAllStringSubmatch(body, -1) {
			files[html.UnescapeString(m[1])] = true
		}
		if strings.Contains(body, "core-seg") {
			pictures++ // the whole core
		}
		if len(files) != 3*pictures {
			t.Errorf("%s: %d pictures and %d files", path, pictures, len(files))
		}
		if tables := strings.Count(body, "<table") + strings.Count(body, `class="walk-words"`); pictures > 0 && tables < pictures/2 {
			t.Errorf("%s: %d tables for %d pictures", path, tables, pictures)
		}
		for file := range files {
			kinds[s.file(t, file)]++
		}
	}
	for _, k := range []string{"image/svg+xml", "image/png", "text/csv; charset=utf-8; header=present"} {
		if kinds[k] < 20 {
			t.Errorf("%d files of %s on all pages: %v", kinds[k], k, kinds)
		}
	}
}

// file asks for a picture as a file, twice, reads it, and gives its type.
func (s *site) file(t *testing.T, address string) string {
	t.Helper()
	w := s.get(address)
	if w.Code != http.StatusOK {
		t.Errorf("GET %s: status %d", address, w.Code)
		return ""
	}
	body := w.Body.Bytes()
	u, _ := url.Parse(address)
	kind := u.Query().Get("as")
	name := w.Header().Get("Content-Disposition")
	if !regexp.MustCompile(`^attachment; filename="varrowmere[a-z0-9-]*-2026-11-25\.` + kind + `"$`).MatchString(name) {
		t.Errorf("GET %s: Content-Disposition %s", address, name)
	}
	var err error
	switch kind {
	case "svg":
		d := xml.NewDecoder(bytes.NewReader(body))
		for err == nil {
			_, err = d.Token()
		}
		if errors.Is(err, io.EOF) {
			err = nil
		}
		if !bytes.Contains(body, []byte(`xmlns="http://www.w3.org/2000/svg"`)) || bytes.Contains(body, []byte("var(--")) || !bytes.Contains(body, []byte("src:url(\"data:font/woff2;base64,")) {
			t.Errorf("GET %s does not stand alone", address)
		}
		if len(body) > 100_000 {
			t.Errorf("GET %s: %d bytes, more than 100 kB", address, len(body))
		}
	case "png":
		_, err = png.Decode(bytes.NewReader(body))
	case "csv":
		var lines [][]string
		lines, err = csv.NewReader(bytes.NewReader(body)).ReadAll() // lines of unequal length are an error
		if err == nil && (len(lines) < 2 || len(lines[0]) < 2) {
			t.Errorf("GET %s: %d lines", address, len(lines))
		}
	}
	if err != nil {
		t.Errorf("GET %s: %v", address, err)
	}
	return w.Header().Get("Content-Type")
}

func TestAPictureIsTheSameTwice(t *testing.T) {
	s := newSite(t, Options{})
	for _, kind := range []string{"svg", "png", "csv"} {
		address := "/course/varrowmere/findings?figure=organic-matter-at-0-to-20-mm&as=" + kind
		a, b := s.get(address), s.get(address)
		if a.Code != http.StatusOK || !bytes.Equal(a.Body.Bytes(), b.Body.Bytes()) {
			t.Errorf("%s: status %d, %d and %d bytes", kind, a.Code, a.Body.Len(), b.Body.Len())
		}
	}
}

func TestAPictureThatIsNotThere(t *testing.T) {
	s := newSite(t, Options{})
	for address, want := range map[string]struct {
		status int
		words  string
	}{
		"/course/varrowmere/findings?figure=nothing&as=svg":                      {http.StatusNotFound, "has no picture “nothing”"},
		"/course/varrowmere/findings?figure=organic-matter-at-0-to-20-mm&as=gif": {http.StatusUnprocessableEntity, "svg, png or csv"},
		"/course/varrowmere/findings?figure=organic-matter-at-0-to-20-mm":        {http.StatusUnprocessableEntity, "svg, png or csv"},
	} {
		w := s.get(address)
		if w.Code != want.status || !strings.Contains(html.UnescapeString(w.Body.String()), want.words) {
			t.Errorf("GET %s: status %d\n%s", address, w.Code, plain(w.Body.String()))
		}
	}
}

var (
	inOrder = regexp.MustCompile(`(?s)<g class="mark"[^>]*? data-v="([^"]*)" aria-label="([^"]*)"|href="([^"]*[?&](?:amp;)?as=csv[^"]*)"`)
	// days, months, years of a calendar, layers, runs and counts of rounds are no values of a picture
	noValue = regexp.MustCompile(`\d{1,2} (?:to \d{1,2} )?(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*(?: \d{4})?|\b(?:19|20)\d\d\b|\d+(?:\.\d+)? (?:to|–) \d+(?:\.\d+)? mm|\d+–\d+ mm|[a-z]+-\d{4}-[a-z]+-\d+|[Gg]reen \d+|9 (?:times|chances) in 10| in 10\b`)
	valueIn = regexp.MustCompile(`[−+-]?\d+(?:,\d{3})*(?:\.\d+)?`)
)

// Every value that a picture shows stands in the table behind it: the numbers of each of its marks, to the digits they are shown
// with, are those of a cell. What a person hovers over and what the table, and so the CSV, says cannot part.
func TestValuesOfPicturesStandInTheirTables(t *testing.T) {
	s := newSite(t, Options{})
	values, pictures := 0, 0
	for _, path := range append(pagesWithPictures(), "/course/ostrelby", "/course/ostrelby/findings", "/course/ostrelby/profile", "/course/varrowmere/plan?"+asking().Encode()) {
		var marks [][2]string
		for _, m := range inOrder.FindAllStringSubmatch(s.page(path), -1) {
			if m[3] == "" {
				marks = append(marks, [2]string{html.UnescapeString(m[1]), html.UnescapeString(m[2])})
				continue
			}
			lines, err := csv.NewReader(strings.NewReader(s.page(html.UnescapeString(m[3])))).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			cells := numbersOf(lines)
			for _, mark := range marks {
				for _, text := range append(valueIn.FindAllString(noValue.ReplaceAllString(mark[0], ""), -1), valueIn.FindAllString(noValue.ReplaceAllString(mark[1], ""), -1)...) {
					values++
					if !stands(text, cells) {
						t.Errorf("%s: %s is shown in “%s”, and no cell of %s holds it", path, text, mark[1], html.UnescapeString(m[3]))
					}
				}
			}
			if len(marks) > 0 {
				pictures++
			}
			marks = nil
		}
	}
	if pictures < 40 || values < 1500 {
		t.Errorf("%d values of %d pictures were looked for", values, pictures)
	}
}

// cellNumber is a number of a table with its decimals.
type cellNumber struct {
	v        float64
	decimals int
}

func numbersOf(lines [][]string) []cellNumber {
	var out []cellNumber
	for _, line := range lines {
		for _, cell := range line {
			for _, text := range valueIn.FindAllString(cell, -1) {
				out = append(out, cellNumber{numberIn(text), decimalsIn(text)})
			}
		}
	}
	return out
}

func numberIn(text string) float64 {
	v, _ := strconv.ParseFloat(strings.NewReplacer("−", "-", ",", "").Replace(text), 64)
	return v
}

func decimalsIn(text string) int {
	_, rest, _ := strings.Cut(text, ".")
	return len(rest)
}

// stands tells whether a number that is shown is one of the table, to the digits of the coarser of the two; a chance in tenths
// stands there as a percentage.
func stands(text string, cells []cellNumber) bool {
	v, d := numberIn(text), decimalsIn(text)
	for _, c := range cells {
		slack := 0.5*math.Pow10(-d) + 0.5*math.Pow10(-c.decimals) + 1e-9
		if math.Abs(math.Abs(c.v)-math.Abs(v)) <= slack || math.Abs(c.v/10-v) <= slack {
			return true
		}
	}
	return false
}
