package report

import (
	"fmt"
	"slices"
	"strings"

	"underfoot/calibrate"
)

// Levers is what one more of each kind of work would do, in words and tables.
type Levers struct {
	p Profile
	l *leverNumbers
}

// lever is one of them with its effects.
type lever struct {
	name    string
	effects []calibrate.Effect
}

func (v *Levers) list() []lever {
	all := []lever{{"1 mm more sand a year", v.l.MoreSand}, {"One more coring", v.l.OneCoring}, {"10 kg/ha less nitrogen a year", v.l.LessNitrogen}}
	return slices.DeleteFunc(all, func(x lever) bool { return len(x.effects) == 0 })
}

// at gives a lever's effect on a layer at a horizon.
func (v *Levers) at(x lever, layer calibrate.Layer, horizon int) (calibrate.Estimate, bool) {
	for _, e := range x.effects {
		if e.Layer == layer && e.Day == int(v.l.Horizons[horizon]) {
			return e.Change, true
		}
	}
	return calibrate.Estimate{}, false
}

// Says tells what each does to the layer at the surface in two years.
func (v *Levers) Says() string {
	layer := v.p.layers()[0].Layer
	var parts []string
	for _, x := range v.list() {
		if e, ok := v.at(x, layer, 1); ok {
			parts = append(parts, fmt.Sprintf("%s %s points (%s)", lowerFirst(x.name), signed(100*e.Q50, 2), signedSpan(100*e.Q05, 100*e.Q95, 2)))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("In two years, at %s: %s.", nameOf(layer), list(parts))
}

// Table is what each lever does to each layer in one and in two years.
func (v *Levers) Table() Table {
	t := Table{
		Caption: "Change of organic matter in the layer, points",
		Columns: []Column{{"What changes", false}, {"Layer", false}, {"In a year", true}, {"9 in 10", true}, {"In two years", true}, {"9 in 10", true}},
		Note:    "Against " + inDays(v.l.Baseline) + ". Every run is made with and without it, in the same weather and with the same draws, so that what both share does not blur the difference.",
	}
	if v.l.CoringName != "" && len(v.l.OneCoring) > 0 {
		t.Note = "The coring: " + inDays(ended(v.l.CoringName)) + " " + t.Note
	}
	for _, x := range v.list() {
		for _, l := range v.p.layers() {
			row := []string{x.name, layerCell(l.Layer)}
			for h := range 2 {
				e, ok := v.at(x, l.Layer, h)
				if !ok {
					row = append(row, "–", "–")
					continue
				}
				row = append(row, signed(100*e.Q50, 2), signedSpan(100*e.Q05, 100*e.Q95, 2))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// Holds sets the sand that would hold each layer beside the sand applied.
func (v *Levers) Holds() Table {
	mm := 1000 / float64(v.p.s.SandDensity())
	t := Table{
		Caption: "Sand on top that would hold each layer where it is now for two years, mm a year",
		Note:    "Amounts as the log writes them down. Put on: spread in the twelve months up to the last record.",
		Columns: []Column{{"Layer", false}, {"Sand can hold it", false}, {"To hold it", true}, {"9 in 10", true}, {"kg/m² a year", true}, {"Put on, last year", true}, {"As planned", true}},
	}
	for _, h := range v.l.Holding {
		row := []string{layerCell(h.Layer), possible(h.Possible), "–", "–", "–", num(v.l.AppliedMM, 1), num(v.l.PlannedMM, 1)}
		if h.Possible >= 0.5 {
			row[2], row[3], row[4] = num(mm*h.Sand.Q50, 1), span(mm*h.Sand.Q05, mm*h.Sand.Q95, 1), num(h.Sand.Q50, 1)
		}
		t.Rows = append(t.Rows, row)
		t.Note += v.balanceSays(h.Layer, mm)
	}
	return t
}

// balanceSays tells the sand of the balance from this one, for the layer at the surface: both are called holding.
func (v *Levers) balanceSays(l calibrate.Layer, mm float64) string {
	h := v.p.s.Holding(l.Top, l.Bottom)
	if l.Top > 0 || h == nil || !h.Answered() {
		return ""
	}
	e := h.Hold.Times(mm)
	return fmt.Sprintf(" The balance holds %s with %s mm a year (%s): that is all sand, in holes too, at what grew in the last years. "+
		"This is sand on top alone, over the next two, in the course's usual weather, beside the coring of the plan.", nameOf(l), num(e.Q50, 1), span(e.Q05, e.Q95, 1))
}

// possible says in how many runs sand on the surface reaches a layer at all.
func possible(share float64) string {
	switch {
	case share >= 0.95:
		return "yes"
	case share < 0.05:
		return "not in two years"
	}
	return fmt.Sprintf("in %s of 10 runs", num(10*share, 0))
}

// lowerFirst takes the capital off a name within a sentence.
func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }
