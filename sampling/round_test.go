package sampling

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"underfoot/unit"
)

func ExampleDefaultRound() {
	greens, _ := Choose(6, 3, GreenGroup{Greens: []string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}})
	r := DefaultRound(greens)
	cost, _ := DefaultPrices().RoundCost(r)
	fmt.Println("in full", r.Full, "top only", r.TopOnly)
	fmt.Printf("%d composites, %.0f cm³ each, cost %.0f\n", r.Composites(), r.Volume(r.Layers[0]), cost)
	// Output:
	// in full [5 7 3] top only [4 1 6]
	// 12 composites, 31 cm³ each, cost 372
}

// A cylinder's volume is closed-form: 5 cores 20 mm wide and 20 mm deep are 10π cm³.
func TestRoundVolume(t *testing.T) {
	r := DefaultRound([]string{"a"})
	if got := float64(r.Volume(r.Layers[0])); math.Abs(got-10*math.Pi) > 1e-12 {
		t.Errorf("%g cm³, want 10π", got)
	}
}

func TestVolumeAdvice(t *testing.T) {
	for _, c := range []struct {
		cores    int
		diameter unit.Millimetres
		layer    Layer
		want     string
	}{
		{5, 20, Layer{0, 20}, ""},
		{3, 20, Layer{0, 20}, "0–20 mm: 3 cores of 20 mm hold 19 cm³, less than 30 cm³, little to weigh: take 5 cores or more, or a corer of 25.5 mm or wider."},
		{5, 57, Layer{20, 40}, "20–40 mm: 5 cores of 57 mm hold 255 cm³, more than 150 cm³, much to burn: take a corer of 43.5 mm or narrower, or split the layer in two; or share the composite among crucibles."},
		{12, 32, Layer{0, 20}, "0–20 mm: 12 cores of 32 mm hold 193 cm³, more than 150 cm³, much to burn: take 9 cores at most, or a corer of 28 mm or narrower, or split the layer in two; or share the composite among crucibles."},
	} {
		if got := (Round{Cores: c.cores, Diameter: c.diameter}).VolumeAdvice(c.layer); got != c.want {
			t.Errorf("%d cores of %g mm: %q, want %q", c.cores, c.diameter, got, c.want)
		}
	}
}

// Whoever follows the advice is within 30 to 150 cm³.
func TestVolumeAdviceHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Round{Cores: rapid.IntRange(1, 60).Draw(t, "cores"), Diameter: unit.Millimetres(rapid.IntRange(10, 110).Draw(t, "diameter"))}
		l := Layer{0, unit.Millimetres(rapid.IntRange(5, 100).Draw(t, "thickness"))}
		v := r.Volume(l)
		if (r.VolumeAdvice(l) == "") != (v >= LeastVolume && v <= MostVolume) {
			t.Fatalf("%g cm³: %q", v, r.VolumeAdvice(l))
		}
		if v < LeastVolume {
			r.Cores = int(math.Ceil(30/(float64(v)/float64(r.Cores)) - 1e-9))
			if got := r.Volume(l); got < LeastVolume-1e-9 {
				t.Fatalf("%d cores hold %g cm³", r.Cores, got)
			}
		}
	})
}

func TestRoundCost(t *testing.T) {
	r := Round{Layers: []Layer{{0, 20}, {20, 40}}, Full: []string{"a", "b"}, TopOnly: []string{"c"}, Cores: 5, Diameter: 20}
	got, err := Prices{Visit: 100, Green: 10, Core: 2, Determination: 15}.RoundCost(r)
	fatal(t, err)
	if want := 100.0 + 3*10 + 15*2 + 5*15; got != want {
		t.Errorf("%g, want %g", got, want)
	}
	if r.Of(0) != 3 || r.Of(1) != 2 || r.Composites() != 5 {
		t.Errorf("%d and %d greens, %d composites", r.Of(0), r.Of(1), r.Composites())
	}
}

func TestRoundRefuses(t *testing.T) {
	good := DefaultRound([]string{"a", "b"})
	fatal(t, good.Check())
	for _, c := range []struct {
		change func(*Round)
		want   string
	}{
		{func(r *Round) { r.Layers = nil }, "round: no layers: give at least one by its depths"},
		{func(r *Round) { r.Full, r.TopOnly = nil, nil }, "round: no greens: choose at least one"},
		{func(r *Round) { r.Cores = 0 }, "round: 0 cores a green: allowed are 1 to 200"},
		{func(r *Round) { r.Diameter = unit.Millimetres(math.NaN()) }, "round: corer of NaN mm: allowed is an inner diameter of 5 to 120 mm"},
		{func(r *Round) { r.Layers = []Layer{{20, 20}} }, "round: layer from 20 to 20 mm: the bottom lies deeper than the top, down to 2000 mm"},
		{func(r *Round) { r.Layers = []Layer{{0, 20}, {10, 30}} }, "round: 10–30 mm begins above the end of 0–20 mm: give layers from the surface down that do not overlap"},
		{func(r *Round) { r.TopOnly = []string{"a"} }, "round: green a is named twice: name it once, in full or for the top layer only"},
	} {
		r := good
		c.change(&r)
		wantError(t, r.Check(), c.want)
	}
}

// Drawn greens are of the course, each once, shared among groups, and each as likely as another: 6000 draws of 3 of 9, told
// to 4 standard deviations.
func TestChoose(t *testing.T) {
	all := []string{"1", "2", "3", "4", "5", "6", "7", "8", "9"}
	times := map[string]float64{}
	for seed := range uint64(6000) {
		got, err := Choose(3, seed, GreenGroup{Greens: all})
		fatal(t, err)
		slices.Sort(got)
		if len(slices.Compact(got)) != 3 {
			t.Fatalf("%v", got)
		}
		for _, g := range got {
			times[g]++
		}
	}
	for _, g := range all {
		if math.Abs(times[g]-2000) > 4*math.Sqrt(6000.0/3*2/3) {
			t.Errorf("green %s was drawn %g times of 2000", g, times[g])
		}
	}
	got, err := Choose(6, 1, GreenGroup{"old", all[:6]}, GreenGroup{"new", all[6:]})
	fatal(t, err)
	old := 0
	for _, g := range got {
		if slices.Contains(all[:6], g) {
			old++
		}
	}
	if old != 4 || !slices.Contains(all[:6], got[0]) || !slices.Contains(all[6:], got[1]) {
		t.Errorf("%v: want 4 old and 2 new in turn", got)
	}
	_, err = Choose(10, 1, GreenGroup{Greens: all})
	wantError(t, err, "choosing greens: 10 of 9 greens: choose at least 1, and no more than there are")
}

// Gain is closed-form: equal doubt leaves 1/√2, and a forecast of no doubt gains nothing.
func TestGain(t *testing.T) {
	for _, c := range []struct{ f, m, want float64 }{{1, 1, 1 - math.Sqrt(0.5)}, {0, 1, 0}, {3, 4, 0.2}} {
		got, err := Gain(c.f, c.m)
		fatal(t, err)
		if math.Abs(got-c.want) > 1e-12 {
			t.Errorf("forecast ± %g, measured ± %g: %g, want %g", c.f, c.m, got, c.want)
		}
	}
	_, err := Gain(1, 0)
	wantError(t, err, "gain of a measurement: forecast ± 1, measurement ± 0: give 0 or more, and more than 0")
}

// RoundMean is the variance that Slope gives each round, where greens have no slopes and all greens are the target.
func TestRoundMeanAgreesWithSlope(t *testing.T) {
	c := Components{Green: 0.3, GreenTime: 0.02, Round: 0.05, Core: 0.9, Laboratory: 0.01}
	d := Design{Greens: 6, OnCourse: 6, Cores: 5, Determinations: 1}
	mean, err := c.RoundMean(d, Target(6))
	fatal(t, err)
	slope, err := c.Slope(d, []float64{0, 1, 2}, Target(6))
	fatal(t, err)
	if math.Abs(slope.Variance-mean.Variance/2) > 1e-12 {
		t.Errorf("slope over three years has variance %g, half of a round's is %g", slope.Variance, mean.Variance/2)
	}
}
