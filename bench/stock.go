package bench

import (
	"math"

	"underfoot/unit"
)

// fromCores fills in density and stocks from the dry mass and the area of the cores.
//
//	O = G/A,   u(O)² = (u(G)/A)² + (O·2u_d/d)²
//
// with G the organic mass; the mineral stock likewise. The thickness cut does not enter: a cut in the wrong
// place moves material between layers, but what was weighed stood on this area.
func (r *Result) fromCores(b burnt, c Cores, l Layer, s Settings) {
	corer := 2 * float64(s.DiameterStandard/c.Diameter)
	perArea := func(m Estimate[unit.Grams]) Estimate[unit.KgPerM2] {
		area := float64(c.area())
		v, u := float64(m.Value.Kilograms())/area, float64(m.Standard.Kilograms())/area
		return Estimate[unit.KgPerM2]{unit.KgPerM2(v), unit.KgPerM2(hypot(u, v*corer))}
	}
	r.BulkDensity, r.BulkDensityFrom = bulkDensity(*b.dry, c, l, s), Measured
	r.OrganicStock, r.Mineral = perArea(b.organic), perArea(b.mineral)
}

// fromMixture fills in density and stocks from the organic fraction alone.
//
//	O = f·ρ·h,  ∂O/∂f = h·ρ²/ρ_s;   M = (1 − f)·ρ·h,  ∂M/∂f = −h·ρ²/ρ_o;   ∂ρ/∂f = −ρ²·(1/ρ_o − 1/ρ_s)
//
// To these come the relative uncertainty of the mixture rule and that of the thickness. A fraction that the
// correction or the balance left a hair outside 0..1 counts as 0 or 1 in the density.
func (r *Result) fromMixture(b burnt, l Layer, s Settings) {
	f := float64(b.fraction)
	rho := float64(s.Mixture.density(min(max(b.fraction, 0), 1)))
	organic, mineral := float64(s.Mixture.Organic), float64(s.Mixture.Mineral)
	h, u := l.Thickness().Metres(), float64(b.standard)
	rule := float64(s.MixtureRelative)
	cut := float64(s.CutStandard / l.Thickness())

	uRho := hypot(rho*rule, rho*rho*(1/organic-1/mineral)*u)
	r.BulkDensity = Estimate[unit.KgPerM3]{unit.KgPerM3(rho), unit.KgPerM3(uRho)}
	r.BulkDensityFrom = FromMixture
	stock := func(v, slope float64) Estimate[unit.KgPerM2] {
		return Estimate[unit.KgPerM2]{unit.KgPerM2(v), unit.KgPerM2(hypot(slope*u, v*math.Hypot(rule, cut)))}
	}
	r.OrganicStock = stock(f*rho*h, h*rho*rho/mineral)
	r.Mineral = stock((1-f)*rho*h, h*rho*rho/organic)
}
