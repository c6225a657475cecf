package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// Marks of a picture that mean different things: in grey print each pair in one picture must be told apart by lightness, by
// dash, by width, by texture, by being filled or open, or by shape. What only carries the picture – axes, grid, ticks, lettering
// and its plates – and what takes its colour from the data stands aside; so do the small signs that stand with their word.
var carries = []Style{
	axis, zero, grid, tick, word, wordBold, wordQuiet, wordModel, wordStop, blockWord, tipStyle, plate, block, soil, veil, surfaceUnder, slitUnder, turf, edge, empty,
	glyphWall, glyphTop, glyphFill, oddsFull, oddsOpen, arrow, tine, stStop, stOn, stYou, stWait, stDone, stWarn, stInk,
}

// greyMark is a style as it is used: on a stroke, an area or a dot.
type greyMark struct {
	shape string
	style Style
	edged bool // an area whose edges are drawn by strokes of their own
}

// greyMarks are the marks of a scene, each once.
func greyMarks(parts []Part) []greyMark {
	var out []greyMark
	add := func(shape string, st Style) {
		if m := (greyMark{shape, st, false}); st != "" && !slices.Contains(carries, st) && !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	for _, p := range parts {
		switch p := p.(type) {
		case Line:
			add("stroke", p.Style)
		case Rect:
			if p.Fill != "" {
				continue
			}
			if p.W < 12 && p.H < 12 && p.W > 4 && math.Abs(p.W-p.H) < .5 {
				add("square", p.Style)
			} else {
				add("area", p.Style)
			}
		case Circle:
			add("dot", p.Style)
		case Path:
			if p.Fill != "" {
				continue
			}
			if l := p.Style.Look(); l.Fill != "" || l.Pattern != "" {
				add("area", p.Style)
			} else {
				add("stroke", p.Style)
			}
		case Group:
			for _, m := range greyMarks(p.Parts) {
				add(m.shape, m.style)
			}
		}
	}
	return out
}

// lightness is L* of CIE 1976 of a colour, 0 black to 100 white; an opacity lets the paper through.
func lightness(hex string, opacity float64) float64 {
	y := luminance(hex)
	if opacity > 0 {
		y = opacity*y + (1-opacity)*luminance(Paper)
	}
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// Least differences in grey: of two strokes or dots, and of two areas that lie side by side.
const (
	greyStroke = 15.0
	greyArea   = 5.0
	greyWidth  = 1.4 // of the wider to the narrower
)

// apart tells by what two marks differ in grey print; empty if by nothing.
func (a greyMark) apart(b greyMark) string {
	la, lb := a.style.Look(), b.style.Look()
	if a.shape != b.shape {
		return "shape"
	}
	if a.shape == "stroke" {
		wide, thin := max(la.Width, lb.Width), min(la.Width, lb.Width)
		switch {
		case fmt.Sprint(la.Dash) != fmt.Sprint(lb.Dash):
			return "dash"
		case wide >= greyWidth*thin:
			return "width"
		case math.Abs(lightness(la.Stroke, la.Opacity)-lightness(lb.Stroke, lb.Opacity)) >= greyStroke:
			return "lightness"
		}
		return ""
	}
	if la.Pattern != lb.Pattern {
		return "texture"
	}
	if la.Pattern != "" {
		return ""
	}
	if (la.Stroke == "" && !a.edged) != (lb.Stroke == "" && !b.edged) {
		return "edge"
	}
	least := greyArea
	if a.shape != "area" {
		least = greyStroke
	}
	if math.Abs(lightness(la.Fill, la.Opacity)-lightness(lb.Fill, lb.Opacity)) >= least {
		return "lightness"
	}
	if la.Stroke != "" && math.Abs(lightness(la.Stroke, 0)-lightness(lb.Stroke, 0)) >= greyStroke {
		return "lightness of the edge"
	}
	return ""
}

// Every picture can be read in grey print.
func TestGreyPrint(t *testing.T) {
	pairs := map[string]bool{}
	for _, s := range samples() {
		marks := greyMarks(s.scene.Parts)
		for i := range marks {
			marks[i].edged = marks[i].style == wanted && slices.Contains(marks, greyMark{"stroke", wantedEdge, false})
		}
		for i, a := range marks {
			for _, b := range marks[i+1:] {
				by := a.apart(b)
				if by == "" {
					t.Errorf("%s: %s %s and %s cannot be told apart in grey", s.name, a.shape, a.style, b.style)
				}
				pairs[strings.Join([]string{a.shape, string(a.style), string(b.style)}, " ")] = true
			}
		}
	}
	if len(pairs) < 60 {
		t.Errorf("only %d pairs of marks were compared", len(pairs))
	}
}
