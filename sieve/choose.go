package sieve

import (
	"cmp"
	"slices"
	"strings"

	"underfoot/unit"
)

// Candidate is a sand on offer.
type Candidate struct {
	Name     string
	Curve    *Curve        // nil where no sieve table is there
	Bulk     unit.KgPerM3  // dry, as it lies
	Moisture unit.Fraction // water as delivered, of dry mass, 0 or more
	PriceTon *float64      // money a tonne as delivered; nil where not known
}

// Ranked is a candidate with how it goes.
type Ranked struct {
	Candidate
	Match
	Effective *unit.Fraction // share of grains that do the work
	// PerMM is what 1 mm of effective grains costs on 1 m² [money]: price·ρ·(1 + w)/10⁶/effective share.
	PerMM *float64
}

// Choose ranks sands for a top layer and a root zone: by fit, then by how near they lie to the root zone (to the top layer
// where that was not sieved), then by price and name.
func Choose(list []Candidate, top, root Bed) []Ranked {
	out := make([]Ranked, 0, len(list))
	for _, c := range list {
		r := Ranked{Candidate: c, Match: Suit(c.Curve, top, root)}
		if c.Curve != nil {
			if e, ok := c.Curve.Effective(); ok {
				r.Effective = &e
				if c.PriceTon != nil && e > 0 && c.Bulk > 0 && c.Moisture >= 0 {
					v := *c.PriceTon * float64(c.Bulk) * (1 + float64(c.Moisture)) / 1e6 / float64(e)
					r.PerMM = &v
				}
			}
		}
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b Ranked) int {
		return cmp.Or(cmp.Compare(a.Fit.order(), b.Fit.order()), cmp.Compare(a.far(), b.far()), cmp.Compare(price(a), price(b)), strings.Compare(a.Name, b.Name))
	})
	return out
}

func (f Fit) order() int { return slices.Index([]Fit{GoesWell, WithCare, NotAdvised, NotKnown}, f) }

// far is how far a sand lies from what it should be like [octaves].
func (r Ranked) far() float64 {
	switch {
	case r.Root != nil:
		return r.Root.Apart
	case r.Top != nil:
		return r.Top.Apart
	}
	return 0
}

func price(r Ranked) float64 {
	if r.PerMM == nil {
		return 1e18
	}
	return *r.PerMM
}
