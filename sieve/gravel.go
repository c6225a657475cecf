package sieve

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Check is one rule of a gravel under a root zone.
type Check struct {
	Rule    string
	Allowed string
	Found   *float64 // in Unit; nil where a curve does not reach
	SD      float64
	Unit    string // "mm", "%" or ""
	Within  *bool
	Chance  float64 // that the rule is kept
	Verdict Verdict
}

// Factors of the rules. Source: construction recommendation, revision of 2004, gravel without an intermediate layer (from
// memory); the permeability factor agrees with the filter rule D15 ≥ 5·D15 of the base of NRCS and USBR practice.
const (
	bridging     = 8
	permeable    = 5
	gravelSpread = 3.0
)

// Gravel holds a gravel against the root zone that is to lie on it without a layer between: bridging D15(gravel) ≤ 8·D85
// (root zone), permeability D15(gravel) ≥ 5·D15(root zone), uniformity D90/D15 ≤ 3.0, nothing over 12 mm, at most 10 %
// under 2 mm and 5 % under 1 mm.
func Gravel(gravel, root *Curve) []Check {
	g15, g15sd := gravel.at(15)
	g90, g90sd := gravel.at(90)
	r15, r15sd := root.at(15)
	r85, r85sd := root.at(85)
	ratio := func(a, ua, b, ub float64) (float64, float64) { return a / b, a / b * math.Hypot(ua/a, ub/b) }
	b, ub := ratio(g15, g15sd, r85, r85sd)
	p, up := ratio(g15, g15sd, r15, r15sd)
	u, uu := ratio(g90, g90sd, g15, g15sd)
	out := []Check{
		compare("bridging: D15 of the gravel over D85 of the root zone", b, ub, bridging, true, ""),
		compare("permeability: D15 of the gravel over D15 of the root zone", p, up, permeable, false, ""),
		compare("uniformity: D90 over D15 of the gravel", u, uu, gravelSpread, true, ""),
	}
	for _, l := range []Limit{
		{Name: "nothing over 12 mm", From: Edge{12, 12.5}, Most: true},
		{Name: "under 2 mm", To: Edge{Size: 2}, Most: true, Percent: 10},
		{Name: "under 1 mm", To: Edge{Size: 1}, Most: true, Percent: 5},
	} {
		j := l.judge(gravel)
		c := Check{Rule: l.Name, Allowed: l.Allowed(), SD: float64(j.SD), Unit: "%", Within: j.Within, Chance: j.Chance, Verdict: j.Verdict}
		if j.Found != nil {
			v := float64(*j.Found)
			c.Found = &v
		}
		out = append(out, c)
	}
	return out
}

// at gives a percentile size and its standard deviation, NaN where it is not known.
func (c *Curve) at(q unit.Percent) (d, sd float64) {
	v, ok := c.D(q)
	if !ok {
		return math.NaN(), math.NaN()
	}
	u, _ := c.DSD(q)
	return float64(v), float64(u)
}

func compare(rule string, found, sd, bound float64, most bool, of string) Check {
	c := Check{Rule: rule, Unit: of, Verdict: NotMeasured}
	word := "at least"
	if most {
		word = "at most"
	}
	c.Allowed = fmt.Sprintf("%s %g", word, bound)
	if math.IsNaN(found) {
		return c
	}
	c.Found, c.SD = &found, sd
	within := found >= bound
	c.Chance = 1 - chance(found, sd, bound)
	if most {
		within, c.Chance = found <= bound, 1-c.Chance
	}
	c.Within = &within
	switch {
	case c.Chance >= sure:
		c.Verdict = Met
	case c.Chance <= 1-sure:
		c.Verdict = NotMet
	default:
		c.Verdict = TooClose
	}
	return c
}

// GravelWindow is the range D15 of a gravel must lie in for a root zone [mm]: 5·D15 to 8·D85. ok is false where the root
// zone's curve does not reach.
func GravelWindow(root *Curve) (low, high unit.Millimetres, ok bool) {
	a, ok := root.D(15)
	b, also := root.D(85)
	return permeable * a, bridging * b, ok && also
}
