package figure

import (
	"strings"
	"testing"
)

func TestTitled(t *testing.T) {
	for _, c := range []struct {
		name  string
		scene *Scene
		want  string // the title above it
	}{
		{"a unit that stands nowhere", Readings{Name: "Firmness", Unit: "g", Days: sampleDays(88, 92, 95)}.Scene(), "Firmness, g"},
		{"a unit at the last value", sampleTrend().Scene(), "Organic matter at 0 to 20 mm"},
		{"a unit in the title", sampleSeason().Scene(), "Sand put on so far, mm, against what"},
	} {
		t.Run(c.name, func(t *testing.T) {
			titled := c.scene.Titled()
			svg := titled.SVG(Standalone())
			if !strings.Contains(svg, ">"+c.want+"<") && !strings.Contains(svg, ">"+c.want+" ") {
				t.Errorf("no title %q in %.1200s", c.want, svg[strings.Index(svg, "</style>"):])
			}
			if titled.Head < 20 || c.scene.Head != 0 || len(titled.Parts) <= len(c.scene.Parts) {
				t.Errorf("%g px for the title; the drawing itself has %g", titled.Head, c.scene.Head)
			}
		})
	}
	if s := DepthGlyph(0, 20, 60); s.Titled() != s {
		t.Error("a small mark has a title")
	}
}

// The title stands within the paper of the file, above the drawing.
func TestTitlesAreInside(t *testing.T) {
	for _, s := range samples() {
		titled := s.scene.Titled()
		for _, p := range titled.Parts[len(s.scene.Parts):] {
			if x, ok := p.(Text); !ok || x.Y > -4 || x.Y < 10-titled.Head || textWidth(x.Words, x.Style) > titled.Width+1 {
				t.Errorf("%s: %+v in %g by %g below %g", s.name, p, titled.Width, titled.Height, titled.Head)
			}
		}
	}
}
