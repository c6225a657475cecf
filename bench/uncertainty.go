package bench

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"underfoot/unit"
)

// Component is one reason for doubt about an organic matter, as it acts on the result.
type Component struct {
	Name     string       // in plain words
	Standard unit.Percent // standard uncertainty, in percentage points
	DF       float64      // degrees of freedom; +Inf when the component is not estimated from data
}

// Budget is the uncertainty of one organic matter and where it comes from.
type Budget struct {
	Components []Component  // largest first
	Standard   unit.Percent // u_c, combined standard uncertainty, in percentage points
	DF         float64      // ν_eff, effective degrees of freedom; +Inf when nothing was estimated from data
}

const (
	balanceName   = "balance readings"
	scatterName   = "scatter between crucibles"
	reportedName  = "standard deviation given by the laboratory"
	blankName     = "loss of the sand itself"
	completedName = "completeness of burning"
)

// combine adds independent components.
//
//	u_c = √Σu_i²                      JCGM 100:2008, equation 10, sensitivities already applied
//	ν_eff = u_c⁴ / Σ(u_i⁴/ν_i)        JCGM 100:2008, equation G.2b (Welch–Satterthwaite)
//
// Components that are absent (no degrees of freedom) are left out.
func combine(components ...Component) Budget {
	kept := slices.DeleteFunc(components, func(c Component) bool { return c.DF == 0 })
	slices.SortStableFunc(kept, func(a, b Component) int { return cmp.Compare(b.Standard, a.Standard) })
	var variance, quartic float64
	for _, c := range kept {
		v := float64(c.Standard) * float64(c.Standard)
		variance += v
		quartic += v * v / c.DF
	}
	b := Budget{Components: kept, Standard: unit.Percent(math.Sqrt(variance)), DF: math.Inf(1)}
	if quartic > 0 {
		b.DF = variance * variance / quartic
	}
	return b
}

// Expanded gives the half width of the interval that holds the true value 95 times in 100.
//
//	U = t(0.975, ν_eff)·u_c          JCGM 100:2008, equation G.1d
//
// ν_eff is cut to the next lower whole number, as G.4.1 says; 1.96 stands for t when ν_eff is unlimited.
func (b Budget) Expanded() unit.Percent {
	if b.Standard == 0 {
		return 0
	}
	return unit.Percent(coverage(b.DF)) * b.Standard
}

// coverage is t(0.975, ν). Two and three crucibles lead to one and two degrees of freedom, for which t has a closed
// form: tan(π·(p − 1/2)) and 2·(p − 1/2)·√(2/α) with α = 4·p·(1 − p).
func coverage(df float64) float64 {
	const p = 0.975 // both tails together leave 5 in 100
	if df > 1e6 {
		return distuv.UnitNormal.Quantile(p)
	}
	// The small step keeps a whole ν_eff whole when rounding has left it a hair low.
	switch whole := math.Max(1, math.Floor(df+1e-9)); whole {
	case 1:
		return math.Tan(math.Pi * (p - 0.5))
	case 2:
		return 2 * (p - 0.5) * math.Sqrt(2/(4*p*(1-p)))
	default:
		return distuv.StudentsT{Sigma: 1, Nu: whole}.Quantile(p)
	}
}

// balance gives the part of the uncertainty that comes from reading the balance, three independent
// readings a crucible. From L = Σ(m_d − m_a)/B with B = Σ(m_d − m_t),
//
//	∂L/∂m_d = (1 − L)/B,  ∂L/∂m_a = −1/B,  ∂L/∂m_t = L/B
//	u_bal(L) = (√Σu_i²/B)·√((1 − L)² + 1 + L²)
//
// with u_i = δ_i/√12 of crucible i. Source: JCGM 100:2008, 5.1.2 and F.2.2.1.
func (ig Ignition) balance() Component {
	l := float64(ig.OrganicMatter)
	u := ig.reading / float64(ig.DryMass) * math.Sqrt((1-l)*(1-l)+1+l*l)
	return Component{Name: balanceName, Standard: unit.Fraction(u).Percent(), DF: math.Inf(1)}
}

// scatter gives the part that shows as crucibles of one composite disagreeing. With w_i = B_i/B the share of
// crucible i in the dry mass and L_i its own loss,
//
//	u_rep² = Σ w_i·(L_i − L)² / (n − 1),   ν = n − 1
//
// which is s/√n when all hold the same mass (JCGM 100:2008, 4.2.3), and for unequal masses takes the variance
// of a portion as inversely proportional to its mass, the case in which summing by mass is the best mean.
func scatter(crucibles []Crucible, ig Ignition) Component {
	n := len(crucibles)
	if n < 2 {
		return Component{}
	}
	var squares float64
	for _, c := range crucibles {
		w := float64(c.dryMass() / ig.DryMass)
		d := float64(c.lost()/c.dryMass()) - float64(ig.OrganicMatter)
		squares += w * d * d
	}
	u := math.Sqrt(squares / float64(n-1))
	return Component{Name: scatterName, Standard: unit.Fraction(u).Percent(), DF: float64(n - 1)}
}
