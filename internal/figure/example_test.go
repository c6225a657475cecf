package figure_test

import (
	"fmt"

	"underfoot/internal/figure"
)

func ExampleDepthGlyph() {
	fmt.Println(figure.DepthGlyph(20, 40, 60).SVG())
	// Output: <svg class="depth" viewBox="0 0 16 27" width="16" height="27" aria-hidden="true"><rect x="2.5" y="1.5" width="11" height="24" class="dg-wall"/><rect x="2.5" y="9.5" width="11" height="8" class="dg-fill"/><path d="M1 1.5L15 1.5" class="dg-top"/></svg>
}

func ExampleTrend() {
	s := figure.Trend{Layer: "0–20 mm"}.Scene()
	fmt.Println(s.Label)
	// Output: Organic matter at 0 to 20 mm: no round measured yet
}

func ExampleOMColour() {
	fmt.Println(figure.OMColour(7.2), figure.OMInk(7.2))
	// Output: #8A3F3A #FFFFFF
}
