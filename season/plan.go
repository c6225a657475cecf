package season

import (
	"cmp"
	"slices"

	"underfoot/profile"
)

// Entry is one dated piece of work of a plan.
type Entry struct {
	Day       int
	Operation *Operation
	SandMM    float64 // on the surface or injected, mm
}

// Plan is dated work on all greens of a course, in order of days.
type Plan struct {
	Entries []Entry
}

// Prices turns work into money.
type Prices struct {
	SandPerTonne float64 // as delivered
	Moisture     float64 // of the sand as delivered, share of its dry mass
	Density      float64 // dry, as it lies, kg/m³
	Losses       float64 // share of the sand bought that does not get onto a green
	Hour         float64 // of labour
	AreaM2       float64 // of all greens
	Currency     string
}

// Cost is what a plan takes.
type Cost struct {
	Sand, Contract, Fuel, Labour float64 // money
	SandMM                       float64 // over the greens
	SandTonnes                   float64 // as delivered, losses included
	Hours                        float64
	Disturbed                    float64 // days
}

// Money gives the sum.
func (c Cost) Money() float64 { return c.Sand + c.Contract + c.Fuel + c.Labour }

// add takes another cost in.
func (c *Cost) add(d Cost) {
	c.Sand, c.Contract, c.Fuel, c.Labour = c.Sand+d.Sand, c.Contract+d.Contract, c.Fuel+d.Fuel, c.Labour+d.Labour
	c.SandMM, c.SandTonnes, c.Hours, c.Disturbed = c.SandMM+d.SandMM, c.SandTonnes+d.SandTonnes, c.Hours+d.Hours, c.Disturbed+d.Disturbed
}

// Tonnes gives the sand to buy for so many millimetres over the greens, t as delivered:
//
//	t = mm/1000 · A · ρ/1000 · (1 + w) / (1 − losses)
//
// A area [m²], ρ dry bulk density [kg/m³], w water by dry mass.
func (p *Prices) Tonnes(mm float64) float64 {
	return mm / 1000 * p.AreaM2 * p.Density / 1000 * (1 + p.Moisture) / (1 - p.Losses)
}

// of gives the cost of an entry.
func (p *Prices) of(e Entry, c *Calendar) Cost {
	o := e.Operation
	mm := o.SandMM(e.SandMM)
	hours := o.Labour * p.AreaM2 / 1e4
	return Cost{
		Sand: p.Tonnes(mm) * p.SandPerTonne, Contract: o.Contract, Fuel: o.Fuel, Labour: hours * p.Hour,
		SandMM: mm, SandTonnes: p.Tonnes(mm), Hours: hours, Disturbed: o.DisturbedDays(c.Index(e.Day)),
	}
}

// Cost gives what a plan takes in all.
func (p *Plan) Cost(prices *Prices, c *Calendar) Cost {
	var sum Cost
	for _, e := range p.Entries {
		sum.add(prices.of(e, c))
	}
	return sum
}

// CostByYear gives what it takes season by season.
func (p *Plan) CostByYear(prices *Prices, c *Calendar) map[int]Cost {
	sums := map[int]Cost{}
	for _, e := range p.Entries {
		s := sums[c.Year(e.Day)]
		s.add(prices.of(e, c))
		sums[c.Year(e.Day)] = s
	}
	return sums
}

// sort puts the entries in order of days, opening before spreading.
func (p *Plan) sort() {
	slices.SortStableFunc(p.Entries, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(b.Operation.Kind, a.Operation.Kind))
	})
}

// Events gives what the plan does to a green.
func (p *Plan) Events(density float64) []profile.Event {
	var list []profile.Event
	for _, e := range p.Entries {
		list = append(list, e.Operation.Events(e.Day, e.SandMM, density)...)
	}
	return list
}
