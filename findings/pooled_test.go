package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"underfoot/unit"
)

// Three rounds worked out by hand: shares of the mean ±0.1, ±0.2 and one green alone, so c² = (2·0.01 + 2·0.04)/2.
func TestRoundsLendOneAnotherTheirScatter(t *testing.T) {
	layers, err := Layers([]Observation{
		sampled("1", "2023-10-14", 4.5), sampled("2", "2023-10-14", 5.5),
		sampled("1", "2024-10-14", 4.8), sampled("2", "2024-10-14", 7.2),
		sampled("1", "2025-10-14", 8),
	}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	c := math.Sqrt(0.05)
	for i, want := range []struct {
		se   float64
		note string
	}{
		{c * 5 / math.Sqrt2, "From the spread of the greens in 2 rounds together, as a share of the mean."},
		{c * 6 / math.Sqrt2, "From the spread of the greens in 2 rounds together, as a share of the mean."},
		{c * 8, "One green; the spread between greens of 2 other rounds stands in."},
	} {
		m := layers[0].Rounds[i]
		if math.Abs(float64(m.SE)-want.se) > 1e-12 || m.DF != 2 || m.Assumed || m.Note != want.note {
			t.Errorf("%s: se %.6f with %g degrees of freedom, assumed %v, %q; want %.6f with 2, false, %q", m.Round, m.SE, m.DF, m.Assumed, m.Note, want.se, want.note)
		}
	}
}

// Greens that happen to agree must not make a round exact, and a round by itself keeps its own spread.
func TestScatterOfOneRound(t *testing.T) {
	two := []Observation{sampled("1", "2024-10-14", 5), sampled("2", "2024-10-14", 5)}
	layers, err := Layers(append(two, sampled("1", "2025-10-14", 4.5), sampled("2", "2025-10-14", 5.5)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if m := layers[0].Rounds[0]; math.Abs(float64(m.SE)-5*0.1/math.Sqrt2) > 1e-12 {
		t.Errorf("two greens that agree: standard error %g", m.SE)
	}
	alone, err := Layers([]Observation{sampled("1", "2025-10-14", 4), sampled("2", "2025-10-14", 6)}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	level, _ := Level([]Observation{sampled("1", "2025-10-14", 4), sampled("2", "2025-10-14", 6)})
	if m := alone[0].Rounds[0]; math.Abs(float64(m.SE-level.SE)) > 1e-12 || m.Note != level.Note {
		t.Errorf("a round alone: %g (%q), Level says %g (%q)", m.SE, m.Note, level.SE, level.Note)
	}
}

// With greens and cores that scatter by a share of the mean, as they do, 9 in 10 intervals hold the mean of greens
// like these, with few greens a round and with levels that change.
func TestIntervalOfARoundHoldsTheTruth(t *testing.T) {
	const runs = 2000
	start := time.Date(2019, 10, 8, 0, 0, 0, 0, time.UTC)
	for _, greens := range []int{2, 3, 7} {
		t.Run(fmt.Sprintf("%d greens", greens), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(20261127, uint64(greens)))
			var held, all float64
			for range runs {
				var obs []Observation
				truth := make([]float64, 5)
				for r := range truth {
					truth[r] = 3 + 4*rng.Float64()
					for g := range greens {
						obs = append(obs, Observation{
							Green: fmt.Sprint(g), Round: fmt.Sprint(r), Date: start.AddDate(r, 0, 0), BottomMM: 20, Cores: 5,
							OM: unit.Percent(max(0, truth[r]*(1+0.18*rng.NormFloat64()))),
						})
					}
				}
				for r, m := range rounds(cells(obs)) {
					all++
					if float64(m.Low90) <= truth[r] && truth[r] <= float64(m.High90) {
						held++
					}
				}
			}
			t.Logf("90 %% interval held the truth in %.3f of %g rounds", held/all, all)
			if got := held / all; got < 0.88 || got > 0.92 {
				t.Errorf("90 %% interval held the truth in %.3f of rounds, want 0.88 to 0.92", got)
			}
		})
	}
}
