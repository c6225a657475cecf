// Package bench turns what a laboratory bench weighs – crucibles before the oven, after it and after the
// furnace – into the organic matter of a layer, its dry bulk density and its stock per area, each with its
// standard uncertainty and with warnings where the numbers should not be trusted or compared.
//
// [Measure] does it all for one composite; the steps can be called alone. Formulas, assumptions and limits:
// docs/model/bench.md.
package bench

import (
	"errors"
	"fmt"
	"math"

	"underfoot/unit"
)

// Composite is the cores of one green and layer, burnt together: either its weighings or a result that
// arrived without them.
type Composite struct {
	Layer     Layer
	Cores     *Cores       // nil when the number of cores or the corer is not known
	Method    Method       // blank means Whole for weighings, not stated for a reported result
	Crucibles []Crucible   // the weighings, or
	Reported  *Reported    // a result without weighings
	Mineral   *MineralLoss // correction for what the sand itself loses; nil means none
}

// Reported is a result as a laboratory states it.
type Reported struct {
	OrganicMatter unit.Percent  // of oven-dry mass, 0 to 100
	SD            *unit.Percent // its standard deviation in percentage points, if stated
	DryMass       *unit.Grams   // oven-dry mass of the whole composite, if stated
}

// Result is what the bench says about one composite.
type Result struct {
	OrganicMatter   unit.Percent // of oven-dry mass
	Uncertainty     *Budget      // of OrganicMatter as a measurement; nil when a laboratory stated none
	Water           *unit.Percent
	DryMass         *unit.Grams            // nil when not known
	Volume          *unit.CubicCentimetres // nil when not known
	BulkDensity     Estimate[unit.KgPerM3]
	BulkDensityFrom DensityFrom
	OrganicStock    Estimate[unit.KgPerM2] // organic matter per area of the layer
	Mineral         Estimate[unit.KgPerM2] // mineral matter per area of the layer
	Method          Method
	Warnings        []Warning // what should not be trusted or compared
	Notes           []Note    // what had to be assumed
}

// DensityFrom says where a bulk density comes from.
type DensityFrom string

const (
	Measured    DensityFrom = "measured" // dry mass over core volume
	FromMixture DensityFrom = "mixture"  // organic fraction and two densities
)

// burnt is the common ground of weighings and reported results: organic and mineral share of a dry mass.
type burnt struct {
	fraction         unit.Fraction         // F
	standard         unit.Fraction         // u(F), 0 when not known
	budget           *Budget               // nil when not known
	dry              *Estimate[unit.Grams] // m
	organic, mineral Estimate[unit.Grams]  // F·m and (1 − F)·m; set when dry is
}

// Measure gives organic matter, density, stocks, uncertainty and warnings of one composite.
//
// The stocks of cores of known number and diameter need only their area A, not the thickness cut:
// O = (m_d − m_a)/A and M = (m_a − m_t)/A. Where mass or area is not known, density comes from
// [Mixture.Density] and O = f·ρ·h, M = (1 − f)·ρ·h. The spread between cores and between greens is not part
// of the uncertainty. Sources: [OrganicMatter], [BulkDensity], [Mixture.Density].
func Measure(c Composite, s Settings) (Result, error) {
	if err := errors.Join(c.check(), s.check()); err != nil {
		return Result{}, err
	}
	r := Result{Method: c.method()}
	b, err := c.burn(&r)
	if err != nil {
		return Result{}, err
	}
	r.OrganicMatter, r.Uncertainty = b.fraction.Percent(), b.budget
	if b.dry != nil {
		r.DryMass = &b.dry.Value
	}
	if c.Cores != nil {
		v := c.Cores.volume(c.Layer)
		r.Volume = &v
	}
	if b.dry != nil && c.Cores != nil {
		r.fromCores(b, *c.Cores, c.Layer, s)
	} else {
		r.fromMixture(b, c.Layer, s)
		r.Notes = append(r.Notes, DensityEstimated{MassMissing: b.dry == nil, CoresMissing: c.Cores == nil})
	}
	r.Warnings = append(r.Warnings, c.warnings(r)...)
	return r, nil
}

func (c Composite) check() error {
	errs := []error{c.Layer.check(), c.Method.check()}
	if c.Cores != nil {
		errs = append(errs, c.Cores.check())
	}
	if c.Mineral != nil {
		errs = append(errs, c.Mineral.check())
	}
	switch {
	case c.Reported != nil && len(c.Crucibles) > 0:
		errs = append(errs, errors.New("composite has both weighings and a reported result: give one of them"))
	case c.Reported != nil:
		errs = append(errs, c.Reported.check())
	}
	return errors.Join(errs...)
}

func (r Reported) check() error {
	var errs []error
	if !(r.OrganicMatter >= 0 && r.OrganicMatter <= 100) {
		errs = append(errs, fmt.Errorf("reported organic matter %s %%: give percent of oven-dry mass, 0 to 100", number(float64(r.OrganicMatter))))
	}
	if r.SD != nil && !(*r.SD >= 0 && *r.SD <= 100) {
		errs = append(errs, fmt.Errorf("reported standard deviation %s: give percentage points, 0 to 100, or leave it out", number(float64(*r.SD))))
	}
	if r.DryMass != nil && !(*r.DryMass > 0 && *r.DryMass <= 10*heaviestCrucible) {
		errs = append(errs, fmt.Errorf("reported dry mass %s g: give grams above 0 and up to %s, or leave it out",
			number(float64(*r.DryMass)), number(float64(10*heaviestCrucible))))
	}
	return errors.Join(errs...)
}

func (c Composite) method() Method {
	if c.Method == NotStated && c.Reported == nil {
		return Whole
	}
	return c.Method
}

// burn works out the organic fraction and what it says about masses, and passes on warnings and notes.
func (c Composite) burn(r *Result) (burnt, error) {
	if c.Reported != nil {
		if c.Reported.SD == nil {
			r.Notes = append(r.Notes, UncertaintyUnknown{})
		}
		return c.Reported.burnt(c.Mineral), nil
	}
	ig, err := OrganicMatter(c.Crucibles)
	if err != nil {
		return burnt{}, err
	}
	r.Warnings, r.Notes = ig.Warnings, ig.Notes
	if ig.Water != nil {
		w := ig.Water.Percent()
		r.Water = &w
	}
	return ig.burnt(c.Mineral), nil
}

// burnt carries the weighings over to masses. With G = (N − b·m)/(η − b) for the organic mass, N burnt and m
// dry, each crucible's readings count with ∂G/∂m_d = (1 − b)/g, ∂G/∂m_a = −1/g, ∂G/∂m_t = b/g, g = η − b;
// without correction b = 0 and g = 1. The other components act through F on the whole dry mass.
func (ig Ignition) burnt(m *MineralLoss) burnt {
	b, g := 0.0, 1.0
	out := burnt{fraction: ig.OrganicMatter, budget: &ig.Uncertainty}
	if m != nil {
		b, g = float64(m.Loss), float64(m.Completeness-m.Loss)
		corrected := m.budget(ig.OrganicMatter, ig.Uncertainty)
		out.fraction, out.budget = m.organic(ig.OrganicMatter), &corrected
	}
	out.standard = out.budget.Standard.Fraction()
	var others float64 // Σu² of F without the balance
	for _, c := range out.budget.Components {
		if c.Name != balanceName {
			others += float64(c.Standard) * float64(c.Standard) / 1e4
		}
	}
	dry := float64(ig.DryMass)
	organic := (float64(ig.Lost) - b*dry) / g
	with := func(value float64, slopes ...float64) Estimate[unit.Grams] {
		u := hypot(ig.reading*hypot(slopes...), dry*math.Sqrt(others))
		return Estimate[unit.Grams]{Value: unit.Grams(value), Standard: unit.Grams(u)}
	}
	out.dry = &Estimate[unit.Grams]{Value: ig.DryMass, Standard: unit.Grams(ig.reading * math.Sqrt2)}
	out.organic = with(organic, (1-b)/g, 1/g, b/g)
	out.mineral = with(dry-organic, 1-(1-b)/g, 1/g, 1+b/g)
	return out
}

func (r Reported) burnt(m *MineralLoss) burnt {
	out := burnt{fraction: r.OrganicMatter.Fraction()}
	if r.SD != nil {
		stated := combine(Component{Name: reportedName, Standard: *r.SD, DF: math.Inf(1)})
		out.budget = &stated
	}
	if m != nil {
		if out.budget != nil {
			corrected := m.budget(out.fraction, *out.budget)
			out.budget = &corrected
		}
		out.fraction = m.organic(out.fraction)
	}
	if out.budget != nil {
		out.standard = out.budget.Standard.Fraction()
	}
	if r.DryMass == nil {
		return out
	}
	f, u := float64(out.fraction), float64(out.standard)
	dry, uDry := float64(*r.DryMass), Crucible{}.readingStandard()*math.Sqrt2
	out.dry = &Estimate[unit.Grams]{Value: *r.DryMass, Standard: unit.Grams(uDry)}
	out.organic = Estimate[unit.Grams]{unit.Grams(f * dry), unit.Grams(hypot(dry*u, f*uDry))}
	out.mineral = Estimate[unit.Grams]{unit.Grams((1 - f) * dry), unit.Grams(hypot(dry*u, (1-f)*uDry))}
	return out
}
