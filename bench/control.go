package bench

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Material is a control material: the same stuff burnt with run after run.
type Material struct {
	Name     string
	Accepted *unit.Percent // accepted organic matter; nil when nobody has set it
	SD       *unit.Percent // standard deviation of single burns, percentage points; nil when not known
}

// Burn is one burn of a control material.
type Burn struct {
	Material string
	Run      string
	Crucible string
	Value    unit.Percent // organic matter found
}

// Limits are centre and standard deviation of a control chart.
type Limits struct {
	Centre, SD unit.Percent
	Own        bool // worked out from the burns themselves, because accepted value or deviation are not known
}

// At gives the value a number of standard deviations from the centre.
func (l Limits) At(z float64) unit.Percent { return l.Centre + unit.Percent(z)*l.SD }

// Z says how many standard deviations a value is from the centre.
func (l Limits) Z(v unit.Percent) float64 { return float64((v - l.Centre) / l.SD) }

// leastBurns is the fewest burns from which a material's own limits are drawn: common practice, no source; twenty are
// better.
const leastBurns = 10

// Limits gives the lines of a control chart: the accepted value and the deviation of single burns where both are
// known, otherwise from at least ten burns in order of time,
//
//	centre = x̄,  s = mean moving range / d2,  so that ±3s = ±2.660·mean moving range
//
// (Shewhart chart of individuals, ISO 7870-2:2013). ok is false when there is nothing to draw them from. Limits from the
// burns themselves cannot tell that all burns are wrong, so runs are never failed by them.
func (m Material) Limits(burns []Burn) (l Limits, ok bool) {
	if m.Accepted != nil && m.SD != nil && *m.SD > 0 {
		return Limits{Centre: *m.Accepted, SD: *m.SD}, true
	}
	var sum, moved float64
	n := 0
	var before unit.Percent
	for _, b := range burns {
		if b.Material != m.Name {
			continue
		}
		sum += float64(b.Value)
		if n > 0 {
			moved += math.Abs(float64(b.Value - before))
		}
		before = b.Value
		n++
	}
	if n < leastBurns || moved == 0 {
		return Limits{}, false
	}
	return Limits{Centre: unit.Percent(sum / float64(n)), SD: unit.Percent(moved / float64(n-1) / rangeMean), Own: true}, true
}

func (m Material) check() error {
	if a := m.Accepted; a != nil && !(*a >= 0 && *a <= 100) {
		return fmt.Errorf("control %s: accepted value %s %%: give percent of oven-dry mass, 0 to 100, or leave it out", m.Name, number(float64(*a)))
	}
	if s := m.SD; s != nil && !(*s > 0 && *s <= 100) {
		return fmt.Errorf("control %s: standard deviation %s: give percentage points above 0 and up to 100, or leave it out", m.Name, number(float64(*s)))
	}
	return nil
}

func (b Burn) check() error {
	if b.Value > -100 && b.Value <= 100 {
		return nil
	}
	return fmt.Errorf("control %s in run %s: organic matter %s %%: give percent of oven-dry mass, 0 to 100", b.Material, b.Run, number(float64(b.Value)))
}
