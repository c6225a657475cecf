package outline

import (
	"errors"
	"fmt"
	"math"
)

// Fixed is a point that stays where it is, such as a sprinkler head.
type Fixed struct {
	Name string
	At   Point
}

// Tape places a core by its distances from two fixed points.
type Tape struct {
	From, And   Fixed
	FromM, AndM float64 // distances [m]
	Left        bool    // seen from From towards And, the core lies to the left
	Angle       float64 // between the tapes at the core [°, 0 to 180]
	Error       float64 // standard error of the place [m]
}

// How well a tape is read: common practice, no source.
const (
	tapeFixed = 0.02  // [m]
	tapeShare = 0.002 // of the distance
)

// Tapes chooses the two fixed points that place a core best by tape. Two tapes read to σ₁ and σ₂ that meet at the angle θ
// place it to
//
//	√(σ₁² + σ₂²)/sin θ      σ = 20 mm + 0.2 % of the distance
//
// so tapes that meet squarely are best; the pair with the smallest error is taken. Two distances alone fit two places, one
// on either side of the line between the fixed points: Left says which. most [m] is the longest tape; of pairs with equal errors
// the first is taken.
// Source: error propagation for two intersecting circles, derived in docs/model/outline.md.
func Tapes(core Point, fixed []Fixed, most float64) (Tape, error) {
	const doing = "tape distances"
	if len(fixed) < 2 {
		return Tape{}, fmt.Errorf("%s: %d fixed points: give at least 2, such as sprinkler heads", doing, len(fixed))
	}
	best, reach := Tape{Error: math.Inf(1)}, 0
	for i, a := range fixed {
		if core.Distance(a.At) <= most {
			reach++
		}
		for _, b := range fixed[i+1:] {
			if t := tape(core, a, b); t.FromM <= most && t.AndM <= most && t.Error < best.Error {
				best = t
			}
		}
	}
	switch {
	case reach < 2:
		return Tape{}, fmt.Errorf("%s: %d of %d fixed points within the %g m of the tape: give 2 that are nearer", doing, reach, len(fixed), most)
	case !(best.Error <= worstPlace):
		return Tape{}, fmt.Errorf("%s: the fixed points lie in line with the core, so tapes cannot place it to %g m: give one that stands aside", doing, worstPlace)
	}
	return best, nil
}

// worstPlace is the largest error of a place that tapes are offered for [m]: common practice, no source.
const worstPlace = 0.5

func tape(core Point, a, b Fixed) Tape {
	t := Tape{From: a, And: b, FromM: core.Distance(a.At), AndM: core.Distance(b.At), Left: side(a.At, b.At, core) > 0, Error: math.Inf(1)}
	cross := (a.At.East-core.East)*(b.At.North-core.North) - (a.At.North-core.North)*(b.At.East-core.East)
	dot := (a.At.East-core.East)*(b.At.East-core.East) + (a.At.North-core.North)*(b.At.North-core.North)
	t.Angle = math.Atan2(math.Abs(cross), dot) / radian
	sine := math.Sin(t.Angle * radian)
	if sine > 0 && t.FromM > 0 && t.AndM > 0 {
		t.Error = math.Hypot(tapeFixed+tapeShare*t.FromM, tapeFixed+tapeShare*t.AndM) / sine
	}
	return t
}

// Place is where the tapes meet: what a person who follows them finds.
func (t Tape) Place() (Point, error) {
	d := t.From.At.Distance(t.And.At)
	if d == 0 {
		return Point{}, errors.New("place by tapes: both tapes start at one point: give two")
	}
	along := (t.FromM*t.FromM - t.AndM*t.AndM + d*d) / (2 * d)
	square := t.FromM*t.FromM - along*along
	if square < -1e-9*d*d {
		return Point{}, fmt.Errorf("place by tapes: %.2f m from %s and %.2f m from %s do not meet: they are %.2f m apart; measure again", t.FromM, t.From.Name, t.AndM, t.And.Name, d)
	}
	across := math.Sqrt(max(0, square))
	if !t.Left {
		across = -across
	}
	ex, ey := (t.And.At.East-t.From.At.East)/d, (t.And.At.North-t.From.At.North)/d
	return Point{t.From.At.East + along*ex - across*ey, t.From.At.North + along*ey + across*ex}, nil
}

// String says it: "7.25 m from A and 9.10 m from B, to the left seen from A towards B (± 0.05 m)".
func (t Tape) String() string {
	hand := "right"
	if t.Left {
		hand = "left"
	}
	return fmt.Sprintf("%.2f m from %s and %.2f m from %s, to the %s seen from %s towards %s (± %.2f m)", t.FromM, t.From.Name, t.AndM, t.And.Name, hand, t.From.Name, t.And.Name, t.Error)
}
