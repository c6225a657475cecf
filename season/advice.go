package season

import (
	"fmt"
	"time"

	"underfoot/balance"
	"underfoot/coring"
	"underfoot/unit"
)

// Advice is what to do in a season, or why there is none.
type Advice struct {
	Direction Direction
	Reason    string // why there is no advice; empty when there is some
	Layer     string // the layer that touches the surface, by its depths

	Top       Place   // the top layer, by topdressing
	Deeper    []Place // layers out of line that sand on top does not reach
	Holding   Amount  // sand into the top layer that holds it as it is
	Applied   Amount  // sand it really got lately
	Lately    time.Time
	Short     float64 // chance that this falls short of holding
	From, To  int     // years of the account
	Intervals int     // between rounds in the account
	Dressings Dressings
	Coring    CoringWorth
	Growth    *GrowthWorth // nil when nitrogen is not known or nothing forms
	Doubt     balance.Origin
	Course    Course // with its defaults filled in
}

// Place is sand that has to go to one layer.
type Place struct {
	Top, Bottom unit.Millimetres
	Now, Aim    unit.Fraction // organic matter of the layer
	Times       float64       // Aim over Now
	Banded      bool          // the aim is the manager's band
	Why         string        // for a deeper layer: what is out of line
	Sand        Amount        // a year
	NoneNeeded  bool          // the middle of the draws asks for none
}

// Amount is sand a year in the units people order and spread it in.
type Amount struct {
	PerArea   balance.Estimate // kg/m², dry
	Depth     balance.Estimate // mm
	Dry       balance.Estimate // t on all greens
	Delivered balance.Estimate // t with its water
}

// CoringWorth is what one pass of the course's tines would do for the top layer.
type CoringWorth struct {
	Tines   coring.Tines
	Opening coring.Opening
	Own     bool             // the course's own set-up, not the default
	Removed balance.Estimate // organic matter out of the top layer [kg/m²]
	Holes   unit.KgPerM2     // sand its holes take within the top layer
	Less    balance.Estimate // sand that need not go on top [mm]
}

// GrowthWorth is what a tenth less nitrogen would save in sand, if organic matter forms in step with it.
type GrowthWorth struct {
	Nitrogen unit.KilogramsPerHectare
	Less     balance.Estimate // mm of sand a year
}

// Advise gives the advice for a season.
//
// The top layer gets the sand that holds it, or moves it toward the direction over Goal.Years (balance.Holding).
// A deeper layer is out of line when the direction is lower and it lies above its band or, without a band, holds
// more organic matter than the layer above it: sand on top does not reach it, so it is asked for in holes or by
// injection. With no direction there is no advice, only what holding would take.
func Advise(d Direction, layers []balance.Holding, c Course) (Advice, error) {
	a := Advice{Direction: d, Course: c.filled()}
	if err := a.Course.check(); err != nil {
		return Advice{}, err
	}
	if len(layers) == 0 || !layers[0].Answered() {
		a.Reason = "no round of cores has been weighed yet"
		if len(layers) > 0 {
			a.Reason = layers[0].Reason
		}
		return a, nil
	}
	top := layers[0]
	formed := top.Formed
	if top.Check != nil { // a model never finds what no turf does; the rounds alone do, where the record is wrong
		formed = top.Check.Formed
	}
	if formed.Q05 > balance.MostFormed {
		a.Reason = fmt.Sprintf("the account finds %s kg/m² of organic matter formed a year in %s, more than %s, which no turf makes: check the record of sand and the weighings",
			number(formed.Q50, 0), top.Name(), number(balance.MostFormed, 0))
		return a, nil
	}
	a.Layer, a.From, a.To, a.Intervals = top.Name(), top.From.Year(), top.To.Year(), top.Intervals
	a.Lately = top.Lately
	a.Holding, a.Applied, a.Short = a.amount(top.Hold), a.amount(top.Applied), top.Short
	if len(top.HoldBudget) > 0 {
		a.Doubt = top.HoldBudget[0].Origin
	}
	if d.Toward == Unknown {
		return a, nil
	}
	var err error
	if a.Top, err = a.place(top, ""); err != nil {
		return Advice{}, err
	}
	if d.Toward == Lower {
		if err := a.deeper(layers); err != nil {
			return Advice{}, err
		}
	}
	a.Dressings = dress(unit.Millimetres(a.Top.Sand.Depth.Q50), a.Course)
	if a.Coring, err = a.coring(top, c); err != nil {
		return Advice{}, err
	}
	a.Growth = a.growth(top)
	return a, nil
}

func (a Advice) amount(perArea balance.Estimate) Amount {
	tonnes := float64(unit.KgPerM2(1).Over(a.Course.Area).Tonnes())
	return Amount{
		PerArea:   perArea,
		Depth:     perArea.Times(float64(unit.KgPerM2(1).Depth(a.Course.SandDensity))),
		Dry:       perArea.Times(tonnes),
		Delivered: perArea.Times(float64(unit.Tonnes(tonnes).Delivered(a.Course.SandWater))),
	}
}

// place gives the sand a layer needs to follow the direction.
func (a Advice) place(l balance.Holding, why string) (Place, error) {
	p := Place{Top: l.Top, Bottom: l.Bottom, Now: l.OM, Times: 1, Why: why}
	band, banded := a.Course.band(l.Top, l.Bottom)
	switch a.Direction.Toward {
	case Lower:
		p.Times = a.Course.Goal.Lower
		if banded {
			p.Times, p.Banded = float64(aimBelow(l.OM, band)/l.OM), true
		}
	case Raise:
		p.Times = a.Course.Goal.Raise
		if banded {
			p.Times, p.Banded = float64(aimAbove(l.OM, band)/l.OM), true
		}
	}
	p.Aim = l.OM * unit.Fraction(p.Times)
	sand := l.Hold
	if p.Times != 1 {
		var err error
		if sand, err = l.Toward(p.Times, a.Course.Goal.Years); err != nil {
			return Place{}, fmt.Errorf("advice: %w", err)
		}
	}
	p.Sand = a.amount(sand)
	p.NoneNeeded = sand.Q50 <= 0
	return p, nil
}

// aimBelow is the edge of the band to go down to: its high from above it, its low from within, no further.
func aimBelow(now unit.Fraction, b Band) unit.Fraction {
	switch {
	case now > b.High:
		return b.High
	case now > b.Low:
		return max(b.Low, now/2) // halving is the most one step asks for
	}
	return now
}

// aimAbove is the edge of the band to go up to.
func aimAbove(now unit.Fraction, b Band) unit.Fraction {
	switch {
	case now < b.Low:
		return min(b.Low, 2*now)
	case now < b.High:
		return min(b.High, 2*now)
	}
	return now
}

func (a *Advice) deeper(layers []balance.Holding) error {
	for k := 1; k < len(layers); k++ {
		l := layers[k]
		if !l.Answered() {
			continue
		}
		why := ""
		if band, ok := a.Course.band(l.Top, l.Bottom); ok {
			if l.OM > band.High {
				why = fmt.Sprintf("it lies above its band of %s to %s %%", number(float64(band.Low.Percent()), 1), number(float64(band.High.Percent()), 1))
			}
		} else if l.OM > layers[k-1].OM {
			why = "it holds more organic matter than the layer above it"
		}
		if why == "" {
			continue
		}
		p, err := a.place(l, why)
		if err != nil {
			return err
		}
		if !p.NoneNeeded {
			a.Deeper = append(a.Deeper, p)
		}
	}
	return nil
}

func (a Advice) coring(top balance.Holding, given Course) (CoringWorth, error) {
	o, err := a.Course.Coring.Open()
	if err != nil {
		return CoringWorth{}, fmt.Errorf("advice: the course's coring: %w", err)
	}
	w, err := top.Coring(o, a.Course.SandDensity, a.Course.Filled)
	if err != nil {
		return CoringWorth{}, fmt.Errorf("advice: %w", err)
	}
	return CoringWorth{
		Tines: a.Course.Coring, Opening: o, Own: given.Coring != coring.Tines{},
		Removed: w.Removed, Holes: unit.KgPerM2(w.Holes), Less: a.amount(w.Less).Depth,
	}, nil
}

// growth gives the sand a tenth less nitrogen saves: 0.1·A·(1 − L)/L, L the organic share of what sinks out. That
// organic matter forms in step with nitrogen is an assumption, no source.
func (a Advice) growth(top balance.Holding) *GrowthWorth {
	if a.Course.Nitrogen <= 0 || top.Formed.Q05 <= 0 {
		return nil
	}
	less := top.Formed.Times(0.1 * float64((1-top.Leaving)/top.Leaving))
	return &GrowthWorth{Nitrogen: a.Course.Nitrogen, Less: a.amount(less).Depth}
}
