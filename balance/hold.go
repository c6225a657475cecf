package balance

// terms are what the sand of a layer follows from, a year.
type terms struct {
	formed                         float64 // A: organic matter formed less decayed [kg/m²/a]
	organicRemoved, mineralRemoved float64 // Rₒ, Rₘ: with cores [kg/m²/a]
	entering                       float64 // Qₐ: mineral sinking in from the layer above [kg/m²/a]
	top, bottom                    float64 // rₐ, r_b: organic per mineral of what crosses top and bottom
}

// hold gives the sand that must go into the layer for its organic and mineral mass to stay as they are.
//
//	S* = (A − Rₒ + Qₐ·rₐ)/r_b − Qₐ + Rₘ
//
// A [kg/m²/a] net organic matter formed in the layer, Rₒ and Rₘ organic and mineral mass taken out with cores
// [kg/m²/a], Qₐ mineral sinking in from above [kg/m²/a] (0 for the top layer), rₐ and r_b organic per mineral
// of what crosses the layer's top and bottom. Steady rates and clean sand. For the top layer with nothing
// removed it is SandToHold with L* the share of what leaves, so a course that stood still is told the sand it
// got. Source: both masses of the window set steady; derived in docs/model/balance.md.
func (t terms) hold() float64 { return t.toward(t.bottom, 0, 0) }

// toward gives the sand that moves the layer's masses by so much a year, r the mean ratio at its bottom on the way.
//
//	S = (A − Rₒ + Qₐ·rₐ − ΔO)/r − Qₐ + Rₘ + ΔM
//
// ΔO and ΔM [kg/m²/a] the wanted change of organic and mineral mass in the layer.
func (t terms) toward(r, organic, mineral float64) float64 {
	return (t.formed-t.organicRemoved+t.entering*t.top-organic)/r - t.entering + t.mineralRemoved + mineral
}

// Bulk densities of the two phases of a layer, in kg/m³: working defaults, no source; the mixture itself is
// Federer, Turcotte & Smith 1993 (Canadian Journal of Forest Research 23:1026-1032).
const (
	organicDensity = 220.0
	mineralDensity = 1600.0
)

// change gives how a layer's masses change when its organic share becomes so many times what it is.
//
//	O′ = r′·M′,  M′·(1/ρₛ + r′/ρₒ) = M/ρₛ + O/ρₒ
//
// The layer keeps its volume; less organic matter makes room for more mineral. r′ organic per mineral after.
func change(organic, mineral, times float64) (dOrganic, dMineral float64) {
	share := min(organic/(organic+mineral)*times, 0.99)
	r := share / (1 - share)
	m := (mineral/mineralDensity + organic/organicDensity) / (1/mineralDensity + r/organicDensity)
	return r*m - organic, m - mineral
}

// shrink gives the organic per mineral after the organic share became so many times what it was.
func shrink(r, times float64) float64 {
	share := min(r/(1+r)*times, 0.99)
	return share / (1 - share)
}
