package bench

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"underfoot/unit"
)

// crucibles draws one to six plausible crucibles.
func crucibles(t *rapid.T) []Crucible {
	one := rapid.Custom(func(t *rapid.T) Crucible {
		tare := rapid.Float64Range(5, 60).Draw(t, "tare")
		dry := rapid.Float64Range(1, 90).Draw(t, "dry material")
		lost := rapid.Float64Range(0, 0.9).Draw(t, "share lost")
		wet := rapid.Float64Range(0, 1.5).Draw(t, "share of water")
		res := rapid.SampledFrom([]float64{0.0001, 0.001, 0.01, 0.1}).Draw(t, "resolution")
		return Crucible{
			Name: rapid.StringMatching(`c[0-9]`).Draw(t, "name"),
			Tare: unit.Grams(tare), Dry: unit.Grams(tare + dry), Ash: unit.Grams(tare + dry*(1-lost)),
			Moist: ptr(unit.Grams(tare + dry*(1+wet))), Resolution: ptr(unit.Grams(res)),
			AshTemperature: ptr(unit.Celsius(rapid.SampledFrom([]float64{360, 440, 550}).Draw(t, "furnace"))),
		}
	})
	return rapid.SliceOfN(one, 1, 6).Draw(t, "crucibles")
}

func ignite(t *rapid.T, list []Crucible) Ignition {
	ig, err := OrganicMatter(list)
	if err != nil {
		t.Fatal(err)
	}
	return ig
}

func alike(t *rapid.T, name string, a, b float64) {
	if math.Abs(a-b) > 1e-9*math.Max(1, math.Abs(a)) {
		t.Errorf("%s: %.15g and %.15g", name, a, b)
	}
}

func sameIgnition(t *rapid.T, a, b Ignition) {
	alike(t, "organic matter", float64(a.OrganicMatter), float64(b.OrganicMatter))
	alike(t, "ash", float64(a.Ash), float64(b.Ash))
	alike(t, "water", float64(*a.Water), float64(*b.Water))
	alike(t, "standard uncertainty", float64(a.Uncertainty.Standard), float64(b.Uncertainty.Standard))
	alike(t, "expanded uncertainty", float64(a.Uncertainty.Expanded()), float64(b.Uncertainty.Expanded()))
}

func TestOrganicMatterAndAshMakeTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ig := ignite(t, crucibles(t))
		alike(t, "sum", float64(ig.OrganicMatter+ig.Ash), 1)
		alike(t, "masses", float64(ig.Lost+ig.AshMass), float64(ig.DryMass))
	})
}

func TestOrderOfCruciblesChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := crucibles(t)
		a := ignite(t, list)
		b := ignite(t, rapid.Permutation(list).Draw(t, "order"))
		sameIgnition(t, a, b)
		said := func(ig Ignition) []string {
			s := append(sentences(ig.Warnings), sentences(ig.Notes)...)
			slices.Sort(s)
			return s
		}
		if !slices.Equal(said(a), said(b)) {
			t.Errorf("warnings differ: %q and %q", said(a), said(b))
		}
	})
}

func TestUnitOfMassChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := crucibles(t)
		k := unit.Grams(rapid.Float64Range(0.1, 9).Draw(t, "scale"))
		scaled := slices.Clone(list)
		for i, c := range list {
			scaled[i].Tare, scaled[i].Dry, scaled[i].Ash = c.Tare*k, c.Dry*k, c.Ash*k
			scaled[i].Moist, scaled[i].Resolution = ptr(*c.Moist*k), ptr(*c.Resolution*k)
		}
		sameIgnition(t, ignite(t, list), ignite(t, scaled))
	})
}

// Two crucibles that hold together what one would have held give the same organic matter, however the material and
// what burnt of it were shared out.
func TestSplittingACompositeKeepsItsOrganicMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := crucibles(t)[0]
		share := unit.Grams(rapid.Float64Range(0.2, 0.8).Draw(t, "share of the material"))
		burnt := unit.Grams(rapid.Float64Range(0, 1).Draw(t, "share of what burnt"))
		burnt = share + (burnt-share)*0.1 // keep both crucibles possible
		part := func(material, lost unit.Grams) Crucible {
			return Crucible{Tare: 20, Dry: 20 + material, Ash: 20 + material - lost}
		}
		m, l := whole.dryMass(), whole.lost()
		if min(share, 1-share)*m-max(burnt, 1-burnt)*l < 0.05 {
			t.Skip("one crucible would have no ash")
		}
		ig := ignite(t, []Crucible{part(share*m, burnt*l), part((1-share)*m, (1-burnt)*l)})
		one := ignite(t, []Crucible{whole})
		alike(t, "organic matter", float64(ig.OrganicMatter), float64(one.OrganicMatter))
		alike(t, "dry mass", float64(ig.DryMass), float64(one.DryMass))
	})
}

// Density times thickness is the whole stock, measured or not, and organic matter is its organic share.
func TestStocksAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		top := unit.Millimetres(rapid.Float64Range(0, 60).Draw(t, "top"))
		c := Composite{
			Layer:     Layer{top, top + unit.Millimetres(rapid.Float64Range(5, 40).Draw(t, "thickness"))},
			Crucibles: crucibles(t),
		}
		if rapid.Bool().Draw(t, "cores known") {
			c.Cores = &Cores{rapid.IntRange(1, 30).Draw(t, "cores"), unit.Millimetres(rapid.Float64Range(8, 110).Draw(t, "diameter"))}
		}
		if rapid.Bool().Draw(t, "corrected") {
			c.Mineral = &MineralLoss{Loss: 0.002, Completeness: 1}
		}
		r, err := Measure(c, Defaults())
		if err != nil {
			t.Fatal(err)
		}
		if r.OrganicMatter < 0 {
			t.Skip("corrected below zero: the mixture's density stays at that of the mineral part")
		}
		total := float64(r.OrganicStock.Value + r.Mineral.Value)
		alike(t, "stock", total/(float64(r.BulkDensity.Value)*c.Layer.Thickness().Metres()), 1)
		alike(t, "organic share", float64(r.OrganicStock.Value)/total, float64(r.OrganicMatter.Fraction()))
	})
}

func TestMixtureDensityLiesBetweenItsParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Mixture{
			Organic: unit.KgPerM3(rapid.Float64Range(50, 500).Draw(t, "organic")),
			Mineral: unit.KgPerM3(rapid.Float64Range(1200, 2650).Draw(t, "mineral")),
		}
		f := unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "fraction"))
		less, err := m.Density(f)
		if err != nil {
			t.Fatal(err)
		}
		more, err := m.Density(f / 2)
		if err != nil {
			t.Fatal(err)
		}
		if less > more*(1+1e-12) || less < m.Organic*(1-1e-12) || more > m.Mineral*(1+1e-12) {
			t.Errorf("density %g at %g, %g at half of it", less, f, more)
		}
	})
}
