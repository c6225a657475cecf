package bench

import (
	"errors"
	"fmt"

	"underfoot/unit"
)

// Settings are the working defaults a user may change.
type Settings struct {
	DiameterStandard unit.Millimetres // u_d, standard uncertainty of the corer's inner diameter
	CutStandard      unit.Millimetres // u_h, standard uncertainty of the thickness cut
	Mixture          Mixture          // for layers whose volume is not known
	MixtureRelative  unit.Fraction    // relative standard uncertainty of a density from the mixture
}

// Parameter is one row of the table of settings: it feeds forms, help, bounds and the documentation.
type Parameter struct {
	Name, Symbol, Unit string
	Default, Low, High float64
	Source             string
}

// Parameters lists the working defaults, in the order of [Settings], with the balance resolution last.
func Parameters() []Parameter {
	return []Parameter{
		{
			"corer diameter, standard uncertainty", "u_d", "mm", 0.1, 0, 2,
			"common practice, no source: a new corer read with a calliper",
		},
		{
			"thickness cut, standard uncertainty", "u_h", "mm", 0.5, 0, 5,
			"common practice, no source: cut with a knife against a gauge",
		},
		{
			"organic part, dry bulk density", "ρ_o", "kg/m³", 220, 50, 500,
			"editable working default, no source; forest soils 110 (Federer, Turcotte & Smith 1993), 244 (Adams 1973, from memory)",
		},
		{
			"mineral part, dry bulk density", "ρ_s", "kg/m³", 1600, 1200, 2650,
			"editable working default, no source; forest till 1450 to 2190 (Federer, Turcotte & Smith 1993)",
		},
		{
			"mixture density, relative standard uncertainty", "u_ρ/ρ", "1", 0.14, 0, 1,
			"Périé & Ouimet 2008, Can. J. Soil Sci. 88:315–325, abstract: about 14 % in boreal forest soils; putting greens not tested",
		},
		{
			"balance resolution when not written down", "δ", "g", float64(DefaultResolution), 0.00001, float64(coarsestResolution),
			"common practice, no source",
		},
	}
}

// Defaults are the settings as [Parameters] lists them.
func Defaults() Settings {
	return Settings{
		DiameterStandard: 0.1,
		CutStandard:      0.5,
		Mixture:          Mixture{Organic: 220, Mineral: 1600},
		MixtureRelative:  0.14,
	}
}

// check holds the settings against the bounds of the table.
func (s Settings) check() error {
	values := [...]float64{
		float64(s.DiameterStandard), float64(s.CutStandard), float64(s.Mixture.Organic), float64(s.Mixture.Mineral), float64(s.MixtureRelative),
	}
	var errs []error
	table := Parameters()
	for i, v := range values {
		if p := table[i]; !(v >= p.Low && v <= p.High) {
			errs = append(errs, fmt.Errorf("setting %q is %s %s: give a number from %s to %s", p.Name, number(v), p.Unit, number(p.Low), number(p.High)))
		}
	}
	return errors.Join(errs...)
}
