package bench

import (
	"errors"
	"math"

	"underfoot/unit"
)

const (
	repeatName = "scatter of composites burnt twice"
	biasName   = "standing of the control against its accepted value"
)

// With adds components to a budget: u_c and ν_eff anew, largest part first (JCGM 100:2008, equations 10 and G.2b).
func (b Budget) With(more ...Component) Budget {
	return combine(append(append([]Component(nil), b.Components...), more...)...)
}

// Component is what pairs say of the scatter of a mean of n burns of one composite, u = s/√n with ν = number of pairs.
// Source: JCGM 100:2008, 4.2.4 (pooled estimate). Where the second of a pair is a second set of cores it also holds how
// cores differ.
func (d Duplicates) Component(burns int) Component {
	if d.Pairs == 0 || burns < 1 {
		return Component{}
	}
	return Component{Name: repeatName, Standard: d.SD / unit.Percent(math.Sqrt(float64(burns))), DF: float64(d.Pairs)}
}

// ControlBias is what the burns of a control material say of a shift common to all results.
//
//	u_b = √(Δ² + s²/n)        Δ mean difference from the accepted value, s of the n burns
//
// n is 2 or more; ν = n − 1. The difference is kept in the uncertainty, not taken off: a control of one material need
// not speak for turf. The uncertainty of the accepted value is ignored. Source: Magnusson et al., Nordtest report TR 537,
// section on bias from certified reference materials (from memory).
func ControlBias(accepted unit.Percent, burns []unit.Percent) (Component, error) {
	if len(burns) < 2 {
		return Component{}, errors.New("bias of a control: give at least two burns")
	}
	values := make([]float64, len(burns))
	for i, v := range burns {
		values[i] = float64(v)
	}
	mean, s := meanSD(values)
	n := float64(len(burns))
	u := math.Hypot(mean-float64(accepted), s/math.Sqrt(n))
	return Component{Name: biasName, Standard: unit.Percent(u), DF: n - 1}, nil
}
