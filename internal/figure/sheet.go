package figure

import (
	_ "embed"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
)

//go:embed figure.css
var screenRules string

// drawnStep is the grain of the classes that tell how wide a figure was drawn [px]. A style
// attribute would say it exactly, but a strict Content-Security-Policy forbids style attributes.
const drawnStep = 20

// drawnClass names the width a figure was drawn at, rounded to drawnStep: "drawn-440" sets --n to
// 440, by which a figure that narrows on a phone grows its lettering.
func drawnClass(width float64) string {
	n := clamp(math.Round(width/drawnStep), 5, 70) * drawnStep
	return "drawn-" + strconv.Itoa(int(n))
}

// Stylesheet gives the rules figures need beside base.css: the value shown on hover and focus, the
// styles base.css lacks, and the drawn-… classes. Serve it as a file of the page.
func Stylesheet() string {
	var b strings.Builder
	b.WriteString(screenRules)
	for n := 100; n <= 1400; n += drawnStep {
		fmt.Fprintf(&b, ".drawn-%d{--n:%d}\n", n, n)
	}
	return b.String()
}

// Patterns is the hidden svg that holds the textures; a page with figures holds it once, near the
// top of its body.
func Patterns() string {
	return `<svg class="patterns" width="0" height="0" aria-hidden="true" focusable="false">` + patternDefs + `</svg>`
}

// patternDefs are the textures: sand is stipple, coring upright tines, decay diagonal, growth blades.
const patternDefs = `<defs><pattern id="sand" width="9" height="9" patternUnits="userSpaceOnUse">` +
	`<rect width="9" height="9" class="pt-sand"/><g class="pt-speck"><circle cx="1.6" cy="1.8" r=".95"/>` +
	`<circle cx="6.2" cy="3.4" r=".8"/><circle cx="3.4" cy="6.2" r=".9"/><circle cx="7.9" cy="7.6" r=".75"/></g></pattern>` +
	`<pattern id="tine" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" class="pt-paper"/><path d="M3 0v6" class="pt-tine"/></pattern>` +
	`<pattern id="decay" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><rect width="6" height="6" class="pt-paper"/><path d="M0 0v6" class="pt-decay"/></pattern>` +
	`<pattern id="blade" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" class="pt-growth"/><path d="M1.5 6 3 1.5 4.5 6" class="pt-blade"/></pattern></defs>`

// deskStyle is the style element of a standalone file, written from the table of looks.
var deskStyle = desk()

func desk() string {
	names := make([]string, 0, len(looks))
	for s := range looks {
		names = append(names, string(s))
	}
	sort.Strings(names)
	var b strings.Builder
	b.WriteString("<style>text{font-family:'Atkinson Hyperlegible Next','Atkinson Hyperlegible',Verdana,sans-serif;" +
		"font-variant-numeric:tabular-nums lining-nums}.pt-sand{fill:#F6F0C4}.pt-speck{fill:#77713F}.pt-paper{fill:" + paper + "}" +
		".pt-tine{stroke:" + ink + ";stroke-width:1.6}.pt-decay{stroke:" + ink3 + ";stroke-width:1.2}" +
		".pt-growth{fill:#CFE2D4}.pt-blade{stroke:" + growth + ";stroke-width:1.1;fill:none}" +
		".halo{paint-order:stroke;stroke:" + paper + ";stroke-width:6px;stroke-linejoin:round}" +
		".mark:hover .tip,.mark:focus .tip{visibility:visible}")
	for _, n := range names {
		b.WriteString("." + n + "{" + looks[Style(n)].css(Style(n)) + "}")
	}
	b.WriteString("</style>")
	return b.String()
}

// css writes a look as declarations. A block takes its fill from the data, so it has none here.
func (l Look) css(s Style) string {
	var d []string
	switch {
	case l.Size > 0:
		if s != blockWord {
			d = append(d, "fill:"+l.Fill)
		}
		d = append(d, fmt.Sprintf("font-size:%gpx", l.Size))
		if l.Weight > 0 {
			d = append(d, fmt.Sprintf("font-weight:%d", l.Weight))
		}
		return strings.Join(d, ";")
	case l.Pattern != "":
		d = append(d, "fill:url(#"+l.Pattern+")")
	case l.Fill != "":
		d = append(d, "fill:"+l.Fill)
	case s != block && s != soil:
		d = append(d, "fill:none")
	}
	if l.Stroke != "" {
		d = append(d, "stroke:"+l.Stroke, fmt.Sprintf("stroke-width:%g", l.Width))
	}
	if len(l.Dash) == 2 {
		d = append(d, fmt.Sprintf("stroke-dasharray:%g %g", l.Dash[0], l.Dash[1]))
	}
	if l.Round {
		d = append(d, "stroke-linecap:round;stroke-linejoin:round")
	}
	if l.Opacity > 0 {
		d = append(d, fmt.Sprintf("opacity:%g", l.Opacity))
	}
	return strings.Join(d, ";")
}
