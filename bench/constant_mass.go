package bench

import (
	"errors"
	"fmt"
	"math"

	"underfoot/unit"
)

// Stage is where on its way a crucible was weighed.
type Stage string

const (
	StageTare  Stage = "tare"
	StageMoist Stage = "moist"
	StageDry   Stage = "dry"
	StageAsh   Stage = "ash"
)

// Limits of constant mass.
const (
	// ConstantShare is the largest change between two successive weighings, as a share of the last mass of the
	// material: 0.1 %. ISO 11465:1993, definition of constant mass (value from memory).
	ConstantShare unit.Fraction = 0.001
	// ConstantHours [h] is the shortest time between two weighings that says anything about constant mass:
	// 1 h, ASTM D2216 (from memory). ISO 11465 asks for 4 h of drying (from memory).
	ConstantHours = 1.0
)

// Weighed is one of the repeated weighings of a stage.
type Weighed struct {
	Mass  unit.Grams // crucible included
	Hours *float64   // h since the first weighing of the stage; nil when not written down
}

// Constancy is what repeated weighings of one stage say.
type Constancy string

const (
	NotTested   Constancy = "not tested"   // weighed once
	TooSoon     Constancy = "too soon"     // the last two weighings are less than ConstantHours apart
	Reached     Constancy = "constant"     // the last two agree
	StillLosing Constancy = "still losing" // the last is lighter by more than is allowed
	Gaining     Constancy = "gaining"      // the last is heavier by more than is allowed
)

// ConstantMass is the judgement of the weighings of one stage.
type ConstantMass struct {
	Stage   Stage
	State   Constancy
	Change  unit.Grams // last minus the one before; negative when mass was lost; 0 when weighed once
	Allowed unit.Grams // the largest change that counts as none
}

// Constant judges whether a stage was weighed to constant mass.
//
//	|m_n − m_(n−1)| ≤ max(0.001·(m_n − m_t), 3·√2·δ/√12)
//
// with m_n the last weighing, m_t the empty crucible and δ the step of the balance; the second term is what two readings
// of the balance can differ by themselves (see Crucible). The share is of the material, not of the crucible with it: a
// heavy crucible would make the test blind. For stage tare there is no material and the balance alone decides.
// Masses [g] from 0 to 10 000, hours [h] rising. What happens between two weighings is ignored.
//
// Source: ISO 11465:1993, definition of constant mass (0.1 % of the last mass, from memory).
func Constant(stage Stage, tare unit.Grams, list []Weighed, resolution *unit.Grams) (ConstantMass, error) {
	out := ConstantMass{Stage: stage, State: NotTested}
	c := Crucible{Tare: tare, Resolution: resolution}
	if err := checkRepeats(c, stage, list); err != nil {
		return out, err
	}
	last := list[len(list)-1]
	out.Allowed = c.explainable()
	if stage != StageTare {
		out.Allowed = max(out.Allowed, unit.Grams(ConstantShare)*(last.Mass-tare))
	}
	if len(list) < 2 {
		return out, nil
	}
	before := list[len(list)-2]
	out.Change = last.Mass - before.Mass
	const hair = 1e-9 // g: differences of decimals are not exact in binary
	switch {
	case last.Hours != nil && before.Hours != nil && *last.Hours-*before.Hours < ConstantHours:
		out.State = TooSoon
	case unit.Grams(math.Abs(float64(out.Change))) <= out.Allowed+hair:
		out.State = Reached
	case out.Change < 0:
		out.State = StillLosing
	default:
		out.State = Gaining
	}
	return out, nil
}

func checkRepeats(c Crucible, stage Stage, list []Weighed) error {
	switch stage {
	case StageTare, StageMoist, StageDry, StageAsh:
	default:
		return fmt.Errorf("repeated weighings: stage %q: use tare, moist, dry or ash", string(stage))
	}
	if len(list) == 0 {
		return fmt.Errorf("repeated weighings of stage %s: none given: give at least one", stage)
	}
	errs := []error{c.checkMass("tare", c.Tare)}
	if r := c.resolution(); !(r > 0 && r <= coarsestResolution) {
		errs = append(errs, c.problem("balance resolution %s g: give a number above 0 and up to %s g", number(float64(r)), number(float64(coarsestResolution))))
	}
	var hours float64
	for i, w := range list {
		name := fmt.Sprintf("%s weighing %d", stage, i+1)
		errs = append(errs, c.checkMass(name, w.Mass))
		if stage != StageTare && w.Mass <= c.Tare {
			errs = append(errs, fmt.Errorf("%s, %s, is not above tare %s: %s", name, c.show(w.Mass), c.show(c.Tare), weighAgain))
		}
		if w.Hours == nil {
			continue
		}
		if !(*w.Hours >= hours && !math.IsInf(*w.Hours, 1)) {
			errs = append(errs, fmt.Errorf("%s at %s h: give hours since the first weighing of the stage, not less than the one before (%s h)", name, number(*w.Hours), number(hours)))
			continue
		}
		hours = *w.Hours
	}
	return errors.Join(errs...)
}

// String says the judgement and the next step in a sentence.
func (m ConstantMass) String() string {
	what := map[Stage]string{
		StageTare: "the empty crucible", StageMoist: "the moist sample", StageDry: "the dry sample", StageAsh: "the ash",
	}[m.Stage]
	change := rounded(1000*math.Abs(float64(m.Change))) + " mg"
	allowed := rounded(1000*float64(m.Allowed)) + " mg"
	switch m.State {
	case NotTested:
		return what + " was weighed once: constant mass was not tested"
	case TooSoon:
		return fmt.Sprintf("the last two weighings of %s are less than %s h apart and say nothing about constant mass: heat on and weigh again", what, number(ConstantHours))
	case Reached:
		return fmt.Sprintf("%s is at constant mass: the last two weighings differ by %s, %s allowed", what, change, allowed)
	case StillLosing:
		return fmt.Sprintf("%s lost another %s at the last weighing, above the %s allowed: heat on and weigh again", what, change, allowed)
	default:
		return fmt.Sprintf("%s gained %s at the last weighing, above the %s allowed: it took up water or the wrong crucible was weighed; dry it, cool it in a desiccator and weigh again", what, change, allowed)
	}
}

// Settled says whether the stage needs nothing more.
func (m ConstantMass) Settled() bool { return m.State == Reached || m.State == NotTested }
