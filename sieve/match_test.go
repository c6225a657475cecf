package sieve_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/sieve"
)

// scaled is a sand of 100 g sieved on a fixed stack, its grains f times as large as those of a usual root zone.
func scaled(t testing.TB, f float64) *sieve.Curve {
	t.Helper()
	var rows [][2]float64
	for d := .05; d < 9; d *= math.Pow(2, .25) {
		z := math.Log2(d/f/.42) / .8
		rows = append(rows, [2]float64{d, 100 * .5 * math.Erfc(-z/math.Sqrt2)})
	}
	return passing(t, rows...)
}

// A sand whose grains are all f times as large is log₂ f octaves away, whatever f.
func TestShiftIsTheFactorOfSize(t *testing.T) {
	for _, f := range []float64{.6, .8, .95, 1.1, 1.5} {
		d, err := sieve.Apart(scaled(t, f), scaled(t, 1))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(d.Shift-math.Log2(f)) > .003 || math.Abs(d.Apart-math.Abs(math.Log2(f))) > .003 { // 0.2 % of the mass lies below the finest sieve
			t.Errorf("factor %g: shift %g and apart %g octaves, want %g", f, d.Shift, d.Apart, math.Log2(f))
		}
	}
}

// The standard deviations are those of sievings repeated with the stated repeatability, and one material is said to differ
// from itself in no more than 5 of 100 comparisons.
func TestSpreadOfRepeatedSievings(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	class := []float64{1, 8, 28, 40, 16, 5, 2}
	size := []float64{2, 1, .5, .25, .15, .053, 0}
	rep := sieve.DefaultRepeatability()
	again := func() *sieve.Curve {
		var rows [][2]float64
		for i, p := range class {
			tt := max(0, min(1, math.Log(p)/math.Log(20)))
			half := (1-tt)*float64(rep.Small) + tt*float64(rep.Large)
			rows = append(rows, [2]float64{size[i], max(0, p*(1+half/1.96*r.NormFloat64()))})
		}
		return table{Retained: rows}.curve(t)
	}
	const n = 4000
	var d50, shift, shift2, d502 float64
	differ := 0
	for range n {
		a, b := again(), again()
		x, err := sieve.Apart(a, b)
		if err != nil {
			t.Fatal(err)
		}
		v, _ := a.D(50)
		d50 += float64(v) / n
		d502 += float64(v*v) / n
		shift += x.Shift / n
		shift2 += x.Shift * x.Shift / n
		if x.Differs {
			differ++
		}
	}
	c := again()
	u, _ := c.DSD(50)
	x, _ := sieve.Apart(c, c)
	for name, v := range map[string][2]float64{
		"D50":   {float64(u), math.Sqrt(d502 - d50*d50)},
		"shift": {x.ShiftSD, math.Sqrt(shift2 - shift*shift)},
	} {
		if math.Abs(v[0]/v[1]-1) > .1 {
			t.Errorf("%s: standard deviation said %g, found %g", name, v[0], v[1])
		}
	}
	if share := float64(differ) / n; share > .06 || share < .005 {
		t.Errorf("one material differs from itself in %.3f of comparisons, want at most 0.05", share)
	}
}

func TestSuit(t *testing.T) {
	bed := func(name string, f float64) sieve.Bed { return sieve.Bed{Name: name, Curve: scaled(t, f)} }
	for _, c := range []struct {
		name      string
		sand      *sieve.Curve
		top, root sieve.Bed
		fit       sieve.Fit
		says      string
	}{
		{"no table", nil, bed("the top", 1), bed("the root zone", 1), sieve.NotKnown, "Ask the supplier for one."},
		{"the same", scaled(t, 1), bed("the top", 1), bed("the root zone", 1), sieve.GoesWell, "The sand and the root zone cannot be told apart by sieving."},
		{"finer", scaled(t, .72), bed("the top", .72), bed("the root zone", 1), sieve.WithCare, "With care: a layer of it would hold water above the root zone until it is full."},
		{"much finer", scaled(t, .5), bed("the top", .7), bed("the root zone", 1), sieve.NotAdvised, "Not advised: a layer of it would hold water above the root zone until it is full."},
		{"coarser than the top", scaled(t, 1), bed("the top", .7), bed("the root zone", 1), sieve.WithCare, "With care: water stays in the finer layer below it, and its grains are slow to work in."},
		{"nothing below was sieved", scaled(t, 1), sieve.Bed{Name: "the ash of 0–20 mm"}, sieve.Bed{Name: "the root zone"}, sieve.NotKnown, "There is no sieve table of the ash of 0–20 mm: the sand cannot be set beside it."},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := sieve.Suit(c.sand, c.top, c.root)
			if m.Fit != c.fit || !strings.Contains(strings.Join(m.Says, "\n"), c.says) {
				t.Errorf("%s: %s\nwant %s: %s", m.Fit, strings.Join(m.Says, "\n"), c.fit, c.says)
			}
		})
	}
}

func TestChoose(t *testing.T) {
	price := func(v float64) *float64 { return &v }
	root := sieve.Bed{Name: "the root zone", Curve: scaled(t, 1)}
	list := sieve.Choose([]sieve.Candidate{
		{Name: "unsieved", PriceTon: price(10), Bulk: 1550},
		{Name: "too fine", Curve: scaled(t, .5), PriceTon: price(20), Bulk: 1550},
		{Name: "dear", Curve: scaled(t, 1), PriceTon: price(60), Bulk: 1600, Moisture: .05},
		{Name: "cheap", Curve: scaled(t, 1), PriceTon: price(40), Bulk: 1600, Moisture: .05},
		{Name: "a little fine", Curve: scaled(t, .9), PriceTon: price(30), Bulk: 1550},
	}, root, root)
	var names []string
	for _, r := range list {
		names = append(names, r.Name)
	}
	if d := cmp.Diff([]string{"cheap", "dear", "a little fine", "too fine", "unsieved"}, names); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
	// 40 a tonne · 1.6 kg for 1 mm on 1 m² · 1.05 with water, over the share between 0.15 and 1 mm
	share, _, _ := list[0].Curve.Between(.15, 1)
	if want := 40 * 1.6e-3 * 1.05 / (float64(share) / 100); math.Abs(*list[0].PerMM-want) > 1e-12 {
		t.Errorf("1 mm that works costs %g, want %g", *list[0].PerMM, want)
	}
}

func TestDrift(t *testing.T) {
	ref := scaled(t, 1)
	rounds := func(f ...float64) []sieve.Dated {
		var out []sieve.Dated
		for i, v := range f {
			out = append(out, sieve.Dated{Year: 2020 + 2*float64(i), Curve: scaled(t, v)})
		}
		return out
	}
	for _, c := range []struct {
		name, want string
		rounds     []sieve.Dated
	}{
		{"none", "The ash was never sieved: whether it drifts is not known.", nil},
		{"one", "The ash was sieved in one round only: whether it drifts cannot be said before the next.", rounds(1)},
		{"steady", "The ash shows no drift that these 3 rounds could see: +0.0 % a year, ", rounds(1, 1, 1)},
		{"finer", "The ash is becoming finer, by 5.0 % of grain size a year (", rounds(1, .95*.95, .95*.95*.95*.95)},
		{"coarser", "The ash is becoming coarser, by 5.0 % of grain size a year (", rounds(1, 1.05*1.05)},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := sieve.Follow(ref, c.rounds)
			if err != nil {
				t.Fatal(err)
			}
			if got := d.Words("the ash"); !strings.HasPrefix(got, c.want) {
				t.Errorf("%s\nwant %s", got, c.want)
			}
		})
	}
	same := rounds(1, 1)
	same[1].Year = same[0].Year
	if _, err := sieve.Follow(ref, same); err == nil || err.Error() != "following sieve curves: all 2 are of one date: there is nothing to follow" {
		t.Errorf("error %v", err)
	}
}

func TestWaterInWords(t *testing.T) {
	root := scaled(t, 1)
	for f, want := range map[float64]string{
		1:   "what slows it down is organic matter, not the sand.",
		.7:  "A finer layer over a coarser one lets water go only once it is nearly full",
		1.4: "A coarser layer over a finer one drains well itself",
	} {
		if got := strings.Join(sieve.Water(scaled(t, f), root, "the ash", "the root zone"), " "); !strings.Contains(got, want) {
			t.Errorf("grains %g times as large: %s\nwant %s", f, got, want)
		}
	}
	// D10 goes with the size, so the ratio of permeabilities with its square
	if got := sieve.Water(scaled(t, .7), root, "the ash", "the root zone")[0]; !strings.Contains(got, fmt.Sprintf("to about %.2g of it", .7*.7)) {
		t.Error(got)
	}
}

func TestBlendsThatCannotBe(t *testing.T) {
	a := scaled(t, 1)
	for want, parts := range map[string][]sieve.Part{
		"blending: no part has a mass above 0":                                              {{Curve: a}},
		"blending: part 2 has a mass of -1: give 0 or more":                                 {{Curve: a, Mass: 1}, {Curve: a, Mass: -1}},
		"blending: part 1 has no curve: sieve it, or leave it out":                          {{Mass: 1}},
		"blending: the sieves of the parts have no size in common: sieve them on one stack": {{Curve: passing(t, [2]float64{1, 50}), Mass: 1}, {Curve: passing(t, [2]float64{.5, 50}), Mass: 1}},
		"blending: the masses are too large to sum: give them in a larger unit":             {{Curve: a, Mass: 1e308}, {Curve: a, Mass: 1e308}},
	} {
		if _, err := sieve.Blend(parts...); err == nil || err.Error() != want {
			t.Errorf("error %v\nwant  %s", err, want)
		}
	}
	if _, ok := sieve.ShareFor(50, 24.5, 10); ok {
		t.Error("a blend beyond its parts")
	}
	if _, err := sieve.ByVolume(0, 1500, 0, 1500); err == nil {
		t.Error("a blend of nothing by volume")
	}
}
