package sieve

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Limit is a bound on the mass between two sizes.
type Limit struct {
	Name string
	From Edge // zero for everything finer
	To   Edge // zero for everything coarser
	Most bool // at most Percent; otherwise at least
	// The bound [% of mass].
	Percent unit.Percent
	// Part is set for a bound on a part of what lies between From and To that sieves cannot tell from the rest.
	Part bool
}

// RootZoneLimits are the limits of the construction recommendation on a root zone. Source: as [Construction].
func RootZoneLimits() []Limit {
	e := Construction().Edges
	at005, at015, at025, at1, at2, at34 := e[0], e[1], e[2], e[4], e[5], e[6]
	return []Limit{
		{Name: "fine gravel, 2–3.4 mm", From: at2, To: at34, Most: true, Percent: 3},
		{Name: "fine gravel and very coarse sand, 1–3.4 mm", From: at1, To: at34, Most: true, Percent: 10},
		{Name: "coarse and medium sand, 0.25–1 mm", From: at025, To: at1, Percent: 60},
		{Name: "fine sand, 0.15–0.25 mm", From: at015, To: at025, Most: true, Percent: 20},
		{Name: "very fine sand, 0.05–0.15 mm", From: at005, To: at015, Most: true, Percent: 5},
		{Name: "silt, 0.002–0.05 mm", To: at005, Most: true, Percent: 5, Part: true},
		{Name: "clay, under 0.002 mm", To: at005, Most: true, Percent: 3, Part: true},
		{Name: "very fine sand, silt and clay, under 0.15 mm", To: at015, Most: true, Percent: 10},
	}
}

// Verdict is whether a limit is met, with the confidence the repeatability allows.
type Verdict string

// Verdicts.
const (
	Met         Verdict = "met"
	NotMet      Verdict = "not met"
	TooClose    Verdict = "too close to tell"
	NotMeasured Verdict = "not measured"
)

// sure is the chance from which a limit is called met or not met. A working default, no source.
const sure = 0.95

// Judged is a limit beside a curve.
type Judged struct {
	Limit
	Found     *unit.Percent // as read on the curve; nil where the sieves do not reach or cannot tell
	Low, High unit.Percent  // bounds on it: apart where an edge was not sieved
	SD        unit.Percent
	Within    *bool   // what was found is within the limit; nil where neither it nor its bounds tell
	Chance    float64 // that the material is within the limit, given the repeatability; of the worse bound
	Verdict   Verdict
}

// Allowed says the bound in words.
func (l Limit) Allowed() string {
	if l.Most {
		return fmt.Sprintf("at most %g %%", float64(l.Percent))
	}
	return fmt.Sprintf("at least %g %%", float64(l.Percent))
}

// Judge holds a curve against limits. Where the curve does not reach an edge the bounds on the mass are used: everything
// on the coarsest sieve may be coarser, everything through the finest finer. An edge between two sieves is read on the curve,
// and the verdict is sure only where it would hold wherever between them the grains lie.
func Judge(c *Curve, limits []Limit) []Judged {
	out := make([]Judged, 0, len(limits))
	for _, l := range limits {
		out = append(out, l.judge(c))
	}
	return out
}

func (l Limit) judge(c *Curve) Judged {
	j := Judged{Limit: l}
	j.Low, j.High, j.SD = c.bounds(l.From, l.To)
	if l.Part {
		j.Low = 0
	} else if p, sd, ok := c.edges(l.From, l.To); ok {
		j.Found, j.SD = &p, sd
	}
	within := func(p unit.Percent) bool {
		if l.Most {
			return p <= l.Percent+reached
		}
		return p >= l.Percent-reached
	}
	good := func(p unit.Percent) float64 {
		below := chance(float64(p), float64(j.SD), float64(l.Percent))
		if l.Percent == 0 && p <= 0 { // what was looked for and not found
			below = 1
		}
		if l.Most {
			return below
		}
		return 1 - below
	}
	switch a, b := within(j.Low), within(j.High); {
	case j.Found != nil:
		w := within(*j.Found)
		j.Within = &w
	case a == b:
		j.Within = &a
	}
	a, b := good(j.Low), good(j.High)
	j.Chance = min(a, b)
	switch {
	case j.Within == nil:
		j.Verdict = NotMeasured
	case j.Chance >= sure:
		j.Verdict = Met
	case max(a, b) <= 1-sure:
		j.Verdict, j.Chance = NotMet, max(a, b)
	default:
		j.Verdict = TooClose
	}
	return j
}

// edges is [Curve.Between] for edges of a system.
func (c *Curve) edges(from, to Edge) (share, sd unit.Percent, ok bool) {
	lo, hi := unit.Millimetres(0), unit.Millimetres(math.Inf(1))
	if from.Size > 0 {
		lo, _ = from.at(c)
	}
	if to.Size > 0 {
		hi, _ = to.at(c)
	}
	return c.Between(lo, hi)
}

// bounds gives the least and most that can lie between two edges: an edge that was not sieved may lie anywhere between
// its neighbours, or beyond all sieves.
func (c *Curve) bounds(from, to Edge) (low, high, sd unit.Percent) {
	lo1, lo2 := c.bracket(from, 0)
	hi1, hi2 := c.bracket(to, unit.Millimetres(math.Inf(1)))
	high, sd, _ = c.Between(lo1, hi2)
	if lo2 < hi1 {
		low, _, _ = c.Between(lo2, hi1)
	}
	return low, high, sd
}

// bracket gives the sieves on either side of an edge; the same twice where it was sieved, or where nothing lies beyond.
func (c *Curve) bracket(e Edge, open unit.Millimetres) (below, above unit.Millimetres) {
	if e.Size == 0 {
		return open, open
	}
	d, sieved := e.at(c)
	if sieved {
		return d, d
	}
	below, above = 0, unit.Millimetres(math.Inf(1))
	for _, s := range c.sizes {
		if s < float64(d) {
			below = unit.Millimetres(s)
		} else {
			return below, unit.Millimetres(s)
		}
	}
	return below, above
}
