package outline

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Places lie inside, keep their distances, come again with their seed, and stay when more are asked for.
func TestSpreadKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, _ := drawn(t, Position{rapid.Float64Range(-170, 170).Draw(t, "longitude"), rapid.Float64Range(-60, 60).Draw(t, "latitude")})
		w := Wish{Count: rapid.IntRange(1, 12).Draw(t, "count"), Seed: rapid.Uint64().Draw(t, "seed"), Edge: 0.5, Apart: 0.5}
		got, err := o.Spread(w)
		if err != nil {
			t.Skip("too thin for so many")
		}
		for i, p := range got {
			if !o.Inside(p) || o.EdgeDistance(p) < w.Edge || near(got[:i], p, w.Apart) {
				t.Fatalf("place %d at %v breaks the wish", i+1, p)
			}
		}
		w.Count += 3
		more, err := o.Spread(w)
		if err == nil && !slices.Equal(more[:len(got)], got) {
			t.Fatalf("asking for more moved the first: %v became %v", got, more)
		}
	})
}

// Every part of a green is as likely as any other: each quarter of a square gets a quarter of all first places, and of all
// places. 4000 seeds; the bound is 4 standard deviations of a binomial.
func TestSpreadFavoursNoPlace(t *testing.T) {
	o, err := New([]Polygon{{onPlane(Position{5, 52}, Point{-10, -10}, Point{10, -10}, Point{10, 10}, Point{-2, 10}, Point{-2, 2}, Point{-10, 2})}})
	fatal(t, err)
	const seeds = 4000
	lower := (20.0 * 12.0) / float64(o.Area()) // share of the part below north 2
	var first, all float64
	for seed := range uint64(seeds) {
		places, err := o.Spread(Wish{Count: 5, Seed: seed})
		fatal(t, err)
		for i, p := range places {
			if p.North < o.Rings()[0][5].North {
				all++
				if i == 0 {
					first++
				}
			}
		}
	}
	sd := math.Sqrt(lower * (1 - lower) / seeds)
	for name, got := range map[string]float64{"first": first / seeds, "all": all / seeds / 5} {
		if math.Abs(got-lower) > 4*sd {
			t.Errorf("%s places: share %.4f below, want %.4f ± %.4f", name, got, lower, 4*sd)
		}
	}
}

// The places are spread more evenly than places drawn one by one: the greatest distance from anywhere to a core is smaller
// on average.
func TestSpreadIsBalanced(t *testing.T) {
	o, err := New([]Polygon{{onPlane(Position{5, 52}, square(24)...)}})
	fatal(t, err)
	chance := rand.New(rand.NewPCG(1, 2))
	farthest := func(places []Point) float64 {
		var most float64
		for x := -11.5; x < 12; x++ {
			for y := -11.5; y < 12; y++ {
				least := math.Inf(1)
				for _, p := range places {
					least = min(least, p.Distance(Point{x, y}))
				}
				most = max(most, least)
			}
		}
		return most
	}
	var balanced, drawnSingly float64
	for seed := range uint64(200) {
		places, err := o.Spread(Wish{Count: 8, Seed: seed})
		fatal(t, err)
		balanced += farthest(places)
		var random []Point
		for range 8 {
			random = append(random, Point{24*chance.Float64() - 12, 24*chance.Float64() - 12})
		}
		drawnSingly += farthest(random)
	}
	if !(balanced < 0.85*drawnSingly) {
		t.Errorf("farthest from a core %.2f m on average, with places drawn singly %.2f m", balanced/200, drawnSingly/200)
	}
}

func TestSpreadRefuses(t *testing.T) {
	o, err := New([]Polygon{{onPlane(Position{5, 52}, square(10)...)}})
	fatal(t, err)
	_, err = o.Spread(Wish{Count: 0})
	wantError(t, err, "places for cores: 0: allowed are 1 to 200")
	_, err = o.Spread(Wish{Count: 3, Edge: math.NaN()})
	wantError(t, err, "places for cores: NaN m from the edge: give 0 m or more")
	_, err = o.Spread(Wish{Count: 3, Apart: -1})
	wantError(t, err, "places for cores: -1 m from each other: give 0 m or more")
	_, err = o.Spread(Wish{Count: 3, Edge: 5.5})
	wantError(t, err, "places for cores: nothing of this green is 5.5 m from its edge: ask for less")
	_, err = o.Spread(Wish{Count: 9, Edge: 1, Apart: 8})
	if err == nil {
		t.Error("nine places 8 m apart on 8 by 8 m were not refused")
	}
}

func TestStroll(t *testing.T) {
	places, err := Stroll(5, 7)
	fatal(t, err)
	for i, p := range places {
		if p.Along < margin || p.Along > 1-margin || p.Across < margin || p.Across > 1-margin || i > 0 && p.Along < places[i-1].Along {
			t.Errorf("place %d: %+v", i+1, p)
		}
	}
	again, _ := Stroll(5, 7)
	if d := cmp.Diff(places, again); d != "" {
		t.Error(d)
	}
	if got, want := (Share{0.7, 0.52}).String(), "7 tenths of the way from front to back, half of the width from the left"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	_, err = Stroll(0, 1)
	wantError(t, err, "walk over a green: 0 cores: allowed are 1 to 200")
}
