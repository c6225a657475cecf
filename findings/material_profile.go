package findings

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// check refuses a profile that no arithmetic can use.
func (p Profile) check() error {
	if p.Date.IsZero() {
		return fmt.Errorf("round %q has no date: give the day the cores were taken", p.Round)
	}
	for _, l := range p.Layers {
		where := fmt.Sprintf("round %q: layer %s", p.Round, l.name())
		switch {
		case !(l.TopMM >= 0 && l.BottomMM > l.TopMM) || math.IsInf(float64(l.BottomMM), 0):
			return fmt.Errorf("%s: allowed is a top at 0 mm or deeper and a bottom below it", where)
		case !(l.OM >= 0 && l.OM < 100):
			return fmt.Errorf("%s: organic matter is %g %%: allowed is 0 to less than 100 %%", where, float64(l.OM))
		case !(l.Density > 0) || math.IsInf(float64(l.Density), 0):
			return fmt.Errorf("%s: bulk density is %g kg/m³: allowed is a number above 0, measured or estimated", where, float64(l.Density))
		case !(l.OMSE >= 0) || math.IsInf(float64(l.OMSE), 0) || !(l.DensitySE >= 0) || math.IsInf(float64(l.DensitySE), 0):
			return fmt.Errorf("%s: standard errors are %g points and %g kg/m³: allowed is 0 or more", where, float64(l.OMSE), float64(l.DensitySE))
		}
	}
	return nil
}

func (l ProfileLayer) name() string {
	return fmt.Sprintf("%g–%g mm", float64(l.TopMM), float64(l.BottomMM))
}

// mass is the dry mass of the layer, ρ·h [kg/m²].
func (l ProfileLayer) mass() float64 { return float64((l.BottomMM - l.TopMM).Mass(l.Density)) }

// touching gives the layers from the surface down as far as each starts where the last one ends.
func (p Profile) touching() []ProfileLayer {
	sorted := slices.Clone(p.Layers)
	slices.SortFunc(sorted, func(a, b ProfileLayer) int {
		return cmp.Or(cmp.Compare(a.TopMM, b.TopMM), cmp.Compare(a.BottomMM, b.BottomMM))
	})
	var out []ProfileLayer
	var at unit.Millimetres
	for _, l := range sorted {
		if l.TopMM == at {
			out = append(out, l)
			at = l.BottomMM
		}
	}
	return out
}

// usableRounds gives the rounds by date, each with the layers that touch from the surface down, and leaves out, with a
// word, those with fewer than two: one layer cannot show where its material went.
func usableRounds(rounds []Profile) (out []Profile, notes []string) {
	for _, p := range rounds {
		layers := p.touching()
		if len(layers) < 2 {
			notes = append(notes, fmt.Sprintf("Round %s has fewer than two layers that touch from the surface down: it cannot show where the material went.", p.Round))
			continue
		}
		if n := len(p.Layers) - len(layers); n > 0 {
			notes = append(notes, fmt.Sprintf("Round %s: %s left out because it does not join on to those above.", p.Round, count(n, "layer")))
		}
		out = append(out, Profile{Round: p.Round, Date: p.Date, Layers: layers})
	}
	slices.SortStableFunc(out, func(a, b Profile) int { return cmp.Or(a.Date.Compare(b.Date), cmp.Compare(a.Round, b.Round)) })
	return out, notes
}

// reference finds the round whose layers are to be followed among the usable ones, or says why there is none.
func (f Following) reference(usable []Profile) (at int, why string, err error) {
	if f.Reference == "" {
		if len(usable) == 0 {
			return 0, "No round has two layers that touch from the surface down: sample 0–20 and 20–40 mm, better 40–60 mm too, to follow the material.", nil
		}
		return 0, "", nil
	}
	for i, p := range usable {
		if p.Round == f.Reference {
			return i, "", nil
		}
	}
	for _, p := range f.Rounds {
		if p.Round == f.Reference {
			return 0, fmt.Sprintf("Round %s has fewer than two layers that touch from the surface down: choose another round to follow the material from.", p.Round), nil
		}
	}
	return 0, "", fmt.Errorf("round %q is not there: choose one of the rounds that were sampled", f.Reference)
}
