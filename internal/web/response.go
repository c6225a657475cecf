package web

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot/findings"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

// responsesOf says how firmness goes with water content and the organic matter of the layer at the surface, a kind each.
func responsesOf(st *standing) []page.Response {
	var out []page.Response
	for i := range st.Responses() {
		out = append(out, responseOf(st, &st.Responses()[i]))
	}
	return out
}

func responseOf(st *standing, r *findings.Response) page.Response {
	name, unit, decimals := string(r.Kind), "", 1
	for _, w := range readingWords {
		if w.kind == string(r.Kind) {
			name, unit = w.name, shortUnit(w.kind)
		}
	}
	out := page.Response{Name: name + ", water and organic matter", Why: r.Why, Warnings: r.Warnings}
	if !r.Known {
		return out
	}
	out.Why = ""
	f := figure.Effects{
		Title: name + " for a point more organic matter in " + layerName(float64(r.TopMM), float64(r.BottomMM)), Unit: unit + " a point of organic matter", Decimals: decimals, Odds: "19 in 20",
	}
	t := page.Table{Caption: "A point more organic matter, or one per cent more water, goes with", Head: []string{"", "Change", "19 in 20", "Unit", "Degrees of freedom"}}
	for _, s := range []struct {
		name, unit string
		of         findings.OMSlope
		drawn      bool
	}{
		{"at the same water", unit + " a point", r.Direct, true},
		{"through water", unit + " a point", r.Through, true},
		{"in all", unit + " a point", r.Total, true},
		{"water on organic matter", "% by volume a point", r.WaterOnOM, false},
		{name + " on water", unit + " a % of water", r.Water, false},
	} {
		if s.drawn {
			f.Effects = append(f.Effects, figure.Effect{Name: s.name, Estimate: figure.Estimate{Mid: s.of.Value, Outer: figure.Interval{Low: s.of.Lower95, High: s.of.Upper95}}})
		}
		df := "–"
		if s.of.DF > 0 && !math.IsInf(s.of.DF, 0) {
			df = page.Num(s.of.DF, 1)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{s.name, page.Signed(s.of.Value, 2), page.SignedSpan(s.of.Lower95, s.of.Upper95, 2), s.unit, df}})
	}
	wide := f.Scene()
	f.Width = 350
	out.Figure = page.Figure{
		Picture: page.Draw(wide, f.Scene()), Says: r.Sentence(), Sure: r.Explains(), Table: &t, Method: r.How,
		YAxis: fmt.Sprintf("Change of %s, with the interval that holds 19 times in 20", lowerFirst(name)),
		Note:  fmt.Sprintf("%s of %s on %s.", page.Count(r.N, "reading", "readings"), page.Count(r.Greens, "green", "greens"), page.Count(r.Days, "day", "days")),
	}
	for _, line := range []string{r.Levels(), r.Split(), r.Doubt()} {
		if line != "" && !slices.ContainsFunc(st.Reasons(), func(b string) bool { return strings.HasPrefix(b, line) }) {
			out.Lines = append(out.Lines, line)
		}
	}
	return out
}

// shortUnit is the unit of a kind of reading without how it was read.
func shortUnit(kind string) string {
	if kind == string(findings.FirmnessMM) {
		return "mm"
	}
	return "g"
}
