package balance

import (
	"fmt"

	"underfoot/unit"
)

// NewMat gives the organic share of mat built by steady growth and steady sand.
//
//	L* = A/(A + S)
//
// A the net organic matter formed [kg/m²/a], S the sand [kg/m²/a], both 0 or more and not both 0. Clean sand,
// steady rates and nothing removed. Source: closed form of the mass balance (docs/model/balance.md).
func NewMat(formed, sand unit.KgPerM2) (unit.Fraction, error) {
	if !(formed >= 0) || !(sand >= 0) || formed+sand <= 0 {
		return 0, fmt.Errorf("organic matter of new mat: %g kg/m² formed and %g kg/m² of sand a year: give both as 0 or more, not both 0", float64(formed), float64(sand))
	}
	return unit.Fraction(formed / (formed + sand)), nil
}

// SandToHold gives the sand a year that builds new mat with the wanted organic share.
//
//	S = A·(1/L* − 1)
//
// A the net organic matter formed [kg/m²/a], L* the wanted share (0..1). A of 0 or less needs no sand.
// Clean sand, steady rates and nothing removed. Source: NewMat, solved for S.
func SandToHold(formed unit.KgPerM2, wanted unit.Fraction) (unit.KgPerM2, error) {
	if !(wanted > 0 && wanted < 1) {
		return 0, fmt.Errorf("sand to hold: wanted organic matter is %g %%: give more than 0 and less than 100 %%", float64(wanted.Percent()))
	}
	return max(0, formed*unit.KgPerM2(1/wanted-1)), nil
}

// SandToDilute gives the sand that, mixed once into a closed layer, brings it to the wanted organic share.
//
//	S = O/L* − (O + M)
//
// O and M the organic and mineral mass of the layer [kg/m²], L* the wanted share (0..1). Nothing may leave
// the layer, so its thickness grows; a layer that is fixed in depth follows SandToHold instead.
// A layer already below the wanted share needs no sand. Source: mass balance of a closed layer.
func SandToDilute(organic, mineral unit.KgPerM2, wanted unit.Fraction) (unit.KgPerM2, error) {
	if !(wanted > 0 && wanted < 1) {
		return 0, fmt.Errorf("sand to dilute: wanted organic matter is %g %%: give more than 0 and less than 100 %%", float64(wanted.Percent()))
	}
	return max(0, organic/unit.KgPerM2(wanted)-(organic+mineral)), nil
}
