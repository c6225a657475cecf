package underfoot

import (
	"fmt"
	"slices"
	"strings"
)

// RoundPlan is a sampling round that is still to be taken, or the plan by which one was.
type RoundPlan struct {
	Course         string       `col:"course" key:"1" refers:"courses" about:"Course it is for."`
	Round          string       `col:"round" key:"1" about:"Label of the round, as its samples will carry it."`
	Date           Date         `col:"date" need:"1" about:"Day it is planned for."`
	Layers         string       `col:"layers" need:"1" about:"Layers in mm below the surface, separated by blanks, such as 0-20 20-40 40-60."`
	TopGreens      string       `col:"top_greens" about:"Greens of which only the top layer is taken, separated by blanks."`
	FullGreens     string       `col:"full_greens" about:"Greens of which every layer is taken, separated by blanks."`
	Cores          Opt[int]     `col:"cores" min:"1" max:"1000" about:"Cores in each composite."`
	CoreDiameterMM Opt[float64] `col:"core_diameter_mm" unit:"mm" above:"0" max:"500" about:"Inner diameter of the corer."`
	Verdure        string       `col:"verdure" oneof:"kept,removed" about:"Whether the green top is left on."`
	Seed           Opt[int]     `col:"seed" min:"0" max:"9007199254740991" about:"Number from which the core positions are drawn: the same seed gives the same positions."`
	Note           string       `col:"note" about:"Anything else."`
	Extra          Extra
}

// RoundPlans describes the table of planned rounds.
var RoundPlans = newTable[RoundPlan]("rounds", "Planned rounds")

// Table returns [RoundPlans].
func (*RoundPlan) Table() *Table { return RoundPlans }

// PlannedLayer is one layer of a planned round.
type PlannedLayer struct {
	TopMM, BottomMM float64
}

// LayerList returns the layers of the plan in the order in which they are written, or what is wrong with the text.
func (p *RoundPlan) LayerList() ([]PlannedLayer, error) {
	var out []PlannedLayer
	for _, word := range strings.Fields(p.Layers) {
		top, bottom, found := strings.Cut(strings.ReplaceAll(word, "–", "-"), "-")
		a, err1 := ParseNumber(top)
		b, err2 := ParseNumber(bottom)
		if !found || err1 != nil || err2 != nil {
			return nil, fmt.Errorf("%q is not a layer: its depths in mm are expected, such as 0-20", word)
		}
		if a < 0 || b > 2000 || b <= a {
			return nil, fmt.Errorf("layer %q is not possible: 0 to 2000 mm is allowed, and the bottom must be deeper than the top", word)
		}
		for _, other := range out {
			if a < other.BottomMM && other.TopMM < b {
				return nil, fmt.Errorf("layer %q overlaps layer %s: layers of one round may touch, not overlap", word, LayerName(other.TopMM, other.BottomMM))
			}
		}
		out = append(out, PlannedLayer{a, b})
	}
	if out == nil {
		return nil, fmt.Errorf("%q names no layer: write depths in mm, such as 0-20 20-40", p.Layers)
	}
	return out, nil
}

// Check refuses layers that cannot be read, and a green that is in both lists or twice in one.
func (p *RoundPlan) Check() []Fault {
	var faults []Fault
	if _, err := p.LayerList(); err != nil {
		faults = append(faults, Fault{"layers", err.Error()})
	}
	var met []string
	for _, list := range []struct{ column, text string }{{"top_greens", p.TopGreens}, {"full_greens", p.FullGreens}} {
		for _, green := range strings.Fields(list.text) {
			if slices.Contains(met, green) {
				faults = append(faults, Fault{list.column, "green " + green + " is named twice: name each green once, for the top layer or for all"})
			}
			met = append(met, green)
		}
	}
	return faults
}
