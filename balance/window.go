package balance

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Window is what is known of the material between the surface and one depth, at two dates.
type Window struct {
	Mineral1, Organic1 unit.KgPerM2 // at the first date
	Mineral2, Organic2 unit.KgPerM2 // at the second date
	Sand               unit.KgPerM2 // put into the window between them
	RemovedMineral     unit.KgPerM2 // taken out between them
	RemovedOrganic     unit.KgPerM2
	Leaving            unit.Fraction // organic share of the material that crosses the bottom
}

// Passage is what the account of a window finds.
type Passage struct {
	Mineral unit.KgPerM2 // pushed out of the bottom; negative when material rose into the window
	Organic unit.KgPerM2 // carried along with it
	Formed  unit.KgPerM2 // organic matter made less what decayed, between the two dates
}

// Account gives what crossed the bottom of the window and the organic matter formed in it.
//
//	Q  = M₁ + S − Rₘ − M₂
//	Oₒ = Q·r,  r = L/(1 − L)
//	A  = O₂ − O₁ + Oₒ + Rₒ
//
// M and O the mineral and organic mass in the window [kg/m²], S sand put in, Rₘ and Rₒ taken out [kg/m²],
// L the organic share of what crosses the bottom [0..1). Q the mineral pushed below, A the organic matter
// made less decayed [kg/m²]. Mineral is conserved; sideways movement is ignored. Source: mass balance of a
// window whose top is the surface; derived in docs/model/balance.md.
func (w Window) Account() Passage {
	q := w.Mineral1 + w.Sand - w.RemovedMineral - w.Mineral2
	out := q * unit.KgPerM2(ratio(w.Leaving))
	return Passage{Mineral: q, Organic: out, Formed: w.Organic2 - w.Organic1 + out + w.RemovedOrganic}
}

// ratio turns an organic share of the whole into organic per mineral: r = L/(1 − L).
func ratio(l unit.Fraction) float64 { return float64(l / (1 - l)) }

// audit says by how much in − out − change misses zero, when it does.
func audit(what string, in, out, change, tolerance float64) error {
	if miss := in - out - change; math.Abs(miss) > tolerance {
		return fmt.Errorf("account of %s does not close: %g kg/m² in, %g out, %g change, %g kg/m² missing: this is a fault of the program", what, in, out, change, miss)
	}
	return nil
}
