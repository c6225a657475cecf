package label

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func exampleSheet() Sheet {
	s := Sheet{
		Paper: A4, Course: "Varrowmere Links", Round: "2026-autumn", Date: "14 October 2026",
		Facts:    []Fact{{"Cores", "5 a green and layer, cut with a corer of 20 mm inside"}, {"Verdure", "kept"}},
		Layers:   []Layer{{"0–20 mm", 0, 20}, {"20–40 mm", 20, 40}, {"40–60 mm", 40, 60}},
		Cautions: Cautions(), About: About{Title: "Field sheet, Varrowmere Links, 2026-autumn", When: madeAt, Version: "test"},
	}
	for i := range 6 {
		stop := Stop{Green: fmt.Sprintf("Green %d", 3*i+1), Cores: 5}
		for _, l := range s.Layers[:1+2*(i%2)] {
			stop.Bags = append(stop.Bags, Packed{fmt.Sprintf("varrowmere-2026-autumn-g%02d-%.0f-%.0f", 3*i+1, l.Top, l.Bottom), l.Name})
		}
		if i%3 == 1 {
			stop.Walk = "A: sprinkler head by the bunker. B: drain lid."
			stop.Plan = &Plan{Fixed: []Mark{{Point{0, 0}, "A"}, {Point{24, 2}, "B"}}}
			for c := range 5 {
				at := Point{4 + 4*float64(c), 5 + 3*math.Sin(float64(c))}
				stop.Plan.Cores = append(stop.Plan.Cores, Mark{at, fmt.Sprint(c + 1)})
				stop.Places = append(stop.Places, Place{fmt.Sprint(c + 1), []Tape{
					{"A", math.Hypot(at.East, at.North)}, {"B", math.Hypot(at.East-24, at.North-2)},
				}, "to the left"})
			}
			ring := make([]Point, 40)
			for k := range ring {
				a := 2 * math.Pi * float64(k) / 40
				ring[k] = Point{12 + 13*math.Cos(a), 6 + 9*math.Sin(a)}
			}
			stop.Plan.Outline = [][]Point{ring}
		} else {
			stop.Walk = "Walk a W over the green, from the front left to the back right, and cut a core at each end and turn, at least 2 m from the edge."
		}
		s.Stops = append(s.Stops, stop)
	}
	return s
}

func sheetPDF(t *testing.T, s Sheet) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := WriteSheet(&out, s); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// The ruler and the bar are measured on the page as it is printed, on both papers and on every page.
func TestRulerIsToScale(t *testing.T) {
	for _, paper := range []Paper{A4, Letter} {
		s := exampleSheet()
		s.Paper = paper
		w, h := paper.size()
		pdf := sheetPDF(t, s)
		for page := 1; page <= 2; page++ {
			const dpi = 300
			img := pageOf(t, pdf, page, dpi)
			if got := float64(img.Bounds().Dy()) / dpi * 25.4; math.Abs(got-h) > 0.2 {
				t.Errorf("%s: page of %.1f mm, want %.1f", paper, got, h)
			}
			x := w - edge - 8
			if got := darkRun(img, dpi, x, rulerTop-3, x, rulerTop+90); math.Abs(got-60) > 0.5 {
				t.Errorf("%s, page %d: the ruler to 60 mm is %.2f mm long", paper, page, got)
			}
			if got := darkRun(img, dpi, edge-5, h-11, edge+80, h-11); math.Abs(got-checkBar) > 0.5 {
				t.Errorf("%s, page %d: the bar of 50 mm is %.2f mm long", paper, page, got)
			}
			for depth := 0; depth <= 60; depth++ {
				if !darkNear(img, dpi, x+1, rulerTop+float64(depth)) || darkNear(img, dpi, x+1, rulerTop+float64(depth)+0.5) {
					t.Errorf("%s, page %d: no tick of its own at %d mm", paper, page, depth)
				}
			}
			for _, depth := range []float64{0, 20, 40, 60} {
				if !darkNear(img, dpi, x-16.9, rulerTop+depth) {
					t.Errorf("%s, page %d: no line of a layer at %g mm", paper, page, depth)
				}
			}
		}
	}
}

// darkNear says whether a dot within 0.15 mm above or below a place in mm is dark.
func darkNear(img image.Image, dpi int, x, y float64) bool {
	for _, off := range []float64{-0.15, -0.08, 0, 0.08, 0.15} {
		c := img.At(int(x/25.4*float64(dpi)), int((y+off)/25.4*float64(dpi)))
		if color.GrayModel.Convert(c).(color.Gray).Y < 190 {
			return true
		}
	}
	return false
}

func TestSheetSaysEverything(t *testing.T) {
	s := exampleSheet()
	pdf := sheetPDF(t, s)
	text := textOf(t, pdf)
	at := 0
	for _, stop := range s.Stops { // in the order they are walked
		next := strings.Index(text[at:], stop.Green)
		if next < 0 {
			t.Fatalf("%s is missing or out of order", stop.Green)
		}
		at += next
		for _, b := range stop.Bags {
			if !strings.Contains(text[at:], b.Sample) {
				t.Errorf("bag %s is missing after %s", b.Sample, stop.Green)
			}
		}
		for _, p := range stop.Places {
			if want := fmt.Sprintf("core %s", p.Core); !strings.Contains(text[at:], want) {
				t.Errorf("%s is missing after %s", want, stop.Green)
			}
			for _, tape := range p.Tapes {
				if want := fmt.Sprintf("%.2f m from %s", tape.Metres, tape.From); !strings.Contains(text[at:], want) {
					t.Errorf("%q is missing after %s", want, stop.Green)
				}
			}
		}
	}
	for _, want := range []string{
		"Varrowmere Links, round 2026-autumn", "14 October 2026", "Layers", "0–20 mm, 20–40 mm, 40–60 mm", "Notes", "Cut by", "Print at 100 %",
		"This bar is 50 mm long when printed at 100 %.", "Page 1 of 2", "Page 2 of 2", "6, with 12 bags", "lift with the knees", "Walk a W over the green",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if !bytes.Contains(pdf, []byte("/Lang (en-GB)")) {
		t.Error("the PDF does not say its language")
	}
}

func TestSameSheetSameBytes(t *testing.T) {
	first := sheetPDF(t, exampleSheet())
	for range 5 {
		if !bytes.Equal(first, sheetPDF(t, exampleSheet())) {
			t.Fatal("the same sheet came out in other bytes")
		}
	}
}

// A sheet longer than a page goes on, and nothing is lost between the pages.
func TestLongSheets(t *testing.T) {
	s := exampleSheet()
	s.Stops = s.Stops[:2]
	for i := range 120 {
		s.Stops[1].Places = append(s.Stops[1].Places, Place{fmt.Sprintf("x%d", i), []Tape{{"a post with a name that is long enough to need a second line beside the plan", 3.456}}, ""})
		s.Stops[0].Bags = append(s.Stops[0].Bags, Packed{fmt.Sprintf("bag-%d", i), "0–20 mm"})
	}
	text := textOf(t, sheetPDF(t, s))
	for i := range 120 {
		for _, want := range []string{fmt.Sprintf("core x%d ", i), fmt.Sprintf("bag-%d", i)} {
			if !strings.Contains(text, want) {
				t.Errorf("%q is missing", want)
			}
		}
	}
}

func TestSheetRefused(t *testing.T) {
	cases := []struct {
		name   string
		change func(*Sheet)
		want   string
	}{
		{"nowhere", func(s *Sheet) { s.Stops = nil }, "there is no green to go to"},
		{"paper", func(s *Sheet) { s.Paper = "" }, `paper "": "A4" or "letter" are allowed`},
		{"upside down", func(s *Sheet) { s.Layers[0] = Layer{"x", 20, 0} }, `layer "x" from 20 to 0 mm: 0 to 2,000 mm are allowed, the bottom below the top`},
		{"too many", func(s *Sheet) { s.Stops[0].Cores = 401 }, `green "Green 1": 401 bags or cores: at most 400 go onto one sheet`},
	}
	for _, c := range cases {
		s := exampleSheet()
		c.change(&s)
		err := WriteSheet(new(bytes.Buffer), s)
		if err == nil {
			t.Errorf("%s: printed", c.name)
		} else if d := cmp.Diff(c.want, err.Error()); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}
}

func FuzzSheet(f *testing.F) {
	f.Add("Varrowmere", "Green 1", "walk a W", 0.0, 20.0, 5)
	f.Add("\xff", strings.Repeat("W", 500), "😀\u2028", 0.0, 2000.0, 400)
	f.Fuzz(func(t *testing.T, course, green, walk string, top, bottom float64, cores int) {
		s := Sheet{
			Paper: Letter, Course: course, Layers: []Layer{{walk, top, bottom}}, About: About{Title: green, When: madeAt},
			Stops: []Stop{{Green: green, Walk: walk, Cores: cores, Plan: &Plan{Cores: []Mark{{Point{top, bottom}, walk}, {Point{1, 2}, ""}}}}},
		}
		var out bytes.Buffer
		if err := WriteSheet(&out, s); err == nil && !bytes.HasPrefix(out.Bytes(), []byte("%PDF-")) {
			t.Error("neither printed nor refused")
		}
	})
}
