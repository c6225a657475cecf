package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
)

// layers shows the profile: each layer beside its piece of the core, with its level and its trend.
func (b *builder) layers() Section {
	section := Section{Title: "What the cores show"}
	if len(b.s.Layers) == 0 {
		if b.empty() {
			return Section{}
		}
		section.Blocks = []Block{Text{Words: "No composite is on record that was burnt whole, so nothing can be said of organic matter. A round of cores, weighed and burnt, would give its level; two rounds a trend."}}
		return section
	}
	f := Strata{Number: b.figure(), Says: b.layersSay(), Sure: b.layersSure()}
	for i := range b.s.Layers {
		f.Rows = append(f.Rows, b.stratum(i))
	}
	section.Blocks = []Block{f}
	if len(b.s.Layers[0].Rounds) == 1 {
		section.Blocks = append(section.Blocks, Text{Words: "One round gives a level. A trend needs a second round, best in the same weeks of another year."})
	}
	return section
}

// stratum is one layer's row.
func (b *builder) stratum(i int) Stratum {
	const height = 118
	l := &b.s.Layers[i]
	last := l.Last()
	row := Stratum{
		Layer: l.Name(), Level: num(float64(last.Mean), 1) + " %", Range: span(float64(last.Low90), float64(last.High90), 1),
		Core:  figure.Profile{Layers: b.core(), From: l.TopMM, To: l.BottomMM, Joined: true, Width: 122, Height: height, Measure: b.measure()}.Scene(),
		Trend: trend(l, 262, height-4),
		Says:  trendWords(l.Trend),
	}
	if l.Trend.Estimated {
		row.Figures = signed(l.Trend.SlopePerYear, 2) + " points a year (" + signedSpan(l.Trend.Lower90, l.Trend.Upper90, 2) + ")"
		if l.Trend.Verdict == findings.NoChange {
			row.Note = l.Trend.Visible()
		} else {
			_, p := l.Trend.ChanceOfChange()
			row.Chance = chance(p)
		}
	}
	return row
}

// change looks at the change of each layer twice more: whether it matters and goes on, and along the material.
func (b *builder) change() Section {
	var out Section
	if sure := b.steadiness(); len(sure) > 0 {
		out.Blocks = append(out.Blocks, List{Title: "Does it matter, and does it go on", Items: sure})
	}
	if said := b.material(); len(said) > 0 {
		out.Blocks = append(out.Blocks, List{Title: "Following the material instead of the depth", Items: said})
	}
	if len(out.Blocks) > 0 {
		out.Title = "The change, looked at twice more"
	}
	return out
}

// steadiness says of each layer whether it is steady within what matters and what the line behind good and bad rounds does.
func (b *builder) steadiness() []string {
	var out []string
	for i := range b.s.Layers {
		l := &b.s.Layers[i]
		if said := strings.TrimSpace(l.Trend.Equivalence() + " " + l.Trend.Behind()); said != "" {
			out = append(out, l.Name()+": "+said)
		}
	}
	return out
}

// material is what the material of each layer did, and why that differs from the layer at its depth.
func (b *builder) material() []string {
	m := b.s.MaterialFound()
	var out []string
	for _, band := range m.Bands {
		if band.Says != "" {
			out = append(out, band.Says)
		}
	}
	return out
}

// trendWords is the verdict on a trend in two or three words.
func trendWords(t findings.Trend) string {
	switch {
	case !t.Estimated:
		return "No trend yet"
	case t.Verdict == findings.NoChange && t.Steady:
		return "Steady"
	case t.Verdict == findings.NoChange:
		return "No change seen"
	}
	return upper(string(t.Verdict))
}

// core is the profile as last measured.
func (b *builder) core() []figure.Layer {
	var out []figure.Layer
	for i := range b.s.Layers {
		l := &b.s.Layers[i]
		out = append(out, figure.Layer{Top: l.TopMM, Bottom: l.BottomMM, Estimate: roundEstimate(l.Last())})
	}
	return out
}

func roundEstimate(m findings.RoundMean) figure.Estimate {
	return figure.Estimate{Mid: float64(m.Mean), Outer: figure.Interval{Low: float64(m.Low90), High: float64(m.High90)}}
}

// trend draws the rounds of a layer and, where there is one, the line through them in its band.
func trend(l *app.Layer, width, height float64) *figure.Scene {
	f := figure.Trend{Layer: l.Name(), Width: width, Height: height}
	for _, m := range l.Rounds {
		r := figure.Round{At: m.Date, Estimate: roundEstimate(m)}
		if l.Released(m.Round) {
			r.Kind = figure.Released
		}
		f.Rounds = append(f.Rounds, r)
	}
	if l.Trend.Estimated {
		from, to := l.Trend.Span()
		const steps = 24
		for k := range steps + 1 {
			at := from.Add(time.Duration(float64(to.Sub(from)) * float64(k) / steps))
			mid, _ := l.Trend.Line(at)
			low, high := l.Trend.Band(at, 0.9)
			f.Fit = append(f.Fit, figure.FitPoint{At: at, Mid: float64(mid), Low: float64(low), High: float64(high)})
		}
	}
	return f.Scene()
}

// layersSay is one sentence over all layers: which rise, which fall, where nothing was seen.
func (b *builder) layersSay() string {
	said := map[string][]string{}
	var order []string
	for i := range b.s.Layers {
		w := trendWords(b.s.Layers[i].Trend)
		if !slices.Contains(order, w) {
			order = append(order, w)
		}
		said[w] = append(said[w], b.s.Layers[i].Name())
	}
	tail := map[string][2]string{
		"Rising": {"is rising", "are rising"}, "Falling": {"is falling", "are falling"}, "Steady": {"is steady", "are steady"},
		"No change seen": {"shows no change that this sampling could see", "show no change that this sampling could see"},
	}
	if len(order) == 1 && order[0] == "No trend yet" {
		return "What the cores hold now; no trend yet."
	}
	if len(order) == 1 && order[0] == "No change seen" {
		return "No change that this sampling could see."
	}
	if len(order) == 1 && len(b.s.Layers) > 1 {
		all := "all " + count(len(b.s.Layers), "layer", "layers")
		if len(b.s.Layers) == 2 {
			all = "both layers"
		}
		return "Organic matter " + tail[order[0]][0] + " in " + all + "."
	}
	var parts []string
	for _, w := range order {
		n := 0
		if len(said[w]) > 1 {
			n = 1
		}
		if w == "No trend yet" {
			parts = append(parts, list(said[w])+[2]string{" has", " have"}[n]+" no trend yet")
			continue
		}
		parts = append(parts, list(said[w])+" "+tail[w][n])
	}
	return "Organic matter: " + strings.Join(parts, "; ") + "."
}

// layersSure says what the pictures of the layers rest on.
func (b *builder) layersSure() string {
	last := b.s.Layers[0].Last()
	words := fmt.Sprintf("Organic matter of the whole dry sample, %%. Last round %s", month(last.Date))
	if last.Cores > 0 {
		words += fmt.Sprintf(", %d cores from %s at %s", last.Cores, count(last.N, "green", "greens"), b.s.Layers[0].Name())
	}
	words += ". Bars"
	if b.s.Layers[0].Trend.Estimated {
		words += " and bands"
	}
	return words + " hold 9 chances in 10."
}
