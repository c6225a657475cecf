package findings

import (
	"fmt"
	"math"
	"strings"
)

// alike is the difference of two slopes that no sentence is lost over [points a year]: half of the second decimal they
// are told in, and a little.
const alike = 0.02

// sentence says in one sentence what the two views show and why they differ.
func (b *MaterialBand) sentence() string {
	name := fmt.Sprintf("%g–%g mm", float64(b.TopMM), float64(b.BottomMM))
	if !b.Change.Known && !b.Stock.Known {
		if b.Left == "" {
			return fmt.Sprintf("The material of %s was seen in one round only: nothing can be said of its change.", name)
		}
		return fmt.Sprintf("The material of %s left the sampled depth in round %s, so nothing can be said of its change: a round %s mm deeper would have held it.",
			name, b.Left, number(math.Ceil(float64(b.DeeperMM)), 0))
	}
	return fmt.Sprintf("%s: %s%s.", b.views(name), b.why(), b.afterwards())
}

// views tells the two changes.
func (b *MaterialBand) views(name string) string {
	material, way := told(b.Change, "points a year"), b.Change.way()
	if !b.Change.Known {
		material, way = told(b.Stock, "kg/m² a year of organic matter, with what grew in the sand laid on it,"), b.Stock.way()
	}
	if !b.Fixed.Known {
		return fmt.Sprintf("The material that lay at %s %s, and fixed depth cannot be set beside it because the rounds cut other layers", name, material)
	}
	join := "and"
	if b.Fixed.way() != way {
		join = "but"
	}
	return fmt.Sprintf("At fixed depth %s %s, %s the material that lay there %s", name, told(b.Fixed, "points a year"), join, material)
}

// way is where the 90 % interval of a change lies: below 0, above it, or on both sides.
func (c MaterialChange) way() int {
	switch {
	case c.Upper90 < 0:
		return -1
	case c.Lower90 > 0:
		return 1
	}
	return 0
}

// told puts a change into words with its interval. Two rounds are a difference, not yet a trend.
func told(c MaterialChange, unit string) string {
	lost, gained := "lost", "gained"
	if c.Assumed {
		lost, gained = "reads lower by", "reads higher by"
	}
	size := number(math.Abs(c.PerYear), 2)
	switch c.way() {
	case -1:
		return fmt.Sprintf("%s %s %s (%s)", lost, size, unit, span(-c.Upper90, -c.Lower90, 2))
	case 1:
		return fmt.Sprintf("%s %s %s (%s)", gained, size, unit, span(c.Lower90, c.Upper90, 2))
	}
	return fmt.Sprintf("shows no change that this sampling could see (%s %s)", span(c.Lower90, c.Upper90, 2), strings.TrimSuffix(unit, ","))
}

// why says what moved the material and what that did at fixed depth.
func (b *MaterialBand) why() string {
	last := b.Rounds[len(b.Rounds)-1]
	worked := b.work(last)
	gap := b.Fixed.PerYear - b.Change.PerYear
	both := b.Fixed.Known && b.Change.Known
	if worked == "" {
		if !both || math.Abs(gap) < alike {
			return "no work on record moved it, so both look at the same material"
		}
		return fmt.Sprintf("no work on record moved it, and the %s points a year between the two come from densities that differ between the rounds", number(math.Abs(gap), 2))
	}
	moved := b.moved(worked, last)
	switch {
	case !b.Fixed.Known:
		return moved
	case !both:
		return moved + ", and sand dilutes what is measured at fixed depth without taking organic matter away"
	case math.Abs(gap) < alike:
		return moved + ", and what took its place holds about as much organic matter"
	case math.Abs(gap) < quantile(0.95, 0)*math.Hypot(b.Fixed.SE, b.Change.SE): // taken as independent
		return moved + ", and whether what took its place holds more or less these rounds cannot tell"
	case gap < 0:
		return moved + ", and what took its place holds less organic matter"
	}
	return moved + ", and what took its place holds more organic matter"
}

// moved says where the work brought the material.
func (b *MaterialBand) moved(worked string, last MaterialRound) string {
	where := fmt.Sprintf("%s–%s mm", number(float64(last.TopMM), 0), number(float64(last.BottomMM), 0))
	switch down := float64(last.BottomMM - b.BottomMM); {
	case math.Abs(down) < 0.5:
		return fmt.Sprintf("%s left it where it was, at %s", worked, where)
	case down < 0:
		return fmt.Sprintf("%s moved it up to %s", worked, where)
	}
	return fmt.Sprintf("%s moved it down to %s", worked, where)
}

// work names what was done to the surface up to a round: "21 mm of sand, with cores taken out".
func (b *MaterialBand) work(last MaterialRound) string {
	var parts []string
	if last.SandMM >= 0.05 {
		decimals := 0
		if last.SandMM < 9.95 {
			decimals = 1
		}
		parts = append(parts, number(float64(last.SandMM), decimals)+" mm of sand")
	}
	switch {
	case last.removedIn:
		parts = append(parts, "coring")
	case last.opened:
		parts = append(parts, "sand put into it")
	}
	return strings.Join(parts, " and ")
}

// afterwards says when the material left the sampled depth, for those rounds that do not count here.
func (b *MaterialBand) afterwards() string {
	if b.Left == "" {
		return ""
	}
	return fmt.Sprintf("; it left the sampled depth in round %s, and rounds in which it lay deeper count in neither", b.Left)
}

// method says how the material was followed.
func (m *mover) method() string {
	read := "monotone cubic"
	if !m.cubic {
		read = "straight lines, for two layers a round hold no curve"
	}
	return fmt.Sprintf("Organic mass at equal mineral mass, moved by the sand put on and the cores taken out (%s); standard errors by first-order propagation of cores, densities, the log of work and the reading between layers; least squares through the rounds.", read)
}
