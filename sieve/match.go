package sieve

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Fit is how a sand goes with what it is put on.
type Fit string

// Fits, the best first.
const (
	GoesWell   Fit = "goes well"
	WithCare   Fit = "with care"
	NotAdvised Fit = "not advised"
	NotKnown   Fit = "not known"
)

// Factors of grain size up to which a sand is like what it is put on, and from which it is not advised; shares of it that
// hinder; and how alike grains may be. Working defaults, common practice, no source.
const (
	alike      = 1.25 // mean grain size of one over the other
	unlike     = 1.6
	bareSpread = 1.8 // C_u below which a sand is loose under foot and tyre
	wideSpread = 4.0 // C_u above which it packs
)

// Bed is what a sand is put on.
type Bed struct {
	Name  string // such as "the ash of 0–20 mm"
	Curve *Curve // nil where it was not sieved
}

// Match is a sand beside what it is put on.
type Match struct {
	Fit      Fit
	Says     []string // in plain words, the weightiest first
	Top      *Distance
	Root     *Distance
	Limits   []Judged // the limits of the construction recommendation
	concerns int      // 1 for care, 2 for not advised
}

// Suit sets a chosen sand beside the top layer it will lie on and the root zone below it, in words. What was not sieved is
// said to be missing and nothing is concluded from it. The rules: limits of the construction recommendation; a mean grain
// size within a factor of 1.25 (with care) or 1.6 (not advised) of either; a spread of sizes C_u from 1.8 to 4.
func Suit(sand *Curve, top, root Bed) Match {
	if sand == nil {
		return Match{Fit: NotKnown, Says: []string{"There is no sieve table of the sand: whether it goes with what lies below cannot be said. Ask the supplier for one."}}
	}
	m := Match{Limits: Judge(sand, RootZoneLimits())}
	m.Root = m.against(sand, root, "a layer of it would hold water above the root zone until it is full", "it dries and drains more than the root zone")
	m.Top = m.against(sand, top, "it closes the pores at the surface", "water stays in the finer layer below it, and its grains are slow to work in")
	m.hold()
	m.spread(sand)
	m.Fit = [...]Fit{GoesWell, WithCare, NotAdvised}[m.concerns]
	if m.Top == nil && m.Root == nil && m.concerns < 2 {
		m.Fit = NotKnown
	}
	return m
}

// against compares with one bed and says what follows when the sand is finer or coarser.
func (m *Match) against(sand *Curve, bed Bed, finer, coarser string) *Distance {
	if bed.Curve == nil {
		m.Says = append(m.Says, "There is no sieve table of "+bed.Name+": the sand cannot be set beside it.")
		return nil
	}
	d, err := Apart(sand, bed.Curve)
	if err != nil {
		m.Says = append(m.Says, fmt.Sprintf("The sand cannot be set beside %s: %v.", bed.Name, err))
		return nil
	}
	says := d.Words("the sand", bed.Name)
	factor := math.Exp2(math.Abs(d.Shift))
	if d.Differs && factor > alike {
		grade, word := 1, "With care"
		if factor > unlike {
			grade, word = 2, "Not advised"
		}
		m.concerns = max(m.concerns, grade)
		what := coarser
		if d.Shift < 0 {
			what = finer
		}
		says += " " + word + ": " + what + "."
	}
	m.Says = append(m.Says, says)
	return &d
}

// hold weighs the limits.
func (m *Match) hold() {
	close := 0
	for _, j := range m.Limits {
		switch {
		case j.Verdict == NotMet:
			m.concerns = max(m.concerns, 1)
			if j.To.Size == 0.15 && j.From.Size == 0 {
				m.concerns = 2 // fines stay, whatever is put on later
			}
			m.Says = append(m.Says, fmt.Sprintf("Limit not met: %s %s, allowed %s.", j.Name, j.found(), j.Allowed()))
		case j.Verdict == TooClose:
			close++
		}
	}
	if close > 0 {
		m.Says = append(m.Says, fmt.Sprintf("%d of %d limits of the construction recommendation are too close to tell from one sieving.", close, len(m.Limits)))
	}
}

// found says what was found, or its bounds.
func (j Judged) found() string {
	if j.Found != nil {
		return fmt.Sprintf("%.1f %%", float64(*j.Found))
	}
	return fmt.Sprintf("%.1f to %.1f %%", float64(j.Low), float64(j.High))
}

func (m *Match) spread(sand *Curve) {
	cu, ok := sand.Uniformity()
	switch {
	case !ok:
		m.Says = append(m.Says, "Its spread of sizes D60/D10 is not known: the sieves do not reach.")
	case cu < bareSpread:
		m.concerns = max(m.concerns, 1)
		m.Says = append(m.Says, fmt.Sprintf("Its grains are nearly of one size (D60/D10 %.1f): loose under foot.", cu))
	case cu > wideSpread:
		m.concerns = max(m.concerns, 1)
		m.Says = append(m.Says, fmt.Sprintf("Its sizes are widely spread (D60/D10 %.1f): it packs and closes.", cu))
	}
}

// Effective is the share of a sand between 0.15 and 1 mm, the grains that work in between the leaves and keep pores open
// once they are there; coarser ones end in the mowers' boxes, finer ones close pores. Common practice, no source.
func (c *Curve) Effective() (unit.Fraction, bool) {
	p, _, ok := c.Between(0.15, 1)
	return p.Fraction(), ok
}
