package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"underfoot"
	"underfoot/internal/figure"
)

// wellFormed reads HTML strictly but for what HTML leaves open, and counts elements by name.
func wellFormed(t *testing.T, page []byte) map[string]int {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(page))
	d.Entity, d.AutoClose = xml.HTMLEntity, xml.HTMLAutoClose
	d.Strict = true
	count := map[string]int{}
	var open []string
	void := map[string]bool{"meta": true, "link": true, "br": true}
	for {
		token, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("the page is not well formed: %v", err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			count[e.Name.Local]++
			if !void[e.Name.Local] {
				open = append(open, e.Name.Local)
			}
		case xml.EndElement:
			if void[e.Name.Local] {
				continue
			}
			if len(open) == 0 || open[len(open)-1] != e.Name.Local {
				t.Fatalf("</%s> closes %v", e.Name.Local, open)
			}
			open = open[:len(open)-1]
		}
	}
	if len(open) > 0 {
		t.Fatalf("left open: %v", open)
	}
	return count
}

// Every variant of a course gives a page that is well formed and writes no value that is none.
func TestEveryVariantIsWellFormed(t *testing.T) {
	for _, folder := range []string{"varrowmere", "second"} {
		for _, v := range variants() {
			t.Run(folder+", "+v.name, func(t *testing.T) {
				t.Parallel()
				rs := records(t, folder)
				v.change(rs)
				st := stand(t, rs)
				page := html(t, Build(st, options()), Auto, Linked("a.css", "b.css"))
				count := wellFormed(t, page)
				if count["h1"] != 1 || count["html"] != 1 || count["link"] != 2 {
					t.Errorf("h1 %d, html %d, link %d: want 1, 1, 2", count["h1"], count["html"], count["link"])
				}
				for _, never := range []string{"NaN", "Inf ", "Inf<", "Inf)", "%!", "<nil>", "not known mm", "  ."} {
					if bytes.Contains(page, []byte(never)) {
						t.Errorf("the page holds %q", never)
					}
				}
				for _, kind := range Kinds() {
					for _, paper := range []Paper{A4, Letter} {
						o := options()
						o.Kind, o.Paper = kind, paper
						m := Build(st, o)
						if file := pdfOf(t, m, paper); !bytes.HasSuffix(file, []byte("%%EOF\n")) {
							t.Errorf("%s on %s: the file ends in %q", kind, paper, file[max(0, len(file)-10):])
						}
						n, err := m.Pages(paper)
						if _, most := kind.Allowed(); err != nil || (most > 0 && n > most) {
							t.Errorf("%s on %s: %d pages, %v; at most %d are meant", kind, paper, n, err, most)
						}
					}
				}
			})
		}
	}
}

// A page that is linked holds nothing that a strict content security policy forbids.
func TestLinkedHoldsNoStyle(t *testing.T) {
	page := html(t, Build(standing(t, "varrowmere"), options()), A4, Linked("/report.css"))
	for _, never := range []string{"<style", " style=", "<script", "data:", " onclick"} {
		if bytes.Contains(page, []byte(never)) {
			t.Errorf("the linked page holds %q", never)
		}
	}
}

// A page that embeds its look needs nothing else.
func TestEmbeddedNeedsNothing(t *testing.T) {
	page := html(t, Build(standing(t, "varrowmere"), options()), A4, Embedded())
	wellFormed(t, page)
	drawn := figure.Patterns() // the textures stand in the page
	for _, address := range regexp.MustCompile(`url\(["']?([^"')]+)`).FindAllSubmatch(page, -1) {
		if a := string(address[1]); !strings.HasPrefix(a, "data:font/woff2;base64,d09GMg") && !strings.Contains(drawn, `id="`+strings.TrimPrefix(a, "#")+`"`) { // d09GMg is wOF2
			t.Errorf("the page asks for %.60s", a)
		}
	}
	for _, never := range []string{"http:", "https:", "<link", "<script"} {
		if bytes.Contains(page, []byte(never)) {
			t.Errorf("the page holds %q", never)
		}
	}
	if n := len(page); n > 400_000 {
		t.Errorf("the page is %d bytes: more than 400,000", n)
	}
}

// Words of users stay words, in the page and in the running head of its style.
func TestEscape(t *testing.T) {
	const evil = `</style><script>alert(1)</script>"'&\}`
	rs := records(t, "varrowmere")
	rs.Course.Name = evil
	rs.Greens[8].Name = evil
	rs.Sands = append([]underfoot.Sand(nil), rs.Sands...)
	for i := range rs.Sands {
		rs.Sands[i].Name = evil
	}
	m := Build(stand(t, rs), Options{PreparedBy: evil, Recipient: evil, When: prepared, Currency: evil, Version: evil})
	for name, styling := range map[string]Styling{"embedded": Embedded(), "linked": Linked(evil)} {
		page := html(t, m, A4, styling)
		wellFormed(t, page)
		if bytes.Contains(page, []byte("<script")) {
			t.Errorf("%s: markup of a user got into the page", name)
		}
		ends := 1
		if styling.links != nil {
			ends = 0
		}
		if n := bytes.Count(page, []byte("</style>")); n != ends {
			t.Errorf("%s: a style element is ended %d times, want %d", name, n, ends)
		}
	}
}

func TestQuoted(t *testing.T) {
	for words, want := range map[string]string{
		"Kestrel 2": `"Kestrel 2"`, `a"b`: `"a\22 b"`, "</style>": `"\3c \2f style\3e "`, "a\nb\x00": `"a\a b\fffd "`, "é–": `"\e9 \2013 "`,
	} {
		if got := quoted(words); got != want {
			t.Errorf("quoted(%q) = %s, want %s", words, got, want)
		}
	}
}

// Numbers in the report are those of the standing.
func TestNumbersAreTheStandings(t *testing.T) {
	s := standing(t, "varrowmere")
	m := Build(s, options())
	var words strings.Builder
	for _, section := range m.Sections {
		for _, b := range section.Blocks {
			fmt.Fprintf(&words, "%+v\n", b)
		}
	}
	all := words.String()
	for i := range s.Layers {
		l := &s.Layers[i]
		for _, want := range []string{
			num(float64(l.Last().Mean), 1) + " %", signed(l.Trend.SlopePerYear, 2) + " points a year (" + signedSpan(l.Trend.Lower90, l.Trend.Upper90, 2) + ")",
		} {
			if !strings.Contains(all, want) {
				t.Errorf("%s: %q is not in the report", l.Name(), want)
			}
		}
	}
	for _, sentence := range s.Advice().Sentences()[1:] {
		if !strings.Contains(all, sentence) {
			t.Errorf("of the advice, %q is not in the report", sentence)
		}
	}
	for _, h := range s.Balance().Layers {
		for _, a := range h.Accounts {
			for _, v := range []float64{a.LeftOrganic.Value, a.ChangeOrganic.Value, a.Formed.Value} {
				if !strings.Contains(all, num(v, 2)+" ± ") {
					t.Errorf("%s, %s to %s: %s is not in the report", h.Name(), a.FromRound, a.ToRound, num(v, 2))
				}
			}
		}
	}
	for _, w := range s.Balance().Warnings {
		if !strings.Contains(all, sentence(w)) {
			t.Errorf("the warning %q is not in the report", w)
		}
	}
	if want := num(s.Advice().Top.Sand.Depth.Q50, 1); !strings.Contains(m.Statement, want) {
		t.Errorf("the statement %q does not hold %s", m.Statement, want)
	}
}
