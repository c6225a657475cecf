package balance_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/interp"

	"underfoot/balance"
	"underfoot/internal/reference"
	"underfoot/unit"
)

// demonstration is the profile of the worked demonstration in docs/model/balance.md.
func demonstration() []balance.Layer {
	return []balance.Layer{
		{Top: 0, Bottom: 20, OM: 0.06, Density: 1300},
		{Top: 20, Bottom: 40, OM: 0.04, Density: 1450},
		{Top: 40, Bottom: 60, OM: 0.025, Density: 1520},
		{Top: 60, Bottom: 80, OM: 0.015, Density: 1560},
	}
}

func must[T any](t *testing.T) func(T, error) float64 {
	return func(v T, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		switch x := any(v).(type) {
		case unit.KgPerM2:
			return float64(x)
		case unit.Millimetres:
			return float64(x)
		case unit.Fraction:
			return float64(x)
		}
		t.Fatalf("no number in %T", v)
		return 0
	}
}

func work(t *testing.T, do string, a []float64) []float64 {
	t.Helper()
	kg := func(i int) unit.KgPerM2 { return unit.KgPerM2(a[i]) }
	mass, share := must[unit.KgPerM2](t), must[unit.Fraction](t)
	curve, err := balance.Cumulate(demonstration()[:3])
	if err != nil {
		t.Fatal(err)
	}
	switch do {
	case "thickness":
		return []float64{must[unit.Millimetres](t)(balance.EquivalentThickness(kg(0), kg(1), unit.KgPerM3(a[2])))}
	case "linear":
		return []float64{mass(curve.Linear(kg(0)))}
	case "monotone":
		return []float64{mass(curve.Monotone(kg(0))), mass(curve.Monotone(kg(1)))}
	case "account":
		p := balance.Window{Mineral1: kg(0), Organic1: kg(1), Mineral2: kg(2), Organic2: kg(3), Sand: kg(4), Leaving: unit.Fraction(a[5])}.Account()
		return []float64{float64(p.Mineral), float64(p.Organic), float64(p.Formed)}
	case "mat":
		return []float64{share(balance.NewMat(kg(0), kg(1)))}
	case "hold":
		s := mass(balance.SandToHold(kg(0), unit.Fraction(a[1])))
		return []float64{s, float64(unit.KgPerM2(s).Depth(unit.KgPerM3(a[2])))}
	case "dilute":
		s := mass(balance.SandToDilute(kg(0), kg(1), unit.Fraction(a[2])))
		return []float64{s, float64(unit.KgPerM2(s).Depth(unit.KgPerM3(a[3])))}
	}
	t.Fatalf("nothing called %q", do)
	return nil
}

func TestReferenceMasses(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/masses.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Do   string
				Args []float64
			}
			var want []float64
			c.Decode(t, &in, &want)
			for i, got := range work(t, in.Do, in.Args) {
				c.Near(t, c.What, got, want[i])
			}
		})
	}
}

// The monotone cubic is the one gonum calls FritschButland; the natural cubic shows what another spline says.
func TestMonotoneAgainstGonum(t *testing.T) {
	x, y := []float64{0, 24.44, 52.28, 81.92}, []float64{0, 1.56, 2.72, 3.48}
	curve, err := balance.Cumulate(demonstration()[:3])
	if err != nil {
		t.Fatal(err)
	}
	var theirs interp.FritschButland
	var natural interp.NaturalCubic
	if err := theirs.Fit(x, y); err != nil {
		t.Fatal(err)
	}
	if err := natural.Fit(x, y); err != nil {
		t.Fatal(err)
	}
	for m := 0.0; m <= 81.92; m += 0.5 {
		got := must[unit.KgPerM2](t)(curve.Monotone(unit.KgPerM2(m)))
		if want := theirs.Predict(m); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %g kg/m²: %.10g, gonum v0.17.0 interp.FritschButland %.10g", m, got, want)
		}
	}
	// Closed form of the natural cubic, 6 digits.
	if got := natural.Predict(40); math.Abs(got-2.28784) > 5e-6 {
		t.Errorf("natural cubic at 40 kg/m²: %.6f, want 2.28784", got)
	}
}

// Clean sand of 8 mm on the demonstration profile, nothing made and nothing decayed, the sand worked into the
// new top 20 mm: what fixed depths show, what equal mass shows, and what the account finds.
func TestSandOnTopIsNotALoss(t *testing.T) {
	const sand, density = 12.4, 1550.0 // kg/m², kg/m³
	before := demonstration()
	after := dressed(before, sand, density)
	for i, want := range []float64{0.0334286, 0.0474820, 0.0308311} { // closed form, 6 digits
		if got := float64(after[i].OM); math.Abs(got-want) > 5e-6*want {
			t.Errorf("%g–%g mm: %.7f after the sand, want %.7f", float64(after[i].Top), float64(after[i].Bottom), got, want)
		}
	}
	o := func(l []balance.Layer) (sum float64) {
		for _, x := range l[:3] {
			sum += float64(x.Organic())
		}
		return sum
	}
	if got := o(after) - o(before); math.Abs(got-(-0.304)) > 1e-9 {
		t.Errorf("fixed depth 0–60 mm: change %.9f kg/m², want −0.304", got)
	}
	three, err := balance.Cumulate(after[:3]) // equal mass alone gets by with three cuts
	if err != nil {
		t.Fatal(err)
	}
	curve, err := balance.Cumulate(after) // the sand needs one cut more
	if err != nil {
		t.Fatal(err)
	}
	at := balance.ReferenceMineral(81.92, sand, 0)
	mass := must[unit.KgPerM2](t)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"plain equal mass, straight lines", mass(three.Linear(81.92)), 3.15869},
		{"plain equal mass, monotone cubic", mass(three.Monotone(81.92)), 3.16370},
		{"sand accounted, straight lines", mass(curve.Linear(at)), 3.40486},
		{"sand accounted, monotone cubic", mass(curve.Monotone(at)), 3.44388},
	} {
		if math.Abs(c.got-c.want) > 5e-6*c.want {
			t.Errorf("%s: %.6f kg/m², want %.5f (closed form)", c.name, c.got, c.want)
		}
	}
}

// dressed lays sand on the profile: each fixed cut then holds what sank into it, the sand being mixed through
// the new top cut.
func dressed(before []balance.Layer, sand, density float64) []balance.Layer {
	rise := unit.KgPerM2(sand).Depth(unit.KgPerM3(density))
	after := make([]balance.Layer, len(before))
	for i, l := range before {
		organic, mineral := 0.0, 0.0
		if i == 0 {
			mineral = sand
		}
		for _, old := range before {
			top, bottom := old.Top+rise, old.Bottom+rise
			within := min(bottom, l.Bottom) - max(top, l.Top)
			if within > 0 {
				organic += float64(old.Organic()) * float64(within/(old.Bottom-old.Top))
				mineral += float64(old.Mineral()) * float64(within/(old.Bottom-old.Top))
			}
		}
		if i == len(before)-1 { // the last cut reaches into what lay deeper, of the same make
			last := before[i]
			whole := float64(last.Mineral()+last.Organic()) / float64(last.Bottom-last.Top)
			gap := float64(l.Bottom) - float64(last.Bottom+rise)
			if gap > 0 {
				organic += gap * whole * float64(last.OM)
				mineral += gap * whole * float64(1-last.OM)
			}
		}
		after[i] = balance.Layer{
			Top: l.Top, Bottom: l.Bottom,
			OM:      unit.Fraction(organic / (organic + mineral)),
			Density: unit.BulkDensity(unit.KgPerM2(organic+mineral), l.Bottom-l.Top),
		}
	}
	return after
}
