package bench

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/unit"
)

// three crucibles of unequal mass, read on two balances.
func unequal() []Crucible {
	return []Crucible{
		{Name: "a", Tare: 25.1, Dry: 44.9, Ash: 43.7, Resolution: ptr(unit.Grams(0.01))},
		{Name: "b", Tare: 30.2, Dry: 80.4, Ash: 77.1, Resolution: ptr(unit.Grams(0.01))},
		{Name: "c", Tare: 18.3, Dry: 26.6, Ash: 26.2, Resolution: ptr(unit.Grams(0.1))},
	}
}

// propagated is the law of propagation (JCGM 100:2008, 5.1.3 note 2) done by brute force: every reading is moved up
// and down by its standard uncertainty and half the squared differences of the result are added up.
func propagated(crucibles []Crucible, result func([]Crucible) float64) float64 {
	var variance float64
	for i := range crucibles {
		u := unit.Grams(crucibles[i].readingStandard())
		for _, reading := range []func(*Crucible) *unit.Grams{
			func(c *Crucible) *unit.Grams { return &c.Tare },
			func(c *Crucible) *unit.Grams { return &c.Dry },
			func(c *Crucible) *unit.Grams { return &c.Ash },
		} {
			moved := func(by unit.Grams) float64 {
				list := append([]Crucible{}, crucibles...)
				*reading(&list[i]) += by
				return result(list)
			}
			z := (moved(u) - moved(-u)) / 2
			variance += z * z
		}
	}
	return math.Sqrt(variance)
}

func TestBalanceUncertaintyIsPropagatedFromEveryReading(t *testing.T) {
	correction := &MineralLoss{Loss: 0.004, Completeness: 0.98}
	balanceOnly := func(list []Crucible, m *MineralLoss) burnt {
		ig := sum(list)
		ig.Uncertainty = combine(ig.balance())
		return ig.burnt(m)
	}
	for _, tc := range []struct {
		name   string
		m      *MineralLoss
		result func(burnt) float64
		stated func(burnt) float64
	}{
		{"loss on ignition", nil, func(b burnt) float64 { return float64(b.fraction) }, func(b burnt) float64 { return float64(b.standard) }},
		{"dry mass", nil, func(b burnt) float64 { return float64(b.dry.Value) }, func(b burnt) float64 { return float64(b.dry.Standard) }},
		{"organic mass", nil, func(b burnt) float64 { return float64(b.organic.Value) }, func(b burnt) float64 { return float64(b.organic.Standard) }},
		{"mineral mass", nil, func(b burnt) float64 { return float64(b.mineral.Value) }, func(b burnt) float64 { return float64(b.mineral.Standard) }},
		{"corrected fraction", correction, func(b burnt) float64 { return float64(b.fraction) }, func(b burnt) float64 { return float64(b.standard) }},
		{"corrected organic mass", correction, func(b burnt) float64 { return float64(b.organic.Value) }, func(b burnt) float64 { return float64(b.organic.Standard) }},
		{"corrected mineral mass", correction, func(b burnt) float64 { return float64(b.mineral.Value) }, func(b burnt) float64 { return float64(b.mineral.Standard) }},
	} {
		t.Run(tc.name, func(t *testing.T) {
			want := propagated(unequal(), func(list []Crucible) float64 { return tc.result(balanceOnly(list, tc.m)) })
			got := tc.stated(balanceOnly(unequal(), tc.m))
			if math.Abs(got-want) > 1e-6*want { // the brute force is of second order in u/m, about 1e-7
				t.Errorf("standard uncertainty %.9g, brute force %.9g", got, want)
			}
		})
	}
}

func TestScatterOfEqualMassesIsTheStandardErrorOfTheMean(t *testing.T) {
	list := []Crucible{ // 10 g each: 5.80, 5.95 and 5.88 %
		{Tare: 20, Dry: 30, Ash: 30 - 0.580},
		{Tare: 20, Dry: 30, Ash: 30 - 0.595},
		{Tare: 20, Dry: 30, Ash: 30 - 0.588},
	}
	got := scatter(list, sum(list))
	if math.Abs(float64(got.Standard)-0.0433333333) > 1e-9 || got.DF != 2 {
		t.Errorf("scatter %.10g with %g degrees of freedom, want 0.0433333333 with 2", got.Standard, got.DF)
	}
}

func TestBudgetListsTheLargestFirst(t *testing.T) {
	got, err := Measure(Composite{
		Layer: Layer{0, 20}, Crucibles: unequal(),
		Mineral: &MineralLoss{Loss: 0.003, LossStandard: 0.001, Completeness: 0.99, CompletenessStandard: 0.01},
	}, Defaults())
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	var variance float64
	last := unit.Percent(math.Inf(1))
	for _, c := range got.Uncertainty.Components {
		if c.Standard > last {
			t.Errorf("%s %g comes after %g", c.Name, c.Standard, last)
		}
		last = c.Standard
		variance += float64(c.Standard * c.Standard)
		names = append(names, c.Name)
	}
	want := []string{scatterName, blankName, completedName, balanceName}
	if diff := cmp.Diff(want, names); diff != "" {
		t.Errorf("components (-want +got):\n%s", diff)
	}
	if u := float64(got.Uncertainty.Standard); math.Abs(u*u-variance) > 1e-12 {
		t.Errorf("u_c² = %g, components add up to %g", u*u, variance)
	}
}

func TestMineralLossSlopes(t *testing.T) {
	const l, step = 0.06, 1e-6
	m := MineralLoss{Loss: 0.003, Completeness: 0.98}
	for _, tc := range []struct {
		name     string
		up, down MineralLoss
		only     MineralLoss
	}{
		{blankName, MineralLoss{Loss: 0.003 + step, Completeness: 0.98}, MineralLoss{Loss: 0.003 - step, Completeness: 0.98}, MineralLoss{Loss: 0.003, Completeness: 0.98, LossStandard: step}},
		{completedName, MineralLoss{Loss: 0.003, Completeness: 0.98 + step}, MineralLoss{Loss: 0.003, Completeness: 0.98 - step}, MineralLoss{Loss: 0.003, Completeness: 0.98, CompletenessStandard: step}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			want := math.Abs(float64(tc.up.organic(l)-tc.down.organic(l))) / 2
			got := float64(tc.only.budget(l, Budget{}).Standard.Fraction())
			if math.Abs(got-want) > 1e-6*want {
				t.Errorf("uncertainty %g, brute force %g", got, want)
			}
		})
	}
	if m.budget(l, combine(Component{Name: balanceName, Standard: 0.1, DF: math.Inf(1)})).Standard != 0.1/(0.98-0.003) {
		t.Error("the balance component is not carried over by 1/(η − b)")
	}
}
