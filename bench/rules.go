package bench

import "math"

// Rule is one rule of a control chart, by its published symbol.
type Rule string

// The rules of the multi-rule chart. Source: Westgard, Barry, Hunt & Groth 1981, Clin. Chem. 27:493–501.
const (
	OneBeyond2  Rule = "1-2s" // warning
	OneBeyond3  Rule = "1-3s"
	TwoBeyond2  Rule = "2-2s"
	RangeAbove4 Rule = "R-4s"
	FourBeyond1 Rule = "4-1s"
	TenOneSide  Rule = "10-x"
)

// Rules lists them in the order in which they are looked at.
func Rules() []Rule {
	return []Rule{OneBeyond2, OneBeyond3, TwoBeyond2, RangeAbove4, FourBeyond1, TenOneSide}
}

// String names the rule in plain words, with its published symbol.
func (r Rule) String() string { return r.Words() + " (" + string(r) + ")" }

// Words name the rule in plain words.
func (r Rule) Words() string {
	switch r {
	case OneBeyond2:
		return "one burn more than two standard deviations out"
	case OneBeyond3:
		return "one burn more than three standard deviations out"
	case TwoBeyond2:
		return "two burns in a row more than two standard deviations out on the same side"
	case RangeAbove4:
		return "two burns of one run more than four standard deviations apart"
	case FourBeyond1:
		return "four burns in a row more than one standard deviation out on the same side"
	case TenOneSide:
		return "ten burns in a row on the same side of the centre"
	}
	return "rule " + string(r)
}

// Points at: chance scatter or a shift, as far as the rule tells.
func (r Rule) Points() string {
	switch r {
	case OneBeyond2:
		return "happens once in 22 burns by chance alone"
	case OneBeyond3, RangeAbove4:
		return "points at a mishap in one burn: a spill, a draught, a swapped crucible, a cold corner of the furnace"
	}
	return "points at a shift that touches every burn: furnace temperature, time, balance or the control material itself"
}

// At most this many burns before the present one take part in a rule.
const longestRule = 10

// Broken gives the rules that a burn breaks, with what came before it in order of time.
//
// z are burns of one material in standard deviations from the centre, the last is the one judged; run holds the burns of
// the same run, of any material, the last among them.
//
//	1-2s  |z_n| > 2
//	1-3s  |z_n| > 3
//	2-2s  z_n, z_(n−1) both > 2 or both < −2
//	R-4s  max(run) − min(run) > 4, where z_n is one of the two
//	4-1s  the last four all > 1 or all < −1
//	10-x  the last ten all > 0 or all < 0
//
// 2-2s also looks at two burns in a row of the run. A burn that lies on a line has not crossed it; a z that is not a number
// breaks nothing. Source: Westgard, Barry, Hunt & Groth 1981, Clin. Chem. 27:493–501.
func Broken(z, run []float64) []Rule {
	if len(z) == 0 {
		return nil
	}
	var out []Rule
	last := z[len(z)-1]
	if math.Abs(last) > 2 {
		out = append(out, OneBeyond2)
	}
	if math.Abs(last) > 3 {
		out = append(out, OneBeyond3)
	}
	if sameSide(z, 2, 2) || sameSide(run, 2, 2) {
		out = append(out, TwoBeyond2)
	}
	for _, other := range run {
		if math.Abs(last-other) > 4 {
			out = append(out, RangeAbove4)
			break
		}
	}
	if sameSide(z, 4, 1) {
		out = append(out, FourBeyond1)
	}
	if sameSide(z, longestRule, 0) {
		out = append(out, TenOneSide)
	}
	return out
}

// sameSide says whether the last n are all above limit or all below −limit.
func sameSide(z []float64, n int, limit float64) bool {
	if len(z) < n {
		return false
	}
	above, below := true, true
	for _, v := range z[len(z)-n:] {
		above = above && v > limit
		below = below && v < -limit
	}
	return above || below
}

// Rejects says whether the rules broken by the burns of one run reject it.
//
// As published, 1-2s is a warning that starts the look at the other rules; a run is rejected when one of those is
// broken too. 1-3s, 2-2s and R-4s cannot be broken without a burn beyond two standard deviations in the run. 4-1s and 10-x
// can: they then ask for a look, because each burn by itself is ordinary. Source: as [Broken], figure 1.
func Rejects(broken []Rule) bool {
	warned, rejecting := false, false
	for _, r := range broken {
		if r == OneBeyond2 {
			warned = true
		} else {
			rejecting = true
		}
	}
	return warned && rejecting
}
