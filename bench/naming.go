package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"underfoot/unit"
)

// group is the crucibles that share one temperature.
type group struct {
	Temperature unit.Celsius
	Crucibles   []string
}

// outside collects the crucibles whose known temperature is not from low to high, coolest first.
func outside(crucibles []Crucible, of func(Crucible) *unit.Celsius, low, high unit.Celsius) []group {
	var out []group
	for _, c := range crucibles {
		t := of(c)
		if t == nil || (*t >= low && *t <= high) {
			continue
		}
		i := slices.IndexFunc(out, func(g group) bool { return g.Temperature == *t })
		if i < 0 {
			i, out = len(out), append(out, group{Temperature: *t})
		}
		out[i].Crucibles = append(out[i].Crucibles, c.Name)
	}
	slices.SortFunc(out, func(a, b group) int { return cmp.Compare(a.Temperature, b.Temperature) })
	for _, g := range out {
		slices.Sort(g.Crucibles)
	}
	return out
}

// of names crucibles in the middle of a sentence: " (crucible c02)", " (crucibles c02 and c03)", or nothing when
// they have no names.
func of(names []string) string {
	names = slices.DeleteFunc(slices.Clone(names), func(s string) bool { return s == "" })
	switch n := len(names); {
	case n == 0:
		return ""
	case n == 1:
		return " (crucible " + names[0] + ")"
	case n > 5:
		return fmt.Sprintf(" (%d crucibles)", n)
	default:
		return " (crucibles " + strings.Join(names[:n-1], ", ") + " and " + names[n-1] + ")"
	}
}
