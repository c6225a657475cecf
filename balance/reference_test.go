package balance_test

import (
	"testing"

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
	switch do {
	case "dressed":
		var out []float64
		for _, l := range dressed(demonstration(), a[0], a[1])[:3] {
			out = append(out, float64(l.OM))
		}
		return out
	case "fixed depth":
		var change float64
		for i, l := range dressed(demonstration(), a[0], a[1])[:3] {
			change += float64(l.Organic() - demonstration()[i].Organic())
		}
		return []float64{change}
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
			got := work(t, in.Do, in.Args)
			if len(got) != len(want) {
				t.Fatalf("%d numbers, want %d", len(got), len(want))
			}
			for i, x := range got {
				c.Near(t, c.What, x, want[i])
			}
		})
	}
}

// dressed lays clean sand on the profile, nothing made and nothing decayed: each fixed cut then holds what sank into
// it, the sand being mixed through the new top cut.
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
