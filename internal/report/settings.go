package report

import (
	"underfoot"
	"underfoot/balance"
	"underfoot/bench"
	"underfoot/findings"
	"underfoot/internal/app"
)

// unsourced marks a default that nobody measured or published.
const unsourced = "common practice, no source"

// settings lists what was assumed, each with where it comes from.
func (b *builder) settings() Section {
	if b.empty() {
		return Section{}
	}
	t := Table{
		Caption: "Settings and assumptions in force",
		Columns: []Column{{"Setting", false}, {"Value", true}, {"Rests on", false}}, Fine: true,
	}
	add := func(name, value, from string) { t.Rows = append(t.Rows, []string{upper(name), value, from}) }
	for _, p := range bench.Parameters() {
		add(p.Name, withUnit(p.Default, p.Unit), p.Source)
	}
	add("smallest change that matters", withUnit(b.matters(), "points a year"), unsourced)
	add("scatter of round means, where only two rounds exist", withUnit(float64(findings.DefaultRoundSD), "points"), unsourced)
	density, from := float64(b.s.SandDensity()), "the record of "+b.s.Sand.Title()
	if !b.s.Sand.BulkDensity.Known {
		from = unsourced
	}
	add("dressing sand, dry bulk density", withUnit(density, "kg/m³"), from)
	if b.accounted() {
		b.accountSettings(add)
	}
	return Section{Title: "What was assumed", Blocks: []Block{t}}
}

// accountSettings lists the standard uncertainties of the record of work.
func (b *builder) accountSettings(add func(name, value, from string)) {
	u := b.s.History.Uncertainty
	if u == (balance.Uncertainty{}) {
		u = balance.DefaultUncertainty()
	}
	percent := func(v float64) string { return withUnit(v*100, "%") }
	for _, z := range []struct {
		name string
		v    float64
	}{
		{"the spreader’s setting over a year, standard uncertainty", float64(u.SandYear)},
		{"each dressing by itself, standard uncertainty", float64(u.SandEvent)},
		{"area opened by tines and blades, standard uncertainty", float64(u.Area)},
		{"sand placed in holes or injected, standard uncertainty", float64(u.Backfill)},
		{"organic matter of what sinks out, read between two layers, standard uncertainty", float64(u.Between)},
		{"the same, drawn on from the layers above", float64(u.Beyond)},
		{"the same, where one layer is all there is", float64(u.Alone)},
	} {
		add(z.name, percent(z.v), unsourced)
	}
	add("organic matter made in one year against another, standard uncertainty", withUnit(float64(u.Growth), "kg/m²"), unsourced)
	add("working range of organic matter made in the top 20 mm, shown and never used",
		underfoot.FormatNumber(balance.WorkingLow)+" to "+withUnit(balance.WorkingHigh, "kg/m² a year"), "working default, no source")
	add("depth of injected sand, where not written down", withUnit(app.DefaultInjectionDepth, "mm"), unsourced)
}

// matters is the smallest change that matters to the trends [points a year].
func (b *builder) matters() float64 {
	if len(b.s.Layers) > 0 && b.s.Layers[0].Trend.Matters > 0 {
		return b.s.Layers[0].Trend.Matters
	}
	return findings.DefaultMatters
}

// withUnit writes a setting with its unit, as many digits as it has.
func withUnit(v float64, unit string) string {
	words := underfoot.FormatNumber(v)
	if v >= 1000 && v == float64(int(v)) {
		words = num(v, 0)
	}
	if unit == "" || unit == "1" {
		return words
	}
	return words + " " + unit
}
