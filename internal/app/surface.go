package app

import (
	"fmt"
	"slices"

	"underfoot"
)

// surfaceOf picks the surface that the findings are about: the greens, or where none were sampled the kind with most
// samples. Surfaces are not mixed: a tee is not a green.
func surfaceOf(rs *underfoot.Records) (kind string, greens []underfoot.Green, notes []string) {
	kindOf := map[string]string{}
	for _, g := range rs.Greens {
		kindOf[g.ID] = kindOfGreen(g)
	}
	samples := map[string]int{}
	for _, s := range rs.Samples {
		samples[kindOf[s.Green]]++
	}
	kind = "green"
	if samples[kind] == 0 {
		for _, k := range []string{"bowling", "approach", "tee"} {
			if samples[k] > samples[kind] {
				kind = k
			}
		}
	}
	for _, g := range rs.Greens {
		if kindOf[g.ID] == kind {
			greens = append(greens, g)
		}
	}
	for _, k := range []string{"green", "bowling", "approach", "tee"} {
		if n := samples[k]; n > 0 && k != kind {
			notes = append(notes, fmt.Sprintf("%d samples of other surfaces (%s) are kept and left out here: surfaces are not mixed", n, k))
		}
	}
	slices.Sort(notes)
	return kind, greens, notes
}

// SurfaceName says a kind of green in the plural.
func SurfaceName(kind string) string {
	switch kind {
	case "tee":
		return "tees"
	case "approach":
		return "approaches"
	case "bowling":
		return "bowling greens"
	}
	return "greens"
}

func kindOfGreen(g underfoot.Green) string {
	if g.Kind == "" {
		return "green"
	}
	return g.Kind
}
