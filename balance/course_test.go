package balance_test

import (
	"math"
	"time"

	"underfoot/balance"
	"underfoot/unit"
)

// parcel is material that sinks in order: what was laid on one day, per area.
type parcel struct{ mineral, organic float64 }

func (p parcel) thickness() float64 { return p.mineral/1.6 + p.organic/0.22 } // mm, from kg/m² and g/cm³

// grower is an invented course whose truth is known: parcels sink under light dressings while organic matter
// forms near the surface and decays everywhere. It knows nothing of the account under test.
type grower struct {
	parcels  []parcel // surface first
	input    float64  // organic matter formed before decay [kg/m²/a]
	depth    float64  // e-folding depth of the input [mm]
	decay    float64  // [1/a]
	netAbove [3]float64
	lastYear [3]float64 // of it, in the last year run
	bottoms  [3]float64
}

func newGrower(input, depth, decay float64, om func(z float64) float64) *grower {
	g := &grower{input: input, depth: depth, decay: decay, bottoms: [3]float64{20, 40, 60}}
	for z := 0.0; z < 200; z++ {
		f := om(z + 0.5)
		rho := 1 / (f/0.22 + (1-f)/1.6) // g/cm³
		g.parcels = append(g.parcels, parcel{rho * (1 - f), rho * f})
	}
	return g
}

// day grows and rots for one day and books what formed above each bottom.
func (g *grower) day() {
	const year = 365.25
	z := 0.0
	for i := range g.parcels {
		p := &g.parcels[i]
		h := p.thickness()
		gain := g.input / year * (math.Exp(-z/g.depth) - math.Exp(-(z+h)/g.depth))
		net := gain - g.decay/year*p.organic
		for k, b := range g.bottoms {
			g.netAbove[k] += net * math.Min(1, math.Max(0, (b-z)/h))
		}
		p.organic += net
		z += h
	}
}

func (g *grower) dress(amount float64) {
	g.parcels = append([]parcel{{mineral: amount}}, g.parcels...)
}

// core takes a share of every parcel to a depth and fills the holes with sand, spread over the same depth.
func (g *grower) core(share, depth, backfill float64) {
	z := 0.0
	for i := range g.parcels {
		p := &g.parcels[i]
		h := p.thickness()
		in := math.Min(1, math.Max(0, (depth-z)/h))
		z += h
		p.organic *= 1 - share*in
		p.mineral = p.mineral*(1-share*in) + backfill*in*h/depth
	}
}

func (g *grower) round(at time.Time, layers int) balance.Round {
	r := balance.Round{Label: at.Format("2006"), At: at}
	for k := range layers {
		top, bottom := g.bottoms[k]-20, g.bottoms[k]
		var sum parcel
		z := 0.0
		for _, p := range g.parcels {
			h := p.thickness()
			share := math.Min(z+h, bottom) - math.Max(z, top)
			if share > 0 {
				sum.mineral += p.mineral * share / h
				sum.organic += p.organic * share / h
			}
			z += h
		}
		mass := sum.mineral + sum.organic
		r.Layers = append(r.Layers, balance.Layer{
			Top: unit.Millimetres(top), Bottom: unit.Millimetres(bottom),
			OM: unit.Fraction(sum.organic / mass), Density: unit.KgPerM3(mass / 20 * 1000),
		})
	}
	return r
}

// season is what is done to a course in a year.
type season struct {
	sand     float64 // topdressing [kg/m²/a], in 14 dressings from April to October
	cores    float64 // share touched, once in April and once in September
	depth    float64 // mm
	backfill float64 // kg/m² each time
}

// run plays the seasons out and gives the history a course would have, and the organic matter truly formed a
// year above each bottom between the first and the last round.
func (g *grower) run(years int, s func(year int) season, layers int) (balance.History, [3]float64) {
	var h balance.History
	start, end := autumn(2015), autumn(2015+years)
	h.Rounds = append(h.Rounds, g.round(start, layers))
	g.netAbove, g.lastYear = [3]float64{}, [3]float64{}
	for at := start.AddDate(0, 0, 1); !at.After(end); at = at.AddDate(0, 0, 1) {
		now := s(at.Year())
		first := time.Date(at.Year(), time.April, 1, 0, 0, 0, 0, time.UTC)
		since := int(at.Sub(first).Hours() / 24)
		if since >= 0 && since%14 == 0 && since/14 < 14 && now.sand > 0 {
			g.dress(now.sand / 14)
			h.Sand = append(h.Sand, balance.Sand{At: at, Amount: unit.KgPerM2(now.sand / 14)})
		}
		if (since == 5 || since == 160) && now.cores > 0 {
			g.core(now.cores, now.depth, now.backfill)
			h.Coring = append(h.Coring, balance.Coring{At: at, Touched: unit.Fraction(now.cores), Depth: unit.Millimetres(now.depth), Removed: true, Backfill: unit.KgPerM2(now.backfill)})
		}
		if at.Equal(autumn(2014+years).AddDate(0, 0, 1)) {
			for k, sum := range g.netAbove {
				g.lastYear[k] = -sum
			}
		}
		g.day()
		if at.Equal(autumn(at.Year())) {
			h.Rounds = append(h.Rounds, g.round(at, layers))
		}
	}
	span := end.Sub(start).Hours() / (24 * 365.25)
	var formed [3]float64
	for k := range formed {
		formed[k] = g.netAbove[k] / span
		g.lastYear[k] += g.netAbove[k]
	}
	return h, formed
}
