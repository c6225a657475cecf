package report

import (
	"fmt"
	"math"
	"strings"

	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
)

// z90 is the standard normal quantile that leaves 9 in 10 between its two sides.
const z90 = 1.645

// evenness compares the greens.
func (b *builder) evenness() Section {
	section := Section{Title: "How even the " + surfaces(b.s.Surface) + " are"}
	var known []*app.Layer
	for i := range b.s.Layers {
		if b.s.Layers[i].Even.Known {
			known = append(known, &b.s.Layers[i])
		}
	}
	if len(known) == 0 {
		if len(b.s.Layers) == 0 {
			return Section{}
		}
		section.Blocks = []Block{Text{Words: "One green was sampled, so there is nothing to compare it with."}}
		return section
	}
	section.Blocks = []Block{b.evenFigure(known[0]), b.evenTable(known)}
	return section
}

// evenFigure draws the greens of the uppermost layer.
func (b *builder) evenFigure(l *app.Layer) Figure {
	f := figure.Greens{Layer: l.Name(), Course: math.NaN(), Width: 658}
	for _, g := range l.Even.Greens {
		e, se := float64(g.Estimate), float64(g.SE)
		f.Greens = append(f.Greens, figure.Green{
			Name: b.s.GreenTitle(g.Green), StandsOut: g.StandsOut,
			Level: &figure.Estimate{Mid: e, Outer: figure.Interval{Low: e - z90*se, High: e + z90*se}},
		})
	}
	return Figure{
		Number: b.figure(), Says: b.evenSays(l.Even), Panels: []Panel{{Title: l.Name(), Unit: "organic matter, %", Scene: f.Scene()}},
		Sure: fmt.Sprintf("Each green’s level as at %s, drawn towards the rest as far as its own cores are few. Standard deviation between greens: %s points (%s, 19 in 20).",
			month(l.Even.AsAt), num(float64(l.Even.SD), 2), span(float64(l.Even.SDLower95), float64(l.Even.SDUpper95), 2)),
	}
}

// evenSays is the sentence on evenness with greens called by the names people use.
func (b *builder) evenSays(c findings.Consistency) string {
	c.Greens = append([]findings.Green(nil), c.Greens...)
	for i := range c.Greens {
		c.Greens[i].Green = b.s.GreenTitle(c.Greens[i].Green)
	}
	return c.Sentence()
}

// evenTable gives the level of every green in every layer.
func (b *builder) evenTable(layers []*app.Layer) Table {
	t := Table{
		Caption: "Level of each green, % ± standard error", Columns: []Column{{"Green", false}},
	}
	cells := map[string]map[int]findings.Green{}
	var order []string
	for i, l := range layers {
		t.Columns = append(t.Columns, Column{l.Name(), true})
		for _, g := range l.Even.Greens {
			if cells[g.Green] == nil {
				cells[g.Green] = map[int]findings.Green{}
				order = append(order, g.Green)
			}
			cells[g.Green][i] = g
		}
	}
	t.Columns = append(t.Columns, Column{"Stands out", false})
	for _, id := range order {
		row := []string{b.s.GreenTitle(id)}
		var above, below []string
		for i, l := range layers {
			g, ok := cells[id][i]
			if !ok {
				row = append(row, "–")
				continue
			}
			row = append(row, plusMinus(float64(g.Estimate), float64(g.SE), 1))
			switch {
			case g.StandsOut && g.FromMiddle > 0:
				above = append(above, l.Name())
			case g.StandsOut:
				below = append(below, l.Name())
			}
		}
		var out []string
		if len(above) > 0 {
			out = append(out, "above the rest at "+list(above))
		}
		if len(below) > 0 {
			out = append(out, "below the rest at "+list(below))
		}
		t.Rows = append(t.Rows, append(row, strings.Join(out, "; ")))
	}
	t.Note = "The level is drawn towards the rest as far as a green’s own cores are few. A dash: not sampled."
	return t
}
