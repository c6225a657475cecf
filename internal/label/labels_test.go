package label

import (
	"bytes"
	"fmt"
	"image"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var madeAt = time.Date(2026, 10, 14, 9, 30, 0, 0, time.UTC)

func bags(n int) []Bag {
	var out []Bag
	for i := range n {
		green, layer := fmt.Sprintf("Green %d", i/3+1), []string{"0–20 mm", "20–40 mm", "40–60 mm"}[i%3]
		out = append(out, Bag{
			Sample: fmt.Sprintf("varrowmere-2026-autumn-g%02d-%s", i/3+1, []string{"0-20", "20-40", "40-60"}[i%3]), Green: green, Layer: layer,
			Course: "Varrowmere Links", Round: "2026-autumn", Date: "2026-10-14", Cores: "5 cores",
		})
	}
	return out
}

func labelsPDF(t *testing.T, b []Bag, o Labels) []byte {
	t.Helper()
	o.About = About{Title: "Bag labels, Varrowmere Links, 2026-autumn", Subject: "Labels for bags", When: madeAt, Version: "test"}
	var out bytes.Buffer
	if err := WriteLabels(&out, b, o); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// The squares of the code are read back by an independent reader, whatever the label says.
func TestCodeReadsBack(t *testing.T) {
	cases := []struct {
		name string
		bag  Bag
	}{
		{"whole label", bags(1)[0]},
		{"letters beyond ASCII", Bag{Sample: "Fjällängen-1", Green: "Öster 3", Layer: "0–20 mm", Course: "Łódź kâñon"}},
		{"another script", Bag{Sample: "ゴルフ-03", Green: "三番"}},
		{"digits only", Bag{Sample: "20261014001"}},
		{"capitals only", Bag{Sample: "VM-26-A-G03"}},
		{"control characters", Bag{Sample: "a\tb\r\nc\x00", Course: " x "}},
	}
	for _, c := range cases {
		for _, only := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s/%v", c.name, only), func(t *testing.T) {
				want := c.bag.Text(only)
				m, err := encode(want, 40)
				if err != nil {
					t.Fatal(err)
				}
				got, err := readCode(m.picture(4), true)
				if err != nil {
					t.Fatal(err)
				}
				if d := cmp.Diff(want, got); d != "" {
					t.Errorf("read back differs (-want +got):\n%s", d)
				}
			})
		}
	}
}

func TestAnyCodeReadsBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		b := Bag{
			Sample: rapid.StringMatching(`[a-zA-Z0-9äöüéñ._/ -]{1,30}`).Draw(r, "sample"), Green: rapid.StringMatching(`[A-Za-z0-9 ]{0,12}`).Draw(r, "green"),
			Layer: "0–20 mm", Course: rapid.StringMatching(`[A-Za-zåÅ ]{0,20}`).Draw(r, "course"), Date: "2026-10-14",
		}
		want := b.Text(false)
		m, err := encode(want, 60)
		if err != nil {
			r.Fatal(err)
		}
		if got, err := readCode(m.picture(3), true); err != nil || got != want {
			r.Fatalf("read back %q (%v), want %q", got, err, want)
		}
	})
}

// distances are dots an inch, as of a phone further off and nearer. A reader may miss a code in one picture where its dots and
// the squares beat; a phone takes the next.
var distances = []int{200, 250, 300}

// Every label of every preset is read back from the printed page by an independent reader: its code, and its text.
func TestLabelsReadBackFromThePage(t *testing.T) {
	for _, preset := range Presets() {
		if testing.Short() && preset.Key != "letter-3x10" { // the smallest labels
			continue
		}
		t.Run(preset.Key, func(t *testing.T) {
			t.Parallel()
			s := preset.Stock
			list := bags(s.PerSheet() - 1)
			pdf := labelsPDF(t, list, Labels{Stock: s, First: 2, Edges: true})
			file := saved(t, pdf)
			var pages []image.Image
			for _, dpi := range distances {
				pages = append(pages, pageOf(t, pdf, 1, dpi))
			}
			for i, b := range list {
				x, y := s.place(i + 1)
				var got string
				seen := 0
				for k, dpi := range distances {
					text, err := readCode(cut(pages[k], dpi, x, y, s.Width, s.Height), false)
					if err != nil {
						continue
					}
					if seen++; seen > 1 && text != got {
						t.Fatalf("label %d reads as %q and as %q", i+2, got, text)
					}
					got = text
				}
				if seen < 2 {
					t.Fatalf("label %d is read at %d of %d distances", i+2, seen, len(distances))
				}
				if d := cmp.Diff(b.Text(false), got); d != "" {
					t.Errorf("label %d differs (-want +got):\n%s", i+2, d)
				}
				if i%7 != 0 && i != len(list)-1 {
					continue
				}
				text := textAt(t, file, 1, x, y, s.Width, s.Height)
				for _, line := range b.Lines() {
					if !strings.Contains(text, strings.ReplaceAll(line, " ", "")) {
						t.Errorf("label %d says %q, which lacks %q", i+2, text, line)
					}
				}
			}
			x, y := s.place(0)
			if got, err := readCode(cut(pages[0], distances[0], x, y, s.Width, s.Height), false); err == nil {
				t.Errorf("the first label is free, read %q", got)
			}
		})
	}
}

// A copier’s worth of damage: read at 200 dots an inch with a corner of the code lost under a thumb of mud.
func TestSoiledLabelIsRead(t *testing.T) {
	m, err := encode(bags(1)[0].Text(false), 50)
	if err != nil {
		t.Fatal(err)
	}
	for y := len(m)/2 + 2; y < len(m)/2+6; y++ {
		for x := len(m)/2 + 2; x < len(m)/2+6; x++ {
			m[y][x] = true
		}
	}
	got, err := readCode(m.picture(4), true)
	if err != nil || got != bags(1)[0].Text(false) {
		t.Errorf("read %q, %v", got, err)
	}
}

func TestSameLabelsSameBytes(t *testing.T) {
	o := Labels{Stock: Presets()[0].Stock, Copies: 2}
	first := labelsPDF(t, bags(30), o)
	for range 5 {
		if !bytes.Equal(first, labelsPDF(t, bags(30), o)) {
			t.Fatal("the same labels came out in other bytes")
		}
	}
	if bytes.Equal(first, labelsPDF(t, bags(29), o)) {
		t.Error("other labels came out in the same bytes")
	}
}

func TestPagesOfLabels(t *testing.T) {
	s := Presets()[0].Stock // 21 a sheet
	for _, c := range []struct{ bags, first, copies, pages int }{{1, 1, 1, 1}, {21, 1, 1, 1}, {21, 2, 1, 2}, {22, 1, 1, 2}, {21, 21, 2, 3}} {
		pdf := labelsPDF(t, bags(c.bags), Labels{Stock: s, First: c.first, Copies: c.copies})
		info := string(run(t, tool(t, "pdfinfo"), saved(t, pdf)))
		if want := fmt.Sprintf("Pages:           %d\n", c.pages); !strings.Contains(info, want) {
			t.Errorf("%+v: want %d pages:\n%s", c, c.pages, info)
		}
	}
}

func TestWhatThePDFSaysOfItself(t *testing.T) {
	pdf := labelsPDF(t, bags(1), Labels{Stock: Presets()[4].Stock})
	info := string(run(t, tool(t, "pdfinfo"), saved(t, pdf)))
	for _, want := range []string{"Title:           Bag labels, Varrowmere Links, 2026-autumn\n", "Subject:         Labels for bags\n", "612 x 792 pts (letter)"} {
		if !strings.Contains(info, want) {
			t.Errorf("missing %q in\n%s", want, info)
		}
	}
	if !bytes.Contains(pdf, []byte("/Lang (en-GB)")) {
		t.Error("the PDF does not say its language")
	}
	if fonts := string(run(t, tool(t, "pdffonts"), saved(t, pdf))); strings.Count(fonts, "Identity-H       yes no  yes") != 2 {
		t.Errorf("want two faces, embedded and with their characters:\n%s", fonts)
	}
}

func TestLabelsRefused(t *testing.T) {
	good := Presets()[0].Stock
	with := func(change func(*Stock)) Labels {
		s := good
		change(&s)
		return Labels{Stock: s}
	}
	cases := []struct {
		name string
		bags []Bag
		o    Labels
		want string
	}{
		{"none", nil, Labels{Stock: good}, "there is no bag to label"},
		{"too wide", bags(1), with(func(s *Stock) { s.Width = 70 }), "3 labels of 70 mm with margin and gaps need 222.2 mm across, A4 is 210 mm wide: fewer or narrower labels"},
		{"too high", bags(1), with(func(s *Stock) { s.Rows = 8 }), "8 labels of 38.1 mm with margin and gaps need 319.9 mm down, A4 is 297 mm high: fewer or lower labels"},
		{"no columns", bags(1), with(func(s *Stock) { s.Columns = 0 }), "labels across 0: 1 to 10 are allowed"},
		{"small", bags(1), with(func(s *Stock) { s.Height = 10 }), "label height 10 mm: 18 to 297 mm are allowed"},
		{"negative", bags(1), with(func(s *Stock) { s.GapX = -1 }), "gap across −1 mm: 0 to 50 mm are allowed"},
		{"first", bags(1), Labels{Stock: good, First: 22}, "first free label 22: 1 to 21 are allowed"},
		{"copies", bags(1), Labels{Stock: good, Copies: 11}, "11 copies of each label: 1 to 10 are allowed"},
		{"paper", bags(1), with(func(s *Stock) { s.Paper = "A3" }), `paper "A3": "A4" or "letter" are allowed`},
		{"long", []Bag{{Sample: strings.Repeat("W", 200)}}, Labels{Stock: good, SampleOnly: true}, `label of sample "` + strings.Repeat("W", 200) + `": its text does not fit 59.5 × 34.1 mm in letters of 6 pt: take larger labels or a shorter name`},
		{"no name", []Bag{{Course: "x"}}, Labels{Stock: good, SampleOnly: true}, `label of sample "": the sample has no name`},
		{
			"code too fine",
			[]Bag{{Sample: "a", Course: strings.Repeat("long name ", 60)}},
			Labels{Stock: good},
			`label of sample "a": its code has 85 squares a side, on 25.0 mm that is 0.27 mm each and 0.3 mm are needed to be read: take larger labels, or let the code hold the sample’s name only`,
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			err := WriteLabels(new(bytes.Buffer), c.bags, c.o)
			if err == nil {
				t.Fatal("printed")
			}
			if d := cmp.Diff(c.want, err.Error()); d != "" {
				t.Error(d)
			}
		})
	}
}

// Whatever a label says, it is printed or refused with a reason.
func FuzzBag(f *testing.F) {
	f.Add("vm-2026-g03-0-20", "Green 3", "Varrowmere", 63.5, 38.1)
	f.Add("\x00\xff\u2028😀", "", strings.Repeat("W", 300), 25.0, 18.0)
	f.Fuzz(func(t *testing.T, sample, green, course string, w, h float64) {
		o := Labels{Stock: Stock{Paper: A4, Columns: 1, Rows: 1, Width: w, Height: h}, About: About{Title: course, When: madeAt}}
		var out bytes.Buffer
		if err := WriteLabels(&out, []Bag{{Sample: sample, Green: green, Course: course}}, o); err == nil && !bytes.HasPrefix(out.Bytes(), []byte("%PDF-")) {
			t.Error("neither printed nor refused")
		}
	})
}
