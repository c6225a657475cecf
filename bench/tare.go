package bench

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// Tared is one weighing of an empty crucible.
type Tared struct {
	Day  float64    // d, on any calendar that counts days
	Mass unit.Grams // empty, cold and dry
}

// TareState is what the history of a crucible's tare says.
type TareState string

const (
	TareUntold   TareState = "untold"   // fewer than two weighings
	TareSteady   TareState = "steady"   // no change that the balance could see
	TareStepped  TareState = "stepped"  // the last stands off from those before
	TareDrifting TareState = "drifting" // it keeps losing or gaining
)

// leastTares is the fewest weighings from which a drift is judged: common practice, no source.
const leastTares = 4

// TareStep [g] is the least change of a tare that is flagged: 10 mg, a fortieth of a point of 40 g of dry material. Less comes
// of cooling and of water in the clay of the crucible. Common practice, no source.
const TareStep unit.Grams = 0.01

// TareHistory is one crucible's tare over time.
type TareHistory struct {
	Crucible string
	Weighed  int
	First    unit.Grams // earliest tare
	Last     unit.Grams // latest tare
	Change   unit.Grams // latest minus the mean of those before; 0 from fewer than two
	Slope    float64    // g per weighing, by least squares; 0 from fewer than leastTares
	State    TareState
	Balance  unit.Grams // the largest difference of two readings that the balance alone can explain
}

// Tares judges the tare history of one crucible.
//
// A crucible drifts when the least-squares slope over its weighings in order of date stands off from zero by more
// than t(0.975, n − 2) standard errors and the change it makes over the history is more than the balance can explain
// (3·√2·δ/√12). It stepped when the last tare stands off from the mean of those before by more than three of their standard
// deviations and more than the balance can explain. What is lost in the furnace counts as organic matter, so the slope is a
// mass a burn: see TareHistory.Points. Masses [g] 0 to 10 000; from one weighing nothing is said.
//
// Source: the t-test of a regression slope, JCGM 100:2008, H.3 (least squares); the factors 3 and the least number
// of weighings are common practice, no source.
func Tares(crucible string, list []Tared, resolution *unit.Grams) (TareHistory, error) {
	c := Crucible{Name: crucible, Resolution: resolution}
	errs := make([]error, 0, len(list))
	for _, w := range list {
		errs = append(errs, c.checkMass("tare", w.Mass))
		if math.IsNaN(w.Day) || math.IsInf(w.Day, 0) {
			errs = append(errs, c.problem("tare on day %s: give a day", number(w.Day)))
		}
	}
	if r := c.resolution(); !(r > 0 && r <= coarsestResolution) {
		errs = append(errs, c.problem("balance resolution %s g: give a number above 0 and up to %s g", number(float64(r)), number(float64(coarsestResolution))))
	}
	if err := errors.Join(errs...); err != nil {
		return TareHistory{}, err
	}
	h := TareHistory{Crucible: crucible, Weighed: len(list), State: TareUntold, Balance: c.explainable()}
	if len(list) == 0 {
		return h, nil
	}
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Tared) int { return cmp.Compare(a.Day, b.Day) })
	h.First, h.Last = list[0].Mass, list[len(list)-1].Mass
	if len(list) < 2 {
		return h, nil
	}
	h.State = TareSteady
	earlier := make([]float64, len(list)-1)
	for i := range earlier {
		earlier[i] = float64(list[i].Mass)
	}
	mean, s := meanSD(earlier)
	h.Change = h.Last - unit.Grams(mean)
	if math.Abs(float64(h.Change)) > max(float64(h.Balance), float64(TareStep), 3*s) {
		h.State = TareStepped
	}
	if len(list) >= leastTares {
		slope, se := trend(list)
		h.Slope = slope
		over := math.Abs(slope) * float64(len(list)-1)
		if over > float64(h.Balance) && math.Abs(slope) > coverage(float64(len(list)-2))*se {
			h.State = TareDrifting
		}
	}
	return h, nil
}

// trend is the least-squares slope of mass over the order of weighing, and its standard error.
func trend(list []Tared) (slope, se float64) {
	n := float64(len(list))
	var my float64
	for _, w := range list {
		my += float64(w.Mass) / n
	}
	mx := (n - 1) / 2
	var sxx, sxy float64
	for i, w := range list {
		dx := float64(i) - mx
		sxx += dx * dx
		sxy += dx * (float64(w.Mass) - my)
	}
	slope = sxy / sxx
	var rest float64
	for i, w := range list {
		d := float64(w.Mass) - my - slope*(float64(i)-mx)
		rest += d * d
	}
	return slope, math.Sqrt(rest / (n - 2) / sxx)
}

func meanSD(v []float64) (mean, s float64) {
	for _, x := range v {
		mean += x / float64(len(v))
	}
	if len(v) < 2 {
		return mean, 0
	}
	for _, x := range v {
		s += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(s / float64(len(v)-1))
}

// Points is what a crucible's loss at each burn adds to the organic matter of dry material of a mass [g], in percentage
// points: −slope/m. It is not taken off: a crucible that drifts should be replaced.
func (h TareHistory) Points(dry unit.Grams) unit.Percent {
	if dry <= 0 {
		return 0
	}
	return unit.Percent(-100 * h.Slope / float64(dry))
}

// Flagged says whether the crucible needs a look.
func (h TareHistory) Flagged() bool { return h.State == TareStepped || h.State == TareDrifting }

// String says what the history tells, in a sentence.
func (h TareHistory) String() string {
	verb := func(g float64) string {
		if g < 0 {
			return "loses"
		}
		return "gains"
	}
	mg := func(g float64) string { return rounded(1000*math.Abs(g)) + " mg" }
	switch h.State {
	case TareUntold:
		return fmt.Sprintf("crucible %s was weighed empty %s: nothing can be said of its tare", h.Crucible, times(h.Weighed))
	case TareStepped:
		way := "heavier"
		if h.Change < 0 {
			way = "lighter"
		}
		return fmt.Sprintf("crucible %s is %s %s than it was on average before: look for a chip, residue or a swapped crucible", h.Crucible, mg(float64(h.Change)), way)
	case TareDrifting:
		return fmt.Sprintf("crucible %s %s %s from one weighing to the next: what it loses counts as organic matter; replace it", h.Crucible, verb(h.Slope), mg(h.Slope))
	default:
		return fmt.Sprintf("crucible %s has kept its tare over %d weighings", h.Crucible, h.Weighed)
	}
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
