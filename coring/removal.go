package coring

import (
	"fmt"

	"underfoot/unit"
)

// Layer is one layer of the profile and what lies in it.
type Layer struct {
	Top, Bottom unit.Millimetres
	Organic     unit.KgPerM2
	Mineral     unit.KgPerM2
}

// OM gives the share of the layer's dry mass that is organic.
func (l Layer) OM() unit.Fraction {
	return unit.Fraction(l.Organic / (l.Organic + l.Mineral))
}

// Overlap gives the share of the layer from top to bottom that lies between two depths.
func Overlap(top, bottom, from, to unit.Millimetres) unit.Fraction {
	within := min(bottom, to) - max(top, from)
	if within <= 0 || bottom <= top {
		return 0
	}
	return unit.Fraction(within / (bottom - top))
}

// TakenOut gives what leaves a layer with cores, or with what blades bring up.
//
//	Rₒ = f·O·c    Rₘ = f·M·c
//
// f the share of the surface touched [0..1], O and M the layer's organic and mineral mass [kg/m²], c the share
// of the layer above the depth reached. The layer is taken as uniform, and all that was cut as taken away;
// where cores are put back, or solid tines were used, nothing leaves and this is not asked.
func TakenOut(touched unit.Fraction, depth unit.Millimetres, l Layer) Layer {
	share := unit.KgPerM2(touched * Overlap(l.Top, l.Bottom, 0, depth))
	return Layer{Top: l.Top, Bottom: l.Bottom, Organic: l.Organic * share, Mineral: l.Mineral * share}
}

// Refilled gives a layer after its cores were taken out and the holes filled with sand.
//
//	O′ = O·(1 − f·c)    M′ = M·(1 − f·c) + f·c·h·ρ·e
//
// f the share touched [0..1], c the share of the layer above the depth reached, h the layer's thickness [mm],
// ρ the sand's dry bulk density [kg/m³], e the share of the holes that is filled [0..1]. Clean sand is assumed.
func Refilled(o Opening, l Layer, density unit.KgPerM3, filled unit.Fraction) (Layer, error) {
	if l.Top < 0 || l.Bottom <= l.Top {
		return Layer{}, fmt.Errorf("layer after coring and filling: layer is %g to %g mm: give a bottom below the top", float64(l.Top), float64(l.Bottom))
	}
	if l.Organic < 0 || l.Mineral < 0 || l.Organic+l.Mineral <= 0 {
		return Layer{}, fmt.Errorf("layer after coring and filling: the layer holds %g kg/m² organic and %g kg/m² mineral: give masses of 0 or more", float64(l.Organic), float64(l.Mineral))
	}
	if o.Touched < 0 || o.Touched > 1 {
		return Layer{}, fmt.Errorf("layer after coring and filling: %g of the surface is touched: give a number from 0 to 1", float64(o.Touched))
	}
	holes := o
	holes.Volume = unit.LitresPerM2(float64(o.Touched*Overlap(l.Top, l.Bottom, 0, o.Depth)) * float64(l.Bottom-l.Top))
	sand, err := holes.SandToFill(density, filled)
	if err != nil {
		return Layer{}, fmt.Errorf("layer after coring and filling: %w", err)
	}
	out := TakenOut(o.Touched, o.Depth, l)
	return Layer{Top: l.Top, Bottom: l.Bottom, Organic: l.Organic - out.Organic, Mineral: l.Mineral - out.Mineral + sand}, nil
}
