package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"underfoot/unit"
)

// Whatever the records, an answer is a sentence why not, or numbers that hang together.
func TestResponseOfAnyRecords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := surface{
			greens: rapid.IntRange(1, 5).Draw(t, "greens"), years: rapid.IntRange(1, 4).Draw(t, "years"), days: rapid.IntRange(1, 4).Draw(t, "days"),
			direct: rapid.Float64Range(-5, 5).Draw(t, "direct"), water: rapid.Float64Range(-1, 1).Draw(t, "water"), wet: rapid.Float64Range(-2, 2).Draw(t, "wet"),
			noise: rapid.SampledFrom([]float64{0, 1e-9, 0.5, 3}).Draw(t, "noise"), rng: rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3)),
		}
		obs, readings := s.make()
		holes := rapid.Float64Range(0, 0.6).Draw(t, "holes")
		var kept []Reading
		for _, r := range readings {
			if s.rng.Float64() >= holes {
				kept = append(kept, r)
			}
		}
		top, err := Layers(obs, Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := Respond(kept, firmBand(95, 110), top[0])
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range got {
			if r.Known == (r.Why != "") || r.Sentence() == "" {
				t.Fatalf("known %v, why %q, says %q", r.Known, r.Why, r.Sentence())
			}
			if !r.Known {
				continue
			}
			for _, b := range []OMSlope{r.Direct, r.Water, r.WaterOnOM, r.Through, r.Total} {
				if !finite(b.Value, b.SE, b.DF, b.Lower95, b.Upper95) || !(b.SE > 0) || b.DF <= 0 || b.Lower95 > b.Value || b.Upper95 < b.Value {
					t.Fatalf("slope %+v", b)
				}
			}
			for _, e := range []Explained{r.Beyond, r.All} {
				if !(0 <= e.Lower95 && e.Lower95 <= e.Share+1e-12 && e.Share <= e.Upper95+1e-12 && e.Upper95 <= 1) {
					t.Fatalf("share %+v of %+v", e, r.Direct)
				}
			}
			for _, l := range []OMLevel{r.Low, r.Middle, r.High} {
				if l.Told && !(r.ReachLow <= l.Lower95 && l.Lower95 <= l.OM && l.OM <= l.Upper95 && l.Upper95 <= r.ReachHigh) {
					t.Fatalf("level %+v in %g to %g", l, r.ReachLow, r.ReachHigh)
				}
				if (l.Told || l.Beyond != 0) && (!r.Tells || r.Against) {
					t.Fatalf("level %+v told though the records cannot tell", l)
				}
			}
			if !(r.Reliability >= 0 && r.Reliability <= 1) {
				t.Fatalf("reliability %g", r.Reliability)
			}
		}
	})
}

// A course of six greens: what its readings say of organic matter.
func ExampleRespond() {
	at := func(year, month int) time.Time { return time.Date(year, time.Month(month), 15, 0, 0, 0, 0, time.UTC) }
	scatter := func(i int) float64 { return math.Sin(7 * float64(i*i)) } // stands for what cores and instruments do
	var cores []Observation
	var readings []Reading
	for g, own := range []float64{-1.5, -1, -0.4, 0.3, 1, 1.8} {
		name := fmt.Sprint(g + 1)
		for year := 2021; year <= 2024; year++ {
			om := 6 + own - 0.5*float64(year-2021)
			cores = append(cores, Observation{Green: name, Date: at(year, 6), BottomMM: 20, OM: unit.Percent(om + 0.4*scatter(g+10*year)), Cores: 5})
			for _, month := range []int{5, 6, 7, 8} {
				water := 8 + 1.5*om + scatter(3*g+month+year)
				firm := 125 - 4*om - 0.8*(water-18) + 2*scatter(g+5*month+7*year)
				readings = append(readings, Reading{name, at(year, month), Moisture, water}, Reading{name, at(year, month), FirmnessGmax, firm})
			}
		}
	}
	layers, err := Layers(cores, Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	found, err := Respond(readings, []Target{{Kind: FirmnessGmax, Low: 98, High: 112}}, layers[0])
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(found[0].Sentence())
	fmt.Println(found[0].Explains())
	fmt.Println(found[0].Levels())
	// Output:
	// At the same water content a point more organic matter in 0–20 mm goes with softer greens: −3.7 g (−4.8 to −2.7, 95 %). Going together in records is no proof that one makes the other.
	// Beyond water, organic matter explains about 6 % of the differences in firmness (3 to 10 %).
	// At their usual 16 % of water these greens’ firmness would be in its band (98 to 112 g) with 3.6 % (2.8 to 4.1) to 7.4 % (7.0 to 8.0) organic matter in 0–20 mm.
}
