package bench

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Limits behind the warnings.
const (
	// IgnitionTarget and IgnitionTolerance [°C]: ASTM D2974, method C, 440 ± 40 °C.
	IgnitionTarget, IgnitionTolerance unit.Celsius = 440, 40
	// DryingLow and DryingHigh [°C] hold 105 ± 5 °C (ASTM F1647) and 110 ± 5 °C (ASTM D2974).
	DryingLow, DryingHigh unit.Celsius = 100, 115
	// VolumeLow and VolumeHigh [cm³] of a composite: common practice, no source.
	VolumeLow, VolumeHigh unit.CubicCentimetres = 30, 150
	// DensityLow and DensityHigh [kg/m³] a measured layer can have: common practice, no source.
	DensityLow, DensityHigh unit.KgPerM3 = 100, 2000
)

// Warning is a reason not to trust a result, or not to compare it; String says it in a sentence.
type Warning interface {
	fmt.Stringer
	warning()
}

// IgnitionTemperature warns of a furnace outside 440 ± 40 °C.
type IgnitionTemperature struct {
	Temperature unit.Celsius
	Crucibles   []string
}

// DryingTemperature warns of an oven outside 100 to 115 °C.
type DryingTemperature struct {
	Temperature unit.Celsius
	Crucibles   []string
}

// AshGainedMass warns that ash weighed more than the dry material, by no more than the balance can explain.
type AshGainedMass struct {
	Crucible string
	Gain     unit.Grams
	Balance  unit.Grams // the largest difference the balance alone can explain
}

// OtherQuantity warns that the method did not burn the whole layer, or that nobody said so.
type OtherQuantity struct{ Method Method }

// VolumeOutside warns of a composite outside 30 to 150 cm³, and says how many cores would be inside.
type VolumeOutside struct {
	Volume unit.CubicCentimetres
	Cores  Cores
	Layer  Layer
}

// ImplausibleDensity warns of a measured density outside 0.1 to 2.0 g/cm³.
type ImplausibleDensity struct {
	Density unit.KgPerM3
	Cores   Cores
	Layer   Layer
}

func (IgnitionTemperature) warning() {}
func (DryingTemperature) warning()   {}
func (AshGainedMass) warning()       {}
func (OtherQuantity) warning()       {}
func (VolumeOutside) warning()       {}
func (ImplausibleDensity) warning()  {}

func (w IgnitionTemperature) String() string {
	return fmt.Sprintf("ignition at %s °C%s is outside 440 ± 40 °C: compare only with results burnt at the same temperature",
		number(float64(w.Temperature)), of(w.Crucibles))
}

func (w DryingTemperature) String() string {
	effect := "too cool to drive off all the water: the organic matter may read high"
	if w.Temperature > DryingHigh {
		effect = "hot enough to drive off more than water: the organic matter may read low"
	}
	return fmt.Sprintf("drying at %s °C%s is outside 100 to 115 °C, %s", number(float64(w.Temperature)), of(w.Crucibles), effect)
}

func (w AshGainedMass) String() string {
	return fmt.Sprintf("ash weighs %s g more than the dry material%s, within the %s g the balance can explain: kept as measured; look for damp ash or a swapped crucible",
		rounded(float64(w.Gain)), of([]string{w.Crucible}), rounded(float64(w.Balance)))
}

func (w OtherQuantity) String() string {
	switch w.Method {
	case Screened:
		return "material was screened out before burning: this is another quantity than the organic matter of the whole layer; it is kept, labelled and left out of trends"
	case Scooped:
		return "a portion was scooped instead of burning the whole layer: this is another quantity than the organic matter of the whole layer; it is kept, labelled and left out of trends"
	default:
		return "the method is not stated: ask the laboratory whether the whole layer was burnt; until then the result is left out of trends"
	}
}

func (w VolumeOutside) String() string {
	one := float64(w.Cores.volume(w.Layer)) / float64(w.Cores.Count)
	least := int(math.Ceil(float64(VolumeLow)/one - 1e-9))
	most := int(math.Floor(float64(VolumeHigh)/one + 1e-9))
	text := fmt.Sprintf("the composite is %s cm³, outside 30 to 150 cm³: ", rounded(float64(w.Volume)))
	switch {
	case most < 1:
		return text + "use a narrower corer or a thinner layer"
	case w.Volume < VolumeLow:
		return text + fmt.Sprintf("take at least %d cores of this diameter, or use a wider corer", least)
	default:
		return text + fmt.Sprintf("take at most %d of these cores, or use a narrower corer", most)
	}
}

func (w ImplausibleDensity) String() string {
	return fmt.Sprintf("dry bulk density %s g/cm³ is outside 0.1 to 2.0 g/cm³: the number of cores (%d), the corer's inner diameter (%s mm), the layer (%s) or the dry mass is probably wrong",
		rounded(w.Density.GramsPerCm3()), w.Cores.Count, number(float64(w.Cores.Diameter)), w.Layer)
}

// warnings are those of the composite as a whole.
func (c Composite) warnings(r Result) []Warning {
	var out []Warning
	if !r.Method.Comparable() {
		out = append(out, OtherQuantity{r.Method})
	}
	if v := r.Volume; v != nil && (*v < VolumeLow*(1-1e-12) || *v > VolumeHigh*(1+1e-12)) {
		out = append(out, VolumeOutside{*v, *c.Cores, c.Layer})
	}
	if rho := r.BulkDensity.Value; r.BulkDensityFrom == Measured && (rho < DensityLow || rho > DensityHigh) {
		out = append(out, ImplausibleDensity{rho, *c.Cores, c.Layer})
	}
	return out
}

// ignitionWarnings are those of single crucibles, one for each temperature that is outside.
func ignitionWarnings(crucibles []Crucible) []Warning {
	var out []Warning
	for _, g := range outside(crucibles, func(c Crucible) *unit.Celsius { return c.AshTemperature },
		IgnitionTarget-IgnitionTolerance, IgnitionTarget+IgnitionTolerance) {
		out = append(out, IgnitionTemperature(g))
	}
	for _, g := range outside(crucibles, func(c Crucible) *unit.Celsius { return c.DryTemperature }, DryingLow, DryingHigh) {
		out = append(out, DryingTemperature(g))
	}
	for _, c := range crucibles {
		if gain := c.Ash - c.Dry; gain > 0 {
			out = append(out, AshGainedMass{c.Name, gain, c.explainable()})
		}
	}
	return out
}
