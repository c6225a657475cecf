package bench

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/unit"
)

func TestConstant(t *testing.T) {
	fine := unit.Grams(0.001)
	at := func(h float64) *float64 { return &h }
	for _, c := range []struct {
		name  string
		stage Stage
		list  []Weighed
		want  Constancy
		says  string
	}{
		{"once", StageDry, []Weighed{{Mass: 65}}, NotTested, "the dry sample was weighed once: constant mass was not tested"},
		{"reached", StageDry, []Weighed{{65, at(0)}, {64.961, at(4)}}, Reached, "the dry sample is at constant mass: the last two weighings differ by 39.0 mg, 40.0 mg allowed"},
		{"losing", StageAsh, []Weighed{{65, at(0)}, {64.95, at(4)}}, StillLosing, "the ash lost another 50.0 mg at the last weighing, above the 40.0 mg allowed: heat on and weigh again"},
		{"gaining", StageDry, []Weighed{{65, nil}, {65.1, nil}}, Gaining, "the dry sample gained 100 mg at the last weighing, above the 40.1 mg allowed: it took up water or the wrong crucible was weighed; dry it, cool it in a desiccator and weigh again"},
		{"too soon", StageDry, []Weighed{{65, at(0)}, {65, at(0.5)}}, TooSoon, "the last two weighings of the dry sample are less than 1 h apart and say nothing about constant mass: heat on and weigh again"},
		{"the last two count", StageAsh, []Weighed{{70, at(0)}, {64.961, at(4)}, {64.96, at(8)}}, Reached, "the ash is at constant mass: the last two weighings differ by 1.00 mg, 40.0 mg allowed"},
		{"tare by the balance", StageTare, []Weighed{{25, nil}, {25.005, nil}}, Gaining, "the empty crucible gained 5.00 mg at the last weighing, above the 1.22 mg allowed: it took up water or the wrong crucible was weighed; dry it, cool it in a desiccator and weigh again"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Constant(c.stage, 25, c.list, &fine)
			if err != nil {
				t.Fatal(err)
			}
			if got.State != c.want || got.String() != c.says {
				t.Errorf("got %s, %q\nwant %s, %q", got.State, got, c.want, c.says)
			}
		})
	}
}

func TestConstantRefuses(t *testing.T) {
	at := func(h float64) *float64 { return &h }
	coarse := unit.Grams(5)
	for _, c := range []struct {
		name  string
		stage Stage
		list  []Weighed
		step  *unit.Grams
		want  string
	}{
		{"stage", "boil", []Weighed{{Mass: 30}}, nil, `repeated weighings: stage "boil": use tare, moist, dry or ash`},
		{"none", StageDry, nil, nil, "repeated weighings of stage dry: none given: give at least one"},
		{"below tare", StageDry, []Weighed{{Mass: 20}}, nil, "dry weighing 1, 20.00 g, is not above tare 25.00 g: weigh the crucible again or take the row out"},
		{"hours", StageDry, []Weighed{{30, at(4)}, {30, at(2)}}, nil, "dry weighing 2 at 2 h: give hours since the first weighing of the stage, not less than the one before (4 h)"},
		{"step", StageDry, []Weighed{{Mass: 30}}, &coarse, "balance resolution 5 g: give a number above 0 and up to 1 g"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Constant(c.stage, 25, c.list, c.step)
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v\nwant %s", err, c.want)
			}
		})
	}
}

func TestTares(t *testing.T) {
	fine := unit.Grams(0.001)
	list := func(v ...float64) (out []Tared) {
		for i, m := range v {
			out = append(out, Tared{Day: float64(30 * i), Mass: unit.Grams(m)})
		}
		return out
	}
	for _, c := range []struct {
		name string
		list []Tared
		want TareState
		says string
	}{
		{"never", nil, TareUntold, "crucible c02 was weighed empty never: nothing can be said of its tare"},
		{"once", list(40), TareUntold, "crucible c02 was weighed empty once: nothing can be said of its tare"},
		{"steady", list(40, 40.001, 40, 40.001, 40), TareSteady, "crucible c02 has kept its tare over 5 weighings"},
		{"chipped", list(40, 40.001, 40, 39.9), TareStepped, "crucible c02 is 100 mg lighter than it was on average before: look for a chip, residue or a swapped crucible"},
		{"drifting", list(40, 39.997, 39.995, 39.992, 39.99), TareDrifting, "crucible c02 loses 2.50 mg from one weighing to the next: what it loses counts as organic matter; replace it"},
		{"out of order", []Tared{{90, 39.992}, {0, 40}, {60, 39.995}, {30, 39.997}, {120, 39.99}}, TareDrifting, "crucible c02 loses 2.50 mg from one weighing to the next: what it loses counts as organic matter; replace it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Tares("c02", c.list, &fine)
			if err != nil {
				t.Fatal(err)
			}
			if got.State != c.want || got.String() != c.says {
				t.Errorf("got %s, %q\nwant %s, %q", got.State, got, c.want, c.says)
			}
		})
	}
	drift, _ := Tares("c02", list(40, 39.997, 39.995, 39.992, 39.99), &fine)
	if got, want := drift.Points(25), unit.Percent(0.01); got < want*0.999 || got > want*1.001 || !drift.Flagged() {
		t.Errorf("2.5 mg of 25 g is %g points, want %g; flagged %v", got, want, drift.Flagged())
	}
	_, err := Tares("c02", []Tared{{0, -4}}, nil)
	if err == nil || err.Error() != "crucible c02: tare −4 g: give grams from 0 to 10000, crucible included" {
		t.Errorf("negative tare: %v", err)
	}
}

func TestReadMass(t *testing.T) {
	for _, c := range []struct{ text, written string }{
		{"29.1034", "29.1034"},
		{" 29,10 ", "29.10"},
		{"S S     29.1034 g", "29.1034"},
		{"+ 29.1034 g", "29.1034"},
		{"N     +   29.1034 g  ", "29.1034"},
		{"ST,GS,+0029.10 g", "29.10"},
		{"G        +     5.00 g S", "5.00"},
		{"- 0.012 g", "-0.012"},
		{"−0.012", "-0.012"},
		{"0.000 g", "0.000"},
		{"-0.000 g", "0.000"},
		{"29103.4 mg", "29.1034"},
		{"5 mg", "0.005"},
		{"0.0291034 kg", "29.1034"},
		{"1kg", "1000"},
		{".5", "0.5"},
	} {
		got, err := ReadMass(c.text)
		if err != nil || got.Written != c.written {
			t.Errorf("%q: got %q, %v; want %q", c.text, got.Written, err, c.written)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"  ", "mass is blank: give grams, such as 29.1034"},
		{"S D     29.1034 g", `mass "S D     29.1034 g": the balance had not settled: wait and weigh again`},
		{"US,NT,+29.1 g", `mass "US,NT,+29.1 g": the balance had not settled: wait and weigh again`},
		{"29.1034 ?", `mass "29.1034 ?": the balance had not settled: wait and weigh again`},
		{"S I", `mass "S I": the balance could not weigh: look at its display and weigh again`},
		{"S +", `mass "S +" has no single number: give grams, such as 29.1034`},
		{"29.1 30.2", `mass "29.1 30.2" has no single number: give grams, such as 29.1034`},
		{"1,234.5 g", `mass "1,234.5 g" has no single number: give grams, such as 29.1034`},
		{"1.029 oz", `mass "1.029 oz": unit "oz": give grams (g), milligrams (mg) or kilograms (kg)`},
		{"about 29 g", `mass "about 29 g": "about" is not understood before a mass: give grams, such as 29.1034`},
		{"29000", `mass "29000": give grams up to 10000`},
		{"29 g net or so", `mass "29 g net or so": "net or so" is not understood after a mass: give grams, such as 29.1034`},
	} {
		got, err := ReadMass(c.text)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q: got %+v, %v\nwant %s", c.text, got, err, c.want)
		}
	}
}

func TestCorrections(t *testing.T) {
	if m, err := (Corrections{}).MineralLoss(); m != nil || err != nil {
		t.Errorf("nothing asked for: got %+v, %v", m, err)
	}
	// 2 % clay losing 0.09 g per g and 5 % carbonate of which 0.2 % decomposes: 0.0018 + 0.05·0.002·0.43971.
	m, err := Corrections{
		Clay:      &ClayWater{Share: 0.02, Water: ClayWaterAt550, WaterStandard: 0.03},
		Carbonate: &CarbonateGas{Share: 0.05, Decomposed: CarbonateLostAt550},
	}.MineralLoss()
	if err != nil {
		t.Fatal(err)
	}
	want := MineralLoss{Loss: 0.0018439712, LossStandard: 0.0006, Completeness: 1}
	near := cmp.Comparer(func(a, b unit.Fraction) bool { return a-b < 1e-9 && b-a < 1e-9 })
	if d := cmp.Diff(want, *m, near); d != "" {
		t.Errorf("(−want +got):\n%s", d)
	}
	// At 440 °C half of what is lost at 550 °C, ± 0.045/√3: 2 % of clay lose 0.0009 ± 0.0005196.
	m, err = Corrections{Clay: ClayAt440(0.02), Carbonate: CarbonateAt440(0)}.MineralLoss()
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(MineralLoss{Loss: 0.0009, LossStandard: 0.00051961524, Completeness: 1}, *m, near); d != "" {
		t.Errorf("(−want +got):\n%s", d)
	}
	_, err = Corrections{Clay: &ClayWater{Share: 2}}.MineralLoss()
	if err == nil || err.Error() != "correction: clay 2: give a fraction from 0 to 1" {
		t.Errorf("share of 2: %v", err)
	}
	if (Corrections{}).WhyOff() == "" {
		t.Error("no reason")
	}
}

// LOI-7 put together from its parts, largest first, then widened by what controls and duplicates show.
func TestBudgetWith(t *testing.T) {
	burns := []unit.Percent{5.30, 5.10, 5.20, 5.40}
	bias, err := ControlBias(5.20, burns)
	if err != nil {
		t.Fatal(err)
	}
	// mean 5.25, s = √(0.05/3) = 0.1290994, u = √(0.05² + 0.05/12) = 0.0816497
	if got := float64(bias.Standard); got < 0.0816496 || got > 0.0816498 || bias.DF != 3 {
		t.Errorf("bias %g with %g degrees of freedom, want 0.0816497 with 3", got, bias.DF)
	}
	pairs, _ := RangeOf([]Pair{{First: 5, Second: 5.1}, {First: 4, Second: 4.2}})
	b := combine(Component{Name: "a", Standard: 0.01, DF: 5}).With(bias, pairs.Component(1), Duplicates{}.Component(1))
	var names []string
	for _, c := range b.Components {
		names = append(names, c.Name)
	}
	if d := cmp.Diff([]string{repeatName, biasName, "a"}, names); d != "" {
		t.Errorf("(−want +got):\n%s", d)
	}
	if _, err := ControlBias(5, nil); err == nil || err.Error() != "bias of a control: give at least two burns" {
		t.Errorf("no burns: %v", err)
	}
}

func FuzzReadMass(f *testing.F) {
	for _, s := range []string{"S S     29.1034 g", "+ 29.1034 g", "ST,GS,+0029.10 g", "29,10", "1.2.3", "", ".", "-", "−5 mg", "9e9", "5 k g", "\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := ReadMass(s)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		if !(got.Mass >= -heaviestCrucible && got.Mass <= heaviestCrucible) {
			t.Errorf("%q read as %g g", s, got.Mass)
		}
		again, err := ReadMass(got.Written)
		if err != nil || again != got {
			t.Errorf("%q read as %+v, and that as %+v, %v", s, got, again, err)
		}
	})
}
