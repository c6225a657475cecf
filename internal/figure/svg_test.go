package figure

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"underfoot/internal/golden"
)

func TestGolden(t *testing.T) {
	for _, s := range samples() {
		t.Run(s.name, func(t *testing.T) {
			golden.Equal(t, filepath.Join("testdata", s.name+".svg"), []byte(broken(s.scene.SVG(Standalone()))))
		})
	}
}

func TestGoldenInPage(t *testing.T) {
	golden.Equal(t, filepath.Join("testdata", "in-page.html"), []byte(broken(sampleTrend().Scene().SVG())))
	golden.Equal(t, filepath.Join("testdata", "still.html"), []byte(broken(sampleTrend().Scene().SVG(Still()))))
	golden.Equal(t, filepath.Join("testdata", "patterns.html"), []byte(broken(Patterns())))
	golden.Equal(t, filepath.Join("testdata", "sheet.css"), []byte(Stylesheet()))
}

// broken puts each element on its own line, so that a changed golden file can be read. Between the
// elements of these files a line break means nothing.
func broken(svg string) string { return strings.ReplaceAll(svg, "><", ">\n<") + "\n" }

func TestEveryFigureIsWellFormed(t *testing.T) {
	for _, s := range samples() {
		for name, opts := range map[string][]Option{"page": nil, "standalone": {Standalone()}, "still": {Still()}} {
			if err := sound(s.scene, s.scene.SVG(opts...)); err != nil {
				t.Errorf("%s, %s: %v", s.name, name, err)
			}
		}
	}
}

func TestSameSceneSameBytes(t *testing.T) {
	first, second := samples(), samples()
	for i := range first {
		if a, b := first[i].scene.SVG(), second[i].scene.SVG(); a != b {
			t.Errorf("%s differs between two drawings:\n%s\n%s", first[i].name, a, b)
		}
	}
}

// A strict Content-Security-Policy forbids style attributes and style elements; ids would collide
// where a page holds a figure twice.
func TestInPageHasNoStyleAndNoID(t *testing.T) {
	forbidden := regexp.MustCompile(`<style| style=| id=|<script| on[a-z]+=`)
	for _, s := range samples() {
		if hit := forbidden.FindString(s.scene.SVG()); hit != "" {
			t.Errorf("%s holds %q", s.name, hit)
		}
	}
}

func TestValuesAreFocusableAndNamed(t *testing.T) {
	svg := sampleTrend().Scene().SVG()
	for _, want := range []string{
		`<svg class="chart shrink drawn-440" viewBox="0 0 432 160" width="432" height="160" role="group" aria-label="Organic matter at 0 to 20 mm by round: Oct 2021: 5.1 % (4.5 to 5.7); `,
		`<g class="mark" tabindex="0" role="img" data-v="7.2" aria-label="Oct 2025: 7.2 % (6.6 to 7.8)"><title>Oct 2025: 7.2 % (6.6 to 7.8)</title>`,
		`<g class="tip" visibility="hidden" aria-hidden="true">`,
		`>7.2 %</text>`,
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("the trend does not hold %s\n%s", want, svg)
		}
	}
	if n := strings.Count(svg, `class="mark"`); n != 5 {
		t.Errorf("got %d marks for 5 rounds", n)
	}
	still := sampleTrend().Scene().SVG(Still())
	if strings.Contains(still, "tabindex") || !strings.Contains(still, `role="img"`) {
		t.Errorf("a still figure should be one image without focus:\n%s", still)
	}
}

func TestWordsAreEscaped(t *testing.T) {
	s := Budget{Unit: `"%&'`, Shares: []Share{{"<script>alert(1)</script> & \x00\xff", .3}}}.Scene()
	svg := s.SVG()
	if err := sound(s, svg); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(svg, "<script") {
		t.Errorf("words became markup:\n%s", svg)
	}
}

// Every style a figure uses has a look for the print writer, and a rule in the standalone sheet.
func TestEveryStyleHasALook(t *testing.T) {
	for _, s := range samples() {
		for _, st := range stylesOf(s.scene.Parts) {
			if _, ok := looks[st]; !ok {
				t.Errorf("%s uses style %q, which has no look", s.name, st)
			}
		}
	}
}

func stylesOf(parts []Part) []Style {
	var out []Style
	for _, p := range parts {
		switch p := p.(type) {
		case Line:
			out = append(out, p.Style)
		case Rect:
			out = append(out, p.Style)
		case Circle:
			out = append(out, p.Style)
		case Text:
			out = append(out, p.Style)
		case Path:
			out = append(out, p.Style)
		case Group:
			out = append(out, stylesOf(p.Parts)...)
		}
	}
	return out
}

// sound tells what is wrong with a drawing: markup that is not XML, a number that is none, or a
// shape outside its box.
func sound(s *Scene, svg string) error {
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return err
		}
	}
	for _, bad := range []string{"NaN", "Inf", "e+"} {
		if i := strings.Index(geometryOf(svg), bad); i >= 0 {
			return errors.New("a length is " + bad + ": " + svg)
		}
	}
	return inside(s, s.Parts)
}

var words = regexp.MustCompile(`>[^<]*<|aria-label="[^"]*"|data-v="[^"]*"`)

// geometryOf drops the words of a drawing.
func geometryOf(svg string) string { return words.ReplaceAllString(svg, "><") }

func inside(s *Scene, parts []Part) error {
	const slack = 13 // half a held square, the turf above a core
	var pts []Point
	for _, p := range parts {
		switch p := p.(type) {
		case Line:
			pts = append(pts, Point{p.X1, p.Y1}, Point{p.X2, p.Y2})
		case Rect:
			pts = append(pts, Point{p.X, p.Y}, Point{p.X + p.W, p.Y + p.H})
			if p.W < 0 || p.H < 0 {
				return errors.New("a rectangle has a negative side")
			}
		case Circle:
			pts = append(pts, Point{p.X, p.Y})
		case Path:
			for _, g := range p.Segs {
				if g.Kind != Close {
					pts = append(pts, g.P[0])
				}
			}
		case Text:
			if math.IsNaN(p.X) || math.IsNaN(p.Y) {
				return errors.New("words stand nowhere: " + p.Words)
			}
		}
	}
	for _, p := range pts {
		if !(p.X >= -slack && p.X <= s.Width+slack && p.Y >= -slack && p.Y <= s.Height+slack) {
			return errors.New("a shape lies outside its drawing")
		}
	}
	return nil
}

// anyNumber draws from ordinary and hopeless numbers.
func anyNumber(t *rapid.T, label string) float64 {
	return rapid.OneOf(
		rapid.Float64Range(-5, 15), rapid.Float64(),
		rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 1e308, -1e308, 5e-324, 1e9, 99.99, 100}),
	).Draw(t, label)
}

func anyTime(t *rapid.T, label string) time.Time {
	return rapid.OneOf(
		rapid.Custom(func(t *rapid.T) time.Time {
			return on(2020, 1, 1).AddDate(0, 0, rapid.IntRange(0, 2000).Draw(t, "days"))
		}),
		rapid.Custom(func(t *rapid.T) time.Time { return time.Unix(rapid.Int64().Draw(t, "unix"), 0).UTC() }),
		rapid.Just(time.Time{}), rapid.Just(on(2025, 10, 14)),
	).Draw(t, label)
}

func anyEstimate(t *rapid.T) Estimate {
	return Estimate{
		Mid: anyNumber(t, "mid"), Outer: Interval{anyNumber(t, "low"), anyNumber(t, "high")},
		Inner: Interval{anyNumber(t, "low50"), anyNumber(t, "high50")},
	}
}

func anyNeed(t *rapid.T) *Estimate {
	if !rapid.Bool().Draw(t, "known") {
		return nil
	}
	e := anyEstimate(t)
	return &e
}

func several[T any](t *rapid.T, label string, one func(*rapid.T) T) []T {
	return rapid.SliceOfN(rapid.Custom(one), 0, 12).Draw(t, label)
}

// anyFigure draws any figure with any input.
func anyFigure(t *rapid.T) *Scene {
	w, h := anyNumber(t, "w")*40, anyNumber(t, "h")*40
	text := rapid.String().Draw(t, "text")
	rounds := several(t, "rounds", func(t *rapid.T) Round {
		return Round{anyTime(t, "at"), anyEstimate(t), RoundKind(rapid.IntRange(-1, 5).Draw(t, "kind"))}
	})
	switch rapid.IntRange(0, 9).Draw(t, "figure") {
	case 0:
		return Trend{text, rounds, several(t, "fit", func(t *rapid.T) FitPoint {
			return FitPoint{anyTime(t, "at"), anyNumber(t, "mid"), anyNumber(t, "low"), anyNumber(t, "high")}
		}), w, h}.Scene()
	case 1:
		return Profile{several(t, "layers", func(t *rapid.T) Layer {
			return Layer{anyNumber(t, "top"), anyNumber(t, "bottom"), anyEstimate(t)}
		}), anyNumber(t, "from"), anyNumber(t, "to"), rapid.Bool().Draw(t, "joined"), rapid.Bool().Draw(t, "plain"), w, h, anyMeasure(t)}.Scene()
	case 2:
		r := Readings{text, text, rapid.IntRange(-2, 9).Draw(t, "decimals"), several(t, "days", func(t *rapid.T) Reading {
			return Reading{anyTime(t, "at"), anyEstimate(t)}
		}), nil, w, h}
		if rapid.Bool().Draw(t, "wanted") {
			r.Wanted = &Interval{anyNumber(t, "low"), anyNumber(t, "high")}
		}
		return r.Scene()
	case 3:
		return SandNeed{several(t, "seasons", func(t *rapid.T) Season {
			return Season{rapid.String().Draw(t, "name"), anyNumber(t, "applied"), anyNeed(t)}
		}), text, text, w, h, anyMeasure(t)}.Scene()
	case 4:
		return Greens{text, several(t, "greens", func(t *rapid.T) Green {
			return Green{rapid.String().Draw(t, "name"), anyNeed(t), anyNeed(t), rapid.Bool().Draw(t, "out")}
		}), anyNumber(t, "course"), w, h}.Scene()
	case 5:
		return SandSeason{
			anyTime(t, "from"), anyTime(t, "to"), anyTime(t, "until"),
			several(t, "dressings", func(t *rapid.T) Dressing { return Dressing{anyTime(t, "at"), anyNumber(t, "mm")} }),
			several(t, "need", func(t *rapid.T) NeedPoint {
				return NeedPoint{anyTime(t, "at"), anyNumber(t, "mid"), anyNumber(t, "low"), anyNumber(t, "high")}
			}), w, h, anyMeasure(t),
		}.Scene()
	case 6:
		return Budget{several(t, "shares", func(t *rapid.T) Share {
			return Share{rapid.String().Draw(t, "name"), anyNumber(t, "value")}
		}), text, rapid.IntRange(-2, 9).Draw(t, "decimals"), w}.Scene()
	case 7:
		return Spark{text, rounds, anyTime(t, "from"), anyTime(t, "to"), w, h}.Scene()
	case 8:
		return SandBar{anyNumber(t, "applied"), anyNeed(t), anyNumber(t, "max"), w, h, anyMeasure(t)}.Scene()
	default:
		return DepthGlyph(anyNumber(t, "top"), anyNumber(t, "bottom"), anyNumber(t, "total"))
	}
}

func TestAnyInputGivesASoundPicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyFigure(t)
		if err := sound(s, s.SVG()); err != nil {
			t.Fatal(err)
		}
	})
}

func FuzzEscape(f *testing.F) {
	f.Add("0–20 mm <b> & \"x\" \x00 \xff \ufffe")
	f.Fuzz(func(t *testing.T, words string) {
		w := writer{}
		w.b.WriteString("<t a=\"")
		w.escape(words)
		w.b.WriteString("\">")
		w.escape(words)
		w.b.WriteString("</t>")
		if err := xml.Unmarshal(w.b.Bytes(), new(struct{})); err != nil {
			t.Errorf("%q is written as %q: %v", words, w.b.String(), err)
		}
	})
}

func TestNumbersHaveTwoDecimals(t *testing.T) {
	for want, v := range map[string]float64{
		"0": -.001, "1.5": 1.5, "-2.13": -2.125001, "100": 100, "0.01": .0051, "-0.5": -.5,
	} {
		w := writer{b: *bytes.NewBuffer(nil)}
		if w.num(v); w.b.String() != want {
			t.Errorf("%v is written as %s, want %s", v, w.b.String(), want)
		}
	}
}

func BenchmarkTrend(b *testing.B) {
	for b.Loop() {
		_ = sampleTrend().Scene().SVG()
	}
}

func BenchmarkGreens(b *testing.B) {
	for b.Loop() {
		_ = Greens{Layer: "0–20 mm", Greens: sampleGreens(true), Course: 7.2}.Scene().SVG()
	}
}

func BenchmarkSandSeason(b *testing.B) {
	for b.Loop() {
		_ = sampleSeason().Scene().SVG()
	}
}

func anyMeasure(t *rapid.T) Measure {
	return rapid.SampledFrom([]Measure{{}, {"in", 1 / 25.4, 1}}).Draw(t, "measure")
}
